"""The results that a meet tells, taken for a season only if whole, fit to be printed, and once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from pydantic import ValidationError

from resultsgen.files.staging import OF_A_MEET
from resultsgen.files.toml_keys import key_path
from resultsgen.meet.problems import Note, Problem, most
from resultsgen.privacy.forms import as_written
from resultsgen.reading.validating import in_words
from resultsgen.season.coherent import incoherent
from resultsgen.season.facts import SeasonMeet, made_at, marks_made
from resultsgen.season.told import NEWEST, UNFIT, ToldResults, read_told

RESULTS = OF_A_MEET


def results_told(id: str, held: bytes, problems: list[Problem]) -> ToldResults | None:
    """The results in these bytes; None where they are none of a meet, which is told."""
    try:
        told = read_told(held)
    except ValidationError as error:
        other = "string_pattern_mismatch", ("version",)
        named = [one["input"] for one in error.errors() if (one["type"], one["loc"]) == other]
        if named:
            why = f"is of the format {named[0][:40]!r}, and {NEWEST}.x is read"
            problems.append(_unknown(id, ("version",), why))
            return None
        problems += most(_unfit(id, error))
        problems += most(
            _unknown(id, one["loc"], f"cannot be read as results of this format: {in_words(one)}")
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
    """A meet that two folders hold: of one title and days, and with mostly the same marks.

    That most gymnasts have the same marks and places under two titles is told.
    """
    by_days: dict[object, list[tuple[Path, SeasonMeet]]] = {}
    for folder, meet in read:
        days = meet.first, meet.last
        for other, before in by_days.get(days, ()):
            both = f"{other} and {folder} hold the same"
            if as_written(before.title) == as_written(meet.title):
                marks = [marks_made(one.results) for one in (before, meet)]
                if 2 * len(marks[0] & marks[1]) > min(map(len, marks)):
                    message = (
                        f"{both} meet, {meet.title} of {meet.first}: its marks would count twice; "
                        "name one of them, or give each another title"
                    )
                    yield Problem(file, 0, "meets", "meet-twice", message)
                    break
            elif _mostly_alike(before, meet):
                message = (
                    f"{both} marks of {meet.first}, or mostly, each under a title of its own, and "
                    "they count twice; if it is one meet, name one of them"
                )
                yield Note(file, 0, "meets", "meet-twice", message)
        by_days.setdefault(days, []).append((folder, meet))


def _mostly_alike(*meets: SeasonMeet) -> bool:
    one, other = ({told for told, _ in made_at(meet).by_entry.values()} for meet in meets)
    return 2 * len(one & other) > min(len(one), len(other))
