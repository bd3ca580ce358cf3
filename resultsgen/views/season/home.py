"""The first page of a season, and what stands on every page of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.season.bests import records
from resultsgen.season.facts import SeasonMeet
from resultsgen.views.lists.table import Table
from resultsgen.views.season.bests import broken_table
from resultsgen.views.season.meets import board, calendar_table, days, meets_table, state
from resultsgen.views.season.page import SeasonText, SeriesFirst
from resultsgen.views.season.series import first_of_series
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.views.season.years import yearbook_address, yearbook_title, years
from resultsgen.views.site.addresses import Link
from resultsgen.views.site.head import MeetView
from resultsgen.views.site.honours import BoardColumn

NEWEST = 8
"""So many meets, and records, stand on the first page."""


@dataclass(frozen=True)
class SeasonHome:
    """The newest results, the meets, and what else is new."""

    facts: tuple[str, ...]
    newest: Link | None
    when: tuple[str, ...]
    board: tuple[BoardColumn, ...]
    coming: SeasonText | None
    series: tuple[SeriesFirst, ...]
    texts: tuple[SeasonText, ...]
    tables: tuple[tuple[str, str], ...]
    """The files with the data: where each lies, and what it holds."""
    books: tuple[tuple[str, str], ...] = ()
    """The yearbooks likewise."""


def season_head(subject: SeasonSubject, *, noindex: bool) -> MeetView:
    """The season as every page names it."""
    settings, say, meets = subject.season.settings, subject.wording.say, subject.season.facts.meets
    cautions = [say("The rules of the sanctioning body and the decisions of the jury prevail.")]
    if any(career.withheld for career in subject.season.careers):
        cautions.append(
            say("Where a name is withheld, the bib stands for it; the place is right all the same.")
        )
    return MeetView(
        title=settings.title,
        organiser=settings.organiser,
        official=all(meet.official for meet in meets),
        cautions=tuple(cautions),
        language=subject.language.code,
        noindex=noindex,
        of_meets=True,  # Without dates: pages stay as they are when there is one meet more.
    )


def season_home(subject: SeasonSubject) -> SeasonHome:
    """What is new, and the way to everything."""
    say = subject.wording.say
    newest, coming = _newest(subject), calendar_table(subject)
    meets, broken = meets_table(subject), broken_table(records(subject.season), subject, NEWEST)
    texts = (
        _first(say("Meets"), meets, Link(say("All meets"), "page:meets")),
        _first(say("Newest records"), broken, Link(say("All records"), "page:records")),
    )
    when = (days(newest, subject), newest.place, state(newest, subject)) if newest else ()
    there = subject.season.facts.meets
    span = subject.language.dates((there[0].first, there[-1].last)) if there else ""
    return SeasonHome(
        tuple(filter(None, (span, subject.season.settings.organiser))),
        Link(newest.title, f"meet:{newest.id}") if newest else None,
        tuple(filter(None, when)),
        board(newest, subject) if newest else (),
        SeasonText(say("To come"), coming) if coming.rows else None,
        tuple(first_of_series(held, subject) for held in subject.season.series if held.lines),
        tuple(one for one in texts if one.table and one.table.rows),
        tuple(_tables(subject)),
        tuple(
            (yearbook_address(year, subject), yearbook_title(year, subject))
            for year in (years(subject.season) if subject.books else ())
        ),
    )


def _tables(subject: SeasonSubject) -> Iterator[tuple[str, str]]:
    say = subject.wording.say
    yield "data/meets.csv", say("Meets")
    yield "data/gymnasts.csv", say("Gymnasts")
    yield "data/records.csv", say("Records")
    if subject.season.series:
        yield "data/series.csv", say("Series")
    for year in sorted(subject.season.facts.days, reverse=True):
        yield f"data/marks/{year}.csv", say("Marks of {year}", year=year)
    yield "data/datapackage.json", say("All tables, with what stands in them")


def _newest(subject: SeasonSubject) -> SeasonMeet | None:
    """The last meet with marks."""
    with_marks = subject.season.facts.with_marks
    meets = reversed(subject.season.facts.meets)
    return next((meet for meet in meets if meet.id in with_marks), None)


def _first(title: str, table: Table, more: Link) -> SeasonText:
    shown = Table(table.id, title, table.columns, table.rows[:NEWEST])
    return SeasonText(title, shown, more=more)
