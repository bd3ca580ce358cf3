"""The own sites of the meets of a season: what was published of each lies below, unchanged."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from resultsgen.files.cache import Cache, cache_folder, key_of
from resultsgen.files.manifest import (
    MANIFEST,
    ManifestError,
    as_it_stands,
    listed_files,
    verified,
)
from resultsgen.files.opening import is_there
from resultsgen.files.staging import made_files, take_over
from resultsgen.meet.problems import MeetProblems, first_of
from resultsgen.privacy.forms import Sought
from resultsgen.publishing.season_reading import MeetSource
from resultsgen.views.season.page import MeetSite
from resultsgen.views.site.addresses import with_slash


class OwnSite(NamedTuple):
    """The site of a meet, and the folder that it is taken from; None: it is elsewhere."""

    site: MeetSite
    folder: Path | None = None
    names: tuple[str, ...] = ()


def own_sites(
    sources: Iterable[MeetSource], looked: Sought | None
) -> tuple[dict[str, OwnSite], tuple[str, ...]]:
    """The site of each meet that has one, and what is to be said of the others."""
    found: dict[str, OwnSite] = {}
    notes: dict[str, list[str]] = {}
    for source in sources:
        folder = source.folder / "output" if source.judged else source.folder
        why = _wrong(source, folder, looked)
        if not why:
            found[source.id] = _below(source.id, folder)
        elif source.base_url:
            found[source.id] = OwnSite(MeetSite(with_slash(source.base_url), frozenset()))
        if why and not (why == NOT_BUILT and source.base_url):
            there = "linked where they are published" if source.base_url else "told on pages here"
            notes.setdefault(f"{why}; the lists are {there}", []).append(source.id)
    return found, tuple(f"{first_of(ids, NAMED)}: {why}" for why, ids in notes.items())


NAMED = 3
"""So many meets of a kind are named in a note."""

NOT_BUILT = "not built"


def _wrong(source: MeetSource, folder: Path, looked: Sought | None) -> str:
    """Why the site in a folder cannot lie below; empty where it can."""
    if not is_there(folder, MANIFEST):
        return NOT_BUILT
    if looked and (told := _tells(looked, folder, source.id)):
        return (
            f"what was published of it tells a name that is withheld ({told}): write publish = no "
            "in its roster, build it again, and replace the copies elsewhere (web host, sticks, "
            "mails, printed books)"
        )
    # A published folder was compared with its list when it was read.
    if source.judged and not (source.built and _intact(folder)):
        return "what was published of it is not what the meet folder gives now; build it again"
    return "" if is_there(folder, "index.html") else "without pages"


def _intact(folder: Path) -> bool:
    """Every file is as it was published; not looked at again while nothing was written there."""
    cache, key = Cache(cache_folder()), key_of("as published", as_it_stands(folder))
    if cache.get(key) is None:
        try:
            found = verified(folder)
        except ManifestError:
            return False
        if found.changed or found.missing:
            return False
        cache.put(key, b"")
    return True


def _tells(looked: Sought, folder: Path, id: str) -> str:
    """The first file that tells a name which is withheld; empty where none does."""
    from resultsgen.publishing.last_look import key_of_names, look_for

    try:
        look_for(looked, key_of(key_of_names(looked), id), cache_folder(), folder)
    except MeetProblems as found:
        return found.problems[0].file
    return ""


def _below(id: str, folder: Path) -> OwnSite:
    """A site that lies below: what this program made of it, and its list if that is all."""
    listed, made = tuple(listed_files(folder)), made_files(folder)
    names = tuple(name for name in listed if name in made) if len(made) > 1 else listed
    if names == listed:
        names = (*names, MANIFEST)
    pages = frozenset(name for name in names if name.endswith(".html"))
    return OwnSite(MeetSite(f"meets/{id}/", pages), folder, names)


def lay_below(sites: Iterable[OwnSite], folder: Path) -> None:
    """Let each site lie in the folder of the season."""
    for one in sites:
        if one.folder:
            take_over(folder / one.site.root, one.names, one.folder)
