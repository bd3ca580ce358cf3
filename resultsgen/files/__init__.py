"""What comes from strangers is read safely, and what is published is written whole."""
