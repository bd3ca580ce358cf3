"""What other programs read of the site of a meet: its feed, JSON-LD, just in.

The feed must name itself by a whole address and date its entries to the second and time zone, so
there is one only where `base_url` and the time of publication are known. Home and the overviews
tell the meet as a SportsEvent (terms of schema.org: SportsEvent, Place, Person, SportsTeam,
SportsOrganization); it has no way to state marks or placings, so none are told.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from functools import lru_cache
from hashlib import sha256
from itertools import accumulate
from typing import Any
from urllib.parse import quote

from resultsgen.history import Issue
from resultsgen.history.arrivals import Stand
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.corrections.correction_words import (
    correction_sentence,
    publication_sentence,
    published_names,
)
from resultsgen.views.corrections.corrections import pages_of
from resultsgen.views.lists.competitions import CompetitionView
from resultsgen.views.live.just_in import JustIn, in_the_feed, just_in
from resultsgen.views.press.notable import FactInWords, news
from resultsgen.views.site.addresses import in_language, list_target
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.website.feeds import ENTRIES, atom_entry, atom_feed, lasting_name
from resultsgen.website.pages import Subject
from resultsgen.website.site_page import SitePage

NEWS = "news.json"
"""What an open page asks for, to learn whether there is another publication."""


def news_json(results: Results) -> str:
    """The last publication, its time, and how many marks came with it and there are."""
    issues, time = results.history.issues, results.meet.settings.printed_time
    marks = sum(len(one.own_routines) for one in results.competitions)
    came = len(issues[-1].changes.added) if len(issues) > 1 else marks
    told = {
        "publication": results.history.number,
        "published": time and time.isoformat(),
        "marks": came,
        "marks_in_all": marks,
    }
    return json.dumps(told) + "\n"


NAMED = 250
"""Of a larger field the clubs are named and not the gymnasts, so that the page stays light."""

Told = dict[str, Any]


def structured_data(page: SitePage, subject: Subject) -> str:
    """The JSON-LD of a page, safe inside a script element; empty where it has nothing to tell."""
    if not subject.results.meet.settings.privacy.search_engines:
        return ""
    if page.address == "index.html":
        parts = [_part(judged, subject) for judged in subject.results.competitions]
        told = _meet(subject) | {"subEvent": parts}
    elif isinstance(page.view, CompetitionView):
        one = subject.results.competition(page.view.id)
        told = _part(one, subject) | {
            "superEvent": _meet(subject),
            "competitor": _field(one, subject),
        }
    else:
        return ""
    text = json.dumps({"@context": "https://schema.org"} | told, ensure_ascii=False)
    # Nothing in a name may end the script element or begin a comment.
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _meet(subject: Subject) -> Told:
    """The whole meet: its name, days, place and organiser."""
    settings, called = subject.results.meet.settings, subject.wording.called
    told = _event(called(settings.title), settings.dates, "index.html", subject)
    if settings.organiser:
        told["organizer"] = {"@type": "SportsOrganization", "name": called(settings.organiser)}
    return told


def _part(judged: CompetitionResults, subject: Subject) -> Told:
    """One competition of the meet; without a day of its own it lasts as long as the meet."""
    days = (
        (judged.competition.day,) if judged.competition.day else subject.results.meet.settings.dates
    )
    address = subject.where[list_target(judged.competition.id, OVERVIEW)]
    return _event(subject.wording.called(judged.competition.title), days, address, subject)


def _event(name: str, days: tuple[dt.date, ...], address: str, subject: Subject) -> Told:
    settings, called = subject.results.meet.settings, subject.wording.called
    place = {
        "name": called(settings.venue or settings.place), "address": called(settings.place)
    }  # fmt: skip
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


def _field(judged: CompetitionResults, subject: Subject) -> list[Told]:
    """Who starts: the gymnasts whose names are published, or the clubs of a large field."""
    gymnasts = [start.gymnast for start in judged.starts]
    if len(gymnasts) > NAMED:
        clubs = dict.fromkeys(gymnast.club for gymnast in gymnasts if gymnast.club)
        return [{"@type": "SportsTeam", "name": club} for club in clubs]
    name = subject.wording.spoken.name
    return [
        {"@type": "Person", "name": name(gymnast.family, gymnast.given)}
        for gymnast in gymnasts
        if gymnast.published
    ]


def has_feed(subject: Subject) -> bool:
    """Whether there can be a feed."""
    return bool(subject.base_url and _dated(subject))


def feed_text(subject: Subject) -> str:
    """The whole feed, the newest publication first, each followed by its corrections."""
    settings, base = subject.results.meet.settings, subject.base_url
    dated = _dated(subject)
    facts, pages = news(subject.results, subject.wording), pages_of(subject.results.history)
    entries = (
        line
        for issue in _newest(dated)
        for number in [issue.publication.number]
        for line in _entries(subject, issue, facts.get(number, ()), pages[number])
    )
    about = (_id(subject, "feed"), settings.title, _time(dated[-1]))
    author, code = settings.organiser or settings.title, subject.wording.language.code
    return atom_feed(about, author, code, base, "corrections.html", entries)


def _dated(subject: Subject) -> list[Issue]:
    return _with_time(subject.results)


@lru_cache(maxsize=1)
def _with_time(results: Results) -> list[Issue]:
    """The publications whose time and time zone are known."""
    return [
        issue
        for issue in results.history.issues
        if issue.publication.published and issue.publication.published.tzinfo
    ]


def _newest(dated: list[Issue]) -> Iterator[Issue]:
    """The newest publications, until they have entries enough; the newest whatever it has."""
    entries = accumulate(1 + len(issue.corrected) for issue in reversed(dated))
    for number, (issue, so_far) in enumerate(zip(reversed(dated), entries, strict=True)):
        if number == 0 or so_far <= ENTRIES:
            yield issue


def _time(issue: Issue) -> str:
    time = issue.publication.published
    assert time is not None
    return time.isoformat(timespec="seconds")


def _id(subject: Subject, what: str) -> str:
    """A lasting name: the host, the day of the first publication, and the path."""
    return lasting_name(subject.base_url, _time(_dated(subject)[0])[:10], what)


def _entries(
    subject: Subject, issue: Issue, facts: tuple[FactInWords, ...], page: str
) -> Iterator[str]:
    """A publication with its marks, each of its corrections, and what is worth telling of it.

    What stands in an entry that was published is never another: where a fact is told is known by
    what it says, so that one that holds no more is gone.
    """
    names = published_names(subject.results, subject.wording)
    number = issue.publication.number
    title = subject.wording.say(
        "Publication {n}: {what}", n=number, what=publication_sentence(issue, subject.wording)
    )
    told = [f"{title}.", *in_the_feed(subject.results, issue, subject.wording)]
    yield _entry(
        subject, issue, f"publication/{number}", f"{page}#publication-{number}", title,
        " ".join(told),
    )  # fmt: skip
    for nth, one in enumerate(issue.corrected, start=1):
        sentence = correction_sentence(one, names)
        yield _entry(
            subject, issue, f"publication/{number}/correction/{nth}",
            f"{page}#corrected-{number}-{nth}", sentence, sentence,
        )  # fmt: skip
    for fact in facts:
        sentence = subject.wording.language.headed(fact.about, fact.sentence)
        known = sha256(sentence.encode()).hexdigest()[:8]
        yield _entry(
            subject, issue, f"publication/{number}/fact/{known}", subject.where[fact.target],
            sentence, sentence,
        )  # fmt: skip


def _entry(subject: Subject, issue: Issue, what: str, place: str, title: str, summary: str) -> str:
    link = f"{subject.base_url}{place}"
    return atom_entry(_id(subject, what), title, _time(issue), link, summary)


JUST_IN, NEWEST = "just-in.json", 20
"""The newest marks for the sites of others, and so many of them."""


def just_in_text(subject: Subject) -> str:
    """The newest marks as JSON: what `just-in.html` shows, with marks as numbers that are exact."""
    settings = subject.results.meet.settings
    last = subject.results.history.issues[-1].publication
    told = {
        "format": "resultsgen just in",
        "version": "1.0",
        "meet": settings.title,
        "state": settings.status.state,
        "publication": last.number,
        "published": last.published.isoformat() if last.published else None,
        "marks": [
            _told(one, subject) for one in just_in(subject.results, subject.wording)[:NEWEST]
        ],
    }
    return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def _told(one: JustIn, subject: Subject) -> Told:
    mark, all_around = one.arrival.mark, one.all_around
    done = all_around and {"apparatus_done": all_around.done or None}
    return {
        "publication": one.arrival.number,
        "competition": one.arrival.competition.id,
        "name": one.name,
        "club": one.club or None,
        "apparatus": mark.apparatus or None,
        "vault": mark.vault,
        "mark": mark.text or None,
        "d": show_mark(mark.d) or None,
        "e": show_mark(mark.e) or None,
        "penalty": show_mark(mark.penalty) or None,
        "on_apparatus": _place(one.arrival.on_apparatus) or None,
        "all_around": _place(all_around) | (done or {}) or None,
        "says": one.sentence,
        "page": subject.base_url + quote(subject.where[one.list]),
    }


def _place(stand: Stand | None) -> Told:
    return {"place": stand.place, "total": show_mark(stand.total)} if stand else {}
