"""Data that leaves: tables, the whole results and seasons, and running text."""
