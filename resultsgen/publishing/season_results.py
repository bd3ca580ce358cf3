"""The results that a meet tells, taken for a season only if whole, fit to be printed, and once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from pydantic import ValidationError

from resultsgen.checks.keys import key_path
from resultsgen.meet.problems import Problem, most
from resultsgen.privacy.forms import as_written
from resultsgen.season.coherent import incoherent
from resultsgen.season.facts import SeasonMeet, marks_made
from resultsgen.season.told import UNFIT, ToldResults, read_told

RESULTS = "data/results.json"


def results_told(id: str, held: bytes, problems: list[Problem]) -> ToldResults | None:
    """The results in these bytes; None where they are none of a meet, which is told."""
    try:
        told = read_told(held)
    except ValidationError as error:
        problems += most(_unfit(id, error))
        problems += most(
            _unknown(id, one["loc"], f"cannot be read as results of this format: {one['msg']}")
            for one in error.errors()
            if one["type"] != UNFIT
        )
        return None
    if not told.meet.first_day or not told.meet.last_day:
        message = (
            "the meet has no date, and a season goes by time; write dates = [2031-05-17], as it was"
        )
        problems.append(Problem(f"{id}/meet.toml", 0, "dates", "meet-without-date", message))
        return None
    wrong = [_unknown(id, path, why) for path, why in incoherent(told)]
    problems += most(wrong)
    return None if wrong else told


def _unknown(id: str, path: tuple[str | int, ...], why: str) -> Problem:
    message = f"{why}; mend it where it comes from, and publish it again"
    return Problem(f"{id}/{RESULTS}", 0, key_path(*path), "unknown-results", message)


def _unfit(id: str, error: ValidationError) -> Iterator[Problem]:
    """Texts that nobody would print: with where they stand, and written out."""
    for one in error.errors():
        if one["type"] == UNFIT:
            shown = repr(one["input"][:40])
            message = f"{one['msg']}: {shown}; mend it where it comes from, and publish it again"
            column = key_path(*one["loc"])
            yield Problem(f"{id}/{RESULTS}", 0, column, "unfit-text", message, shown)


def same_meets(file: str, read: Iterable[tuple[Path, SeasonMeet]]) -> Iterator[Problem]:
    """A meet that two folders hold: of one title and days, and with mostly the same marks."""
    by_title: dict[object, list[tuple[Path, SeasonMeet]]] = {}
    for folder, meet in read:
        title = as_written(meet.title), meet.first, meet.last
        for other, before in by_title.get(title, ()):
            marks = [marks_made(one.results) for one in (before, meet)]
            if 2 * len(marks[0] & marks[1]) > min(map(len, marks)):
                message = (
                    f"{other} and {folder} hold the same meet, {meet.title} of "
                    f"{meet.first}: its marks would count twice; name one of them, or "
                    "give each another title"
                )
                yield Problem(file, 0, "meets", "meet-twice", message)
                break
        by_title.setdefault(title, []).append((folder, meet))
