"""What a yearbook tells of marks: each meet on a page or so, the best of the year, and records."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from resultsgen.season.bests import Comparable, RecordSet, best_lines, made_in
from resultsgen.season.bests import records as all_records
from resultsgen.season.facts import ALL_AROUND, Achieved, SeasonMeet
from resultsgen.season.told import ToldCompetition, ToldLine, ToldRoutine
from resultsgen.views.lists.places import place_column
from resultsgen.views.lists.sections import Honours, Section, Telling, Winner
from resultsgen.views.lists.table import Cell, Column, Row, Table, plain_table
from resultsgen.views.season.bests import records_in_time, records_told
from resultsgen.views.season.meets import days, list_table, state, told_lines, whole_first
from resultsgen.views.season.subject import SeasonSubject, titles

FIRSTS = "firsts:"
"""What begins the id of the second section of a meet."""

FIRST, BEST = 3, 8
"""The places that a yearbook tells of each list of a meet, and of each bests list; the first alone
of all divisions together, where there are several."""

PAGE, TITLE, WHOLE, PAIR, ROW, MOST = 625, 60, 62, 36, 14, 12
"""About how high are, in points, a page, its title, the headings of an all-around and of two lists
beside each other, and a row; so many rows has an all-around at most."""


def won_lists(meet: SeasonMeet, subject: SeasonSubject) -> Iterator[tuple[ToldCompetition, str]]:
    """The lists of a meet that are won, and in which somebody has a place by now."""
    for lists in titles(meet).values():
        for held, name in sorted(lists, key=whole_first):
            if any(place for (place, _), _ in told_lines(meet, held, name, subject)):
                yield held, name


def meets(held: Sequence[SeasonMeet], subject: SeasonSubject) -> Iterator[Section]:
    """Each meet: the first of the all-around with their marks, the first of each list."""
    say = subject.wording.say
    many_broken = Counter(
        mark.meet
        for each in all_records(subject.season)
        if each.before is not None
        for mark in each.marks
    )
    for meet in held:
        lists = list(won_lists(meet, subject))
        whole = [one for one, name in lists if name == ALL_AROUND]
        others = [pair for pair in lists if pair[1] != ALL_AROUND]
        most, first = _places(len(whole), len(others))
        tables = _once([_all_around(meet, one, most, subject) for one in whole])
        firsts = tuple(_first(meet, one, name, first, subject) for one, name in others)
        about = (days(meet, subject), meet.place, meet.organiser, state(meet, subject))
        broken = many_broken[meet.id]
        told = subject.language.count(
            "{n} record was broken here.", "{n} records were broken here.", broken
        )
        sentences = ("" if lists else say("Nobody is placed."), told if broken else "")
        section = Section(
            f"meet:{meet.id}", "yearbook", meet.title, meet.title, ", ".join(filter(None, about)),
            say("Meets"), captioned=True, content=Telling(tuple(filter(None, sentences))),
        )  # fmt: skip
        if tables:
            yield replace(section, tables=tables, leads=bool(firsts))
        if firsts:
            title = say("The first of each list")
            more = replace(
                section,
                id=f"{FIRSTS}{meet.id}",
                template="firsts",
                title=title,
                entry=title,
                flows=3,
                content=Telling(),
            )
            yield replace(more if tables else section, tables=firsts, beside="tables")
        if not lists:
            yield section


def _places(whole: int, others: int) -> tuple[int, int]:
    """How many places of each all-around are told, and of each other list.

    Of the others three, or fewer where two pages have no room for them; of an all-around as many,
    and more where there is room on the pages that these take.
    """
    pairs = -(-others // 2)
    heads, rows = TITLE + WHOLE * whole + PAIR * pairs, ROW * (whole + pairs)
    first = next((many for many in (FIRST, 2) if heads + many * rows <= 2 * PAGE), 1)
    room = -(heads + first * rows) % PAGE
    return min(MOST, first + room // (ROW * max(1, whole))), first


def _once(tables: list[Table]) -> tuple[Table, ...]:
    """Each code explained below the first table that has it."""
    told: set[tuple[str, str]] = set()
    found = []
    for table in tables:
        found.append(replace(table, legend=tuple(one for one in table.legend if one not in told)))
        told.update(table.legend)
    return tuple(found)


def _caption(held: ToldCompetition, name: str, subject: SeasonSubject) -> str:
    title = subject.list_title(held, name)
    return title if held.complete else f"{title} ({subject.wording.say('as it stands')})"


def _all_around(
    meet: SeasonMeet, held: ToldCompetition, most: int, subject: SeasonSubject
) -> Table:
    """The first of an all-around, with the mark of each apparatus."""
    say, ranking = subject.wording.say, held.all_around
    assert ranking
    lines = [line for line in ranking.lines if line.place and line.place <= most]
    parts = ranking.parts if not ranking.terms else ()
    columns = (
        place_column(subject.wording),
        Column(say("Gymnast"), "name", width=2.3),
        *(Column(subject.wording.list_name(part), "mark", part, 0.62) for part in parts),
        Column(say("Total"), "total", width=0.8),
    )
    rows = tuple(
        Row(
            (
                Cell(str(line.place)),
                subject.who(
                    subject.career[meet.id, line.entry], subject.people[meet.id, line.entry].club
                ),
                *(_mark(line, number, subject) for number in range(len(parts))),
                Cell(subject.language.mark(line.total)),
            ),
            podium=line.place if line.place and line.place <= FIRST else 0,
        )
        for line in lines
    )
    legend = tuple((part, subject.wording.list_name(part)) for part in parts)
    caption = _caption(held, ALL_AROUND, subject)
    return Table(f"{held.id}-{ALL_AROUND}", caption, columns, rows, legend=legend)


def _mark(line: ToldLine, number: int, subject: SeasonSubject) -> Cell:
    routine: ToldRoutine | None = line.routines[number] if number < len(line.routines) else None
    return Cell(subject.language.mark(routine.mark) if routine else "")


def _first(
    meet: SeasonMeet, held: ToldCompetition, name: str, most: int, subject: SeasonSubject
) -> Table:
    whole = list_table(meet, held, name, subject)
    placed = (row for row in whole.rows if row.cells[0].text.isdecimal())
    rows = tuple(
        row._replace(podium=int(row.cells[0].text))
        for row in placed
        if int(row.cells[0].text) <= most
    )
    return Table(whole.id, _caption(held, name, subject), whole.columns, rows)


# The best marks, and the records


def _made(
    held: Sequence[SeasonMeet], subject: SeasonSubject
) -> Iterator[tuple[Comparable, list[Achieved]]]:
    """The marks of these meets that compare, in order of time."""
    there = {meet.id for meet in held}
    for of in subject.comparable:
        if made := made_in(of, subject.season, there):
            yield of, made


def bests_id(of: Comparable, groups: Collection[str], subject: SeasonSubject) -> str:
    """What leads to the bests of those who compete with each other."""
    return f"bests-{[*groups].index(subject.group(of))}"


def best_marks(held: Sequence[SeasonMeet], subject: SeasonSubject) -> Iterator[Honours]:
    """The highest mark of each list, of all divisions, for the cover."""
    found: dict[str, list[Winner]] = {}
    lists = list(_made(held, subject))
    groups = list(dict.fromkeys(subject.group(of) for of, _ in lists))
    for of, made in lists:
        if not of.division:
            top = max(one.mark for one in made)
            lines = [line for line in best_lines(made, subject.season) if line.best.mark == top]
            who = (
                (subject.name(line.career), "" if line.career.withheld else line.career.key)
                for line in lines
            )
            # Of published folders each row of who is withheld stands by itself, and is said once.
            names = subject.language.listed([name for name, _ in dict.fromkeys(who)])
            clubs = dict.fromkeys(subject.club_of(line.best) for line in lines)
            found.setdefault(subject.group(of), []).append(
                Winner(
                    subject.list_of(of), bests_id(of, groups, subject), names,
                    ", ".join(filter(None, clubs)), subject.language.mark(top),
                )
            )  # fmt: skip
    for group, winners in found.items():
        title = subject.language.headed(subject.wording.say("The highest marks"), group)
        yield Honours(title, "", tuple(winners))


def bests(held: Sequence[SeasonMeet], year: str, subject: SeasonSubject) -> Iterator[Section]:
    """The best of each gymnast in this year, list by list."""
    say = subject.wording.say
    columns = (
        place_column(subject.wording),
        Column(say("Gymnast"), "name", width=2.4),
        Column(say("Meet"), "text", width=2.1),
        Column(say("When"), "text", width=1.2),
        Column(say("Mark"), "total", width=0.8),
    )
    lists = list(_made(held, subject))
    parted = {of.discipline for of, _ in lists if of.division}
    tables: dict[str, list[Table]] = {}
    for number, (of, made) in enumerate(lists):
        most = BEST if of.division or of.discipline not in parted else FIRST
        rows = (
            (
                str(line.place),
                subject.who(line.career, subject.club_of(line.best)),
                Cell(subject.meets[line.best.meet].title, target=f"meet:{line.best.meet}"),
                subject.day(line.best),
                subject.language.mark(line.best.mark),
            )
            for line in best_lines(made, subject.season)
            if line.place <= most
        )
        table = plain_table(f"best-{number}", subject.list_of(of), columns, rows, f"best{number}")
        tables.setdefault(subject.group(of), []).append(table)
    chapter = say("Bests of {year}", year=year)
    for number, (group, own) in enumerate(tables.items()):
        yield Section(
            f"bests-{number}", "yearbook", group, subject.language.headed(chapter, group), "",
            chapter, group, tuple(own), captioned=True, content=Telling(), flows=8,
        )  # fmt: skip


def records(
    held: Sequence[SeasonMeet], earlier: Collection[str], year: str, subject: SeasonSubject
) -> Iterator[Section]:
    """Which records were broken in this year, in order of time, and which there are at its end."""
    say, there = subject.wording.say, {meet.id for meet in held}
    chapter = say("Records")
    broken = [
        each
        for each in reversed(records_in_time(all_records(subject.season), subject))
        if each[0].meet in there and each[1] is not None
    ]
    if broken:
        title = say("Records that were broken in {year}", year=year)
        table = records_told(broken, subject, "broken", title)
        yield Section(
            "records-broken",
            "yearbook",
            title,
            title,
            "",
            chapter,
            title,
            (table,),
            content=Telling(),
        )
    latest: dict[Comparable, RecordSet] = {}
    for one in all_records(subject.season):
        if one.marks[0].meet in earlier:
            latest[one.of] = one
    groups: dict[str, list[RecordSet]] = {}
    for of, one in latest.items():
        groups.setdefault(subject.group(of), []).append(one)
    tables = tuple(
        _standing(f"records-{number}", group, own, subject)
        for number, (group, own) in enumerate(groups.items())
    )
    title = say("Records at the end of {year}", year=year)
    yield Section(
        "records", "yearbook", title, title, "", chapter, title, tables, captioned=True,
        content=Telling(), flows=3,
    )  # fmt: skip


def _standing(id: str, group: str, sets: Sequence[RecordSet], subject: SeasonSubject) -> Table:
    say = subject.wording.say
    columns = (
        Column(say("List"), "text", width=1.4),
        Column(say("Gymnast"), "name", width=2.2),
        Column(say("Meet"), "text", width=1.9),
        Column(say("When"), "text", width=1.1),
        Column(say("Mark"), "total", width=0.8),
    )
    rows = (
        (
            subject.list_of(held.of) if not number else "",
            subject.whose(one),
            Cell(subject.meets[one.meet].title, target=f"meet:{one.meet}"),
            subject.day(one),
            subject.language.mark(one.mark),
        )
        for held in sets
        for number, one in enumerate(held.marks)
    )
    return plain_table(id, group, columns, rows, id)
