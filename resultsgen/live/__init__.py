"""The meet while it runs: standings, needs, what is decided, what incidents cost, notable facts."""
