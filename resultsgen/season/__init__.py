"""A season: many meets made one, from the results of each."""
