"""Marks of which a spreadsheet made a date or a time: what was typed is asked, never guessed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from babel import Locale
from folders import write_folder
from hypothesis import given
from hypothesis import strategies as st
from test_spreadsheets import ROSTER, settings, write_xlsx

from resultsgen.meet.marks import parse_mark
from resultsgen.reading.dates import MONTHS, mark_meant
from resultsgen.reading.meet import read_meet

MADE = {
    dt.date(2031, 5, 9): "9 May; was it 9.5?",
    dt.datetime(2031, 7, 13): "13 July; was it 13.7?",
    dt.date(2025, 9, 1): "September 2025; was it 9.25 or 1.9?",
    dt.time(9, 30): "9:30; was it 9.30?",
    46151: "9 May; was it 9.5?",
    "09.05.2031": "9 May; was it 9.5?",
    "2031-05-09": "9 May; was it 9.5?",
    "9-May": "9 May; was it 9.5?",
    "09. Mai": "9 May; was it 9.5?",
    "Sep 75": "September 1975; was it 9.75 or 1.9?",
    "09:30:00": "9:30; was it 9.30?",
}


@pytest.mark.parametrize("kind", ["xlsx", "csv"])
def test_a_date_or_a_time_for_a_mark_is_told_with_what_was_typed(tmp_path: Path, kind: str) -> None:
    """In CSV as spreadsheets write such cells."""
    folder = write_folder(tmp_path, settings("r.xlsx", f"m.{kind}"))
    write_xlsx(folder / "r.xlsx", {"Sheet1": ROSTER})
    rows: list[list[Any]] = [["bib", "VT"], *([7, value] for value in MADE)]
    if kind == "xlsx":
        write_xlsx(folder / "m.xlsx", {"Sheet1": rows})
    else:
        held = "".join(f"{bib};{value}\n" for bib, value in rows)
        (folder / "m.csv").write_text(held.replace(" 00:00:00", ""), encoding="utf-8")
    found = [one for one in read_meet(folder)[1] if one.code == "not-a-mark"]
    assert [one.row for one in found] == list(range(2, 2 + len(MADE)))
    for problem, meant in zip(found, MADE.values(), strict=True):
        assert f", {meant} Format the column as text or as number" in problem.message


@pytest.mark.parametrize("text", ["13700", "13.70001", "31.12", "31-Feb", "9:5", "13:700", "Mai"])
def test_what_is_no_date_is_none(text: str) -> None:
    assert mark_meant(text) == ""


@given(st.dates(dt.date(1930, 1, 1), dt.date(2099, 12, 31)))
def test_a_mark_is_never_taken_for_a_date(date: dt.date) -> None:
    """Only what is no mark is asked about; and each date says its day and its month."""
    assert mark_meant(f"{date.day}.{date.month}") == ""
    assert f"{date.day}.{date.month}" in mark_meant(date.isoformat())
    assert parse_mark(date.isoformat()) is None


@pytest.mark.parametrize("language", ["en", "fr", "de", "es"])
@pytest.mark.parametrize("width", ["abbreviated", "wide"])
def test_months_are_known_as_they_are_written(language: str, width: str) -> None:
    names = Locale(language).months["format"][width]
    for number in range(1, 13):
        assert f"9 {MONTHS[number - 1].split()[0]};" in mark_meant(
            f"9. {names[number].rstrip('.')}"
        )
