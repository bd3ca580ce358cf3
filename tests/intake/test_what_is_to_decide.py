"""Each answer to what is to decide is taken as it stands in `meet.toml`."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from club_workbooks import TWELVE
from hypothesis import HealthCheck, given, settings
from new_meets import begun, run
from openpyxl import Workbook
from random_workbooks import Drawn, drawn_workbooks, written

QUESTION = re.compile(r"(?m)^# To decide: (?P<asked>.*)\n(?P<lines>(?:# (?!To decide: ).*\n?)*)")
PROBLEM = re.compile(r"(?m)^(?!note: |Nothing to mend|\d+ to mend).*")


def answers(text: str) -> Iterator[tuple[str, str]]:
    """The text with each answer in turn, and what is answered."""
    for found in QUESTION.finditer(text):
        lines = re.findall(r"(?m)^# (.*)", found["lines"])
        keys = [line.partition(" = ")[0] for line in lines]
        several = len({*keys}) < len(keys)
        for answer in [[line] for line in lines] if several else [lines] if lines else []:
            start = text.rfind("\n[", 0, found.start()) + 1
            before, after = text[:start], text[found.start() :].replace(found[0], "", 1)
            block = text[start : found.start()]
            for key in keys:
                there = re.compile(rf"(?m)^{re.escape(key)} = .*\n")
                if there.search(block) and "instead of the line" in found["asked"]:
                    block = there.sub("", block)
            yield f"{before}{block}{chr(10).join(answer)}\n{after}", " / ".join(answer)


def refused(meet: Path) -> list[str]:
    """Each answer after which `check` tells a problem that was none before, with the problem."""
    file = meet / "meet.toml"
    text = file.read_text(encoding="utf-8")
    before = {*map(_what, PROBLEM.findall(run("check", meet).told))}
    found = []
    for answered, said in answers(text):
        file.write_text(answered, encoding="utf-8")
        told = [one for one in PROBLEM.findall(run("check", meet).told) if _what(one) not in before]
        if said.startswith("encoding = "):  # One of them is true, and headings tell.
            told = [one for one in told if one.startswith("meet.toml")]
        found += [f"{said}: {one}" for one in told if one]
    file.write_text(text, encoding="utf-8")
    return found


def _what(problem: str) -> str:
    return re.sub(r"^meet\.toml:\d+", "meet.toml", problem)


@pytest.mark.parametrize("maker", TWELVE, ids=lambda one: one.__name__)
def test_each_answer_of_the_twelve_workbooks_is_taken(tmp_path, maker):
    done = begun(tmp_path / "meet", maker(tmp_path))
    assert done.code == 0
    assert not refused(tmp_path / "meet")


@given(drawn_workbooks())
@settings(max_examples=12, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_each_answer_is_taken_whatever_the_workbook_is(drawn: Drawn) -> None:
    with tempfile.TemporaryDirectory() as place:
        path = written(Path(place), drawn)
        if begun(Path(place, "meet"), [path]).code == 0:
            assert not refused(Path(place, "meet"))


def book(path: Path, **sheets: list[tuple[object, ...]]) -> Path:
    made = Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    made.save(path)
    return path


HEADING = ("Bib", "Name", "Vault", "Floor")
GOLD = [HEADING, (1, "Vale, Ada", 9.1, 9.2), (2, "Torr, Bea", 9.3, 9)]
SILVER = [HEADING, (3, "Marsh, Cora", 9.1, 9.2), (4, "Quill, Dina", 9.3, 9)]


@pytest.mark.parametrize("bibs", [True, False])
def test_a_sheet_that_is_a_session_has_to_be_called_so(tmp_path, bibs):
    sheets = {"Gold": GOLD, "Silver": SILVER}
    if not bibs:
        sheets = {name: [row[1:] for row in rows] for name, rows in sheets.items()}
    done = begun(tmp_path / "meet", [book(tmp_path / "a.xlsx", **sheets)])
    assert 'if it is a session, call the sheet "Session 1"' in done.told
    assert not refused(tmp_path / "meet")
    sheets = {f"Session {number}": rows for number, rows in enumerate(sheets.values(), start=1)}
    done = begun(tmp_path / "other", [book(tmp_path / "b.xlsx", **sheets)])
    assert done.told.count("\ncompetition ") == 1


def test_a_question_about_a_copied_table_is_of_the_copy(tmp_path):
    rows = [("No", "Name", "Score"), (1, "Vale, Ada", 9.1), ("Club: North",), (2, "Torr, Bea", 9)]
    done = begun(tmp_path / "meet", [book(tmp_path / "a.xlsx", Sheet1=rows)])
    text = (tmp_path / "meet/meet.toml").read_text(encoding="utf-8")
    assert re.search(
        r'\[tables\."a\.csv"\]\n# To decide: a\.csv \(copied from a\.xlsx\): .*\n# fixed', text
    ), text
    assert not refused(tmp_path / "meet"), done.told


@pytest.mark.parametrize("with_level", [True, False])
def test_an_apparatus_is_added_to_what_else_is_said_of_all_rows(tmp_path, with_level):
    rows = [
        *([("Level 3",)] if with_level else []),
        ("Bib", "Name", "Score"),
        (1, "Vale, Ada", 9.1),
    ]
    assert begun(tmp_path / "meet", [book(tmp_path / "a.xlsx", Sheet1=rows)]).code == 0
    text = (tmp_path / "meet/meet.toml").read_text(encoding="utf-8")
    assert '# fixed.apparatus = "VT"' in text
    assert not refused(tmp_path / "meet")
