"""The result books: `volumes` says which there are, and `making` makes them.

Nothing is imported here, so that the processes of the press load nothing but the press.
"""
