"""Spreadsheets, opened in a process of its own: what a file asks for beyond limits is refused."""
