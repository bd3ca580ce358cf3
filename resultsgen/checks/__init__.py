"""Everything that a meet must satisfy before anything is published."""
