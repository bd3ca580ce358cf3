"""What each page and each chapter shows, as plain values with text ready to read.

A view knows nothing of how it looks. Two equal views give the same bytes.
"""
