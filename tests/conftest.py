"""What all tests share."""

from __future__ import annotations

from hypothesis import settings

# A busy machine must not fail a test by being slow.
settings.register_profile("resultsgen", deadline=None)
settings.load_profile("resultsgen")
