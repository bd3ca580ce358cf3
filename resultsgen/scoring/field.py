"""The field of one competition: who is in it, and their marks as tables."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import pandas as pd

from resultsgen.live.old_tables import Sheet, emptied, only, totals
from resultsgen.meet.folder import Meet
from resultsgen.meet.ruleset import RuleSet
from resultsgen.meet.settings import Competition
from resultsgen.scoring.results import Gymnast, Routine

NOBODY = -1


@dataclass(frozen=True)
class Field:
    """Gymnasts in listing order, which the meet sets, and a table per kind of number.

    Tables have the gymnasts' keys as index and the parts as columns; `status` holds text,
    `entered` booleans, `numbers` Int64 (thousandths, but plain numbers for the rotation).
    """

    meet: Meet
    competition: Competition
    apparatus: tuple[str, ...]
    gymnasts: dict[int, Gymnast]
    entered: pd.DataFrame
    in_all_around: frozenset[int]
    """Keys of those entered for the all-around."""
    numbers: dict[str, pd.DataFrame]
    status: pd.DataFrame
    routines: dict[tuple[int, str], Routine]
    """By key and part, for every mark or status there is; none where days are added."""
    days: tuple[Field, ...] = ()
    """The competitions that are added, with the gymnasts of this one."""
    carried: tuple[Field, ...] = ()
    """The competitions whose marks are carried into this one, with the gymnasts of this one."""

    @property
    def rule_set(self) -> RuleSet:
        """The rule set of the competition."""
        return self.meet.rule_sets[self.competition.id]

    @property
    def guests(self) -> list[int]:
        """Keys of those out of competition."""
        return [key for key, gymnast in self.gymnasts.items() if gymnast.guest]

    def competing(self, totals: pd.Series[int]) -> pd.Series[int]:
        """The same totals without the guests': what places are given by."""
        return emptied(totals, totals.index.isin(self.guests))

    @cached_property
    def facts(self) -> pd.DataFrame:
        """What a criterion may ask for beside the marks of its list."""
        marks = self.numbers["mark"][list(self.apparatus)]
        whole = totals(marks, self.rule_set.totals.incomplete)
        years = self.meet.roster["birth_year"].reindex(list(self.gymnasts))
        return pd.DataFrame({"all_around": whole, "birth_year": years})

    @property
    def sources(self) -> tuple[Field, ...]:
        """Where the marks of its total are: the field of each day, or itself."""
        return self.days or (self,)

    def of(self, here: dict[int, Gymnast]) -> Field:
        """The same marks, with the gymnasts of another competition as rows.

        Somebody who is not in this one has none; the same person may be in both by two rows.
        """
        row_of = {one.person: key for key, one in self.gymnasts.items()}
        own = {key: key if key in self.gymnasts else row_of.get(one.person, NOBODY)
               for key, one in here.items()}  # fmt: skip

        def rows(table: pd.DataFrame) -> pd.DataFrame:
            return table.reindex(list(own.values())).set_axis(list(own), axis=0)

        return replace(
            self,
            gymnasts=here,
            entered=rows(self.entered).fillna(False).astype(bool),
            in_all_around=frozenset(key for key in own if own[key] in self.in_all_around),
            numbers={name: rows(table) for name, table in self.numbers.items()},
            status=rows(self.status).fillna(""),
            routines={
                (key, part): self.routines[own[key], part]
                for key in own
                for part in self.status.columns
                if (own[key], part) in self.routines
            },
        )


def apparatus_sheet(these: Field, part: str) -> Sheet:
    """What is compared on one apparatus: the mark, then E and D as the rules say."""
    marks = these.numbers["mark"]
    totals = these.competing(marks[part])
    return Sheet(
        totals,
        only(marks, [part]),
        only(these.numbers["e"], [part]),
        only(these.numbers["d"], [part]),
        these.facts,
    )
