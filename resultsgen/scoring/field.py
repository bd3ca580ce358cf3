"""The field of a competition: who is in it, on what they are entered, and what they performed.

A *part* is what one routine stands for: an apparatus code, or `VT2` for the second vault. A field
is made of marks of its own, of those of other competitions, or of several days that are added.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.marks import is_nothing
from resultsgen.meet.parts import SECOND_VAULT, apparatus_of
from resultsgen.meet.ruleset import MarkRule, RuleSet, TieList
from resultsgen.meet.settings import Competition
from resultsgen.rules.criteria import NO_TOTAL, Compared, Criterion, criteria
from resultsgen.rules.placings import placings
from resultsgen.rules.totals import total
from resultsgen.scoring.finals import Starters, of_its_kind
from resultsgen.scoring.people import in_order_of_equals
from resultsgen.scoring.ranking import Gymnast, Routine

Part = tuple[int, str]
"""The key of a gymnast and a part."""

Scores = tuple[int | None, int | None, int | None]
"""Mark, D and E score; the E score is worked out where it was not given and could be."""

NO_SCORES: Scores = (None, None, None)


Value = TypeVar("Value")


@dataclass(frozen=True)
class Field:
    """Gymnasts in listing order, which the meet sets, and their routines."""

    meet: Meet
    competition: Competition
    apparatus: tuple[str, ...]
    gymnasts: dict[int, Gymnast]
    entered: dict[int, tuple[str, ...]]
    """By key, the parts that each is entered on, in the order of the apparatus."""
    in_all_around: frozenset[int]
    """Keys of those entered for the all-around."""
    scores: dict[Part, Scores]
    """By key and part; the sums over all days where they are added."""
    routines: dict[Part, Routine]
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
        return (*self.apparatus, SECOND_VAULT) if "VT" in self.apparatus else self.apparatus

    def steps(self, of: TieList, parts: int) -> tuple[Criterion, ...]:
        """What tells equals apart on a list whose total has so many parts."""
        return criteria(self.rule_set.tie_rule(of, self.competition.phase).criteria, parts)

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
            None if self._all_around is None else self._all_around.get(key, NO_TOTAL),
            self.meet.entries[key].birth_year,
            self.e_worked_out(key, parts),
        )

    @cached_property
    def _all_around(self) -> dict[int, int] | None:
        """The all-around total of each who has one; None while marks are to come."""
        coming = (
            (key, part) not in day.routines
            for day in self.sources
            for key, parts in day.entered.items()
            for part in parts
            if part != SECOND_VAULT
        )
        if any(coming):
            return None
        incomplete = self.rule_set.totals.incomplete
        found = {key: total([self.mark(key, part) for part in self.apparatus], incomplete)
                 for key in self.gymnasts}  # fmt: skip
        return {key: whole for key, whole in found.items() if whole is not None}

    def e_worked_out(self, key: int, parts: Sequence[str]) -> bool:
        """An E score on these parts was not given and was worked out, on whatever day."""
        return any((key, part) in self._worked_out for part in parts) if self._worked_out else False

    @cached_property
    def _worked_out(self) -> set[Part]:
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

        def moved(values: dict[Part, Value]) -> dict[Part, Value]:
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


def field(
    meet: Meet,
    competition: Competition,
    everybody: dict[int, Gymnast],
    starters: Starters | None,
    earlier: dict[str, Field],
) -> Field:
    """The field of a competition: from the roster, or those who were chosen to start.

    *earlier* holds the fields that it takes marks from, by id.
    """
    here = {
        key: gymnast
        for key, gymnast in in_order_of_equals(meet.settings.equals, everybody).items()
        if (
            key in starters.keys
            if starters
            else of_its_kind(gymnast, competition) and gymnast.bib not in competition.not_entered
        )
    }
    days, shared, carried = (
        [earlier[id] for id in ids if id in earlier]
        for ids in (competition.days, competition.marks_of, competition.carried_from)
    )
    if not competition.has_own_marks:
        persons = {who.person for other in (*shared, *days) for who in other.gymnasts.values()}
        here = {key: gymnast for key, gymnast in here.items() if gymnast.person in persons}
    apparatus = meet.settings.apparatus_of(competition)
    bare = Field(meet, competition, apparatus, here, {}, frozenset(), {}, {})
    if days:
        return _added(bare, [day.of(here) for day in days])
    rows, statuses = _filled(bare, _rows(bare, shared))
    scores = _scores(rows, meet.rule_sets[competition.id].marks)
    scored = replace(bare, scores=scores, carried=tuple(other.of(here) for other in carried))
    performed = replace(scored, routines=_routines(scored, rows, statuses))
    entered = {key: _entered(performed, key, starters) for key in here}
    whole = performed.rule_set.totals.incomplete == "no place"
    everywhere = (key for key in here if not whole or set(apparatus) <= set(entered[key]))
    in_all_around = starters.all_around if starters else frozenset(everywhere)
    return replace(performed, entered=entered, in_all_around=in_all_around)


def _added(bare: Field, days: list[Field]) -> Field:
    """The field whose marks are those of several days, added apparatus by apparatus.

    There is no sum without a mark on each day; but where the rules place by what there is, a day
    without one adds nothing.
    """
    whole, scores, entered = bare.rule_set.totals.incomplete == "no place", {}, {}
    for key in bare.gymnasts:
        entered[key] = tuple(
            part for part in bare.parts if any(part in day.entered[key] for day in days)
        )
        for part in bare.parts:
            there = [day.scores[key, part] for day in days if day.mark(key, part) is not None]
            if there and (len(there) == len(days) or not whole):
                scores[key, part] = sums(there)
    in_all_around = frozenset[int]().union(*(day.in_all_around for day in days))
    return replace(
        bare, entered=entered, in_all_around=in_all_around, scores=scores, days=tuple(days)
    )


def sums(each: Sequence[Scores]) -> Scores:
    """The sums of marks, D and E scores, each of them not known as soon as one is not."""
    if not each:
        return NO_SCORES
    mark, d, e = (total(column, "no place") for column in zip(*each, strict=True))
    return mark, d, e


Rows = list[tuple[int, MarkRow]]
"""Rows of marks, each with the key of whose it is in a competition."""


def _rows(bare: Field, shared: list[Field]) -> Rows:
    """The rows of marks that are entered for a competition, or for those whose marks it shares.

    Who is in none of those by the row of the roster that is in this one has the marks of the
    same person's first row there.
    """
    ids, stands_for = {bare.competition.id}, {key: key for key in bare.gymnasts}
    if shared:
        ids = {other.competition.id for other in shared}
        there = {key: who.person for other in shared for key, who in other.gymnasts.items()}
        first = {there[key]: key for key in sorted(there, reverse=True)}
        stands_for = {
            key if key in there else first[gymnast.person]: key
            for key, gymnast in bare.gymnasts.items()
        }
    return [
        (stands_for[row.gymnast], row)
        for row in bare.meet.mark_rows
        if row.competition in ids and row.gymnast is not None and row.gymnast in stands_for
    ]


def _filled(bare: Field, rows: Rows) -> tuple[dict[Part, MarkRow], dict[Part, str]]:
    """The row of each part, and the status on it; who is disqualified there keeps no number.

    A status for the whole competition, or for the whole meet, fills the parts without one.
    """
    given: dict[Part, MarkRow] = {}
    for_all = {key: bare.meet.entries[key].status for key in bare.gymnasts}
    for key, row in rows:
        part = f"{row.apparatus}2" if row.vault == 2 else row.apparatus
        if part in bare.parts:
            assert (key, part) not in given, "nobody has two marks on one part"
            given[key, part] = row
        if row.status and not row.apparatus:
            for_all[key] = row.status
    statuses = {
        (key, part): _status(given.get((key, part)), for_all[key], part)
        for part in bare.parts
        for key in bare.gymnasts
    }
    return {where: row for where, row in given.items() if statuses[where] != "DSQ"}, statuses


def _status(row: MarkRow | None, for_all: str, part: str) -> str:
    """The status on a part: its own, or that for all parts where it holds on this one."""
    own, has_mark = row.status if row else "", row is not None and row.mark is not None
    if part == SECOND_VAULT:  # Nobody is entered for a second vault by a status.
        return for_all if has_mark and for_all == "DSQ" else own
    return for_all if for_all and not own and (not has_mark or for_all == "DSQ") else own


def _scores(rows: dict[Part, MarkRow], rules: MarkRule) -> dict[Part, Scores]:
    """What is compared of each mark; an E score that was not given is worked out where it can be.

    So it is where the rules say how a mark is made up, and penalties are given, and bonuses if the
    rules have them: who leaves the column out may not have told of one.
    """
    penalties = any(row.penalty is not None for row in rows.values())
    bonuses = not rules.bonus or any(row.bonus is not None for row in rows.values())
    able = rules.composition == "d+e" and penalties and bonuses
    return {
        where: (row.mark, row.d, _e_worked_out(row, rules) if able and row.e is None else row.e)
        for where, row in rows.items()
    }


def _e_worked_out(row: MarkRow, rules: MarkRule) -> int | None:
    """The E score that a mark leaves; what would be none stays unknown."""
    if row.d is None or not row.mark:
        return None
    e = row.mark - row.d - (row.bonus or 0) + (row.penalty or 0)
    return e if 0 <= e <= rules.highest_e else None


def _routines(
    these: Field, rows: dict[Part, MarkRow], statuses: dict[Part, str]
) -> dict[Part, Routine]:
    """Every mark or status as a routine, with its place among all who performed there."""
    found: dict[Part, Routine] = {}
    steps, rules = these.steps("apparatus", 1), these.rule_set.marks
    for part in these.parts:
        apparatus, vault = apparatus_of(part), 2 if part == SECOND_VAULT else 1
        keys = [key for key in these.gymnasts if (key, part) in rows or statuses[key, part]]
        lines = [these.compared(key, these.mark(key, part), (part,)) for key in keys]
        places = placings(lines, steps) if vault == 1 else [None] * len(keys)
        for key, place in zip(keys, places, strict=True):
            row, status = rows.get((key, part)), statuses[key, part]
            if row is None:
                found[key, part] = Routine(apparatus, vault, mark=None, status=status)
                continue
            found[key, part] = Routine(
                apparatus,
                vault,
                row.mark,
                row.d,
                row.e,
                row.penalty,
                row.bonus,
                status,
                row.rotation,
                place,
                e_worked_out=these.scores[key, part][2] if row.e is None else None,
                parts_give=_parts_give(row, rules),
            )
    return found


def _parts_give(row: MarkRow, rules: MarkRule) -> int | None:
    """D + E + bonus - penalty where both D and E are given and the mark differs; else None."""
    if rules.composition != "d+e" or row.d is None or row.e is None or row.mark is None:
        return None
    given = row.d + row.e + (row.bonus or 0) - (row.penalty or 0)
    return None if given == row.mark or is_nothing(row.mark, row.d, given) else given


def _entered(these: Field, key: int, starters: Starters | None) -> tuple[str, ...]:
    """What somebody is entered on: as the competition, the roster or the cut says, and where a
    mark stands.

    The second vault is entered by a mark or a status of its own on it, by `VT2` on the roster,
    or by being in a vault final.
    """
    named = these.competition.entered.get(these.gymnasts[key].bib)
    own = named or these.meet.entries[key].entered.split() or these.apparatus
    chosen = starters.parts_of(key) if starters else own
    return tuple(part for part in these.parts if part in chosen or (key, part) in these.routines)


def performed(these: Field) -> tuple[tuple[Gymnast, Routine], ...]:
    """Who did what, by apparatus, in the order of the roster, the first vault before the second."""

    def where(pair: tuple[Gymnast, Routine]) -> tuple[int, int, int]:
        gymnast, routine = pair
        return these.apparatus.index(routine.apparatus), gymnast.key, routine.vault

    found = ((these.gymnasts[key], routine) for (key, _), routine in these.routines.items())
    return tuple(sorted(found, key=where))
