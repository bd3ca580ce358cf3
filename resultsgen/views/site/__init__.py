"""Addresses of all pages, the first page, indexes, and what comes ready made: files, own pages."""
