"""Who and what is found from any page of a meet, and who is soon up, as scripts."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from resultsgen.views.lists.cells import shown_name
from resultsgen.views.live.turns import SOON, coming
from resultsgen.views.people.people import clubs, people
from resultsgen.views.site.addresses import club_target, list_target
from resultsgen.views.site.site_map import OVERVIEW, PAGE_NAMES, list_names
from resultsgen.website.pages import Subject, ways
from resultsgen.website.scripts import event, file_of, found_club, found_gymnast


def names_script(subject: Subject) -> str:
    """What can be found from any page.

    Clubs as [file, name, Latin], gymnasts as [file, name, where the given name begins and ends,
    bib, number of the club or -1, Latin], the rest as [address, name, what it is]. Latin is there
    where other letters spell the name.
    """
    named = clubs(subject.results)
    numbers = {club: number for number, club in enumerate(named)}
    found = {
        "clubs": [found_club(subject.where[club_target(club)], club) for club in named],
        "gymnasts": [
            found_gymnast(
                subject.where[person.target],
                shown_name(person.gymnast, subject.wording),
                person.gymnast.bib if subject.wording.bibs_worn else "",
                numbers.get(person.gymnast.club, -1),
            )
            for person in people(subject.results)
        ],
        "pages": list(_pages(subject)),
    }
    return event("names", found)


def _pages(subject: Subject) -> Iterator[tuple[str, str, str]]:
    """Competitions, their lists, and the other pages: address, name, what it is."""
    say = subject.wording.say
    for judged in subject.results.competitions:
        id = judged.competition.id
        title = subject.wording.called(judged.competition.title)
        for name in list_names(judged):
            own = PAGE_NAMES.get(name)
            called = say(own) if own else subject.wording.list_name(name)
            address = subject.where[list_target(id, name)]
            if name == OVERVIEW:
                yield address, title, say("Competition")
            else:
                yield address, f"{title}, {called}", say("List")
    for address, called in chain(*ways(subject)):
        yield address, called, say("Page")


TURNS = "static/turns.js"
"""Its address stays, as every page has it and it changes with every mark."""


def turns_script(subject: Subject) -> str:
    """Who is soon up, and what she needs, by the file of her page."""
    found: dict[str, str] = {}
    files = {
        key: file_of(subject.where[person.target])
        for person in people(subject.results)
        for key in person.keys
    }
    for judged in subject.results.competitions:
        for key, own in coming(subject.results, judged, subject.wording).items():
            if own.order < SOON and key in files:
                found.setdefault(files[key], own.line(subject.wording))
    return event("turns", found)
