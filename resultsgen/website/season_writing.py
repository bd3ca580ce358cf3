"""The site of a season written: only pages that show something else than before are made."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator

from resultsgen.files.cache import Cache, key_of
from resultsgen.files.staging import write
from resultsgen.files.standing import LeftStanding
from resultsgen.theme.fonts import PRINTED, letters
from resultsgen.website.for_programs import FEED, crawler_files
from resultsgen.website.look import (
    cut_fonts,
    favicon,
    hashed_address,
    script,
    stylesheet,
)
from resultsgen.website.scripts import row_scripts
from resultsgen.website.season_names import NAMES, names_shown, season_names
from resultsgen.website.season_pages import SeasonFiller, SeasonSite, feed_of_meets
from resultsgen.website.to_come import STYLE_TO_COME, parted, put_in

STYLE = "style"

TOGETHER = 500
"""So many units are made before what is left of them is cleared away."""


def write_season_site(sites: tuple[SeasonSite, ...], standing: LeftStanding, kept: Cache) -> None:
    """Write every page and what pages need; what is so before is taken over."""
    theme = sites[0].theme
    icon, code = favicon(theme.settings.light).encode(), script(theme).encode()
    made = {"icon": hashed_address("icon.svg", icon), "script": hashed_address("site.js", code)}
    files = {made["icon"]: icon, made["script"]: code}
    likely = standing.told(STYLE) or STYLE_TO_COME
    pages: list[str] = []
    shown: set[str] = set()
    for site in sites:
        filler = site.filler({**made, "names": site.folder + NAMES})
        files |= _names(filler, standing)
        for written, told in _units(filler, standing, likely):
            pages += (one for one in written if one.endswith(".html"))
            shown.update(told.split(" "))
    standing.take_over()
    words = " ".join((PRINTED.decode(), *sorted(shown)))
    style = stylesheet(theme, cut_fonts(theme, words, kept)).encode()
    address = hashed_address("site.css", style)
    if address != likely:
        _restyle(pages, likely, address, standing)
    standing.made(STYLE, "", (), address)
    files[address] = style
    base = "" if sites[0].noindex else sites[0].base
    files |= {one: text.encode() for one, text in crawler_files(base, tuple(pages)).items()}
    if sites[0].feed:
        files[FEED] = feed_of_meets(sites[0].subject, sites[0].base).encode()
    for name, data in files.items():
        write(standing.folder, name, data, standing.before)


def _names(filler: SeasonFiller, standing: LeftStanding) -> dict[str, bytes]:
    """The scripts by which everybody is found, if they are otherwise than before."""
    site = filler.site
    pages, unit = (*site.ways(), *site.more()), f"{site.folder}names"
    shown = repr((names_shown(site.subject), pages))
    made_from = key_of(filler.shaped_by, shown) if filler.shaped_by else ""
    if standing.stays(unit, made_from):
        return {}
    names = season_names(site.subject, pages)
    files = {site.folder + address: data for address, data in names.items()}
    standing.made(unit, made_from, files)
    return files


def _units(
    filler: SeasonFiller, standing: LeftStanding, likely: str
) -> Iterator[tuple[tuple[str, ...], str]]:
    """The files of each unit and the letters of its pages, which have a likely style sheet."""
    folder, made = filler.site.folder, 0
    for unit in filler.site.units():
        name, made_from = f"{folder}{unit.name}", filler.made_from(unit)
        found = standing.stays(name, made_from)
        if not found:
            if made % TOGETHER == 0:
                _clear_away()
            made += 1
            filled = filler.filled(unit)
            told, rows = row_scripts(filled, folder)
            told[STYLE_TO_COME.encode()] = likely.encode()
            shown = {one: put_in(parted(text.encode()), told) for one, text in filled.items()}
            for address, data in (shown | rows).items():
                write(standing.folder, address, data, standing.before)
            needed = " ".join(sorted(set[str]().union(*map(letters, shown.values()))))
            found = standing.made(name, made_from, (*shown, *rows), needed)
        yield found[1], found[2]


def _clear_away() -> None:
    """Pages that were made leave circles behind; all else stays, and is not looked at again."""
    gc.collect()
    gc.freeze()


def _restyle(pages: Iterable[str], likely: str, address: str, standing: LeftStanding) -> None:
    """Give all pages the style sheet as it turned out to be."""
    for page in pages:
        path = standing.folder / page
        data = path.read_bytes().replace(likely.encode(), address.encode())
        path.unlink()  # It may be the published page.
        write(standing.folder, page, data, standing.before)
    standing.written_anew(pages)
