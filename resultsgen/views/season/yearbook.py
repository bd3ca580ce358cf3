"""The yearbook of a season: for which years there is one, and what stands in it, in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.files.cache import key_of
from resultsgen.language import MINUS
from resultsgen.meet.settings import Status
from resultsgen.season.bests import records as all_records
from resultsgen.season.facts import ALL_AROUND
from resultsgen.season.season import Season
from resultsgen.season.series import SeriesTable
from resultsgen.season.settings import TEAM
from resultsgen.views.lists.book_frame import in_two_columns
from resultsgen.views.lists.competitions import status_title
from resultsgen.views.lists.sections import (
    CONTENTS,
    INDEX,
    Cover,
    Honours,
    Indexed,
    Section,
    Telling,
    Winner,
    contents_entries,
    gymnast_of,
    gymnast_rows,
    index_sections,
)
from resultsgen.views.lists.table import Cell, Column, Row, plain_table
from resultsgen.views.season.gymnasts import by_name
from resultsgen.views.season.meets import state, told_lines
from resultsgen.views.season.page import SeasonText, SeasonView
from resultsgen.views.season.series import first_of_series, qualification_view, series_view
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.views.season.yearbook_marks import (
    FIRSTS,
    best_marks,
    bests,
    meets,
    records,
    won_lists,
)
from resultsgen.views.season.years import SeasonYear, yearbook_title
from resultsgen.views.words.alphabet import folded

GAINED = {ord("↑"): "+", ord("↓"): MINUS}
"""No theme's font has the arrows of the pages; with one of the machine a book takes long."""

OVER_MEETS = ("series:", "qualification:")
"""The sections of these have no line of their own in the contents."""

MANY = 4
"""A table of a series with more columns takes the whole measure."""


def drawn_on(year: SeasonYear, subject: SeasonSubject) -> str:
    """What tells all that a yearbook shows from how it was before, and is known without it."""
    season = subject.season
    views = map(repr, _of_year(year, subject))
    held = (
        (one.of, one.before, each.mark, each.day, subject.meets[each.meet].title,
         subject.name(subject.career[each.meet, each.entry]), subject.club_of(each))
        for one in all_records(season) if one.marks[0].meet in year.earlier
        for each in one.marks
    )  # fmt: skip
    series = repr(series_of(year, season))
    lists = repr((list(subject.comparable), subject.rule_titles, season.facts.apparatus))
    meets = (season.drawn_on[meet.id] for meet in year.meets)
    return key_of(*meets, lists, series, repr(list(held)), *views)


def yearbook(year: SeasonYear, subject: SeasonSubject) -> tuple[Section, ...]:
    """All sections of a yearbook; contents and index tell of the others."""
    title = subject.wording.say("Contents")
    contents = Section(CONTENTS, "contents", title, title, leads=True)
    told = (
        *_champions(year, subject),
        *_over_meets(year, subject),
        *meets(year.meets, subject),
        *bests(year.meets, year.title, subject),
        *records(year.meets, year.earlier, year.title, subject),
    )
    whole = (_cover(year, subject), contents, *told, *_indexes(told, subject))
    entries = tuple(
        one
        for one in contents_entries(whole)
        if one.depth == 1 or not one.target.startswith((*OVER_MEETS, FIRSTS))
    )
    return tuple(replace(one, content=entries) if one is contents else one for one in whole)


def _cover(year: SeasonYear, subject: SeasonSubject) -> Section:
    """The season at a glance: when, whose, how many, who won the series, and the highest marks."""
    settings, count = subject.season.settings, subject.language.count
    there = {meet.id for meet in year.meets}
    rows = [row for row in subject.people if row[0] in there]
    marks = sum(subject.season.facts.made[meet].many for meet in there)
    many = (
        count("{n} meet", "{n} meets", len(year.meets)),
        count("{n} gymnast", "{n} gymnasts", subject.season.many(rows)),
        count("{n} club", "{n} clubs", len({subject.people[row].club for row in rows} - {""})),
        count("{n} mark", "{n} marks", marks),
    )
    when = subject.language.dates((year.meets[0].first, max(meet.last for meet in year.meets)))
    going_on = (
        subject.language.headed(meet.title, state(meet, subject))
        for meet in year.meets
        if not meet.complete
    )
    content = Cover(
        yearbook_title(year, subject),
        tuple(filter(None, (when, settings.organiser, " · ".join(many)))),
        "",
        "",
        status_title(Status(state=year.state), subject.wording),
        tuple(going_on),
        tuple(in_two_columns((*_series_winners(year, subject), *best_marks(year.meets, subject)))),
    )
    return Section("cover", "cover", settings.title, "", content=content)


def _series_winners(year: SeasonYear, subject: SeasonSubject) -> Iterator[Honours]:
    """Who is first of each series, and how far it is."""
    winners = []
    for held in series_of(year, subject.season):
        one = first_of_series(held, subject)
        first = [row for row in one.rows if row[0] == "1"]
        if first:
            names = subject.language.listed([who.text for _, who, _ in first])
            clubs = dict.fromkeys(who.sub for _, who, _ in first if who.sub)
            winners.append(Winner(one.title, one.target, names, ", ".join(clubs), first[0][2]))
    if winners:
        yield Honours(subject.wording.say("Series"), "", tuple(winners))


