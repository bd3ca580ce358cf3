"""The meet while it runs: standings, needs, what is decided; costs of incidents, notable facts."""
