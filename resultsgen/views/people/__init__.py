"""Pages of gymnasts and clubs, and how to find them."""
