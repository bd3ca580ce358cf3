"""The press sheet, facts and handouts."""
