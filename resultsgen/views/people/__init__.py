"""Pages of gymnasts and clubs, and who is meant by a name in a Markdown page."""
