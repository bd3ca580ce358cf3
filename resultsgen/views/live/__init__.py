"""What is said while the meet runs: leads, needs, what is decided; and what incidents cost."""
