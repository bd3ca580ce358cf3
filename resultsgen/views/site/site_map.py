"""Where everything is on the site: an address for each thing a view may lead to.

Addresses last: they follow from ids, bibs and names alone, so a correction changes none of them.
"""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from urllib.parse import quote

from resultsgen.language import to_say
from resultsgen.meet.settings import MeetSettings
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.people.people import clubs, people
from resultsgen.views.site.addresses import (
    club_target,
    file_names,
    in_language,
    language_folder,
    list_target,
    with_slash,
)
from resultsgen.views.site.pictures import smaller_pictures

OVERVIEW = "overview"
START_LIST = "start-list"
QUALIFICATION = "qualification"
STANDINGS = "standings"
ANNOUNCER = "announcer"

PAGE_NAMES = {
    OVERVIEW: to_say("Overview"),
    STANDINGS: to_say("Standings"),
    ANNOUNCER: to_say("Announcer"),
    QUALIFICATION: to_say("Qualification"),
    START_LIST: to_say("Start list"),
}
"""The pages of a competition that are not called after a list of it."""

NO_LISTS = (OVERVIEW, STANDINGS, ANNOUNCER)
"""Pages of a competition that show something else than a list."""


def addresses(results: Results) -> dict[str, str]:
    """The address of each target: `gymnast:women/101` is at gymnasts/women-101.html."""
    found = {}
    folders = file_names(judged.competition.id for judged in results.competitions)
    for judged in results.competitions:
        id, lists = judged.competition.id, list_names(judged)
        for name, file in zip(lists, file_names_of_lists(lists), strict=True):
            found[list_target(id, name)] = f"competitions/{folders[id]}/{file}.html"
    persons = {person.target: person.target.partition(":")[2] for person in people(results)}
    names = file_names(persons.values())
    found |= {target: f"gymnasts/{names[name]}.html" for target, name in persons.items()}
    for club, name in file_names(clubs(results)).items():
        found[club_target(club)] = f"clubs/{name}.html"
    for slug, name in file_names(page.slug for page in results.meet.pages).items():
        found[f"page:{slug}"] = f"pages/{name}.html"
    for page in results.meet.pages:
        if page.club:
            found[f"page:{page.slug}"] = found[club_target(page.club)]
    smaller = (picture.name for picture in smaller_pictures(results.meet))
    return found | {f"asset:{name}": f"assets/{name}" for name in (*results.meet.assets, *smaller)}


def published_address(address: str, code: str, settings: MeetSettings) -> str:
    """The whole address of a page in a language; empty where nobody said where the site will be."""
    if not settings.base_url:
        return ""
    there = in_language(address, language_folder(code, settings.languages))
    return with_slash(settings.base_url) + quote(there)


def file_names_of_lists(lists: tuple[str, ...]) -> tuple[str, ...]:
    """The file of each list; the overview is the index of its folder."""
    names = file_names(lists)
    return tuple("index" if name == OVERVIEW else names[name] for name in lists)


def list_names(judged: CompetitionResults) -> tuple[str, ...]:
    """The pages of a competition in the order in which they are offered."""
    pages = [OVERVIEW]
    if judged.all_around:
        pages.append("all-around")
    pages += judged.by_apparatus
    if judged.team:
        pages.append("team")
    if judged.rotations_known:
        pages.append(STANDINGS)
    if is_announced(judged):
        pages.append(ANNOUNCER)
    if any(ranking.cuts for ranking in judged.rankings):
        pages.append(QUALIFICATION)
    return (*pages, START_LIST) if judged.competition.has_own_marks else tuple(pages)


def is_announced(judged: CompetitionResults) -> bool:
    """There is something to be said: somebody starts and marks are entered for it."""
    return bool(judged.starts) and judged.competition.has_own_marks


def relative(to: str, page: str) -> str:
    """The link from one address to another, so that the site works in any folder.

    >>> relative("gymnasts/women-101.html", "competitions/ws-q/team.html")
    '../../gymnasts/women-101.html'
    """
    return posixpath.relpath(to, posixpath.dirname(page) or ".")


def linked(target: str, page: str, where: Mapping[str, str]) -> str:
    """The link to a target from a page, ready for `href`; KeyError without such a page."""
    return quote(relative(where[target], page))
