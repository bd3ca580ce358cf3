"""A club's page in a season: who started for it, its best places and its best marks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from resultsgen.season.bests import Comparable, comparable
from resultsgen.season.facts import ALIKE, Achieved
from resultsgen.season.season import Career
from resultsgen.views.lists.table import Cell, Column, Table, plain_table
from resultsgen.views.season.gymnasts import by_name
from resultsgen.views.season.page import SeasonText, SeasonView
from resultsgen.views.season.series_places import in_series
from resultsgen.views.season.subject import SeasonSubject, years_of
from resultsgen.views.site.addresses import Link, club_target

FIRST = 3
"""So many places are told of a club."""


def club_view(club: str, subject: SeasonSubject) -> SeasonView:
    """The page of a club."""
    made = subject.made_for(club)
    careers = {subject.career[row].row: subject.career[row] for row in subject.by_club[club]}
    placed = [
        one
        for one in made
        if one.place and one.place <= FIRST and one.list in subject.won[one.meet, one.competition]
    ]
    return _view(club, list(careers.values()), made, placed, subject)


def _view(
    club: str,
    careers: Sequence[Career],
    made: Sequence[Achieved],
    placed: Sequence[Achieved],
    subject: SeasonSubject,
) -> SeasonView:
    say, count = subject.wording.say, subject.language.count
    meets = {subject.meets[meet].id for meet, _ in subject.by_club[club]}
    many = subject.season.many
    unnamed = many(career.row for career in careers if career.withheld)
    facts = (
        count("{n} gymnast", "{n} gymnasts", many(career.row for career in careers)),
        count("{n} meet", "{n} meets", len(meets)),
        years_of({one.day.year for one in made}),
    )
    hidden = count(
        "The name of {n} gymnast is withheld.", "The names of {n} gymnasts are withheld.", unnamed
    )
    several = len({one.day.year for one in made}) > 1
    texts = (
        *in_series(club, subject),
        SeasonText(say("Best marks"), _best_marks(made, subject)) if made else None,
        SeasonText(
            say("Gymnasts"), _members(careers, made, subject), (hidden,) if unnamed else (),
            sorts=True,
        ),
        SeasonText(say("Year by year"), _years(made, placed, subject)) if several else None,
        SeasonText(say("First three places"), _placed(placed, subject), sorts=True)
        if placed
        else None,
    )  # fmt: skip
    return SeasonView(
        club,
        club_target(club),
        tuple(filter(None, texts)),
        (Link(say("Clubs"), "page:clubs"),),
        tuple(filter(None, facts)),
    )


def _years(made: Sequence[Achieved], placed: Sequence[Achieved], subject: SeasonSubject) -> Table:
    """How many started at how many meets, and the first three places, the newest year first."""
    say = subject.wording.say
    columns = (
        Column(say("Year"), "name"),
        Column(say("Gymnasts"), "number"),
        Column(say("Meets"), "number"),
        *(Column(say("{n}. place", n=place), "number") for place in range(1, FIRST + 1)),
    )
    years = sorted({one.day.year for one in made}, reverse=True)
    rows = (
        (
            str(year),
            str(subject.season.many((one.meet, one.entry) for one in own)),
            str(len({one.meet for one in own})),
            *(
                str(sum(one.place == place and one.day.year == year for one in placed) or "")
                for place in range(1, FIRST + 1)
            ),
        )
        for year in years
        for own in [[one for one in made if one.day.year == year]]
    )
    return plain_table("years", say("Year by year"), columns, rows, "year")


def _best_marks(made: Sequence[Achieved], subject: SeasonSubject) -> Table:
    best: dict[Comparable, Achieved] = {}
    lists: dict[object, Comparable] = {}
    for one in made:
        alike = ALIKE(one)
        of = lists.get(alike)
        if not of:
            of = lists[alike] = comparable(one, subject.season, division=False)
        if not one.guest and (of not in best or one.mark > best[of].mark):
            best[of] = one
    say = subject.wording.say
    columns = (
        Column(say("Apparatus"), "name"),
        Column(say("Mark"), "total"),
        Column(say("Gymnast"), "text"),
        Column(say("Where and when"), "text", width=2),
    )
    rows = (
        (
            Cell(subject.list_of(of), subject.discipline(of.discipline)),
            subject.language.mark(best[of].mark),
            subject.who(subject.career[best[of].meet, best[of].entry]),
            subject.at(best[of]),
        )
        for of in subject.comparable
        if of in best
    )
    return plain_table("best-marks", say("Best marks"), columns, rows, "best")


def _placed(placed: Sequence[Achieved], subject: SeasonSubject) -> Table:
    """The newest first."""
    say = subject.wording.say
    columns = (
        Column(say("Place"), "place", say("Pl.")),
        Column(say("Gymnast"), "name", width=2),
        Column(say("List"), "text", width=1.5),
        Column(say("Where and when"), "text", width=2),
        Column(say("Mark"), "total"),
    )
    rows = (
        (
            str(one.place),
            subject.who(subject.career[one.meet, one.entry]),
            Cell(subject.wording.list_name(one.list), one.title),
            subject.at(one),
            subject.language.mark(one.mark),
        )
        for one in sorted(placed, key=lambda one: (one.day, one.meet, -(one.place or 0)))[::-1]
    )
    return plain_table("places", say("First three places"), columns, rows, "place")


def _members(careers: Sequence[Career], made: Sequence[Achieved], subject: SeasonSubject) -> Table:
    say = subject.wording.say
    columns = (
        Column(say("Gymnast"), "name", width=2.6),
        Column(say("Meets"), "number", width=0.8),
        Column(say("Years"), "text"),
    )
    own: dict[tuple[str, int], list[Achieved]] = defaultdict(list)
    for one in made:
        own[subject.career[one.meet, one.entry].row].append(one)
    named = by_name(one for one in careers if not one.withheld)
    rows = (
        (
            subject.who(career),
            str(len({one.meet for one in own[career.row]})),
            years_of({one.day.year for one in own[career.row]}),
        )
        for career in named
    )
    return plain_table("gymnasts", say("Gymnasts"), columns, rows, "gymnast")


def clubs_table(subject: SeasonSubject) -> Table:
    """Every club by name: how many gymnasts, at how many meets."""
    say = subject.wording.say
    columns = (
        Column(say("Club"), "name", width=2.6),
        Column(say("Gymnasts"), "number", width=0.8),
        Column(say("Meets"), "number", width=0.8),
    )
    rows = (
        (
            Cell(club, target=club_target(club)),
            str(subject.season.many(own)),
            str(len({meet for meet, _ in own})),
        )
        for club, own in subject.by_club.items()
    )
    caption = subject.language.count("{n} club", "{n} clubs", len(subject.by_club))
    return plain_table("clubs", caption, columns, rows, "club")
