"""The book of one club: what its page tells, as tables for paper."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.views.lists.cells import place_column
from resultsgen.views.lists.sections import BookSubject, Section
from resultsgen.views.lists.table import Column, Table, plain_table
from resultsgen.views.people.clubs import ClubEntry, ClubView, narrowed_table
from resultsgen.views.words.wording import Wording


def the_club(subject: BookSubject) -> Iterator[Section]:
    """A club: what it did in the whole meet, then all its marks by competition."""
    club, wording = subject.club, subject.wording
    if club is None:
        return
    say = wording.say
    if tables := tuple(table for table in glance_tables(club, wording) if table.rows):
        yield Section(
            "glance", "list", say("At a glance"), club.name, club.gymnasts, club.name,
            tables=tables, captioned=True,
        )  # fmt: skip
    if club.chapters:
        columns = (Column(say("List"), "name", width=2.4), Column(say("Fact"), "text", width=5))
        facts = ((fact.about, fact.sentence) for chapter in club.chapters for fact in chapter.facts)
        title = say("Worth telling")
        table = plain_table("facts", title, columns, facts, "fact")
        yield Section("telling", "list", title, club.name, chapter=club.name, tables=(table,))
    for number, entry in enumerate(club.entries, start=1):
        name = entry.title.text
        yield Section(
            f"entry-{number}", "list", name, f"{club.name} · {name}", entry.when, club.name,
            tables=entry_tables(entry, wording), captioned=True,
        )  # fmt: skip


def glance_tables(club: ClubView, wording: Wording) -> Iterator[Table]:
    """The places among the first three, the finals reached, and the best marks."""
    say, listed = wording.say, wording.language.listed
    columns: tuple[Column, ...] = (
        place_column(wording),
        Column(say("Name"), "name", width=2.2),
        Column(say("Total"), "total"),
        Column(say("List"), "text", width=1.6),
        Column(say("Competition"), "text", width=2.2),
    )
    places = (
        (each.place, each.name, each.total, each.list.text, each.competition)
        for each in club.placings
    )
    yield plain_table("places", say("First three places"), columns, places, "place")
    columns = (
        Column(say("Final"), "name", width=2.6),
        Column(say("Starts"), "text", width=2.6),
        Column(say("In reserve"), "text", width=2.2),
    )
    finals = (
        (each.title.text, listed(each.starting), listed(each.waiting)) for each in club.finals
    )
    yield plain_table("finals", say("In the finals"), columns, finals, "final")
    columns = (
        Column(say("Apparatus"), "name", width=1.8),
        Column(say("Mark"), "total", width=0.9),
        Column(say("Gymnast"), "text", width=2.4),
        Column(say("Competition"), "text", width=2.3),
    )
    best = ((each.apparatus, each.mark, each.names, each.competition) for each in club.best_marks)
    yield plain_table("best-marks", say("Best marks"), columns, best, "best")


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
