"""Files of strangers are read safely, what is published is written whole, and what is kept."""
