"""Who has a mark in a final without starting there; what has one cause is one problem."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition, every_bib
from resultsgen.scoring.finals import Starters

Causes = dict[tuple[str, tuple[str, ...]], list[Any]]
"""The rows of marks by what is to be mended and the bibs, of which they are."""


def not_in_the_final(meet: Meet, competition: Competition, chosen: Starters) -> Iterator[Problem]:
    """A problem for those who have marks and do not start there, at the first of their marks."""
    rows: Iterable[Any] = meet.marks[meet.marks["competition"] == competition.id].itertuples()
    wrong = [row for row in rows if row.gymnast not in _on_part(chosen, row.apparatus)]
    for (cause, bibs), those in _by_cause(competition, wrong).items():
        parts = [part for part in dict.fromkeys(row.apparatus for row in those) if part]
        yield Problem(
            those[0].file,
            those[0].line,
            "bib",
            "not-in-the-final",
            f"bib {', '.join(bibs)} {'has' if len(bibs) == 1 else 'have'} "
            f"{'a mark' if len(those) == 1 else 'marks'}"
            f"{_on(parts)} in {competition.id!r} but {_mend(cause, bibs, parts)}",
            bibs[0],
        )


def _by_cause(competition: Competition, rows: list[Any]) -> Causes:
    """The rows of the same bibs on several apparatus together, as far as they have one mend."""
    named, gone = every_bib(competition.starters), {one.bib for one in competition.withdrawn}
    by_part: dict[tuple[str, str], list[Any]] = {}
    for row in rows:
        apart = "starters" if row.apparatus and row.bib not in named else ""
        cause = "withdrawn" if row.bib in gone else apart
        by_part.setdefault((cause, row.apparatus), []).append(row)
    causes: Causes = {}
    for (cause, _), those in by_part.items():
        bibs = tuple(dict.fromkeys(row.bib for row in those))
        causes.setdefault((cause, bibs), []).extend(those)
    return causes


def _mend(cause: str, bibs: tuple[str, ...], parts: list[str]) -> str:
    do = "does" if len(bibs) == 1 else "do"
    if cause == "withdrawn":
        return "withdrew ([[competition.withdrawn]] in meet.toml); take one of them out"
    if cause == "starters":
        named = ", ".join(f'"{bib}"' for bib in bibs)
        lists = " and ".join(f"starters.{part} = [{named}, ...]" for part in parts)
        return (
            f"{do} not start there; in meet.toml name who withdrew ([[competition.withdrawn]]), or "
            f"list all who start on {', '.join(parts)}:  {lists}"
        )
    return (
        f"{do} not start there; in meet.toml name who withdrew ([[competition.withdrawn]]) or list "
        "the starters"
    )


def _on_part(chosen: Starters, apparatus: str) -> frozenset[int]:
    return chosen.on.get(apparatus, frozenset()) if apparatus else chosen.keys


def _on(parts: list[str]) -> str:
    return f" on {', '.join(parts)}" if parts else ""
