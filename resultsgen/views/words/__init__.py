"""Words that all views share: the reasons of ties and cuts, in the language of the page."""
