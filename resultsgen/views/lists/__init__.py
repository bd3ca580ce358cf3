"""Lists and what belongs to them: tables, cells, cuts, standings, rules."""
