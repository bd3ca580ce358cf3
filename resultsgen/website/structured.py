"""What home and the overviews tell other programs: the meet as a SportsEvent, in JSON-LD.

Terms: schema.org, SportsEvent, Place, Person, SportsTeam, SportsOrganization. It has no way to
state marks or placings, so none are told.
"""

from __future__ import annotations

import datetime as dt
import json
from typing import Any
from urllib.parse import quote

from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.competitions import CompetitionView
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW, in_language
from resultsgen.website.pages import SitePage, Subject

NAMED = 250
"""Of a larger field the clubs are named and not the gymnasts, so that the page stays light."""

Told = dict[str, Any]


def structured_data(page: SitePage, subject: Subject) -> str:
    """The JSON-LD of a page, safe inside a script element; empty where it has nothing to tell."""
    if not subject.results.meet.settings.privacy.search_engines:
        return ""
    if page.address == "index.html":
        parts = [_part(one, subject) for one in subject.results.competitions]
        told = _meet(subject) | {"subEvent": parts}
    elif isinstance(page.view, CompetitionView):
        one = subject.results.competition(page.view.id)
        told = _part(one, subject) | {"superEvent": _meet(subject), "competitor": _field(one)}
    else:
        return ""
    text = json.dumps({"@context": "https://schema.org"} | told, ensure_ascii=False)
    # Nothing in a name may end the script element or begin a comment.
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _meet(subject: Subject) -> Told:
    """The whole meet: its name, days, place and organiser."""
    settings = subject.results.meet.settings
    told = _event(settings.title, settings.dates, "index.html", subject)
    if settings.organiser:
        told["organizer"] = {"@type": "SportsOrganization", "name": settings.organiser}
    return told


def _part(one: CompetitionResults, subject: Subject) -> Told:
    """One competition of the meet; without a day of its own it lasts as long as the meet."""
    days = (one.competition.day,) if one.competition.day else subject.results.meet.settings.dates
    address = subject.where[list_target(one.competition.id, OVERVIEW)]
    return _event(one.competition.title, days, address, subject)


def _event(name: str, days: tuple[dt.date, ...], address: str, subject: Subject) -> Told:
    settings = subject.results.meet.settings
    place = {"name": settings.venue or settings.place, "address": settings.place}
    told: Told = {
        "@type": "SportsEvent",
        "name": name,
        "sport": subject.wording.say("Artistic gymnastics"),
        "eventStatus": "https://schema.org/EventScheduled",
        "eventAttendanceMode": "https://schema.org/OfflineEventAttendanceMode",
        "inLanguage": subject.wording.language.code,
    }
    if days:
        told |= {"startDate": days[0].isoformat(), "endDate": days[-1].isoformat()}
    if place["name"]:
        told["location"] = {"@type": "Place"} | {key: text for key, text in place.items() if text}
    if subject.base_url:
        told["url"] = subject.base_url + quote(in_language(address, subject.folder))
    return told


def _field(one: CompetitionResults) -> list[Told]:
    """Who starts: the gymnasts whose names are published, or the clubs of a large field."""
    gymnasts = [start.gymnast for start in one.starts]
    if len(gymnasts) > NAMED:
        clubs = dict.fromkeys(gymnast.club for gymnast in gymnasts if gymnast.club)
        return [{"@type": "SportsTeam", "name": club} for club in clubs]
    return [
        {"@type": "Person", "name": f"{gymnast.given} {gymnast.family}".strip()}
        for gymnast in gymnasts
        if gymnast.published
    ]
