"""What was published, one publication after the other, what changed between them, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

from resultsgen.files.once import Once
from resultsgen.history.changes import Changes, MarkChange, changes
from resultsgen.history.effects import Effects, effects, moved_by_no_mark
from resultsgen.history.publication import (
    Publication,
    PublishedCorrection,
    PublishedMark,
    by_person,
)
from resultsgen.history.reasons import Reasons, given_reasons
from resultsgen.meet.folder import Correction


@dataclass(frozen=True, slots=True)
class Corrected:
    """One thing that was published and is otherwise now, and the reasons that were given.

    Without apparatus it is about a gymnast, without bib about a whole competition; without both
    about the meet.
    """

    competition: str = ""
    bib: str = ""
    apparatus: str = ""
    vault: int = 1
    old: str = ""
    new: str = ""
    reasons: tuple[Correction, ...] = ()
    change: MarkChange | None = None
    """Both marks with their parts; None where only the meet folder tells of the correction."""
    gone: bool = False
    person: str = ""
    what: str = ""
    """Of what is no mark: what of the gymnast, the competition or the meet is otherwise."""
    takes_back: bool = False
    """It is again as it was before it was last corrected."""
    had: tuple[PublishedMark, ...] = ()
    """The marks that were published of a gymnast who is gone."""


Became = Literal["", "provisional", "official", "sealed"]


@dataclass(frozen=True, slots=True)
class Issue:
    """A publication, what it changed of the one before, what it corrected and what that moved."""

    publication: Publication
    by_person: Publication
    """The same with persons in the place of bibs."""
    changes: Changes
    corrected: tuple[Corrected, ...]
    effects: Effects
    """Nothing, where nothing was corrected."""
    became: Became = ""
    """What the results were not yet before; empty: they are still what they were."""


@dataclass(frozen=True, slots=True)
class History:
    """All publications, the first one first; none before anything is published."""

    issues: tuple[Issue, ...] = ()
    bibs: Mapping[str, str] = field(default_factory=dict)
    """The bib that each person wears, or last wore."""
    taken_back: tuple[PublishedCorrection, ...] = ()
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
        return tuple(corrected for issue in reversed(self.issues) for corrected in issue.corrected)


def history(publications: Sequence[Publication], rows: Sequence[Correction] = ()) -> History:
    """Each publication with what it changed of the one before, and the reasons that are given.

    A reason may be given later than the change was made. What only the meet folder tells of
    belongs to the first publication after it was told.
    """
    if not publications:
        return History()
    bibs = {each.person: each.bib for publication in publications for each in publication.gymnasts}
    given, lost = given_reasons(rows, publications, bibs)
    reasons = Reasons(given)
    steps = zip(pairwise((None, *by_person(publications))), publications, strict=True)
    found = [
        _issue(publication, old, new, reasons, bibs)
        for (old, new), publication in reversed(list(steps))
        if new
    ]
    issues, last = [], dict[object, Corrected]()
    unused: tuple[Correction, ...] = ()
    for issue in reversed(found):
        fresh = reasons.unused(issue.publication.number)
        unused = tuple(row for row in fresh if row.what)
        only_told = (
            Corrected(*row[:6], reasons=(row,), gone=row.gone) for row in fresh if not row.what
        )
        corrected = (*_with_taken_back(issue.corrected, last), *only_told)
        issues.append(replace(issue, corrected=corrected))
    return History(tuple(issues), bibs, lost, unused)


def _with_taken_back(
    corrected: Sequence[Corrected], last: dict[object, Corrected]
) -> Iterator[Corrected]:
    """The same, with what of it takes back the *last* correction of the same thing."""
    for one in corrected:
        key = one.competition, one.person, one.apparatus, one.vault, one.what
        before, known = last.get(key), one.change or one.what
        if known and before and one.old and one.new and _values(one) == _values(before)[::-1]:
            one = replace(one, takes_back=True)
        last[key] = one
        yield one


def _values(one: Corrected) -> tuple[object, object]:
    return (one.change.old, one.change.new) if one.change else (one.old, one.new)


_changes, _moved = Once(changes), Once(moved_by_no_mark)
"""A process that goes on compares two publications once."""


def _issue(
    publication: Publication,
    old: Publication | None,
    new: Publication,
    reasons: Reasons,
    bibs: Mapping[str, str],
) -> Issue:
    if old is None:
        return Issue(publication, new, Changes(), (), Effects())
    made = _changes(old, new)
    corrected = tuple(_corrected(old, new, made, reasons, bibs))
    became: Became = new.state if new.state != old.state else ""
    if new.sealed and not old.sealed:
        became = "sealed"
    moved = effects(old, new, made) if corrected else Effects()
    return Issue(publication, new, made, corrected, moved, became)


def _corrected(
    old: Publication,
    new: Publication,
    made: Changes,
    reasons: Reasons,
    bibs: Mapping[str, str],
) -> Iterator[Corrected]:
    """What is otherwise than it was published, each with its reasons.

    Marks that come in once the results are official are corrections too.
    """
    number, official = new.number, old.state == "official"
    late = (added for added in made.added if official and added.new and added.new.mark is not None)
    for change in (*made.corrected, *late):
        person, apparatus, vault = change.key
        was, now = (mark.text if mark else "" for mark in (change.old, change.new))
        yield Corrected(
            change.competition, bibs.get(person, person), apparatus, vault, was, now,
            reasons.of_mark(change, number), change, gone=not now, person=person,
        )  # fmt: skip
    were = {gymnast.person: gymnast.competitions for gymnast in old.gymnasts}
    for person in made.gymnasts_gone:
        why = reasons.of_gone(number, person=person)
        only = were[person][0] if len(were[person]) == 1 else ""
        had = tuple(one for held in old.competitions for one in held.marks if one.bib == person)
        yield Corrected(only, bibs[person], reasons=why, gone=True, person=person, had=had)
    for id in made.competitions_gone:
        yield Corrected(id, reasons=reasons.of_gone(number, competition=id), gone=True)
    for fact in made.facts:
        person, what = fact.key
        yield Corrected(
            fact.competition, bibs.get(person, ""), old=fact.old or "", new=fact.new or "",
            reasons=reasons.of_fact(fact, number), person=person, what=what,
        )  # fmt: skip
    for id in _moved(old, new, made):
        yield Corrected(id, reasons=reasons.of_competition(id, number))
