"""Bests lists of a season, when a mark was last reached, and the records as they were set."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from resultsgen.season.bests import (
    BestsList,
    Comparable,
    RecordSet,
    bests_of,
    bests_of_year,
    every_mark,
    gymnasts_in,
    records,
    told_by_year,
    tops,
)
from resultsgen.season.facts import KEY, Achieved
from resultsgen.season.records import Among
from resultsgen.views.lists.places import place_column
from resultsgen.views.lists.table import Cell, Column, Table, plain_table
from resultsgen.views.season.page import SeasonText, SeasonView
from resultsgen.views.season.subject import SeasonSubject, bests_target
from resultsgen.views.site.addresses import Link

MOST = 300
"""So many gymnasts, and a third as many marks, stand in a bests list; the tables have all."""

STEP, STEPS = 500, 8
"""From mark to mark it is told when one was last reached: thousandths, and how many such marks."""


def bests_view(of: Comparable, subject: SeasonSubject) -> SeasonView:
    """A bests list of all years."""
    sets = tuple(one for one in records(subject.season) if one.of == of)
    say, made = subject.wording.say, every_mark(of, subject.season)
    highest = sorted(made, key=lambda one: one.mark, reverse=True)[: MOST // 3]
    texts = (
        SeasonText(say("When it was last reached"), _last_reached(made, subject)),
        _best_of_each(bests_of(of, subject.season), subject),
        SeasonText(say("Records as they were set"), records_table(sets, subject)),
        SeasonText(
            say("The highest marks"), _marks_table(highest, subject), _cut(highest, made, subject),
            sorts=True,
        ),
    )  # fmt: skip
    return _view(of, None, texts, subject)


def year_view(of: Comparable, year: int, subject: SeasonSubject) -> SeasonView:
    """A bests list of one year."""
    held = bests_of_year(subject.season, of, year)
    return _view(of, year, (_best_of_each(held, subject),), subject)


def _view(
    of: Comparable, year: int | None, texts: tuple[SeasonText, ...], subject: SeasonSubject
) -> SeasonView:
    say = subject.wording.say
    links = [Link(say("All years"), bests_target(of))]
    links += [
        Link(str(one), bests_target(of, one))
        for one in sorted(told_by_year(subject.season)[of], reverse=True)
        if subject.years
    ]
    facts = (
        subject.language.count("{n} mark", "{n} marks", len(every_mark(of, subject.season)))
        if not year
        else "",
        subject.rules(of),
    )
    return SeasonView(
        ", ".join(filter(None, (subject.list_of(of), subject.group(of), str(year or "")))),
        bests_target(of, year),
        texts,
        (Link(say("Bests"), "page:bests"),),
        tuple(filter(None, facts)),
        tuple(links) if len(links) > 1 else (),
    )


def _best_of_each(held: BestsList, subject: SeasonSubject) -> SeasonText:
    rows = (
        (
            str(line.place),
            subject.who(line.career, subject.club_of(line.best)),
            subject.at(line.best),
            subject.language.mark(line.best.mark),
        )
        for line in held.lines[:MOST]
    )
    title = subject.wording.say("The best of each gymnast")
    table = plain_table("best", title, _columns(subject), rows, "best", 1)
    return SeasonText(title, table, _cut(table.rows, held.lines, subject), sorts=True)


def _columns(subject: SeasonSubject) -> tuple[Column, ...]:
    """Those of marks in order."""
    say = subject.wording.say
    return (
        place_column(subject.wording),
        Column(say("Gymnast"), "name", width=2.6),
        Column(say("Where and when"), "text", width=2),
        Column(say("Mark"), "total"),
    )


def _cut(
    shown: Sequence[object], there: Sequence[object], subject: SeasonSubject
) -> tuple[str, ...]:
    """That more are in the tables than on the page."""
    if len(shown) == len(there):
        return ()
    text = subject.wording.say(
        "The first {n} of {all}; all of them are in the tables to take away.",
        n=len(shown), all=len(there),
    )  # fmt: skip
    return (text,)


def _last_reached(made: Sequence[Achieved], subject: SeasonSubject) -> Table:
    """For round marks from the highest down: when somebody last had as much, and how often."""
    say = subject.wording.say
    columns = (
        Column(say("At least"), "name"),
        Column(say("Last by"), "text", width=2),
        Column(say("Mark"), "total"),
        Column(say("Where and when"), "text", width=2),
        Column(say("How often"), "number"),
    )
    top = max(one.mark for one in made) // STEP * STEP
    low = min(one.mark for one in made)
    marks = [top - STEP * n for n in range(STEPS) if n == 0 or top - STEP * n > low]

    def row(mark: int) -> Iterator[Cell]:
        reached = [one for one in made if one.mark >= mark]
        last = reached[-1]
        yield Cell(subject.language.short(mark))
        yield subject.whose(last)
        yield Cell(subject.language.mark(last.mark))
        yield subject.at(last)
        yield Cell(str(len(reached)))

    return plain_table("reached", say("When it was last reached"), columns, map(row, marks), "mark")


def _marks_table(made: Sequence[Achieved], subject: SeasonSubject) -> Table:
    """All marks, those of one gymnast too; equal ones share the place."""
    places: dict[int, int] = {}
    for number, one in enumerate(made, start=1):
        places.setdefault(one.mark, number)
    rows = (
        (
            str(places[one.mark]),
            subject.whose(one),
            subject.at(one),
            subject.language.mark(one.mark),
        )
        for one in made
    )
    title = subject.wording.say("The highest marks")
    return plain_table("marks", title, _columns(subject), rows, "high", 1)


def records_table(sets: Sequence[RecordSet], subject: SeasonSubject) -> Table:
    """Records as they were set and broken, in order of time."""
    say, mark = subject.wording.say, subject.language.mark
    columns = (
        Column(say("Gymnast"), "name", width=2.6),
        Column(say("Mark"), "total"),
        Column(say("Where and when"), "text", width=2),
        Column(say("Before"), "number"),
    )
    rows = (
        (
            subject.whose(one),
            mark(one.mark),
            subject.at(one),
            mark(held.before),
        )
        for held in sets
        for one in held.marks
    )
    return plain_table("records", say("Records as they were set"), columns, rows, "record")


def bests_index(subject: SeasonSubject) -> SeasonView:
    """Each list with its best mark, those who compete with each other in a table."""
    say = subject.wording.say
    columns = (
        Column(say("List"), "name"),
        Column(say("Best"), "total"),
        Column(say("Gymnast"), "text", width=2),
        Column(say("Where and when"), "text", width=2),
    )

    def row(of: Comparable) -> Iterator[Cell]:
        best = max(tops(of, subject.season), key=lambda one: one.mark)
        many = gymnasts_in(of, subject.season)
        told = subject.language.count("{n} gymnast", "{n} gymnasts", many)
        yield Cell(subject.list_of(of), told, target=bests_target(of))
        yield Cell(subject.language.mark(best.mark))
        yield subject.whose(best)
        yield subject.at(best)

    texts = tuple(
        SeasonText(
            title, plain_table(f"bests-{number}", title, columns, map(row, lists), f"b{number}")
        )
        for number, (title, lists) in enumerate(grouped(subject).items())
    )
    return SeasonView(say("Bests"), "page:bests", texts)


def grouped(subject: SeasonSubject) -> Mapping[str, list[Comparable]]:
    """Lists by whose marks compare."""
    found: dict[str, list[Comparable]] = {}
    for of in subject.comparable:
        found.setdefault(subject.group(of), []).append(of)
    return found


def records_in_time(
    sets: Iterable[RecordSet], subject: SeasonSubject
) -> list[tuple[Achieved, int | None, list[Comparable]]]:
    """The marks that set records, the newest first: what was the record before, and in which lists.

    A mark that set several of the same name, as of a division and of all, is told once.
    """
    found: dict[tuple[Achieved, int | None, str], list[Comparable]] = {}
    for held in sets:
        for one in held.marks:
            found.setdefault((one, held.before, subject.list_of(held.of)), []).append(held.of)
    told = [(one, before, of) for (one, before, _), of in found.items()]
    return sorted(told, key=lambda each: KEY(each[0]), reverse=True)


def records_view(subject: SeasonSubject) -> SeasonView:
    """All records that were set, the newest first, and those of each event."""
    say = subject.wording.say
    groups = (one for one in subject.records if one.kind != "series")
    tables = [records_of(one, f"records-{at}", subject) for at, one in enumerate(groups)]
    texts = tuple(SeasonText(one.caption, one, sorts=True) for one in tables if one.rows)
    return SeasonView(say("Records"), "page:records", texts or (SeasonText(tables[0].caption),))


def records_of(group: Among, id: str, subject: SeasonSubject) -> Table:
    """Those of all meets, of an event or of a series."""
    title = subject.wording.say("Records: {title}", title=group.title) if group.title else ""
    return broken_table(subject.records[group], subject, id=id, title=title)


def broken_table(
    sets: Iterable[RecordSet], subject: SeasonSubject, newest: int | None = None,
    id: str = "records", title: str = "",
) -> Table:  # fmt: skip
    """All records that were set, the newest first; or so many of the *newest* that broke one."""
    found = records_in_time(sets, subject)
    if newest is not None:
        found = [each for each in found if each[1] is not None][:newest]
    return records_told(found, subject, id, title)


def records_told(
    found: Sequence[tuple[Achieved, int | None, list[Comparable]]], subject: SeasonSubject,
    id: str, title: str,
) -> Table:  # fmt: skip
    """Marks that set records."""
    say, mark = subject.wording.say, subject.language.mark
    columns = (
        Column(say("Gymnast"), "name", width=2),
        Column(say("List"), "text", width=1.5),
        Column(say("Mark"), "total"),
        Column(say("Where and when"), "text", width=2),
    )
    rows = (
        (
            subject.whose(one),
            Cell(
                subject.list_of(of[0]), "; ".join(map(subject.group, of)),
                target=bests_target(of[0]),
            ),
            Cell(mark(one.mark), mark(before)),
            subject.at(one),
        )
        for one, before, of in found
    )  # fmt: skip
    title = title or say("Records as they were set")
    return with_legend(plain_table(id, title, columns, rows, f"{id}-row"), subject)


def with_legend(table: Table, subject: SeasonSubject) -> Table:
    """A table of records, with what stands below a mark."""
    say = subject.wording.say
    at = [column.kind for column in table.columns].index("total")
    if not any(row.cells[at].sub for row in table.rows):
        return table
    return replace(table, legend=((say("below the mark"), say("the record until then")),))
