"""A club's own workbook becomes a meet folder: `look_over` sees, `writing` writes, nothing is
guessed in silence."""
