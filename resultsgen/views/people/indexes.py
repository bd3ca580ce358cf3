"""Everybody of the meet, and every club, by name."""

from __future__ import annotations

from resultsgen.scoring.medals import medals_of_clubs
from resultsgen.scoring.results import Results
from resultsgen.views.handouts.medals import has_medals, medal_columns
from resultsgen.views.lists.cells import bib_cells, bib_columns, name_cell, name_column
from resultsgen.views.lists.lists import narrowable
from resultsgen.views.lists.table import Cell, Column, Row, Table, plain_table
from resultsgen.views.people.people import Person, clubs, people
from resultsgen.views.site.addresses import club_target
from resultsgen.views.site.board import group_of, group_titles
from resultsgen.views.words.alphabet import Alphabets, letters
from resultsgen.views.words.wording import Wording


def initials(results: Results) -> Alphabets:
    """The letters that names of gymnasts begin with."""
    everybody = (person.gymnast for person in people(results))
    return letters(
        (who.family or who.given, f"gymnast-{who.key}") for who in everybody if who.published
    )


def gymnasts_table(results: Results, wording: Wording) -> Table:
    """Everybody in the meet by name: bib, club, what the competitions have in common."""
    say, persons, groups = wording.say, people(results), group_titles(results, wording)
    columns = (
        *bib_columns(wording),
        name_column(False, wording),
        Column(say("Club"), "text", width=2),
        Column(say("Competitions"), "text", width=2),
    )
    entered: dict[int, list[str]] = {}
    for judged in results.competitions:
        title, common = wording.called(judged.competition.title), groups[group_of(judged, results)]
        for start in judged.starts:
            told = common if title.startswith(common) else title
            entered.setdefault(start.gymnast.key, []).append(told)
    rows = []
    for person in persons:
        who, club = person.gymnast, person.gymnast.club
        titles = (title for entry in person.entries for title in entered.get(entry.key, ()))
        cells = (
            *bib_cells(who, wording),
            name_cell(who, wording)._replace(sub=who.federation),
            Cell(club, target=club_target(club) if club else ""),
            Cell(" · ".join(dict.fromkeys(titles))),
        )
        rows.append(Row(cells, id=f"gymnast-{who.key}"))
    caption = wording.language.count("{n} gymnast", "{n} gymnasts", len(persons))
    table = Table("gymnasts", caption, columns, tuple(rows))
    return narrowable(table, [person.gymnast for person in persons], wording)


def clubs_table(results: Results, wording: Wording) -> Table:
    """Every club by name, with its medals where the meet counts them, and how many gymnasts."""
    won = medals_of_clubs(results) if has_medals(results) else {}
    columns = (
        Column(wording.say("Club"), "name", width=2.6),
        *(medal_columns(wording) if won else ()),
        Column(wording.say("Gymnasts"), "number", width=0.8),
    )
    members: dict[str, list[Person]] = {club: [] for club in clubs(results)}
    for person in people(results):
        for club in person.clubs:
            members[club].append(person)
    federations = {
        club: dict.fromkeys(filter(None, (person.gymnast.federation for person in persons)))
        for club, persons in members.items()
    }
    rows: list[tuple[Cell | str, ...]] = []
    for club, persons in members.items():
        medals = map(str, won.get(club, (0, 0, 0)) if won else ())
        name = Cell(club, ", ".join(federations[club]), target=club_target(club))
        rows.append((name, *(number.lstrip("0") for number in medals), str(len(persons))))
    caption = wording.language.count("{n} club", "{n} clubs", len(members))
    return plain_table("clubs", caption, columns, rows, "club", 1)
