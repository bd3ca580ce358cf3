"""The first page, what stands on every page, and the indexes of gymnasts and clubs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import bib_cells, bib_columns, name_cell, name_column
from resultsgen.views.lists.competitions import (
    CompetitionView,
    Link,
    competition_view,
    overview_link,
    status_sentence,
    status_word,
)
from resultsgen.views.lists.lists import narrowable
from resultsgen.views.lists.page_parts import PagePart, by_name, parted
from resultsgen.views.lists.table import Cell, Column, Row, Table, plain_table
from resultsgen.views.people.people import Person, clubs, people
from resultsgen.views.site.addresses import club_target, logo_on_pages
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class MeetView:
    """The meet as every page names it."""

    title: str
    dates: str
    where: str
    organiser: str
    official: bool
    status: str
    status_sentence: str
    published: str
    cautions: tuple[str, ...]
    """What the reader must know."""
    competitions: tuple[Link, ...]
    language: str
    logo: str
    noindex: bool
    bibs_worn: bool
    """Whether anything is to be found by its bib."""


@dataclass(frozen=True)
class Stage:
    """The competitions that are equally far: under way, to come, or finished."""

    heading: str
    kind: str
    """going, ahead or done."""
    competitions: tuple[tuple[Link, str], ...]
    """Each with when it is, or what it still lacks; nothing where it is finished."""


@dataclass(frozen=True)
class HomeView:
    """Stages of the meet, and all its competitions in their order."""

    stages: tuple[Stage, ...]
    competitions: tuple[CompetitionView, ...]


def meet_view(results: Results, wording: Wording) -> MeetView:
    """Title, dates, status and cautions."""
    settings, language, say = results.meet.settings, wording.language, wording.say
    moment, logo = settings.printed_time, settings.logo in results.meet.assets
    cautions = [say("The rules of the sanctioning body and the decisions of the jury prevail.")]
    if not all(gymnast.published for gymnast in results.gymnasts.values()):
        cautions.append(
            say(
                "Where a name is withheld, the bib stands for it; the place is right all the same."
                if wording.bibs_worn
                else "Where a name is withheld, a number stands for it; the place is right all the "
                "same."
            )
        )
    return MeetView(
        title=settings.title,
        dates=language.dates(settings.dates),
        where=", ".join(dict.fromkeys(filter(None, (settings.venue, settings.place)))),
        organiser=settings.organiser,
        official=settings.status.state == "official",
        status=status_word(settings.status, wording),
        status_sentence=status_sentence(settings.status, wording),
        published=f"{language.date(moment.date())}, {moment:%H:%M}" if moment else "",
        cautions=tuple(cautions),
        competitions=tuple(map(overview_link, results.competitions)),
        language=language.code,
        logo=f"asset:{logo_on_pages(results.meet)}" if logo else "",
        noindex=not settings.privacy.search_engines,
        bibs_worn=wording.bibs_worn,
    )


def home_view(results: Results, places: int, wording: Wording) -> HomeView:
    """The first page, with the first *places* of each list that it shows."""
    views = tuple(
        competition_view(results, judged, places, wording) for judged in results.competitions
    )
    going = [(view, view.state) for view in views if view.started and not view.complete]
    stages = (
        (wording.say("Under way"), "going", going),
        (
            wording.say("To come"),
            "ahead",
            [(each, each.when) for each in views if not each.started],
        ),
        (wording.say("Finished"), "done", [(view, "") for view in views if view.complete]),
    )
    made = (
        Stage(heading, kind, tuple((Link(view.title, view.target), words) for view, words in held))
        for heading, kind, held in stages
        if held
    )
    return HomeView(tuple(made), views)


def index_parts(table: Table, wording: Wording) -> Iterator[tuple[PagePart, Table]]:
    """An index part by part; one where all of it fits."""
    return parted(table, (table,), lambda held, _: held[0].table, partial(by_name, wording=wording))


def gymnasts_table(results: Results, wording: Wording) -> Table:
    """Everybody in the meet by name: bib, club, competitions."""
    say, persons = wording.say, people(results)
    columns = (
        *bib_columns(wording),
        name_column(False, wording),
        Column(say("Club"), "text", width=2),
        Column(say("Competitions"), "text", width=2),
    )
    entered: dict[int, list[str]] = {}
    for judged in results.competitions:
        for start in judged.starts:
            entered.setdefault(start.gymnast.key, []).append(judged.competition.title)
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
    """Every club by name: federation, how many gymnasts."""
    columns = (
        Column(wording.say("Club"), "name", width=2.6),
        Column(wording.say("Federation"), "text"),
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
    rows = (
        (Cell(club, target=club_target(club)), ", ".join(federations[club]), str(len(persons)))
        for club, persons in members.items()
    )
    caption = wording.language.count("{n} club", "{n} clubs", len(members))
    return plain_table("clubs", caption, columns, rows, "club", 1)
