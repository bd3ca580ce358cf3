"""What all tests share."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import settings

# A busy machine must not fail a test by being slow.
settings.register_profile("resultsgen", deadline=None)
settings.load_profile("resultsgen")


@pytest.fixture
def meet_folder(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """The meet folder that the test's docstring holds, each file under `== its/name ==`."""
    return write_folder(tmp_path, request.function.__doc__)
