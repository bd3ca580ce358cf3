"""The press summary: one competition on one sheet of paper, what matters most first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from resultsgen.scoring.results import CompetitionResults, Line, Ranking, Results
from resultsgen.views.lists.cells import name_cell
from resultsgen.views.lists.charts import SpreadChart, marks_of, spread_of_marks
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.press.notable import HEADINGS, FactInWords, notable_facts
from resultsgen.views.words.wording import Wording

TOLD = ("record", "tie", "everywhere", "sweep", "together", "best-of-day", "climb", "lead")
"""The kinds of facts on the sheet, the most wanted first; who won by how much is in the table."""

ROOM = {"A4": 640, "Letter": 590}
"""So many points of a sheet are counted on, below its heading."""

ROW, HEADING, LINE, SPREAD = 15.5, 26, 13.5, 35
"""How high these are: a row of the table; a heading with the space above it; a line of text; the
picture of the marks on one apparatus."""

LETTERS, ROW_LETTERS = 96, 55
"""So many letters are counted on in a line of text, and in a row of the table."""

PLACES = ((8, 10), (5, 7), (3, 5), (2, 3), (1, 2), (1, 1))
"""So many places of each list are told, in so many rows, as far as there is room."""

TABLE = 0.75
"""The table takes no more than this part of the sheet."""


@dataclass(frozen=True)
class PressSheet:
    """What stands below the table: facts by kind, and whom to ask."""

    told: tuple[tuple[str, tuple[str, ...]], ...]
    spread: SpreadChart | None
    """How the marks lie, where there is room for a picture of them."""
    contact_head: str
    contact: tuple[str, ...]
    embargo_head: str
    embargo: str


def press_sheet(
    results: Results, one: CompetitionResults, wording: Wording
) -> tuple[Table, PressSheet]:
    """The first of each list, and as many facts as fit on one sheet of paper."""
    press = results.meet.settings.press
    room: float = ROOM[results.meet.settings.paper] - (HEADING + LINE * len(press.contact)) * bool(
        press.contact
    )
    room -= (HEADING + _height(press.embargo)) * bool(press.embargo)
    table = _leading(one, room, wording)
    room -= _table_height(table.rows)
    chosen = _chosen(notable_facts(results, wording, one.competition.id), room)
    spread = spread_of_marks(marks_of(one, wording), wording)
    room -= _facts_height(chosen)
    if spread and SPREAD * (len(spread.rows) + 1) > room:
        spread = None
    return table, PressSheet(
        tuple(_by_kind(chosen, wording)),
        spread,
        wording.say("Contact"),
        press.contact,
        wording.say("Embargo"),
        press.embargo,
    )


def _leading(one: CompetitionResults, room: float, wording: Wording) -> Table:
    """The first of each list, as many as there is room for."""
    lists: list[tuple[Row, ...]] = []
    for places, most in PLACES:
        lists = [tuple(_rows(ranking, places, most, wording)) for ranking in one.rankings]
        if _table_height(sum(lists, ())) <= TABLE * room:
            break
    while _table_height(sum(lists, ())) > room:
        lists.pop()
    columns = (
        Column(wording.say("Place"), "place", wording.say("Pl."), width=0.5),
        Column(wording.say("Name"), "name", width=3.6),
        Column(wording.say("Total"), "total"),
        Column(wording.say("Behind the first"), "number", wording.say("To 1st")),
    )
    return Table("leading", one.competition.title, columns, sum(lists, ()))


def _table_height(rows: Sequence[Row]) -> float:
    letters = (sum(len(cell.text) + len(cell.sub) for cell in row.cells[:2]) for row in rows)
    return ROW * (1 + sum(1 + many // ROW_LETTERS for many in letters))


def _rows(ranking: Ranking, places: int, most: int, wording: Wording) -> Iterator[Row]:
    """The name of a list, and those on its first places; of many who share one, how many more."""
    first = [line for line in ranking.lines if line.place is not None and line.place <= places]
    if not first:
        return
    name = wording.list_name(ranking.id)
    if ranking.to_come:
        name = wording.say("{cut} (as it stands)", cut=name)
    yield Row((Cell(""), Cell(name), Cell(""), Cell("")), "team", f"list-{name}")
    for number, line in enumerate(first[:most]):
        yield _row(line, first[0].total, f"list-{name}-{number}", wording)
    if more := len(first[most:]):
        told = wording.language.count("and {n} more", "and {n} more", more)
        yield Row((Cell(""), Cell(told), Cell(""), Cell("")), "member", f"list-{name}-more")


def _row(line: Line, highest: int | None, id: str, wording: Wording) -> Row:
    behind = (highest or 0) - (line.total or 0)
    mark = wording.language.mark
    cells = (
        Cell(str(line.place)),
        name_cell(line.of, wording),
        Cell(mark(line.total)),
        Cell(f"−{mark(behind)}" if behind else ""),
    )
    return Row(cells, "member", id)


def _chosen(facts: Iterable[FactInWords], room: float) -> list[FactInWords]:
    """The facts that fit, the most wanted first; one that is too long gives way to the next."""
    chosen: list[FactInWords] = []
    for fact in sorted((one for one in facts if one.kind in TOLD), key=_wanted):
        if _facts_height([*chosen, fact]) <= room:
            chosen.append(fact)
    return chosen


def _facts_height(facts: Sequence[FactInWords]) -> float:
    """Headings and sentences."""
    sentences = sum(_height(f"{fact.list_name} {fact.sentence}") for fact in facts)
    return sentences + HEADING * len({fact.kind for fact in facts})


def _wanted(fact: FactInWords) -> int:
    return TOLD.index(fact.kind)


def _height(text: str) -> float:
    return LINE * (1 + len(text) // LETTERS)


def _by_kind(
    chosen: Sequence[FactInWords], wording: Wording
) -> Iterator[tuple[str, tuple[str, ...]]]:
    for kind in TOLD:
        sentences = tuple(
            wording.language.headed(fact.list_name, fact.sentence)
            for fact in chosen
            if fact.kind == kind
        )
        if sentences:
            yield wording.say(HEADINGS[kind]), sentences
