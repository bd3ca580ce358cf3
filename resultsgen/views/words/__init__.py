"""Words shared by all views, in the language of the page."""
