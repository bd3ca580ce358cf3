"""Addresses of all pages, the first page, and the indexes of gymnasts and clubs."""
