"""A few of the folders that `spoiling.py` spoils: told or read as they stand, and never raised."""

from __future__ import annotations

from pathlib import Path

import pytest
from second_reader import second_reading
from spoiling import FORMS, Form, facts_of, tried, write

from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import checked

SHORT = 16
"""So many in the suite; thousands by hand."""


@pytest.mark.parametrize("form", FORMS, ids=lambda form: f"{form.marks} {form.table[4:8]}")
def test_both_readers_read_the_good_meet_alike(tmp_path: Path, form: Form) -> None:
    write(tmp_path, form)
    judged, _ = checked(tmp_path, tmp_path / "output", BuildOptions())
    read = second_reading(tmp_path, form.roster, form.marks)
    assert facts_of(judged) == read.facts
    assert len(read.facts) > 7
    assert read.withheld == {"3"}
    assert read.unread


@pytest.mark.parametrize("number", range(SHORT))
def test_a_spoilt_folder_is_refused_or_read_as_it_stands(tmp_path: Path, number: int) -> None:
    what, how = tried(number, tmp_path)
    assert what in ("refused", "accepted"), how
