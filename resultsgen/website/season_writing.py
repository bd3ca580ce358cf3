"""The site of a season written: only pages that show something else than before are made."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import count

from resultsgen.files.cache import Cache, key_of
from resultsgen.files.staging import write
from resultsgen.files.standing import LeftStanding, SoFar, Unit
from resultsgen.theme.fonts import PRINTED, letters
from resultsgen.website.feeds import FEED, crawler_files
from resultsgen.website.look import (
    cut_fonts,
    favicon,
    hashed_address,
    script,
    stylesheet,
)
from resultsgen.website.scripts import row_scripts
from resultsgen.website.season_feed import feed_of_meets
from resultsgen.website.season_names import NAMES, names_shown, season_names
from resultsgen.website.season_pages import SeasonFiller, SeasonSite, SeasonUnit
from resultsgen.website.side_by_side import beside, side_by_side
from resultsgen.website.to_come import STYLE_TO_COME, parted, put_in

STYLE = "style"

TOGETHER = 500
"""So many units are made before what is left of them is cleared away."""


def write_season_site(
    sites: tuple[SeasonSite, ...],
    standing: LeftStanding,
    kept: Cache,
    meanwhile: Callable[[], None],
) -> None:
    """Write every page and what pages need; what is so before is taken over.

    *meanwhile* is done in a process beside this one, where there can be one.
    """
    theme = sites[0].theme
    icon, code = favicon(theme.settings.light).encode(), script(theme).encode()
    made = {"icon": hashed_address("icon.svg", icon), "script": hashed_address("site.js", code)}
    files = {made["icon"]: icon, made["script"]: code}
    likely = standing.told(STYLE) or STYLE_TO_COME

    def meantime() -> SoFar:
        meanwhile()
        return standing.so_far

    with beside(meantime) as told:
        fillers = [site.filler({**made, "names": site.folder + NAMES}) for site in sites]
        for filler in fillers:
            files |= _names(filler, standing)
        units = _units(fillers, standing, likely)
        standing.join(told() or meantime())
    pages = [one for _, written, _ in units for one in written if one.endswith(".html")]
    shown = {sign for *_, told in units for sign in told.split(" ")}
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
    fillers: Sequence[SeasonFiller], standing: LeftStanding, likely: str
) -> tuple[Unit, ...]:
    """The files of each unit and the letters of its pages, which have a likely style sheet."""
    found: dict[str, Unit] = {}
    to_make: dict[str, str] = {}
    work: list[Callable[[], Written]] = []
    many = count(1)
    for filler in fillers:
        for unit in filler.site.units():
            name, made_from = f"{filler.site.folder}{unit.name}", filler.made_from(unit)
            stays = standing.stays(name, made_from)
            found[name] = stays or ("", (), "")
            if not stays:
                to_make[name] = made_from
                own = unit._replace(shows=None)
                work.append(partial(_written, filler, own, standing, likely, many))
    for filler in fillers if work else ():
        filler.get_ready()
    with side_by_side(work) as all_written:
        standing.take_over()
        for (name, made_from), written in zip(to_make.items(), all_written(), strict=True):
            found[name] = standing.made(name, made_from, *written)
    return tuple(found.values())


Written = tuple[tuple[str, ...], str]
"""Files, and the letters of the pages among them."""


def _written(
    filler: SeasonFiller, unit: SeasonUnit, standing: LeftStanding, likely: str, many: Iterator[int]
) -> Written:
    """The pages of a unit, the so manieth of this process, and the scripts of their rows."""
    if next(many) % TOGETHER == 0:
        _clear_away()
    filled = filler.filled(unit)
    told, rows = row_scripts(filled, filler.site.folder)
    told[STYLE_TO_COME.encode()] = likely.encode()
    shown = {one: put_in(parted(text.encode()), told) for one, text in filled.items()}
    for address, data in (shown | rows).items():
        write(standing.folder, address, data, standing.before)
    return (*shown, *rows), " ".join(sorted(set[str]().union(*map(letters, shown.values()))))


def _clear_away() -> None:
    """Pages that were made leave circles behind; all else stays, and is not looked at again."""
    gc.collect()
    gc.freeze()


def _restyle(pages: Iterable[str], likely: str, address: str, standing: LeftStanding) -> None:
    """Give all pages the style sheet as it turned out to be."""
    for page in pages:
        data = (standing.folder / page).read_bytes().replace(likely.encode(), address.encode())
        write(standing.folder, page, data, standing.before)
    standing.written_anew(pages)
