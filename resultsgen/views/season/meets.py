"""The meets of a season: all of them by time, and each with its winners or its lists."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.season.bests import Comparable
from resultsgen.season.facts import ALL_AROUND, Achieved, SeasonMeet, told_lists
from resultsgen.season.records import Among
from resultsgen.season.told import ToldCompetition, ToldLine
from resultsgen.views.lists.places import place_column
from resultsgen.views.lists.table import Cell, Column, Row, Table, plain_table
from resultsgen.views.season.bests import with_legend
from resultsgen.views.season.page import SeasonText, SeasonView
from resultsgen.views.season.subject import OF_A_MEET, SeasonSubject, titles
from resultsgen.views.site.addresses import Link
from resultsgen.views.site.honours import BoardColumn, BoardLine, heading


def meets_table(subject: SeasonSubject) -> Table:
    """Every meet that has a page, the newest first."""
    columns = (
        *_columns(subject),
        Column(subject.wording.say("Gymnasts"), "number", width=0.8),
    )
    meets = subject.season.facts.meets
    rows = (
        (
            Cell(days(meet, subject), by=meet.first.isoformat()),
            Cell(meet.title, state(meet, subject), target=f"meet:{meet.id}"),
            meet.place,
            str(len(meet.head.gymnasts)),
        )
        for meet in reversed(meets)
    )
    caption = subject.language.count("{n} meet", "{n} meets", len(meets))
    return plain_table("meets", caption, columns, rows, "meet")


def _columns(subject: SeasonSubject) -> tuple[Column, ...]:
    """When, which and where a meet is."""
    say = subject.wording.say
    return (
        Column(say("When"), "text"),
        Column(say("Meet"), "name", width=2.6),
        Column(say("Town"), "text"),
    )


def all_meets_table(subject: SeasonSubject) -> Table:
    """The meets of the calendar that are to come, and every other."""
    coming, held = subject.season.settings.calendar, meets_table(subject)
    planned = sorted((one for one in coming if one.id not in subject.meets), key=lambda o: o.dates)
    rows = (
        Row(
            (
                Cell(subject.language.dates(one.dates), by=one.dates[0].isoformat()),
                Cell(one.title, subject.wording.say("To come")),
                Cell(one.place),
                Cell(""),
            ),
            id=f"planned-{number}",
        )
        for number, one in enumerate(reversed(planned))
    )
    return replace(held, rows=(*rows, *held.rows))


def calendar_table(subject: SeasonSubject) -> Table:
    """The meets to come, the next first: those of the calendar, and those without a mark."""
    coming = [
        (meet.first, (days(meet, subject), Cell(meet.title, target=f"meet:{meet.id}"), meet.place))
        for meet in subject.season.facts.meets
        if meet.id not in subject.season.facts.with_marks
    ]
    coming += [
        (one.dates[0], (subject.language.dates(one.dates), Cell(one.title), one.place))
        for one in subject.season.settings.calendar
        if one.id not in subject.meets
    ]
    rows = (cells for _, cells in sorted(coming, key=lambda each: each[0]))
    title = subject.wording.say("To come")
    return plain_table("to-come", title, _columns(subject), rows, "coming")


def days(meet: SeasonMeet, subject: SeasonSubject) -> str:
    """When a meet is or was."""
    return subject.language.dates((meet.first, meet.last))


def state(meet: SeasonMeet, subject: SeasonSubject) -> str:
    """What is to be said while a meet is not over, or not signed."""
    say = subject.wording.say
    if not meet.complete:
        return say("Marks are still to come")
    return "" if meet.official else say("Provisional")


def meet_view(meet: SeasonMeet, subject: SeasonSubject) -> SeasonView:
    """A meet: its winners where its own site has the lists, else the lists."""
    say, site = subject.wording.say, subject.sites.get(meet.id)
    facts = (days(meet, subject), meet.place, meet.organiser, state(meet, subject))
    texts = _texts(meet, subject)
    whole = None
    if site:
        target = f"{OF_A_MEET}{site.root}{subject.in_language(site, 'index.html')}"
        whole = Link(say("Everything about this meet"), target)
    return SeasonView(
        meet.title,
        f"meet:{meet.id}",
        tuple(texts),
        (Link(say("Meets"), "page:meets"),),
        tuple(filter(None, facts)),
        whole=whole,
        board=board(meet, subject),
    )


def _texts(meet: SeasonMeet, subject: SeasonSubject) -> Iterator[SeasonText]:
    say = subject.wording.say
    broken = _records(meet, subject)
    if broken.rows:
        yield SeasonText(say("Records set here"), broken)
    near = beside(meet, subject)
    if near.rows:
        yield SeasonText(near.caption, near)
    if meet.id not in subject.sites:
        for held in meet.results.competitions:
            for name in told_lists(held):
                title = subject.list_title(held, name)
                yield SeasonText(title, list_table(meet, held, name, subject))


def beside(meet: SeasonMeet, subject: SeasonSubject) -> Table:
    """The meets before and after, by date."""
    meets, say = subject.season.facts.meets, subject.wording.say
    at = meets.index(meet)
    near = (
        (say("the meet before"), meets[at - 1] if at else None),
        (say("the meet after"), meets[at + 1] if at + 1 < len(meets) else None),
    )
    rows = (
        (days(one, subject), Cell(one.title, word, target=f"meet:{one.id}"), one.place)
        for word, one in near
        if one
    )
    return plain_table("beside", say("Before and after"), _columns(subject), rows, "beside")


def board(meet: SeasonMeet, subject: SeasonSubject) -> tuple[BoardColumn, ...]:
    """Who won each title, a column for each group of those who compete with each other."""
    return tuple(
        BoardColumn(
            heading(list(dict.fromkeys(held.title for held, _ in lines))),
            tuple(
                _line(meet, held, name, subject) for held, name in sorted(lines, key=whole_first)
            ),
        )
        for lines in titles(meet).values()
    )


def whole_first(line: tuple[ToldCompetition, str]) -> int:
    """The all-around, then the team, then each apparatus."""
    order = (ALL_AROUND, "team")
    return order.index(line[1]) if line[1] in order else len(order)


def _line(meet: SeasonMeet, held: ToldCompetition, name: str, subject: SeasonSubject) -> BoardLine:
    first, total = [], None
    for line, who in told_lines(meet, held, name, subject):
        if line[0] == 1:
            first.append(who)
            total = line[1]
    return BoardLine(
        Link(
            subject.wording.list_name(name), subject.row_target(meet.id, held.id, name),
            "" if name in (ALL_AROUND, "team") else name,
        ),
        name == ALL_AROUND,
        tuple(Link(who.text, who.target) for who in first),
        subject.language.mark(total) if first else "",
        _open(held, subject) if not held.complete or not first else "",
        "",
    )  # fmt: skip


def _open(held: ToldCompetition, subject: SeasonSubject) -> str:
    say = subject.wording.say
    return say("Nobody is placed.") if held.complete else say("as it stands")


def told_lines(
    meet: SeasonMeet, held: ToldCompetition, name: str, subject: SeasonSubject
) -> Iterator[tuple[tuple[int | None, int | None], Cell]]:
    """The lines of a list: place and total, and whose each is."""
    if name == "team" and held.team:
        for team in held.team.lines:
            yield (team.place, team.total), subject.body(team.name)
        return
    for line in lines_of(held, name):
        career = subject.career[meet.id, line.entry]
        club = subject.people[meet.id, line.entry].club
        yield (line.place, line.total), subject.who(career, club)


def lines_of(held: ToldCompetition, name: str) -> tuple[ToldLine, ...]:
    """The lines of a list of gymnasts."""
    rankings = (held.all_around, *held.by_apparatus)
    return next(
        (one.lines for one in rankings if one and (one.apparatus or ALL_AROUND) == name), ()
    )


def _records(meet: SeasonMeet, subject: SeasonSubject) -> Table:
    """The records that were broken at a meet; the first of a list is no news.

    One of all meets is one of the event and the series, too, and told once.
    """
    say, mark = subject.wording.say, subject.language.mark
    own = {group: sets for group, sets in subject.records.items() if meet.id in group.meets}
    columns = (
        Column(say("List"), "text", width=2),
        Column(say("Gymnast"), "name", width=2),
        Column(say("Mark"), "total"),
        *((Column(say("Record of"), "text"),) if len(own) > 1 else ()),
    )
    found: dict[tuple[Achieved, Comparable], tuple[int, Cell]] = {}
    for group, sets in own.items():
        whose = _whose(group, subject)
        for held in sets:
            for one in held.marks:
                if one.meet == meet.id and held.before is not None:
                    found.setdefault((one, held.of), (held.before, whose))
    told: dict[tuple[Achieved, str, int, Cell], list[str]] = {}
    for (one, of), (before, whose) in found.items():
        lists = told.setdefault((one, subject.list_of(of), before, whose), [])
        lists.append(subject.group(of))
    rows = (
        (
            Cell(name, "; ".join(lists)),
            subject.whose(one),
            Cell(mark(one.mark), mark(before)),
            *((whose,) if len(own) > 1 else ()),
        )
        for (one, name, before, whose), lists in told.items()
    )
    table = plain_table("records", say("Records set here"), columns, rows, "record")
    return with_legend(table, subject)


def _whose(group: Among, subject: SeasonSubject) -> Cell:
    say = subject.wording.say
    if group.kind == "all meets":
        return Cell(say("all meets"), target="page:records")
    if group.kind == "series":
        return Cell(group.title, target=f"series:{group.id}")
    return Cell(say("this meet, over the years"), target="page:records")


def list_table(meet: SeasonMeet, held: ToldCompetition, name: str, subject: SeasonSubject) -> Table:
    """A whole list, for a meet whose own site is not known."""
    say, mark = subject.wording.say, subject.language.mark
    title = subject.list_title(held, name)
    columns = (
        place_column(subject.wording),
        Column(say("Team") if name == "team" else say("Gymnast"), "name", width=2.6),
        Column(say("Total") if name in (ALL_AROUND, "team") else say("Mark"), "total"),
    )
    rows = (
        Row((Cell(str(place or "–")), who, Cell(mark(total))), "ranked" if place else "unranked")
        for (place, total), who in told_lines(meet, held, name, subject)
    )
    return Table(f"{held.id}-{name}", title, columns, tuple(rows))
