"""The field of a competition: who is in it, on what they are entered, and what they performed.

A *part* is what one routine stands for: an apparatus code, or `VT2` for the second vault. A field
is made of marks of its own, of those of other competitions, or of several days that are added.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeVar

from resultsgen.meet.competition import Competition
from resultsgen.meet.folder import Meet
from resultsgen.meet.parts import SECOND_VAULT, parts_of
from resultsgen.meet.ruleset import RuleSet, TieList
from resultsgen.rules.criteria import NO_TOTAL, Compared, Criterion, criteria
from resultsgen.rules.totals import total
from resultsgen.scoring.ranking import Gymnast, Routine

KeyAndPart = tuple[int, str]
"""The key of a gymnast and a part."""

Scores = tuple[int | None, int | None, int | None]
"""Mark, D and E score; the E score is worked out where it was not given and could be."""

NO_SCORES: Scores = (None, None, None)


Value = TypeVar("Value")


@dataclass(frozen=True)
class Field:
    """Gymnasts in listing order, which the meet sets, and their routines."""

    meet: Meet = field(compare=False)
    competition: Competition
    apparatus: tuple[str, ...]
    gymnasts: dict[int, Gymnast]
    entered: dict[int, tuple[str, ...]]
    """By key, the parts that each is entered on, in the order of the apparatus."""
    in_all_around: frozenset[int]
    """Keys of those entered for the all-around."""
    scores: dict[KeyAndPart, Scores]
    """By key and part; the sums over all days where they are added."""
    routines: dict[KeyAndPart, Routine]
    """By key and part, for every mark or status there is; none where days are added."""
    days: tuple[Field, ...] = ()
    """The competitions that are added, with the gymnasts of this one."""
    carried: tuple[Field, ...] = ()
    """The competitions whose marks are carried into this one, with the gymnasts of this one."""

    @property
    def rule_set(self) -> RuleSet:
        return self.meet.rule_sets[self.competition.id]

    @property
    def sources(self) -> tuple[Field, ...]:
        """Where the marks of its total are: the field of each day, or itself."""
        return self.days or (self,)

    @property
    def parts(self) -> tuple[str, ...]:
        """The apparatus, and the second vault after them where there is vault."""
        return parts_of(self.apparatus)

    def steps(self, of: TieList, parts: int) -> tuple[Criterion, ...]:
        """What tells equals apart on a list whose total has so many parts."""
        return criteria(self.rule_set.tie_rule(of, self.competition.phase).criteria, parts)

    def is_to_come(self, key: int, part: str) -> bool:
        """Somebody is entered there, and has neither mark nor status."""
        return part in self.entered.get(key, ()) and (key, part) not in self.routines

    def mark(self, key: int, part: str) -> int | None:
        return self.scores.get((key, part), NO_SCORES)[0]

    def compared(self, key: int, whole: int | None, parts: Sequence[str]) -> Compared:
        """What somebody is compared by in a list with this total; guests take no place.

        In an all-around the marks of one apparatus are one part, on however many days. Two vaults
        of each day are so many vaults.
        """
        where = self.sources if SECOND_VAULT in parts else (self,)
        scores = [day.scores.get((key, part), NO_SCORES) for day in where for part in parts]
        marks, d, e = zip(*scores, strict=True) if scores else ((), (), ())
        return Compared(
            None if self.gymnasts[key].guest else whole,
            marks,
            d,
            e,
            self.all_around_totals.get(key),
            self.meet.entries[key].birth_year,
            self.e_worked_out(key, parts),
        )

    @cached_property
    def all_around_totals(self) -> dict[int, int]:
        """Everybody's, to tell equals apart, below all others where there is none.

        Nobody's while a mark is to come: it would tell apart those who happen to have gone on.
        """
        coming = (
            day.is_to_come(key, part)
            for day in self.sources
            for key in self.gymnasts
            for part in self.apparatus
        )
        if any(coming):
            return {}
        incomplete = self.rule_set.totals.incomplete
        marks = {key: [self.mark(key, part) for part in self.apparatus] for key in self.gymnasts}
        totals = {key: total(own, incomplete) for key, own in marks.items()}
        return {key: NO_TOTAL if whole is None else whole for key, whole in totals.items()}

    def e_worked_out(self, key: int, parts: Sequence[str]) -> bool:
        """An E score on these parts was not given and was worked out, on whatever day."""
        return any((key, part) in self._worked_out for part in parts) if self._worked_out else False

    @cached_property
    def _worked_out(self) -> set[KeyAndPart]:
        """Where an E score was worked out, on whatever day."""
        days = (day.routines.items() for day in self.sources)
        return {part for day in days for part, routine in day if routine.e_worked_out is not None}

    def of(self, here: dict[int, Gymnast]) -> Field:
        """The same marks, with the gymnasts of another competition.

        Somebody who is not in this one has none; the same person may be in both by two rows.
        """
        row_of = {gymnast.person: key for key, gymnast in self.gymnasts.items()}
        row_of_key = {
            key: key if key in self.gymnasts else row_of[gymnast.person]
            for key, gymnast in here.items()
            if gymnast.person in row_of
        }

        def moved(values: dict[KeyAndPart, Value]) -> dict[KeyAndPart, Value]:
            return {
                (key, part): values[row, part]
                for key, row in row_of_key.items()
                for part in self.parts
                if (row, part) in values
            }

        return replace(
            self,
            gymnasts=here,
            entered={
                key: self.entered[row_of_key[key]] if key in row_of_key else () for key in here
            },
            in_all_around=frozenset(
                key for key, row in row_of_key.items() if row in self.in_all_around
            ),
            scores=moved(self.scores),
            routines=moved(self.routines),
            days=tuple(day.of(here) for day in self.days),
        )


def sums(each: Sequence[Scores]) -> Scores:
    """The sums of marks, D and E scores, each of them not known as soon as one is not."""
    if not each:
        return NO_SCORES
    mark, d, e = (total(column, "no place") for column in zip(*each, strict=True))
    return mark, d, e


def performed(these: Field) -> tuple[tuple[Gymnast, Routine], ...]:
    """Who did what, by apparatus, in the order of the roster, the first vault before the second."""

    def where(pair: tuple[Gymnast, Routine]) -> tuple[int, int, int]:
        gymnast, routine = pair
        return these.apparatus.index(routine.apparatus), gymnast.key, routine.vault

    found = ((these.gymnasts[key], routine) for (key, _), routine in these.routines.items())
    return tuple(sorted(found, key=where))
