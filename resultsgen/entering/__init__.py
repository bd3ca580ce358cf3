"""Marks on their way from a slip of paper into the marks, with all that is unusual asked back."""
