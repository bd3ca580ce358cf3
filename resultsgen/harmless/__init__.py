"""What files of strangers may hold: for each kind a list of what is allowed, and nothing else."""
