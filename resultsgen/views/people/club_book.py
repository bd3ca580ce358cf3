"""The book of one club: what its page tells, as tables for paper."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.people.clubs import ClubEntry, ClubView, narrowed_table
from resultsgen.views.words.wording import Wording


def glance_tables(club: ClubView, wording: Wording) -> Iterator[Table]:
    """The places among the first three, the finals reached, and the best marks."""
    made = (
        _placings(club, wording),
        _finals(club, wording),
        _best_marks(club, wording),
    )
    return (table for table in made if table.rows)


def entry_tables(entry: ClubEntry, wording: Wording) -> tuple[Table, ...]:
    """The club's rows of the lists of a competition.

    Where the gymnasts have a list of their own, teams are a row each: no mark is told twice.
    """
    if len(entry.tables) == 1:
        return entry.tables
    return tuple(
        narrowed_table(table, tuple(row for row in table.rows if row.kind != "member"), wording)
        for table in entry.tables
    )


def told_table(club: ClubView, wording: Wording) -> Table:
    """What is worth telling of the club."""
    say = wording.say
    columns = (Column(say("List"), "name", width=2.4), Column(say("Fact"), "text", width=5))
    facts = [fact for chapter in club.chapters for fact in chapter.facts]
    rows = tuple(
        Row((Cell(fact.about), Cell(fact.sentence)), id=f"fact-{number}")
        for number, fact in enumerate(facts)
    )
    return Table("facts", say("Worth telling"), columns, rows)


def _placings(club: ClubView, wording: Wording) -> Table:
    say = wording.say
    columns = (
        Column(say("Place"), "place", say("Pl."), width=0.5),
        Column(say("Name"), "name", width=2.2),
        Column(say("Total"), "total"),
        Column(say("List"), "text", width=1.6),
        Column(say("Competition"), "text", width=2.2),
    )
    rows = tuple(
        Row(
            (
                Cell(one.place),
                Cell(one.name),
                Cell(one.total),
                Cell(one.list.text),
                Cell(one.competition),
            ),
            id=f"place-{number}",
        )
        for number, one in enumerate(club.placings)
    )
    return Table("places", say("First three places"), columns, rows)


def _finals(club: ClubView, wording: Wording) -> Table:
    say = wording.say
    columns = (
        Column(say("Final"), "name", width=2.6),
        Column(say("Starts"), "text", width=2.6),
        Column(say("In reserve"), "text", width=2.2),
    )
    rows = tuple(
        Row(
            (
                Cell(one.title.text),
                Cell(wording.language.listed(one.starting)),
                Cell(wording.language.listed(one.waiting)),
            ),
            id=f"final-{number}",
        )
        for number, one in enumerate(club.finals)
    )
    return Table("finals", say("In the finals"), columns, rows)


def _best_marks(club: ClubView, wording: Wording) -> Table:
    say = wording.say
    columns = (
        Column(say("Apparatus"), "name", width=1.8),
        Column(say("Mark"), "total", width=0.9),
        Column(say("Gymnast"), "text", width=2.4),
        Column(say("Competition"), "text", width=2.3),
    )
    rows = tuple(
        Row(
            (Cell(one.apparatus), Cell(one.mark), Cell(one.names), Cell(one.competition)),
            id=f"best-{number}",
        )
        for number, one in enumerate(club.best_marks)
    )
    return Table("best-marks", say("Best marks"), columns, rows)
