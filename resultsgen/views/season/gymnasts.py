"""A gymnast's page in a season: bests with where and when, every start in order of time, and how
the marks went, as a picture of lines."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import starmap

from resultsgen.meet.names import DISCIPLINES
from resultsgen.meet.parts import part_of
from resultsgen.season.bests import Comparable, comparable
from resultsgen.season.facts import ALL_AROUND, Achieved
from resultsgen.season.season import Career
from resultsgen.views.lists.charts import FEWEST, Course, OrderChart, scale_of
from resultsgen.views.lists.table import Cell, Column, Row, Table, plain_table
from resultsgen.views.season.page import SeasonText, SeasonView
from resultsgen.views.season.series_places import in_series
from resultsgen.views.season.subject import SeasonSubject, bests_target, years_of
from resultsgen.views.site.addresses import Link, club_target
from resultsgen.views.words.alphabet import Alphabets, folded, letters

NAMED = 7
"""So many steps have a name, that none stands over another."""


def career_view(career: Career, subject: SeasonSubject) -> SeasonView:
    """The page of a gymnast."""
    say, name = subject.wording.say, subject.wording.name
    earlier = [name(*one) for one in career.earlier]
    facts = (
        subject.discipline(career.discipline),
        subject.language.count("{n} meet", "{n} meets", len(career.meets)),
        years_of(subject.season.facts.years(career.rows)),
        say("also printed as {names}", names=subject.language.listed(earlier)) if earlier else "",
    )
    return SeasonView(
        subject.name(career),
        f"person:{career.key}",
        tuple(_texts(career, subject)),
        tuple(Link(club, club_target(club)) for club in career.clubs),
        tuple(filter(None, facts)),
    )


def _texts(career: Career, subject: SeasonSubject) -> Iterator[SeasonText]:
    achieved = subject.season.facts.achieved(career.rows)
    say, made = subject.wording.say, by_list(achieved, subject)
    if achieved:
        yield SeasonText(say("Personal bests"), bests_table(made, subject), kind="matrix")
    yield from in_series(career.key, subject)
    if chart := marks_over_time(made, subject):
        yield SeasonText(say("Marks over time"), chart=chart)
    yield SeasonText(
        say("Starts"), starts_table(career, achieved, risen(made), subject), kind="matrix"
    )


def by_list(
    achieved: Sequence[Achieved], subject: SeasonSubject
) -> dict[Comparable, list[Achieved]]:
    """The marks of a gymnast that compare with each other, in order of time."""
    found: dict[Comparable, list[Achieved]] = defaultdict(list)
    for one in achieved:
        found[comparable(one, subject.season, division=False)].append(one)
    order = {of: number for number, of in enumerate(subject.comparable)}
    return {of: found[of] for of in sorted(found, key=lambda of: (order.get(of, len(order)), of))}


def bests_table(lists: Mapping[Comparable, list[Achieved]], subject: SeasonSubject) -> Table:
    """The best on each apparatus, ever and year by year, the newest year first."""
    say, mark = subject.wording.say, subject.language.mark
    years = sorted({one.day.year for made in lists.values() for one in made}, reverse=True)
    several = years if len(years) > 1 else []
    columns = (
        Column(say("Apparatus"), "name"),
        Column(say("Best"), "total"),
        Column(say("Where and when"), "text", width=2),
        *(Column(str(year), "mark") for year in several),
    )

    def row(of: Comparable, made: list[Achieved]) -> Iterator[Cell]:
        best = max(made, key=lambda one: one.mark)
        yield Cell(subject.list_of(of), target=bests_target(of) if of in subject.comparable else "")
        yield Cell(mark(best.mark))
        yield subject.at(best)
        for year in several:
            yield Cell(mark(max((one.mark for one in made if one.day.year == year), default=None)))

    rows = (row(of, made) for of, made in lists.items())
    return plain_table("bests", say("Personal bests"), columns, rows, "best")


def starts_table(
    career: Career, achieved: Sequence[Achieved], better: frozenset[Achieved],
    subject: SeasonSubject,
) -> Table:  # fmt: skip
    """Every start, the newest first, with places, and the marks that were personal bests then."""
    say = subject.wording.say
    made: dict[tuple[str, str, int], dict[tuple[str, int], Achieved]] = defaultdict(dict)
    for one in achieved:
        made[one.meet, one.competition, one.entry][one.list, one.vault] = one
    usual = DISCIPLINES.get(career.discipline, ())
    order = (ALL_AROUND, *usual, *subject.season.facts.apparatus)
    lists = sorted(
        {key for held in made.values() for key in held},
        key=lambda key: (key[0] == ALL_AROUND, order.index(key[0]), key[1]),
    )
    columns = (
        Column(say("Meet"), "name", width=2.6),
        *(
            Column(subject.wording.list_name(part), "mark", "" if part == ALL_AROUND else part)
            for part in starmap(part_of, lists)
        ),
    )
    many = Counter(meet for meet, *_ in made)
    rows = [
        Row(
            (
                _start(held, many[held_at] > 1, subject),
                *(_mark(held.get(key), better, subject) for key in lists),
            ),
            "guest" if any(one.guest for one in held.values()) else "ranked",
            f"start-{number}",
        )
        for number, ((held_at, *_), held) in enumerate(made.items())
    ]
    silent = [meet for meet in career.meets if meet not in {meet for meet, *_ in made}]
    rows += [_no_mark(meet, len(lists), subject) for meet in silent]
    rows.sort(key=lambda row: row.cells[0].by, reverse=True)
    codes = {cell.sub for row in rows for cell in row.cells[1:]}
    legend = ((say("PB"), say("personal best when it was made")),) if any(codes) else ()
    return Table("starts", say("Starts"), columns, tuple(rows), legend=legend)


def risen(lists: Mapping[Comparable, list[Achieved]]) -> frozenset[Achieved]:
    """The marks that were higher than all before them."""
    found = []
    for made in lists.values():
        highest = made[0].mark
        for one in made[1:]:
            if one.mark > highest:
                found.append(one)
                highest = one.mark
    return frozenset(found)


def _start(held: dict[tuple[str, int], Achieved], several: bool, subject: SeasonSubject) -> Cell:
    """The meet and the day; the competition, where there were *several* of it."""
    one = next(iter(held.values()))
    meet = subject.meets[one.meet]
    guest = subject.wording.say("guest") if one.guest else ""
    below = (subject.day(one), one.title if several else "", guest)
    by = f"{one.day.isoformat()} {one.meet} {one.order:03}"
    return Cell(meet.title, ", ".join(filter(None, below)), target=f"meet:{one.meet}", by=by)


def _mark(one: Achieved | None, better: frozenset[Achieved], subject: SeasonSubject) -> Cell:
    if one is None:
        return Cell("")
    return Cell(
        subject.language.mark(one.mark),
        subject.wording.say("PB") if one in better else "",
        str(one.place or ""),
        subject.list_target(one),
    )


def _no_mark(meet: str, lists: int, subject: SeasonSubject) -> Row:
    held = subject.meets[meet]
    sub = f"{subject.language.date(held.first)}, {subject.wording.say('no mark')}"
    name = Cell(held.title, sub, target=f"meet:{meet}", by=f"{held.first.isoformat()} {meet}")
    return Row((name, *[Cell("")] * lists), "unranked", f"start-{meet}")


def marks_over_time(
    made: Mapping[Comparable, Sequence[Achieved]], subject: SeasonSubject
) -> OrderChart | None:
    """The best mark of each meet on each apparatus; None where there are too few to show a way."""
    lists = {of: marks for of, marks in made.items() if of.list != ALL_AROUND}
    shown = {of: marks for of, marks in lists.items() if len({one.meet for one in marks}) >= FEWEST}
    meets = [meet.id for meet in subject.season.facts.meets]
    there = {one.meet for marks in shown.values() for one in marks}
    steps = [meet for meet in meets if meet in there]
    if not shown:
        return None
    best: dict[Comparable, dict[str, int]] = {of: {} for of in shown}
    for of, marks in shown.items():
        for one in marks:
            best[of][one.meet] = max(one.mark, best[of].get(one.meet, 0))
    scale = scale_of([mark for marks in best.values() for mark in marks.values()])
    top, show = scale[-1], subject.language.mark
    last = {of: next(marks[meet] for meet in reversed(steps) if meet in marks)
            for of, marks in best.items()}  # fmt: skip
    ordered = sorted(best, key=lambda of: (-last[of], of))
    courses = tuple(
        Course(
            subject.list_of(of),
            tuple(top - best[of][meet] if meet in best[of] else None for meet in steps),
            show(last[of]),
        )
        for of in ordered
    )
    told = (
        subject.language.headed(subject.list_of(of), ", ".join(map(show, best[of].values())))
        for of in ordered
    )
    margins = tuple((top - mark, subject.language.short(mark)) for mark in reversed(scale))
    return OrderChart("; ".join(told), _named(steps, subject), courses, margins)


def _named(steps: Sequence[str], subject: SeasonSubject) -> tuple[str, ...]:
    """The month of each meet, or its year where there are several; none twice, and not too many."""
    first = [subject.meets[meet].first for meet in steps]
    years = len({day.year for day in first}) > 1
    named = [str(day.year) if years else subject.language.month(day) for day in first]
    at = [number for number, name in enumerate(named) if named.index(name) == number]
    kept = set(at[:: -(-len(at) // NAMED)])
    return tuple(name if number in kept else "" for number, name in enumerate(named))


def gymnasts_table(subject: SeasonSubject) -> Table:
    """Everybody by name: the club, at how many meets, and when."""
    say = subject.wording.say
    columns = (
        Column(say("Gymnast"), "name", width=2.6),
        Column(say("Club"), "text", width=2),
        Column(say("Meets"), "number", width=0.8),
        Column(say("Years"), "text"),
    )
    named = by_name(career for career in subject.season.careers if not career.withheld)
    rows = (
        (
            subject.who(career),
            Cell(club, target=club_target(club) if club else ""),
            str(len(career.meets)),
            years_of(subject.season.facts.years(career.rows)),
        )
        for career in named
        for club in [next(iter(career.clubs), "")]
    )
    caption = subject.language.count("{n} gymnast", "{n} gymnasts", len(named))
    return plain_table("gymnasts", caption, columns, rows, "gymnast")


def by_name(careers: Iterable[Career]) -> list[Career]:
    """As an index orders them: without accents."""
    return sorted(careers, key=lambda one: (folded(one.family), folded(one.given), one.key))


def gymnasts_letters(subject: SeasonSubject) -> Alphabets:
    """The letters that names begin with, each with the row of the first in the table."""
    named = by_name(career for career in subject.season.careers if not career.withheld)
    return letters(
        (career.family or career.given, f"gymnast-{number}") for number, career in enumerate(named)
    )
