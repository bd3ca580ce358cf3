"""The yearbooks of a season: a volume for each year in each language, as a meet has its books."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from resultsgen.books.layout import Layout
from resultsgen.books.making import Progress, made_books
from resultsgen.books.press.renderer import versions
from resultsgen.books.volumes import Volume
from resultsgen.files.cache import Cache, code_digest, key_of, run_by
from resultsgen.files.standing import LeftStanding
from resultsgen.language import LANGUAGES
from resultsgen.meet.folder import Meet
from resultsgen.meet.settings import MeetSettings, Status
from resultsgen.season.facts import KEY
from resultsgen.season.season import Season
from resultsgen.theme.theme import Theme
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.views.season.yearbook import drawn_on, series_of, yearbook
from resultsgen.views.season.years import SeasonYear, yearbook_address, yearbook_title, years


def write_yearbooks(
    season: Season, theme: Theme, standing: LeftStanding, cache: Cache, progress: Progress
) -> None:
    """Write the book of each year in each language; one in which nothing changed stays."""
    shaped_by = key_of(code_digest(), versions(), *_look(theme), repr(season.settings), *run_by())
    for code in season.settings.languages:
        subject = SeasonSubject(season, LANGUAGES[code], {})
        for year in years(season):
            address = yearbook_address(year, subject)
            made_from = key_of(shaped_by, code, drawn_on(year, subject))
            make = partial(_made, year, subject, theme, cache, progress)
            standing.one_file(address, made_from, make)


def _made(
    year: SeasonYear, subject: SeasonSubject, theme: Theme, cache: Cache, progress: Progress
) -> bytes:
    volume = Volume(year.file, yearbook_title(year, subject), "", yearbook(year, subject))
    sums = _checksum(year, subject.season)
    layout = Layout(_printed(year, subject.season), theme, subject.wording, checksum=sums)
    ((_, pdf, _),) = made_books((volume,), layout, cache, 0, progress)
    return bytes(pdf)


def _look(theme: Theme) -> Iterator[bytes | str]:
    """What tells the look of a theme's books from how it was before."""
    yield theme.digest("book")
    yield from theme.texts("book/book.css")
    yield from (face.file.read_bytes() for face in theme.faces)


def _printed(year: SeasonYear, season: Season) -> Meet:
    """The year as books take a meet: whose it is, whether it is official, and of when.

    Of no time at all, where the newest that meets tell is before the last day of one.
    """
    settings = season.settings
    published = (meet.results.meet.published for meet in year.meets)
    newest = max((time for time in published if time and time.tzinfo), default=None)
    days_told = newest and newest.date() >= max(meet.last for meet in year.meets)
    printed = MeetSettings.model_construct(
        competitions=(), title=settings.title, organiser=settings.organiser,
        status=Status(state=year.state), languages=settings.languages, names=settings.names,
        published=newest if days_told else None,
    )  # fmt: skip
    return Meet(printed, {}, (), ())


def _checksum(year: SeasonYear, season: Season) -> str:
    """The same eight figures for the same marks and places, and most likely for no others."""
    every = (one for meet in year.meets for one in season.facts.made[meet.id].achieved)
    made = sorted(every, key=KEY)
    return key_of(*map(repr, made), repr(series_of(year, season)))[:8]
