"""The rules applied to a meet: fields, lists, lines, ties, cuts, teams."""
