"""Which pages there are, their addresses, and the indexes."""
