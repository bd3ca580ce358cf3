"""What stands on every page of the site: the meet, its status, and what the reader must know."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.scoring.results import Results
from resultsgen.views.lists.competitions import Link, status_sentence, status_word
from resultsgen.views.people.pictures import logo_on_pages
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW
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
    competitions: tuple[Link, ...]
    language: str
    logo: str
    noindex: bool


def meet_view(results: Results, wording: Wording) -> MeetView:
    """Title, dates, status and cautions."""
    settings = results.meet.settings
    where = dict.fromkeys(filter(None, (settings.venue, settings.place)))
    return MeetView(
        title=settings.title,
        dates=wording.language.dates(settings.dates),
        where=", ".join(where),
        organiser=settings.organiser,
        official=settings.status.state == "official",
        status=status_word(settings.status, wording),
        status_sentence=status_sentence(settings.status, wording),
        published=_moment(settings.published, wording) if settings.published else "",
        cautions=tuple(_cautions(results, wording)),
        competitions=tuple(
            Link(one.competition.title, list_target(one.competition.id, OVERVIEW))
            for one in results.competitions
        ),
        language=wording.language.code,
        logo=f"asset:{logo_on_pages(results.meet)}" if settings.logo in results.meet.assets else "",
        noindex=not settings.privacy.search_engines,
    )


def _moment(moment: dt.datetime, wording: Wording) -> str:
    """A day and an hour, as a reader at the venue would say it."""
    return f"{wording.language.date(moment.date())}, {moment:%H:%M}"


def _cautions(results: Results, wording: Wording) -> Iterator[str]:
    say = wording.say
    yield say("The rules of the sanctioning body and the decisions of the jury prevail.")
    if not all(gymnast.published for gymnast in results.gymnasts.values()):
        yield say(
            "Where a name is withheld, the bib stands for it; the place is right all the same."
        )
