"""Wall sheets: each list by itself, in type that is read from two metres, with a code to its page.

A list has as few sheets as the smallest type allows, and then the largest type that needs no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from resultsgen.scoring.ranking import Line, Ranking
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import shown_name, total_cell
from resultsgen.views.lists.charts import QrCode
from resultsgen.views.lists.competitions import under_way, when
from resultsgen.views.lists.listing import Listing
from resultsgen.views.lists.places import place_cell, place_column
from resultsgen.views.lists.rankings import standing, total_label
from resultsgen.views.lists.sections import BookSubject, Section, SheetContent
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import addresses, published_address
from resultsgen.views.words.wording import Wording

ROOM = {"A4": 580, "Letter": 530}
"""So many points of a sheet are counted on for the rows."""


class TypeSize(NamedTuple):
    """A type in which rows are set: how high they are, and how much stands in a line."""

    name: str
    row: int
    """The height of a row of one line, in points."""
    line: int
    """What each further line adds."""
    signs: int
    """So many signs of a name are sure to stand in one line."""
    club_signs: int
    """Likewise of a club, in a column of its own; 0: it stands below the name."""


SIZES = (
    TypeSize("large", 52, 26, 27, 0),
    TypeSize("medium", 30, 23, 19, 14),
    TypeSize("small", 25, 19, 22, 17),
)
"""The largest first."""


@dataclass(frozen=True)
class WallSheet(SheetContent):
    """One sheet of a list."""

    size: str
    part: str
    """Which of several sheets it is; empty where it is the only one."""
    code: QrCode | None
    """Leads to the page of the list, where it is known where the site will be."""


def wall_sheets(subject: BookSubject) -> Iterator[Section]:
    """The sheets of every list of a competition, as far as its marks are in."""
    if judged := subject.competition:
        where = addresses(subject.results)
        for ranking in judged.rankings:
            if any(line.done for line in ranking.lines):
                target = list_target(judged.competition.id, ranking.id)
                yield from _sheets(subject, judged, ranking, target, where[target])


def _sheets(
    subject: BookSubject, judged: CompetitionResults, ranking: Ranking, target: str, address: str
) -> Iterator[Section]:
    wording, settings = subject.wording, subject.results.meet.settings
    name, title = wording.list_name(ranking.id), wording.called(judged.competition.title)
    page = published_address(address, wording.language.code, settings)
    code = QrCode(wording.say("The address of this list as a code"), page) if page else None
    # How far this list is, whatever is to come on others.
    coming = len(ranking.coming)
    state = under_way(coming, wording) if ranking.to_come else wording.say("Finished")
    heads = " · ".join((title, name, state))
    room = ROOM[settings.paper]
    tried = [(size, list(_shared_out(ranking.lines, size, room, wording))) for size in SIZES]
    size, sheets = next(one for one in tried if len(one[1]) == len(tried[-1][1]))
    for number, lines in enumerate(sheets, start=1):
        part = wording.say("{n} of {all}", n=number, all=len(sheets)) if len(sheets) > 1 else ""
        yield Section(
            f"wall/{target}/{number}", "wall", name, heads, when(judged, wording), entry=title,
            tables=(_table(lines, Listing(ranking, judged, wording), size),),
            content=WallSheet(size.name, part, code),
        )  # fmt: skip


def _shared_out(
    lines: Sequence[Line], size: TypeSize, room: int, wording: Wording
) -> Iterator[tuple[Line, ...]]:
    """The lines sheet by sheet, about as many on each; none is fuller than there is room."""
    heights = [_height(line, size, wording) for line in lines]
    aim = sum(heights) / -(-sum(heights) // room)
    sheet: list[Line] = []
    used = 0
    for line, height in zip(lines, heights, strict=True):
        if sheet and (used >= aim or used + height > room):
            yield tuple(sheet)
            sheet, used = [], 0
        sheet.append(line)
        used += height
    yield tuple(sheet)


def _height(line: Line, size: TypeSize, wording: Wording) -> int:
    """About how high a row is, in points; a word that is too long is broken."""
    below = 2 * bool(total_cell(line, wording).sub)
    name = _wrapped(shown_name(line.of, wording), size.signs)
    club = _wrapped(_club(line), size.club_signs or size.signs)
    further = max(name, club, 1 + below) if size.club_signs else max(name + club - 1, 1 + below)
    return size.row + (further - 1) * size.line


def _wrapped(text: str, signs: int) -> int:
    """In how many lines a text stands, each filled by whole words."""
    lines, used = 1, 0
    for word in text.split():
        if used and used + 1 + len(word) > signs:
            lines, used = lines + 1, 0
        lines += (len(word) - 1) // signs
        used += len(word) % signs + bool(used)
    return lines


def _club(line: Line) -> str:
    who = line.of
    return (who.club or who.federation) if who.kind == "gymnast" else ""


def _table(lines: Sequence[Line], listing: Listing, size: TypeSize) -> Table:
    wording, ranking, say = listing.wording, listing.ranking, listing.wording.say
    clubs = bool(size.club_signs) and not ranking.of_teams
    columns = (
        place_column(wording)._replace(width=0.9),
        Column(say("Team") if ranking.of_teams else say("Gymnast"), "name", width=3.6),
        *((Column(say("Club"), "text", width=2.8),) if clubs else ()),
        Column(total_label(ranking, wording), "total", width=1.4),
    )
    rows = (
        Row(
            (
                place_cell(ranking.places[line.key], line.of.guest, "", wording),
                Cell(shown_name(line.of, wording), "" if clubs else _club(line)),
                *((Cell(_club(line)),) if clubs else ()),
                total_cell(line, wording),
            ),
            standing(line),
            podium=listing.podium(line.place),
        )
        for line in lines
    )
    return Table(ranking.id, listing.title, columns, tuple(rows))
