"""From a folder to what is published: once, watching, or left out where nothing changed.

Also the commands beside it: starting a meet, the gallery of themes, what this machine lacks.
"""