def series_of(year: SeasonYear, season: Season) -> tuple[SeriesTable, ...]:
    """The series with a round in this year."""
    return tuple(one for one in season.series if _is_of(year, one))


def _is_of(year: SeasonYear, held: SeriesTable) -> bool:
    there = {meet.id for meet in year.meets}
    return bool(held.lines) and any(one.meet in there for one in held.rounds)


def _of_year(year: SeasonYear, subject: SeasonSubject) -> Iterator[SeasonView]:
    """The tables over several meets with a round in this year."""
    for one in series_of(year, subject.season):
        yield series_view(one, subject)
    for each in subject.season.qualifications:
        if _is_of(year, each.ranking):
            yield qualification_view(each, subject)


def _over_meets(year: SeasonYear, subject: SeasonSubject) -> Iterator[Section]:
    """Each series and qualification: its table, how it went, how ties were broken, its rules."""
    for view in _of_year(year, subject):
        texts = [one for one in view.texts if not (one.table and one.table.id == "records")]
        for number, text in enumerate(sorted(texts[1:], key=_in_half), start=1):
            texts[number] = text
        for number, text in enumerate(texts):
            section = Section(
                f"{view.target}/{number}" if number else view.target, "yearbook", text.title,
                view.title, "" if number else ", ".join(view.facts), view.title, text.title,
                content=Telling(text.sentences, text.chart), flows=3,
            )  # fmt: skip
            if table := text.table:
                columns = table.columns
                if table.id == "rounds":  # In half the measure its heading needs more room.
                    columns = (columns[0]._replace(kind="text"), *columns[1:])
                rows = tuple(_printed(row) for row in table.rows)
                section = replace(section, tables=(replace(table, columns=columns, rows=rows),))
            half = number and _in_half(text)
            yield replace(section, beside="sections") if half else section


def _printed(row: Row) -> Row:
    """A row whose places gained or lost are told by signs that every font has."""
    cells = (cell._replace(text=cell.text.translate(GAINED)) for cell in row.cells)
    return row._replace(cells=tuple(cells))


def _in_half(text: SeasonText) -> bool:
    """It needs but half of the measure."""
    return not text.table or len(text.table.columns) <= MANY


def _champions(year: SeasonYear, subject: SeasonSubject) -> Iterator[Section]:
    """Who won the all-around and the team title of each meet; else whatever was won there."""
    say = subject.wording.say
    columns = (
        Column(say("When"), "text", width=1.1),
        Column(say("Meet"), "text", width=1.7),
        Column(say("List"), "text", width=1.7),
        Column(say("Winner"), "name", width=2.2),
        Column(say("Mark"), "total", width=0.7),
    )
    rows: list[tuple[Cell | str, ...]] = []
    for meet in year.meets:
        lists = list(won_lists(meet, subject))
        chief = [pair for pair in lists if pair[1] in (ALL_AROUND, TEAM)] or lists
        before: tuple[Cell, ...] = (
            Cell(subject.language.date(meet.last)),
            Cell(meet.title, target=f"meet:{meet.id}"),
        )
        for held, name in chief:
            for (place, total), who in told_lines(meet, held, name, subject):
                if place == 1:
                    title = subject.list_title(held, name)
                    rows.append((*before, title, who, subject.language.mark(total)))
                    before = (Cell(""), Cell(""))
    title = say("Champions")
    table = plain_table("champions", title, columns, rows, "champion")
    yield Section("champions", "yearbook", title, title, tables=(table,), content=Telling())


def _indexes(told: tuple[Section, ...], subject: SeasonSubject) -> Iterator[Section]:
    """Clubs, each with where it is first told in each part, and gymnasts with all their rows."""
    of_people: dict[str, list[str]] = {}
    bodies: dict[str, dict[str, None]] = {}
    of_clubs: dict[str, dict[str, str]] = {}
    for section in told:
        rows = (row for table in section.tables for row in table.rows if gymnast_of(row))
        for (gymnast, anchor), row in zip(gymnast_rows(section), rows, strict=True):
            of_people.setdefault(gymnast, []).append(anchor)
            club = next(cell.sub for cell in row.cells if cell.target == gymnast)
            bodies.setdefault(gymnast, {})[club] = None
            of_clubs.setdefault(club, {}).setdefault(section.id, anchor)
    careers = by_name(one for one in subject.season.careers if f"person:{one.key}" in of_people)
    people = tuple(
        Indexed(
            subject.name(one), one.family or one.given, "",
            ", ".join(filter(None, bodies[target])), "", tuple(of_people[target]),
        )
        for one in careers
        for target in [f"person:{one.key}"]
    )  # fmt: skip
    clubs = tuple(
        Indexed(club, club, "", "", "", tuple(of_clubs[club].values()))
        for club in sorted(of_clubs, key=lambda one: (folded(one), one))
        if club
    )
    say = subject.wording.say
    for id, title, entries in (
        ("clubs", say("Index of clubs"), clubs), (INDEX, say("Index of gymnasts"), people),
    ):  # fmt: skip
        if entries:
            index = Section(id, "index", title, title, leads=id != INDEX)
            yield from index_sections(index, entries, subject.wording)
