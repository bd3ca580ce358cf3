"""What was published before, and what a correction changed."""
