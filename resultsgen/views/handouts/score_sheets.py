"""Blank score sheets, made before the meet: one for each squad and apparatus, in start order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from resultsgen.live.contests import rotations
from resultsgen.scoring.results import CompetitionResults, Start
from resultsgen.views.lists.competitions import when
from resultsgen.views.lists.sections import BookSubject, Section, SheetContent
from resultsgen.views.lists.start_lists import squad_title, squads, starter_cell
from resultsgen.views.words.wording import Wording

LINES = 12
"""So many lines to write in find room on a sheet."""


@dataclass(frozen=True)
class SheetRow:
    """Who performs: a line, or two on vault where there are two vaults."""

    before: tuple[str, ...]
    """Order and bib; the order alone where nobody wears one."""
    name: str
    sub: str
    """Club, and guest."""
    lines: tuple[str, ...]
    """What stands before each line: nothing, or which vault it is for."""
    status: str


@dataclass(frozen=True)
class ScoreSheet(SheetContent):
    """One squad on one apparatus, or a part of it if it is large."""

    apparatus: str
    competition: str
    facts: tuple[str, ...]
    """Session and squad, rotation, day and time, which part."""
    headings: tuple[str, ...]
    parts: tuple[str, ...]
    """What is written in: D, E, penalty, final mark."""
    rows: tuple[SheetRow, ...]
    signature: str


class Squad(NamedTuple):
    """Those who perform together, in start order, and where they begin."""

    title: str
    starts: tuple[Start, ...]
    orders: tuple[int, ...]
    turns: tuple[tuple[str, int | None], ...]
    """Each apparatus in the order in which they do it, with the rotation if it is known."""


def score_sheets(subject: BookSubject) -> Iterator[Section]:
    """A sheet for each squad and apparatus of the competitions in which a mark is to come
    and it is decided who starts."""
    wording = subject.wording
    title = wording.say("Score sheets")
    for judged in subject.competitions:
        if not judged.competition.has_own_marks or judged.complete or judged.waits_for:
            continue
        sheets = (
            (squad, sheet)
            for squad in _squads(judged, wording)
            for code, rotation in squad.turns
            for sheet in _sheets(judged, squad, code, rotation, wording)
        )
        for number, (squad, sheet) in enumerate(sheets, start=1):
            told = sheet.competition, squad.title, sheet.apparatus
            id = f"score-sheet/{judged.competition.id}/{number}"
            heads = " · ".join(filter(None, told))
            yield Section(id, "score-sheet", title, heads, content=sheet)


def _squads(judged: CompetitionResults, wording: Wording) -> Iterator[Squad]:
    """The squads of each session; in a final who starts on each apparatus, or all."""
    if judged.start_lists:
        starts = {start.gymnast.key: start for start in judged.starts}
        for listed in judged.start_lists:
            members = tuple(starts[key] for key in listed.keys)
            turns = [(listed.apparatus, None)] if listed.apparatus else _in_turn(judged, "")
            yield Squad("", members, tuple(range(1, len(members) + 1)), tuple(turns))
        return
    for session, squad, members, orders in squads(judged):
        title = squad_title(session, squad, wording)
        yield Squad(title, members, tuple(orders), tuple(_in_turn(judged, squad)))


def _in_turn(judged: CompetitionResults, squad: str) -> Sequence[tuple[str, int | None]]:
    """Every apparatus in the order in which a squad goes round; as listed where nobody says so."""
    running = judged.competition.running
    turns = rotations(running.circuit or judged.apparatus, running.starts.get(squad, ""))
    known = sorted(turns, key=turns.__getitem__)
    return [(code, turns.get(code)) for code in dict.fromkeys((*known, *judged.apparatus))]


def _sheets(
    judged: CompetitionResults, squad: Squad, code: str, rotation: int | None, wording: Wording
) -> Iterator[ScoreSheet]:
    """The sheets of a squad on one apparatus: one, or several of nearly the same length."""
    rows = tuple(_rows(judged, squad, code, wording))
    each = max(1, LINES // max((len(row.lines) for row in rows), default=1))
    parts = -(-len(rows) // each)
    say, rules = wording.say, judged.rule_set.marks
    before: tuple[str, ...] = (say("Remarks"),)
    if rules.composition == "d+e":
        before = ("D", "E", say("Bonus")) if rules.bonus else ("D", "E")
    for number in range(parts):
        facts = (
            squad.title,
            say("Rotation {rotation}", rotation=rotation) if rotation else "",
            when(judged, wording),
            say("Sheet {n} of {all}", n=number + 1, all=parts) if parts > 1 else "",
        )
        yield ScoreSheet(
            wording.apparatus(code),
            wording.called(judged.competition.title),
            tuple(filter(None, facts)),
            (say("Order"), *((say("Bib"),) if wording.bibs_worn else ()), say("Gymnast")),
            (*before, say("Penalty"), say("Final mark")),
            rows[number * len(rows) // parts : (number + 1) * len(rows) // parts],
            say("Judge"),
        )


def _rows(
    judged: CompetitionResults, squad: Squad, code: str, wording: Wording
) -> Iterator[SheetRow]:
    lines: tuple[str, ...] = ("",)
    if code == "VT" and judged.competition.vaults == 2:
        lines = (wording.say("1st vault"), wording.say("2nd vault"))
    for start, order in zip(squad.starts, squad.orders, strict=True):
        if code in start.apparatus:
            who = start.gymnast
            name = starter_cell(who, wording)
            routine = judged.by_gymnast.get(who.key, {}).get((code, 1))
            status = routine.status if routine else ""
            before = (str(order), who.bib) if wording.bibs_worn else (str(order),)
            yield SheetRow(before, name.text, name.sub, lines, status)
