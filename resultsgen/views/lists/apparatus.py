"""The list of one apparatus: D, E, penalty and bonus in columns of their own, then the mark.

Where two vaults are needed, both stand beside their average. Where days are added, their marks do.
"""

from __future__ import annotations

from dataclasses import replace

from resultsgen.language import Language
from resultsgen.scoring.results import CompetitionResults, Line, Ranking, Routine
from resultsgen.views.lists.cells import EMPTY, mark_cell, parts_note
from resultsgen.views.lists.rankings import Listing, ranking_table, total_label
from resultsgen.views.lists.table import Cell, Column, Table
from resultsgen.views.words.notes import Notes
from resultsgen.views.words.wording import Wording


def apparatus_table(competition: CompetitionResults, code: str, wording: Wording) -> Table:
    """The whole list of one apparatus."""
    ranking = competition.by_apparatus[code]
    listing = Listing(ranking, competition, wording)
    if not ranking.parts:
        total = Column(total_label(ranking, wording), "total", width=1.1)
        return ranking_table(listing, (), total, lambda line, notes: ())
    table = _two_vaults if len(ranking.parts) > 1 else _one_mark
    return table(ranking, listing)


def _one_mark(ranking: Ranking, listing: Listing) -> Table:
    """One routine each, with its parts."""
    wording = listing.wording
    below = [one.line for one in listing.competition.beside_in(ranking)]
    lines = (*ranking.lines, *below)
    given = given_parts([one for line in lines if (one := line.routines[0])])

    def parts(line: Line, notes: Notes) -> tuple[Cell, ...]:
        return tuple(part_cell(line.routines[0], column.label, notes, wording) for column in given)

    total = Column(total_label(ranking, wording), "total", width=1.1)
    return ranking_table(listing, given, total, parts)


def given_parts(routines: list[Routine]) -> tuple[Column, ...]:
    """A column for each part of a mark that at least one routine gives."""
    parts = (
        ("D", any(one.d is not None for one in routines)),
        ("E", any(one.e is not None for one in routines)),
        ("P", any(one.penalty for one in routines)),
        ("B", any(one.bonus for one in routines)),
    )
    return tuple(Column(code, "number", width=0.7) for code, given in parts if given)


def part_cell(routine: Routine | None, code: str, notes: Notes, wording: Wording) -> Cell:
    """The D score, E score, penalty or bonus of a routine; empty where it has none."""
    if routine is None or routine.mark is None:
        return EMPTY
    text = part_text(routine, code, wording.language)
    note = parts_note(routine, notes, wording) if code == "E" else ""
    return Cell(text, note=note)


def part_text(routine: Routine, code: str, language: Language) -> str:
    """One part of a mark as it is printed: a penalty with its minus, a bonus with its plus."""
    if code == "D":
        return language.short(routine.d)
    if code == "E":
        return language.mark(routine.e)
    if code == "P":
        return f"−{language.short(routine.penalty)}" if routine.penalty else ""
    return f"+{language.short(routine.bonus)}" if routine.bonus else ""


def _two_vaults(ranking: Ranking, listing: Listing) -> Table:
    """Both vaults and their average."""
    wording = listing.wording

    def vaults(line: Line, notes: Notes) -> tuple[Cell, ...]:
        # The place of the first vault alone says nothing in a list of averages.
        cells = [mark_cell(routine, notes, wording) for routine in line.routines]
        if line.below:
            note = notes.mark_of(wording.say("One vault: placed below those with two."))
            cells[1] = replace(cells[1], note=note)
        return tuple(replace(cell, place="") for cell in cells)

    numbered = [f"{ranking.apparatus}{number}" for number in (1, 2)]
    columns = tuple(Column(wording.apparatus(one), "mark", one) for one in numbered)
    total = Column(total_label(ranking, wording), "total", width=1.1)
    return ranking_table(listing, columns, total, vaults)
