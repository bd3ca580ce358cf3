"""What all tests share."""

from __future__ import annotations

import gc
import os
import shutil
from fcntl import LOCK_EX, flock
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import settings

# A busy machine must not fail a test by being slow.
settings.register_profile("resultsgen", deadline=None)
settings.load_profile("resultsgen")

# What is collected stays to the end: to look for rubbish among it takes a third of the time.
gc.disable()

DEAR = (
    "accessibility", "book_chapters", "books", "cli", "cost", "languages", "long_lists", "season",
    "themes", "units", "wheel", "whole_published", "yearbook",
)  # fmt: skip
"""What takes longest begins, so that none of it is left to one worker when the others are done."""


def pytest_configure(config: pytest.Config) -> None:
    config.option.loadscopereorder = False  # xdist would begin with those of the most tests.


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path.stem.removeprefix("test_") not in DEAR)


def pytest_collection_finish() -> None:
    gc.freeze()
    gc.set_threshold(20_000)  # Looking every 700 objects takes 4 % of the time, this half of it.
    gc.enable()


@pytest.fixture
def meet_folder(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """The meet folder that the test's docstring holds, each file under `== its/name ==`."""
    return write_folder(tmp_path, request.function.__doc__)


@pytest.fixture(scope="session")
def browser():
    """One browser for all tests that look at pages."""
    from browsing import ARGUMENTS
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium, args=list(ARGUMENTS))
        yield launched
        launched.close()


@pytest.fixture(scope="session")
def sites(tmp_path_factory):
    """The site of the example meet in a theme, built by who asks first, in whichever process."""
    from test_site import EXAMPLE, built

    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent

    def site(theme: str) -> Path:
        with (shared / f"{theme}.lock").open("w") as lock:
            flock(lock, LOCK_EX)
            if not (shared / theme).exists():
                built(EXAMPLE, tmp_path_factory.mktemp(theme), theme).rename(shared / theme)
        return shared / theme

    return site
