"""Names that must not be published: in which forms a text may tell them, and where one does."""
