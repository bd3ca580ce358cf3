"""The way in: a meet folder becomes one checked `Meet` and the list of all that is to mend."""
