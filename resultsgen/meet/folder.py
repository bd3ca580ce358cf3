"""What a meet folder holds once it is read: nothing after this sees an unchecked string."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, NamedTuple

from resultsgen.meet.pages import Page, Size
from resultsgen.meet.problems import Note, Problem
from resultsgen.meet.ruleset import RuleOverride, RuleSet
from resultsgen.meet.settings import MeetSettings


class Entry(NamedTuple):
    """One row of the roster, read: text as written, but for whole numbers and yes or no."""

    key: int
    file: str
    """The source, as the settings name it."""
    line: int
    bib: str
    family_name: str
    given_name: str
    name: str
    """The whole name where it stood in one cell, as it was written."""
    club: str
    federation: str
    team: str
    discipline: str
    division: str
    session: str
    squad: str
    start_order: int | None
    entered: str
    birth_year: int | None
    guest: bool
    publish: bool
    status: str
    pronounced: str
    person: str


class MarkRow(NamedTuple):
    """One row of the marks, read: a mark in whole thousandths or a status, or neither yet."""

    file: str
    line: int
    bib: str
    gymnast: int | None
    """The key of the entry; None where nobody wears the bib."""
    competition: str
    """Always a competition's id."""
    apparatus: str
    vault: int | None
    mark: int | None
    d: int | None
    e: int | None
    penalty: int | None
    """Never negative."""
    bonus: int | None
    rotation: int | None
    status: str
    column: str
    """The heading under which the mark stands, to name the cell."""

    @property
    def parts_give(self) -> int | None:
        """D + E + bonus - penalty where both D and E are given and that is not the mark.

        An invalid vault is 0.000 although its E may stay on paper, and a mark is never below 0.
        """
        if self.d is None or self.e is None or self.mark is None:
            return None
        given = self.d + self.e + (self.bonus or 0) - (self.penalty or 0)
        is_nothing = self.mark == 0 and (self.d == 0 or given < 0)
        return None if given == self.mark or is_nothing else given


class Stated(NamedTuple):
    """What a table of marks says of a total or a place, to be compared with the judging."""

    file: str
    line: int
    column: str
    gymnast: int
    competition: str
    apparatus: str
    """Empty: the all-around."""
    kind: Literal["total", "place"]
    value: int
    """A total in thousandths."""


TakenFrom = Literal["E", "penalty"]
"""The part of a mark that a deduction is taken from."""


class Incident(NamedTuple):
    """What happened in one routine, and what it cost by the meet's own word or by a figure."""

    competition: str
    gymnast: int
    """The row of the roster."""
    apparatus: str
    vault: int
    what: str
    deduction: int
    taken_from: TakenFrom
    source: str
    """Where the figure comes from; empty where the meet gives the deduction itself."""
    note: str
    file: str
    line: int


class BestSoFar(NamedTuple):
    """A season's or personal best of a gymnast, or a record of the meet, a series or all meets."""

    record: Literal["season", "personal", "meet", "series", "all meets"]
    gymnasts: tuple[int, ...]
    """The rows of the roster that are the gymnast; empty for a record."""
    discipline: str
    """Of a record: whose marks it counts; an empty division: of all divisions."""
    division: str
    apparatus: str
    """Empty for the all-around total."""
    mark: int
    note: str
    line: int


NAME = "name"
"""The fact of a gymnast that is known of nobody whose name is withheld."""

SETTINGS = ("title", "place", "venue", "organiser", "dates", "officials")
"""Facts of the whole meet."""


class Correction(NamedTuple):
    """What the meet folder tells of a correction, and of its reason."""

    competition: str
    """Its id; empty where a gymnast is gone who was in several."""
    bib: str
    """Empty: the whole competition."""
    apparatus: str
    """Empty: whatever the gymnast has in the competition."""
    vault: int
    old: str
    """A mark with three decimals, a status, or nothing."""
    new: str
    why: str
    who: str
    when: str
    gone: bool
    what: str = ""
    """Of a row that is about no mark: a fact of the gymnast or of the meet, as name or title."""


class CorrectionRow(NamedTuple):
    """A row of the corrections: what it tells, and where it stands."""

    correction: Correction
    file: str
    line: int


class HeldBack(NamedTuple):
    """A competition whose marks stay as they were published, since new ones are wrong."""

    competition: str
    why: tuple[Problem, ...]


@dataclass(frozen=True)
class Meet:
    """A meet folder, read: nothing after this sees a file name or an unchecked string."""

    settings: MeetSettings
    rule_sets: dict[str, RuleSet]
    """By the id of the competition."""
    entries: tuple[Entry, ...]
    """The roster; the key of an entry is its position."""
    mark_rows: tuple[MarkRow, ...]
    pages: tuple[Page, ...] = ()
    stated: tuple[Stated, ...] = ()
    """Totals and places that the tables of marks say."""
    rule_overrides: dict[str, tuple[RuleOverride, ...]] = field(default_factory=dict)
    """What `[rules]` changes in the rule set of a competition, by its id; others have none."""
    incidents: tuple[Incident, ...] = ()
    bests: tuple[BestSoFar, ...] = ()
    corrections: tuple[CorrectionRow, ...] = ()
    assets: dict[str, Path] = field(default_factory=dict)
    """Checked files of assets/, by their name inside it."""
    persons: Mapping[Any, str] = field(default_factory=dict)
    """The address under which somebody on the roster was published before."""
    taken: frozenset[str] = frozenset()
    """Every address that somebody was published under; nobody else gets it."""
    notes: tuple[Note, ...] = ()
    """What was left alone, and what else is told without being a problem."""
    lines: dict[str, int] = field(default_factory=dict)
    sizes: dict[str, Size] = field(default_factory=dict)
    """How large those are that are no drawings."""
    held: tuple[HeldBack, ...] = ()
    """Competitions in whose marks something is wrong while the meet runs."""
