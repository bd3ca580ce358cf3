"""What the tables of marks say of totals and places, beside what the judging gives; and of whom
they say for ever that marks are to come."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.meet.folder import MarkRow, Stated
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Note, Problem, most
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults, Results


def differences(judged: Results) -> list[Problem]:
    """A note on each total and place of a table that is not what the judging gives."""
    lists = {each.competition.id: each for each in judged.competitions}
    return list(most(_differences(judged.meet.stated, lists)))


def _differences(
    stated: tuple[Stated, ...], lists: dict[str, CompetitionResults]
) -> Iterator[Problem]:
    for one in stated:
        judged = lists.get(one.competition)
        if judged is None:  # That nobody can tell whose it is is told already.
            continue
        if one.kind == "place" and not one.apparatus and not judged.all_around:
            message = f"compared with nothing: {one.competition} has no all-around list"
            yield Note(one.file, 0, one.column, "left-alone", message)
            continue
        given = _total(judged, one) if one.kind == "total" else _place(judged, one)
        if given != one.value and not _nothing_yet(judged, one, given):
            says, gives = _shown(one, one.value), _shown(one, given)
            if one.kind == "place" and given and _shared(judged, one, given):
                gives += "="
            message = f"says {one.kind} {says}, the judging gives {gives}"
            yield Note(one.file, one.line, one.column, "stated-otherwise", message, says)


def awaited(judged: Results) -> Iterator[Problem]:
    """A note on who has a status and no mark, once nobody else has a mark to come."""
    for one in judged.competitions:
        lists = [ranking for ranking in one.rankings if one.in_progress and not ranking.of_teams]
        coming = {key for ranking in lists for key in ranking.coming}
        id, told = one.competition.id, dict[int | None, MarkRow]()
        for row in judged.meet.mark_rows if coming else ():
            if row.competition == id and row.gymnast in coming:
                told.setdefault(row.gymnast, row)
        if all(key in told and not _has_a_mark(one, key) for key in coming):
            yield from (_awaited(told[key], judged, lists) for key in sorted(coming))


def _has_a_mark(one: CompetitionResults, key: int) -> bool:
    return any(each.mark is not None for each in one.by_gymnast.get(key, {}).values())


def _awaited(row: MarkRow, judged: Results, lists: list[Ranking]) -> Note:
    who = judged.gymnasts[row.gymnast or 0]
    name = f"{who.family} {who.given}".strip() if who.published else f"bib {who.bib}"
    lacking = [each.apparatus for each in lists if each.apparatus and who.key in each.coming]
    message = (
        f"{name} has {row.status} here and nothing on {', '.join(lacking) or 'other apparatus'}, "
        f"for which {row.competition} still waits; write {row.status} there too, unless marks come"
    )
    return Note(row.file, row.line, row.column, "awaited-for-ever", message)


def _nothing_yet(judged: CompetitionResults, one: Stated, given: int | None) -> bool:
    """What a spreadsheet works out of empty cells says nothing: a sum of 0, a place of all."""
    return given is None and (one.value == 0 if one.kind == "total" else not judged.started)


def _shown(one: Stated, value: int | None) -> str:
    if value is None:
        return "none"
    return show_mark(value) if one.kind == "total" else str(value)


def _ranking(judged: CompetitionResults, one: Stated) -> Ranking | None:
    return judged.by_apparatus.get(one.apparatus) if one.apparatus else judged.all_around


def _total(judged: CompetitionResults, one: Stated) -> int | None:
    """Her all-around total; without one, the sum of the marks that she has (no second vault)."""
    line = judged.all_around.by_key.get(one.gymnast) if judged.all_around else None
    if line and (line.total is not None or line.so_far is not None):
        return line.so_far if line.total is None else line.total
    routines = judged.by_gymnast.get(one.gymnast, {}).items()
    marks = [each.mark for (_, vault), each in routines if vault == 1 and each.mark is not None]
    return sum(marks) if marks else None


def _place(judged: CompetitionResults, one: Stated) -> int | None:
    """Her place in the list, or among all who performed where the apparatus has none."""
    ranking = _ranking(judged, one)
    if ranking:
        line = ranking.by_key.get(one.gymnast)
        return line.place if line else None
    routine = judged.by_gymnast.get(one.gymnast, {}).get((one.apparatus, 1))
    return routine.place if routine else None


def _shared(judged: CompetitionResults, one: Stated, place: int) -> bool:
    ranking = _ranking(judged, one)
    if ranking:
        return sum(line.place == place for line in ranking.lines) > 1
    routines = (each for _, each in judged.routines if each.apparatus == one.apparatus)
    return sum(each.place == place and each.vault == 1 for each in routines) > 1
