"""A competition and its lists: tables, cuts, start lists, standings, pictures, rules in words.

Also the chapters of the books, which are made of these.
"""
