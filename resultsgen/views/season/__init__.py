"""What the pages of a season say, as text: meets, gymnasts, clubs, bests and records."""
