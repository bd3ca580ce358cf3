"""What was published, one publication after the other, and what changed between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from resultsgen.history.publication import Publication, PublishedLine, PublishedMark, Through, Told
from resultsgen.meet.folder import Correction

Bibs = Mapping[tuple[str, str], str]
"""The person by competition and bib."""


@dataclass(frozen=True, slots=True)
class FactChange:
    """Something of a person, a competition or the meet that is printed otherwise than it was."""

    competition: str
    person: str
    """Empty: it is a setting, of a competition or of the whole meet."""
    what: str
    """Name, club and so on; bib; title and so on; or an entry of the rules."""
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class MarkChange:
    """A routine that is otherwise than it was; None: there was none, or there is none."""

    competition: str
    old: PublishedMark | None
    new: PublishedMark | None

    @property
    def key(self) -> tuple[str, str, int]:
        """Whose routine it is, and which."""
        there = self.new or self.old
        assert there is not None
        return there.key

    @property
    def texts(self) -> tuple[str, str]:
        """The mark or status before and after; empty where there is none."""
        return (self.old.text if self.old else "", self.new.text if self.new else "")


@dataclass(frozen=True, slots=True)
class LineChange:
    """A line of a list whose place, total or status is not what it was."""

    competition: str
    list: str
    old: PublishedLine | None
    new: PublishedLine | None

    @property
    def who(self) -> str:
        """The person, or the name of the team."""
        there = self.new or self.old
        assert there is not None
        return there.who

    @property
    def places(self) -> tuple[int | None, int | None]:
        """The place before and after."""
        return (self.old.place if self.old else None, self.new.place if self.new else None)


@dataclass(frozen=True, slots=True)
class TieChange:
    """A tie that arose (no places before), was dissolved (none after), or is placed otherwise."""

    competition: str
    list: str
    who: tuple[str, ...]
    old: tuple[int, ...]
    new: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class CutChange:
    """What a cut means for somebody, before and after; None: nothing."""

    competition: str
    list: str
    cut: str
    who: str
    old: Through | None
    new: Through | None

    @property
    def is_withdrawal(self) -> bool:
        """Only whether somebody starts is another: who withdrew, and who moves up for it."""
        if self.old is None or self.new is None:
            return False
        return self.old._replace(starts=self.new.starts) == self.new


@dataclass(frozen=True, slots=True)
class Changes:
    """What one publication changed of the one before."""

    added: tuple[MarkChange, ...] = ()
    changed: tuple[MarkChange, ...] = ()
    withdrawn: tuple[MarkChange, ...] = ()
    """Marks that are gone while their gymnast and competition are there."""
    lines: tuple[LineChange, ...] = ()
    ties: tuple[TieChange, ...] = ()
    cuts: tuple[CutChange, ...] = ()
    gymnasts_added: tuple[str, ...] = ()
    gymnasts_gone: tuple[str, ...] = ()
    competitions_added: tuple[str, ...] = ()
    competitions_gone: tuple[str, ...] = ()
    facts: tuple[FactChange, ...] = ()

    def __bool__(self) -> bool:
        """Anything at all."""
        return any(getattr(self, name) for name in self.__slots__)

    @property
    def withdrawals(self) -> tuple[CutChange, ...]:
        """Who withdrew from what a cut leads to, and who moves up for it; or no longer."""
        return tuple(one for one in self.cuts if one.is_withdrawal)

    @property
    def corrected(self) -> tuple[MarkChange, ...]:
        """Marks that had been published and are otherwise now, or gone."""
        return (*self.changed, *self.withdrawn)


@dataclass(frozen=True, slots=True)
class Corrected:
    """One thing that was published and is otherwise now, and the reasons that were given.

    Without apparatus it is about a gymnast, without bib about a whole competition; without both
    about the meet.
    """

    competition: str
    bib: str
    apparatus: str
    vault: int
    old: str
    new: str
    reasons: tuple[Correction, ...]
    change: MarkChange | None = None
    """Both marks with their parts; None where only the meet folder tells of the correction."""
    moved: tuple[LineChange, ...] = ()
    """The gymnast's own lines in the lists of the competition."""
    gone: bool = False
    person: str = ""
    what: str = ""
    """Of what is no mark: what of the gymnast, the competition or the meet is otherwise."""


@dataclass(frozen=True, slots=True)
class Moved:
    """What corrections moved, and no mark that was added at the same time."""

    lines: tuple[LineChange, ...] = ()
    """With places among those to whom no mark was added."""
    ties: tuple[TieChange, ...] = ()
    cuts: tuple[CutChange, ...] = ()


Became = Literal["", "provisional", "official", "sealed"]


@dataclass(frozen=True, slots=True)
class Issue:
    """A publication, what it changed of the one before, what it corrected and what that moved."""

    publication: Publication
    by_person: Publication
    """The same with persons in the place of bibs."""
    changes: Changes
    corrected: tuple[Corrected, ...]
    moved: Moved = Moved()
    """Nothing, where nothing was corrected."""
    became: Became = ""
    """What the results were not yet before; empty: they are still what they were."""


@dataclass(frozen=True, slots=True)
class History:
    """All publications, the first one first; none before anything is published."""

    issues: tuple[Issue, ...] = ()
    bibs: Mapping[str, str] = field(default_factory=dict)
    """The bib that each person wears, or last wore."""
    taken_back: tuple[Told, ...] = ()
    """Rows of corrections that the last publication but one had, and that are not there now."""
    unused: tuple[Correction, ...] = ()
    """New rows that are the reason of no change, though they name what was changed."""

    @property
    def number(self) -> int:
        """The number of the last publication; 0: there is none."""
        return self.issues[-1].publication.number if self.issues else 0

    @property
    def corrected(self) -> tuple[Corrected, ...]:
        """Every correction, the newest first."""
        return tuple(one for issue in reversed(self.issues) for one in issue.corrected)
