"""The website: every page is a view shown by a template of the theme.

Links are relative and name their file, so that the folder works on any host, in any subfolder,
and from a USB stick.
"""
