"""A list on its way into a table: what is told of each of its lines, and what its cuts mean."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import takewhile

from resultsgen.live.competition import chances_so_far, live_competition
from resultsgen.live.lists import Chances
from resultsgen.scoring.ranking import CutLine, CutResult, Line, Ranking
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import EMPTY, shown_name
from resultsgen.views.lists.places import place_cell
from resultsgen.views.lists.table import Cell, InCut, Notes
from resultsgen.views.words.reasons import (
    cut_mark,
    cut_sentence,
    cut_state,
    cut_title,
    tie_sentence,
)
from resultsgen.views.words.so_far import sentence_so_far, state_so_far
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Listing:
    """A list on its way into a table, with the notes its rows have called for."""

    ranking: Ranking
    competition: CompetitionResults
    wording: Wording
    notes: Notes = field(default_factory=Notes)

    @property
    def title(self) -> str:
        """The competition, and the list of it."""
        competition = self.wording.called(self.competition.competition.title)
        return self.wording.language.headed(competition, self.wording.list_name(self.ranking.id))

    @cached_property
    def names(self) -> dict[int, str]:
        """What the lines are called, by key."""
        return {line.key: shown_name(line.of, self.wording) for line in self.ranking.lines}

    @cached_property
    def tie_sentences(self) -> dict[int, str]:
        """How the tie that a line is part of was broken, or why the place is shared, by key."""
        language, name_of = self.wording.language, self.names.__getitem__
        told = ((tie, tie_sentence(tie, name_of, language)) for tie in self.ranking.ties)
        return {key: sentence for tie, sentence in told for key in tie.keys}

    @cached_property
    def cut_lines(self) -> tuple[dict[int, CutLine], ...]:
        """For each cut, what it means for a line, by key."""
        return tuple({line.key: line for line in cut.lines} for cut in self.ranking.cuts)

    @cached_property
    def passed(self) -> tuple[frozenset[int], ...]:
        """For each cut, who is placed before the last who starts or stands by, by key."""
        return tuple(
            frozenset(line.key for line in cut.lines[: max(marked(cut), default=0)])
            for cut in self.ranking.cuts
        )

    @cached_property
    def drawn(self) -> dict[int, str]:
        """The cuts of the list, by the key of the last who goes through each."""
        return self._edges(last_through, lambda title: title)

    @cached_property
    def standing_by(self) -> dict[int, str]:
        """The same for the last of the reserves."""
        reserves = self.wording.say("Reserves")
        several, headed = len(self.ranking.cuts) > 1, self.wording.language.headed
        return self._edges(
            last_reserve, lambda title: headed(title, reserves) if several else reserves
        )

    def _edges(
        self, last: Callable[[CutResult], int | None], called: Callable[[str], str]
    ) -> dict[int, str]:
        found: dict[int, list[str]] = {}
        for cut in self.ranking.cuts:
            if (key := last(cut)) is not None:
                found.setdefault(key, []).append(called(cut_title(cut, self.wording)))
        return {key: ", ".join(titles) for key, titles in found.items()}

    def place_cell(self, line: Line, notes: Notes) -> Cell:
        """The place of a line, with a note on how a tie was settled."""
        place, note = self.ranking.places[line.key], ""
        if place == line.place:
            note = notes.mark_of(self.tie_sentences.get(line.key, ""))
        return place_cell(place, line.of.guest, note, self.wording)

    def term_cells(self, line: Line) -> tuple[Cell, ...]:
        """What the total of one line is made of."""
        mark = self.wording.language.mark
        return tuple(Cell(mark(term)) if term is not None else EMPTY for term in line.terms)

    def podium(self, place: int | None) -> int:
        """1, 2 or 3 for a medal place of a final whose marks are all in; else 0."""
        is_final = self.competition.competition.phase == "final"
        decided = is_final and self.ranking.to_come == 0
        return place if decided and place is not None and place <= 3 else 0

    @cached_property
    def chances(self) -> tuple[Chances | None, ...]:
        """For each cut, what it can still mean, by key; None: it is decided."""
        cuts, judged = self.ranking.cuts, self.competition
        return tuple(chances_so_far(judged, self.ranking, cut) for cut in cuts)

    @cached_property
    def spare(self) -> tuple[frozenset[int], ...]:
        """For each cut with marks to come, who is out and may yet be called up, by key."""
        listed = live_competition(self.competition).lists.get(self.ranking.id)
        by_name = listed.standing_by if listed else {}
        none = frozenset[int]()
        return tuple(
            none if cut.final else by_name.get(cut.cut.name, none) for cut in self.ranking.cuts
        )

    def cut_state(self, number: int, line: CutLine) -> tuple[str, str]:
        """Where somebody stands now by a cut of the list: a code, and in words."""
        leads_on, passed = bool(self.ranking.cuts[number].cut.to), line.key in self.passed[number]
        language, chances = self.wording.language, self.chances[number]
        if chances is not None:
            return state_so_far(line, chances.get(line.key), language, final=leads_on)
        return cut_state(line, language, final=leads_on, passed=passed)

    def cut_code(self, number: int, line: CutLine) -> str:
        """The code of a verdict for who reads the data; of a decided cut as it was before all."""
        if self.chances[number] is None:
            return cut_mark(line.verdict)
        return self.cut_state(number, line)[0]

    def chance(self, number: int, key: int) -> str:
        """What a cut with marks to come can still mean for somebody; else nothing."""
        return (self.chances[number] or {}).get(key, "")

    def cut_sentence(self, number: int, line: CutLine, *, brief: bool = True) -> str:
        """What a cut of the list, by its number, means for a line."""
        cut, language = self.ranking.cuts[number], self.wording.language
        chances, name_of = self.chances[number], self.names.__getitem__
        if chances is None:
            return cut_sentence(cut, line, name_of, language, brief=brief)
        chance, listed = chances.get(line.key), live_competition(self.competition).lists
        rivals: list[int] = []
        if chance == "open" and line.verdict.outcome == "qualified" and self.ranking.id in listed:
            found = listed[self.ranking.id].rivals(cut.cut.name, line.key)
            rivals = [key for key in self.names if key in found]
        spare = line.key in self.spare[number]
        return sentence_so_far(cut, line, chance, rivals, name_of, language, spare=spare)

    def in_cut(self, number: int, line: CutLine | None) -> InCut:
        """Whether a cut lets somebody start or keeps them in reserve, for good or only so far."""
        chances, found = self.chances[number], in_cut(line)
        is_sure = chances is None or line is None or chances.get(line.key) == "in"
        return found if is_sure or not found else "so-far"


def last_through(cut: CutResult) -> int | None:
    """The key of the last who starts; nobody where each body has places of its own."""
    return None if cut.quota.of_each or not cut.starting else cut.starting[-1].key


def last_reserve(cut: CutResult) -> int | None:
    """The key of the last who stands by, below those who start; nobody where bodies have places."""
    waiting, through = {line.key for line in cut.waiting}, last_through(cut)
    below = takewhile(lambda line: line.key != through, reversed(cut.lines))
    return next((line.key for line in below if line.key in waiting and not cut.quota.of_each), None)


def in_cut(line: CutLine | None) -> InCut:
    """Whether a cut lets somebody start or keeps them in reserve, as it is after withdrawals."""
    outcome = line.verdict.outcome if line and not line.withdrawn else ""
    if line and line.called_up:
        return "qualified"
    return outcome if outcome == "qualified" or outcome == "reserve" else ""


def marked(cut: CutResult) -> list[int]:
    """Where those stand in the list who start, stand by or are called up."""
    return [n for n, line in enumerate(cut.lines) if cut_mark(line.verdict) or line.called_up]
