"""The page of corrections: each publication, what it corrected, why, and what that moved."""
