"""What the lists share: how ties, cuts and medals stand in their rows; and a list of gymnasts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from resultsgen.rules.ties import Tie
from resultsgen.scoring.results import (
    Beside,
    CompetitionResults,
    CutLine,
    Line,
    Ranking,
    Routine,
    Term,
)
from resultsgen.views.lists.cells import (
    EMPTY,
    cut_cell,
    cut_title,
    mark_cell,
    name_cell,
    place_cell,
    shown_name,
    total_cell,
)
from resultsgen.views.lists.legend import legend
from resultsgen.views.lists.table import Cell, Column, Note, Row, Table
from resultsgen.views.words.notes import Notes
from resultsgen.views.words.wording import Wording
from resultsgen.views.words.words import tie_sentence, why_words


@dataclass(frozen=True)
class Listing:
    """A list on its way into a table, with the notes its rows have called for."""

    ranking: Ranking
    competition: CompetitionResults
    wording: Wording
    notes: Notes = field(default_factory=Notes)

    @cached_property
    def names(self) -> dict[int, str]:
        """What the lines are called, by key."""
        return {line.key: shown_name(line.of, self.wording) for line in self.ranking.lines}

    @cached_property
    def ties(self) -> dict[int, Tie]:
        """The tie that a line is part of, by key."""
        return {key: tie for tie in self.ranking.ties for key in tie.keys}

    @cached_property
    def cut_lines(self) -> tuple[dict[int, CutLine], ...]:
        """For each cut, what it means for a line, by key."""
        return tuple({line.key: line for line in cut.lines} for cut in self.ranking.cuts)

    def tie_sentence(self, key: int) -> str:
        """How the tie that a line is part of was broken, or why the place is shared."""
        if key not in self.ties:
            return ""
        return tie_sentence(self.ties[key], self.names.__getitem__, self.wording.language)

    def tie_note(self, key: int) -> str:
        """The mark of the note with that sentence."""
        sentence = self.tie_sentence(key)
        return self.notes.mark_of(sentence) if sentence else ""

    def cut_columns(self) -> tuple[Column, ...]:
        """One column per cut; its heading is the name of the cut."""
        titles = (cut_title(cut, self.wording) for cut in self.ranking.cuts)
        return tuple(Column(title, "cut", short="Q", width=0.6) for title in titles)

    def cut_cells(self, key: int) -> tuple[Cell, ...]:
        """What each cut means for one line."""
        team = self.ranking.of_teams
        return tuple(
            cut_cell(cut.get(key), self.notes, self.wording, team=team) for cut in self.cut_lines
        )

    def term_columns(self) -> tuple[Column, ...]:
        """One column per sum that the totals are made of."""
        titles = (term_title(term, self.wording) for term in self.ranking.terms)
        return tuple(Column(title, "mark", width=1.1) for title in titles)

    def term_cells(self, terms: tuple[int | None, ...]) -> tuple[Cell, ...]:
        """What the total of one line is made of."""
        mark = self.wording.language.mark
        return tuple(Cell(mark(one)) if one is not None else EMPTY for one in terms)

    def row_below(self, one: Beside, middle: tuple[Cell, ...]) -> Row:
        """A row below the list for marks that no list takes; the cells between name and cuts."""
        who = one.line.gymnast
        note = self.notes.mark_of(why_words(one.why, self.wording.language))
        cuts = (EMPTY,) * len(self.ranking.cuts)
        first = place_cell(None, who.guest, note, self.wording)
        id = f"{self.ranking.id}-{who.key}-{one.why.replace(' ', '-')}"
        return Row((first, name_cell(who, self.wording), *middle, *cuts), "unranked", id)

    def podium(self, place: int | None) -> int:
        """1, 2 or 3 for a medal place of a final whose marks are all in; else 0."""
        is_final = self.competition.competition.phase == "final"
        decided = is_final and self.ranking.to_come == 0
        return place if decided and place is not None and place <= 3 else 0

    def through(self, key: int) -> Literal["", "qualified", "reserve"]:
        """What the first cut of the list means for a line."""
        return through(self.cut_lines[0].get(key)) if self.cut_lines else ""

    def table(self, id: str, columns: tuple[Column, ...], rows: tuple[Row, ...]) -> Table:
        """The table these rows make, with its notes and the legend of its codes."""
        title = self.wording.language.headed(
            self.competition.competition.title, self.wording.list_name(self.ranking.id)
        )
        codes = legend(columns, rows, self.wording)
        nobody = (Note("", self.wording.say("Nobody is in this list.")),)
        return Table(id, title, columns, rows, self.notes.all() if rows else nobody, codes)


def through(line: CutLine | None) -> Literal["", "qualified", "reserve"]:
    """Whether a cut lets somebody through or keeps them in reserve."""
    if line is None:
        return ""
    if line.verdict.outcome == "qualified":
        return "qualified"
    return "reserve" if line.verdict.outcome == "reserve" else ""


def term_title(term: Term, wording: Wording) -> str:
    """What one of the sums that a total is made of is called; a day by its competition."""
    if term.kind == "day":
        return term.title
    return wording.say("Carried") if term.kind == "carried" else wording.say("Final")


def total_label(ranking: Ranking, wording: Wording) -> str:
    """What a list is ordered by: one mark, the average of two vaults, or a total."""
    if ranking.kind != "apparatus" or ranking.terms:
        return wording.say("Total")
    return wording.say("Average") if len(ranking.parts) > 1 else wording.say("Mark")


Middle = Callable[[Line, Notes], tuple[Cell, ...]]
"""The cells of one line between the name and the total."""


def ranking_table(
    listing: Listing, columns: tuple[Column, ...], total: Column, middle: Middle
) -> Table:
    """A list of gymnasts: place, name, the columns in the middle, the total, the cuts."""
    say = listing.wording.say
    columns = (
        Column(say("Place"), "place", say("Pl."), width=0.5),
        Column(say("Gymnast"), "name", width=2.6),
        *columns,
        *listing.term_columns(),
        total,
        *listing.cut_columns(),
    )
    id = listing.ranking.id
    rows = tuple(_row(line, id, listing, middle) for line in listing.ranking.lines)
    below = listing.competition.beside_in(listing.ranking)
    return listing.table(id, columns, (*rows, *(_below(one, listing, middle) for one in below)))


def _row(line: Line, id: str, listing: Listing, middle: Middle) -> Row:
    gymnast, wording = line.gymnast, listing.wording
    note = listing.tie_note(gymnast.key)
    cells = (
        place_cell(line.place, gymnast.guest, note, wording),
        name_cell(gymnast, wording),
        *middle(line, listing.notes),
        *listing.term_cells(line.terms),
        total_cell(line, wording),
        *listing.cut_cells(gymnast.key),
    )
    return Row(
        cells,
        standing(line),
        f"{id}-{gymnast.key}",
        listing.podium(line.place),
        listing.through(gymnast.key),
    )


def _below(one: Beside, listing: Listing, middle: Middle) -> Row:
    """Marks that no list takes, with why; in a list of one mark the mark stands as the total."""
    line = one.line
    total = EMPTY if len(line.routines) > 1 else _mark_alone(line.routines[0], listing)
    more = len(listing.ranking.terms)
    cells = (*middle(line, listing.notes), *(EMPTY,) * more, total)
    return listing.row_below(one, cells)


def _mark_alone(routine: Routine | None, listing: Listing) -> Cell:
    return replace(mark_cell(routine, listing.notes, listing.wording), sub="", place="")


def standing(line: Line) -> Literal["ranked", "guest", "unranked"]:
    """How a line stands in its list."""
    if line.place is not None:
        return "ranked"
    return "guest" if line.gymnast.guest and line.total is not None else "unranked"
