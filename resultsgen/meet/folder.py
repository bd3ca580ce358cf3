"""What a meet folder holds once it is read: nothing after this sees an unchecked string."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from resultsgen.files.photographs import Size
from resultsgen.meet.problems import Note
from resultsgen.meet.ruleset import Departure, RuleSet
from resultsgen.meet.settings import MeetSettings

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Incident:
    """What happened in one routine, and what it cost by the meet's own word or by a figure."""

    competition: str
    gymnast: int
    """The row of the roster."""
    apparatus: str
    vault: int
    what: str
    deduction: int
    taken_from: Literal["E", "penalty"]
    source: str
    """Where the figure comes from; empty where the meet gives the deduction itself."""
    note: str
    file: str
    line: int


@dataclass(frozen=True)
class BestSoFar:
    """A season's or personal best of a gymnast, or a record of the meet."""

    record: Literal["season", "personal", "meet"]
    gymnasts: tuple[int, ...]
    """The rows of the roster that are the gymnast; empty for a record of the meet."""
    discipline: str
    """Of a record of the meet: whose marks it counts; an empty division: of all divisions."""
    division: str
    apparatus: str
    """Empty for the all-around total."""
    mark: int
    note: str
    line: int


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


@dataclass(frozen=True)
class CorrectionRow:
    """A row of the corrections: what it tells, and where it stands."""

    told: Correction
    file: str
    line: int


@dataclass(frozen=True)
class Page:
    """A Markdown page of the meet folder; `body` is still a template, read in the sandbox."""

    file: str
    title: str
    body: str
    first_line: int
    """The line of the file on which the body begins, to name the line of an error."""
    date: dt.date | None = None
    language: str = "en"
    order: int = 100
    club: str = ""
    """The club whose page it introduces; empty: it is a page by itself."""

    @property
    def slug(self) -> str:
        """The page's address: the name of its file, recap of recap.fr.md."""
        return Path(self.file).name.partition(".")[0]


@dataclass(frozen=True)
class Meet:
    """A meet folder, read: nothing after this sees a file name or an unchecked string.

    `roster`: one row per entry, index 0..n-1, the columns of ROSTER as text except
    `start_order` and `birth_year` (Int64), `guest` and `publish` (bool), and `line` (the line
    of the file). `team` is filled in from the roster only where the file gives it.

    `marks`: one row per routine or status, the columns of MARKS with `mark`, `d`, `e`,
    `penalty`, `bonus` in Int64 thousandths (penalty never negative), `vault` (1 or 2) and
    `rotation` Int64, `competition` always a competition's id, `gymnast` the index of the roster
    row, `file` and `line`.
    """

    settings: MeetSettings
    rule_sets: dict[str, RuleSet]
    """By the id of the competition."""
    roster: pd.DataFrame
    marks: pd.DataFrame
    pages: tuple[Page, ...] = ()
    departures: dict[str, tuple[Departure, ...]] = field(default_factory=dict)
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
    """The line of each key of `meet.toml`."""
    sizes: dict[str, Size] = field(default_factory=dict)
    """How large those are that are no drawings."""
