"""The index of gymnasts and the index of clubs."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.lists import narrowable
from resultsgen.views.lists.page_parts import PagePart, by_name, parted
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.people.people import Person, clubs, people
from resultsgen.views.site.addresses import club_target
from resultsgen.views.words.wording import Wording


def index_parts(table: Table, wording: Wording) -> Iterator[tuple[PagePart, Table]]:
    """An index part by part; one where all of it fits."""
    return parted(table, (table,), lambda held, _: held[0].table, partial(by_name, wording=wording))


def gymnasts_table(results: Results, wording: Wording) -> Table:
    """Everybody in the meet by name: bib, club, competitions."""
    persons = people(results)
    columns = (
        Column(wording.say("Bib"), "text", width=0.5),
        Column(wording.say("Gymnast"), "name", width=2.6),
        Column(wording.say("Club"), "text", width=2),
        Column(wording.say("Competitions"), "text", width=2),
    )
    entered: dict[int, list[str]] = {}
    for one in results.competitions:
        for start in one.starts:
            entered.setdefault(start.gymnast.key, []).append(one.competition.title)
    rows = tuple(_gymnast_row(person, entered, wording) for person in persons)
    caption = wording.language.count("{n} gymnast", "{n} gymnasts", len(persons))
    table = Table("gymnasts", caption, columns, rows)
    return narrowable(table, [person.gymnast for person in persons], wording)


def _gymnast_row(person: Person, entered: dict[int, list[str]], wording: Wording) -> Row:
    gymnast = person.gymnast
    titles = (title for entry in person.entries for title in entered.get(entry.key, ()))
    cells = (
        Cell(gymnast.bib),
        Cell(shown_name(gymnast, wording), gymnast.federation, target=person.target),
        Cell(gymnast.club, target=club_target(gymnast.club) if gymnast.club else ""),
        Cell(" · ".join(dict.fromkeys(titles))),
    )
    return Row(cells, id=f"gymnast-{gymnast.key}")


def clubs_table(results: Results, wording: Wording) -> Table:
    """Every club by name: federation, how many gymnasts."""
    columns = (
        Column(wording.say("Club"), "name", width=2.6),
        Column(wording.say("Federation"), "text"),
        Column(wording.say("Gymnasts"), "number", width=0.8),
    )
    of_club: dict[str, list[Person]] = {}
    for person in people(results):
        for club in person.clubs:
            of_club.setdefault(club, []).append(person)
    rows = tuple(
        _club_row(number, club, of_club[club])
        for number, club in enumerate(clubs(results), start=1)
    )
    caption = wording.language.count("{n} club", "{n} clubs", len(rows))
    return Table("clubs", caption, columns, rows)


def _club_row(number: int, club: str, persons: list[Person]) -> Row:
    federations = dict.fromkeys(one.gymnast.federation for one in persons if one.gymnast.federation)
    cells = (
        Cell(club, target=club_target(club)),
        Cell(", ".join(federations)),
        Cell(str(len(persons))),
    )
    return Row(cells, id=f"club-{number}")
