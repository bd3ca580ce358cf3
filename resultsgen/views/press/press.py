"""What the press gets: the press page, and a summary of a competition on one sheet of paper."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from resultsgen.language import to_say
from resultsgen.live.bests import Best
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.charts import SpreadChart
from resultsgen.views.lists.competitions import overview_link, state
from resultsgen.views.lists.spreads import marks_of, spread_of_marks
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.live.costs import Explanation, explanations, of_routines
from resultsgen.views.live.leads import Leaders, all_leaders, highlights
from resultsgen.views.press.notable import FactInWords, notable_facts
from resultsgen.views.site.addresses import Link
from resultsgen.views.site.attachments import Download, in_words
from resultsgen.views.site.board import contested, group_of
from resultsgen.views.words.wording import Wording

KINDS = ("TXT", "XLSX", "CSV")
"""In this order files are offered: to paste, to reckon with, to read by a program."""

EXPLAINED = 60
"""So many routines in which something happened are explained on the press page."""

NEWSWORTHY = (
    "record", "won", "everywhere", "sweep", "close", "tie", "climb", "lead", "together",
    "best-of-day", "first",
)  # fmt: skip
"""The kinds of facts, the most newsworthy first; before all of them who won the all-around."""

RECORDS = ("all meets", "series", "meet", "season", "personal")
"""The records, the greatest first; one that is only equalled comes after all of them."""

FOREMOST, CHAMPIONS, OF_A_KIND = 10, 4, 2
"""So many facts stand in front on the press page, so many winners of the all-around among them, and
so many of another kind while others are left."""


@dataclass(frozen=True)
class Takings:
    """What can be taken away of one competition, or of the whole meet."""

    title: str
    target: str
    """The page of the competition; empty for the meet."""
    texts: tuple[Download, ...]
    workbooks: tuple[Download, ...]
    tables: tuple[Download, ...]


@dataclass(frozen=True)
class UnderWay:
    """A competition that is under way, and who leads it."""

    title: Link
    state: str
    leaders: tuple[Leaders, ...]


@dataclass(frozen=True)
class Folded:
    """What else is told of one competition, folded until asked for."""

    title: Link
    facts: tuple[FactInWords, ...]
    explained: tuple[Explanation, ...]


@dataclass(frozen=True)
class PressView:
    """Everything on the press page."""

    contact: tuple[str, ...]
    terms: str
    running: tuple[UnderWay, ...]
    first: tuple[FactInWords, ...]
    """The most newsworthy facts of the meet."""
    folded: tuple[Folded, ...]
    """All other facts, by competition."""
    beside: str
    """How many routines are explained on the pages of their lists alone; empty where none is."""
    takings: tuple[Takings, ...]


def has_press_page(results: Results) -> bool:
    """There is something to tell, or somebody to ask."""
    contact = results.meet.settings.press.contact
    return bool(contact) or any(judged.started for judged in results.competitions)


def press_view(
    results: Results, tables: tuple[Download, ...], places: int, wording: Wording
) -> PressView:
    """The press page; of lists under way so many *places* are told."""
    press, told = results.meet.settings.press, explanations(results, wording)
    more = max(0, len(told) - EXPLAINED)
    beside = wording.language.count(
        "{n} routine more is explained on the pages of its lists.",
        "{n} routines more are explained on the pages of their lists.",
        more,
    )
    under_way = (
        UnderWay(
            overview_link(judged, wording),
            state(judged, wording),
            tuple(highlights(results, judged, places, wording)),
        )
        for judged in results.competitions
        if judged.started and not judged.complete
    )
    facts = notable_facts(results, wording)
    first = newsworthy(facts, results)
    # A list that was won by little is told twice in one sentence: as won, and as close.
    said = {(one.about, one.sentence): one for one in facts}
    more_said = said.keys() - {(one.about, one.sentence) for one in first}
    folded = (
        Folded(
            overview_link(judged, wording),
            tuple(said[one] for one in said if one in more_said and said[one].competition == id),
            tuple(of_routines(told[:EXPLAINED], id)),
        )
        for judged in results.competitions
        for id in (judged.competition.id,)
    )
    return PressView(
        tuple(map(wording.called, press.contact)),
        wording.called(press.terms),
        tuple(under_way),
        first,
        tuple(one for one in folded if one.facts or one.explained),
        beside if more else "",
        tuple(_takings(results, [in_words(table, wording) for table in tables], wording)),
    )


def newsworthy(facts: Iterable[FactInWords], results: Results) -> tuple[FactInWords, ...]:
    """The ten facts that stand in front: winners of the all-around, or where it has no final of
    its own who came first, then by kind as in NEWSWORTHY.

    There are at most four such winners, and two of a kind. Greater records come before lesser; of
    a kind those of finals before those of qualifications, the teams before an apparatus, else in
    the order of the honours board and of the meet. Where that makes fewer than ten, the next of the
    same order fill the room. What one kind has said of a list another does not repeat, nor a second
    record the same mark.
    """
    lists = contested(results)
    groups = [*lists]
    titles = {(one.competition.id, ranking.id) for held in lists.values() for one, ranking in held}

    def kind_of(fact: FactInWords) -> int:
        title = (fact.competition, "all-around") in titles and fact.kind == "first"
        champion = (title or fact.kind == "won") and fact.rests_on.list == "all-around"
        return -1 if champion else NEWSWORTHY.index(fact.kind)

    def weight(fact: FactInWords) -> tuple[bool, int]:
        told = fact.rests_on.fact
        return (told.equalled, RECORDS.index(told.record)) if isinstance(told, Best) else (False, 0)

    def order(fact: FactInWords) -> tuple[int, tuple[bool, int], bool, bool, int]:
        judged = results.competition(fact.competition)
        whole = fact.rests_on.list in ("", "all-around", "team")
        final, group = judged.competition.phase == "final", groups.index(group_of(judged, results))
        return kind_of(fact), weight(fact), not final, not whole, group

    once: dict[tuple[str, object], FactInWords] = {}
    for fact in sorted(facts, key=order):
        told = fact.rests_on.fact
        same = (told.key, told.mark) if isinstance(told, Best) else fact.sentence
        once.setdefault((fact.about, same), fact)
    held: list[FactInWords] = []
    more: list[FactInWords] = []
    of_kind: Counter[int] = Counter()
    for fact in once.values():
        kind = kind_of(fact)
        of_kind[kind] += 1
        (held if of_kind[kind] <= (CHAMPIONS if kind < 0 else OF_A_KIND) else more).append(fact)
    return tuple(sorted([*held, *more][:FOREMOST], key=order))


def _takings(results: Results, tables: Sequence[Download], wording: Wording) -> Iterator[Takings]:
    """The files of the meet, then those of each competition: what lies right in its folder."""
    links = {"data": Link(wording.called(results.meet.settings.title), "")}
    links |= {
        f"data/{judged.competition.id}": overview_link(judged, wording)
        for judged in results.competitions
    }
    for folder, link in links.items():
        here = [file for file in tables if file.address.rpartition("/")[0] == folder]
        files = [tuple(file for file in here if file.kind == kind) for kind in KINDS]
        if files[-1] if folder == "data" else any(files):
            texts, workbooks, csv = files
            yield Takings(link.text, link.target, texts, workbooks, csv)


# The press summary: what matters most first


TOLD = {
    "record": to_say("Bests and records"),
    "tie": to_say("Ties and how they were settled"),
    "everywhere": to_say("First on every apparatus"),
    "sweep": to_say("Clean sweeps"),
    "together": to_say("Closest behind the winners"),
    "best-of-day": to_say("Best marks of the day"),
    "climb": to_say("Biggest climbs"),
    "lead": to_say("How the lead changed"),
}
"""The kinds of facts on the sheet with their headings, the most wanted first; who won by how much
is in the table."""

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

    facts: tuple[tuple[str, tuple[str, ...]], ...]
    spread: SpreadChart | None
    """How the marks lie, where there is room for a picture of them."""
    contact_head: str
    contact: tuple[str, ...]
    embargo_head: str
    embargo: str


def press_sheet(
    results: Results, judged: CompetitionResults, wording: Wording
) -> tuple[Table, PressSheet]:
    """The first of each list, and as many facts as fit on one sheet of paper."""
    press, room = results.meet.settings.press, float(ROOM[results.meet.settings.paper])
    if press.contact:
        room -= HEADING + LINE * len(press.contact)
    if press.embargo:
        room -= HEADING + _height(wording.called(press.embargo))
    table = _leading(results, judged, room, wording)
    room -= _table_height(table.rows)
    facts = _chosen(notable_facts(results, wording, judged.competition.id), room)
    spread = spread_of_marks(marks_of(judged, wording), wording)
    if spread and SPREAD * (len(spread.rows) + 1) > room - _facts_height(facts):
        spread = None
    headed = wording.language.headed
    by_kind = {
        kind: tuple(headed(fact.list_name, fact.sentence) for fact in facts if fact.kind == kind)
        for kind in TOLD
    }
    return table, PressSheet(
        tuple((wording.say(TOLD[kind]), said) for kind, said in by_kind.items() if said),
        spread,
        wording.say("Contact"),
        tuple(map(wording.called, press.contact)),
        wording.say("Embargo"),
        wording.called(press.embargo),
    )


def _leading(results: Results, judged: CompetitionResults, room: float, wording: Wording) -> Table:
    """The first of each list, as many as there is room for."""
    every = tuple(all_leaders(results, judged, PLACES[0][0], wording))
    lists: list[tuple[Row, ...]] = []
    for places, most in PLACES:
        lists = [tuple(_rows(leaders, places, most, wording)) for leaders in every]
        if _table_height(sum(lists, ())) <= TABLE * room:
            break
    while lists and _table_height(sum(lists, ())) > room:
        lists.pop()
    columns = (
        Column(wording.say("Place"), "place", wording.say("Pl."), width=0.5),
        Column(wording.say("Name"), "name", width=3.6),
        Column(wording.say("Total"), "total"),
        Column(wording.say("Behind the first"), "number", wording.say("Behind")),
    )
    return Table("leading", wording.called(judged.competition.title), columns, sum(lists, ()))


def _rows(leaders: Leaders, places: int, most: int, wording: Wording) -> Iterator[Row]:
    """The name of a list, and those on its first places; of many who share one, how many more."""
    first = [leader for leader in leaders.rows if int(leader.place) <= places]
    if not first:
        return
    name = leaders.title
    if not leaders.decided:
        name = wording.say("{cut} (as it stands)", cut=name)
    yield Row((Cell(""), Cell(name), Cell(""), Cell("")), "team", f"list-{name}")
    for number, one in enumerate(first[:most]):
        who = Cell(one.name, one.sub, target=one.target)
        cells = (Cell(one.place), who, Cell(one.total), Cell(one.behind))
        yield Row(cells, "member", f"list-{name}-{number}")
    if more := len(first[most:]):
        told = wording.language.count("and {n} more", "and {n} more", more)
        yield Row((Cell(""), Cell(told), Cell(""), Cell("")), "member", f"list-{name}-more")


def _chosen(facts: Iterable[FactInWords], room: float) -> list[FactInWords]:
    """The facts that fit, the most wanted first; one that is too long gives way to the next."""
    chosen: list[FactInWords] = []
    wanted = (fact for fact in facts if fact.kind in TOLD)
    for fact in sorted(wanted, key=lambda fact: [*TOLD].index(fact.kind)):
        if _facts_height([*chosen, fact]) <= room:
            chosen.append(fact)
    return chosen


def _facts_height(facts: Sequence[FactInWords]) -> float:
    sentences = sum(_height(f"{fact.list_name} {fact.sentence}") for fact in facts)
    return sentences + HEADING * len({fact.kind for fact in facts})


def _height(text: str) -> float:
    return LINE * (1 + len(text) // LETTERS)


def _table_height(rows: Sequence[Row]) -> float:
    letters = (sum(len(cell.text) + len(cell.sub) for cell in row.cells[:2]) for row in rows)
    return ROW * (1 + sum(1 + many // ROW_LETTERS for many in letters))
