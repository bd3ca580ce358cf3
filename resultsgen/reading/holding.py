"""Marks that are held back: a competition with a wrong row stays as it was published.

While a meet runs, one wrong row keeps back the marks of its own competition and no other. The row
may not tell which that is: then those of all whose marks stand in its file are. An incident that
is wrong keeps no mark back; it is left out and told. Anything else keeps back everything.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from resultsgen.history.publication import (
    Publication,
    PublishedGymnast,
    PublishedMark,
    without_words,
)
from resultsgen.meet.competition import Competition
from resultsgen.meet.folder import NAME, Entry, HeldBack, MarkRow, Meet
from resultsgen.meet.problems import Note, Problem
from resultsgen.privacy.forms import as_written
from resultsgen.reading.belonging import BibsWorn


@dataclass(frozen=True)
class Holding:
    """What is held back, and as what it was published last."""

    last: Publication | None = None
    why: Mapping[str, tuple[Problem, ...]] = field(default_factory=dict)
    """What is wrong in the marks of a competition, by its id."""
    incidents: tuple[Problem, ...] = ()

    def further(self, meet: Meet, problems: Sequence[Problem]) -> Holding | None:
        """The same with what these problems hold back; None where they hold back everything."""
        incidents = tuple(one for one in problems if one.file == meet.settings.files.incidents)
        why, places = {id: dict.fromkeys(wrong) for id, wrong in self.why.items()}, _places(meet)
        for problem in problems:
            ids = competitions_of(problem, meet, places)
            if problem.file != meet.settings.files.incidents and not ids - self.why.keys():
                return None
            for id in ids:
                why.setdefault(id, {})[problem] = None
        found = {id: tuple(wrong) for id, wrong in why.items()}
        return Holding(self.last, found, (*self.incidents, *incidents))

    def held(self, meet: Meet, problems: Iterable[Problem]) -> tuple[Meet, list[Problem]]:
        """The meet with what is held back as it was published, and what is wrong in all else."""
        if not (self.why or self.incidents):
            return meet, list(problems)
        order = [one.id for one in meet.settings.competitions if one.id in self.why]
        marks = {id: _marks_as_published(id, meet, self.last) for id in order}
        ids = [id for id, rows in marks.items() if rows is not None]
        others = (row for row in meet.mark_rows if row.competition not in ids)
        wrong = {one.row for one in self.incidents}
        return replace(
            meet,
            mark_rows=(*others, *(row for id in ids for row in marks[id] or ())),
            stated=tuple(one for one in meet.stated if one.competition not in ids),
            incidents=tuple(
                one for one in meet.incidents if not {0, one.line} & wrong
            ),
            corrections=tuple(
                row for row in meet.corrections
                if row.correction.competition not in ids
                or (self.last and without_words(row.correction) in self.last.corrections)
            ),
            held=tuple(HeldBack(id, self.why[id]) for id in ids),
        ), [*self._left(meet, problems, frozenset(ids))]  # fmt: skip

    def _left(
        self, meet: Meet, problems: Iterable[Problem], ids: frozenset[str]
    ) -> Iterator[Problem]:
        places = _places(meet)
        for problem in problems:
            of = competitions_of(problem, meet, places)
            if problem in self.incidents:
                told = vars(problem) | {"message": f"{problem.message}; the incident is left out"}
                yield Note(**told)
            elif isinstance(problem, Note) or not of or not of <= ids:
                yield problem


RowPlaces = Mapping[tuple[str, int], set[str]]
"""The competitions of the rows of marks, by file and line."""


def _places(meet: Meet) -> RowPlaces:
    found: dict[tuple[str, int], set[str]] = {}
    for row in meet.mark_rows:
        if row.competition:
            found.setdefault((row.file, row.line), set()).add(row.competition)
    return found


def competitions_of(problem: Problem, meet: Meet, places: RowPlaces) -> frozenset[str]:
    """Whose marks a problem is about: of its row, else all that its file may hold."""
    if isinstance(problem, Note) or problem.file in meet.settings.sources("roster"):
        return frozenset()
    return frozenset(
        places.get((problem.file, problem.row))
        or (
            one.id
            for one in meet.settings.competitions
            if one.has_own_marks and problem.file in meet.settings.sources_of(one)
        )
    )


def _marks_as_published(id: str, meet: Meet, last: Publication | None) -> list[MarkRow] | None:
    """The rows that say what was published; None where not everybody of then is who she was."""
    held = [each for each in last.competitions if each.id == id] if last else []
    if last is None or not held:
        return []
    number, competition = next(
        (n, one) for n, one in enumerate(meet.settings.competitions) if one.id == id
    )
    keys = BibsWorn(meet.settings, meet.entries).keys[number]
    were = {who.bib: who for who in last.gymnasts if id in who.competitions}
    now = {
        (row.gymnast, row.apparatus, row.vault): row
        for row in meet.mark_rows
        if row.competition == id
    }
    rows = []
    for mark in held[0].marks:
        key = keys.get(mark.bib)
        if key is None or not _is(were.get(mark.bib), meet.entries[key]):
            return None
        rows.append(_row(mark, key, competition, meet, now.get((key, mark.apparatus, mark.vault))))
    order = {routine: number for number, routine in enumerate(now)}  # What came last stands last.
    return sorted(rows, key=lambda row: order.get((row.gymnast, row.apparatus, row.vault), -1))


def _is(who: PublishedGymnast | None, entry: Entry) -> bool:
    """Whether an entry is the gymnast who was published with its bib."""
    if who is None or who.facts is None:
        return False
    if NAME not in who.facts:
        return not entry.publish
    return as_written(who.facts[NAME]) == as_written(entry.family_name, entry.given_name)


def _row(
    mark: PublishedMark, key: int, competition: Competition, meet: Meet, now: MarkRow | None
) -> MarkRow:
    """A published mark where its row stands now; only the row knows its rotation."""
    return MarkRow(
        now.file if now else meet.settings.sources_of(competition)[0],
        now.line if now else 0,
        mark.bib, key, competition.id, mark.apparatus, mark.vault, mark.mark, mark.d, mark.e,
        mark.penalty, mark.bonus, now.rotation if now else None, mark.status,
        now.column if now else "mark",
    )  # fmt: skip


NOTHING_HELD = Holding()
