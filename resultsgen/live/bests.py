"""The bests and records of the meet's own table that were beaten or equalled."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.live import notable as rule
from resultsgen.live.decided_lists import Notable
from resultsgen.meet.folder import BestSoFar
from resultsgen.scoring.results import Results


def bests(results: Results) -> Iterator[Notable]:
    """The bests that were beaten or equalled, each once, with its highest mark of the meet."""
    made = _made(results)
    for row in results.meet.bests:
        mine = {key: found for (code, key), found in made.items()
                if code == row.apparatus and _counts(row, key, results)}  # fmt: skip
        whose = min(row.gymnasts, default=None)
        marks: dict[int, int] = {}
        for key, (mark, _) in mine.items():
            person = key if whose is None else whose
            marks[person] = max(mark, marks.get(person, mark))
        table = [rule.BestSoFar(row.record, whose, row.apparatus, row.mark)]
        for fact in rule.bests({row.apparatus: marks}, table):
            where = next(id for mark, id in mine.values() if mark == fact.mark)
            yield Notable("record", where, row.apparatus or "all-around", fact, row.note)


def _made(results: Results) -> dict[tuple[str, int], tuple[int, str]]:
    """The highest mark and total of each gymnast, and the competition it was made in.

    A total of several days, or with marks carried into it, is no best of one competition.
    """
    found: dict[tuple[str, int], tuple[int, str]] = {}
    for one in (one for one in results.competitions if one.competition.has_own_marks):
        totals = one.all_around.lines if one.all_around and not one.all_around.terms else ()
        rows = [("", line.gymnast.key, line.total) for line in totals]
        rows += [(routine.apparatus, who.key, routine.mark) for who, routine in one.routines]
        for code, key, mark in rows:
            if mark is not None and mark > found.get((code, key), (-1, ""))[0]:
                found[code, key] = (mark, one.competition.id)
    return found


def _counts(row: BestSoFar, key: int, results: Results) -> bool:
    """Whether a gymnast's marks are compared with a best; a guest breaks no record of the meet."""
    if row.gymnasts:
        return key in row.gymnasts
    who = results.gymnasts[key]
    own_division = not row.division or row.division.casefold() == who.division.casefold()
    return not who.guest and own_division and row.discipline == who.discipline
