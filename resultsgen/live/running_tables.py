"""The lists of a competition as tables of what is done and what is to come."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import pandas as pd

from resultsgen.live.old_tables import cells, of_cells, parts_of, table
from resultsgen.live.progress import Progress, progress, team_progress
from resultsgen.live.rotations import rotation_table
from resultsgen.meet.marks import Averaging
from resultsgen.meet.settings import TeamFormat
from resultsgen.scoring.results import CompetitionResults, Gymnast, Ranking, Results, Routine
from resultsgen.scoring.tables import SECOND_VAULT


@dataclass(frozen=True)
class Tables:
    """One competition of the results, cut into tables list by list."""

    results: Results
    one: CompetitionResults

    @cached_property
    def people(self) -> dict[int, Gymnast]:
        """Everybody who starts, in order of start."""
        return {start.gymnast.key: start.gymnast for start in self.one.starts}

    @cached_property
    def routines(self) -> dict[tuple[int, str], Routine]:
        """Every mark or status there is, by gymnast and part."""
        return {(who.key, _part(routine)): routine for who, routine in self.one.routines}

    @property
    def best(self) -> int | None:
        """The highest mark of the competition so far."""
        marks = (one.mark for one in self.routines.values() if one.mark is not None)
        return max(marks, default=None)

    def all_around(self, ranking: Ranking) -> Progress:
        """The all-around; the rules say whether who lacks a mark for good takes a place."""
        own = self._with_carried(self._progress(_keys(ranking), ranking.parts), ranking)
        if self.one.rule_set.totals.incomplete == "no place":
            return own
        return self._by_what_there_is(own, ranking)

    def _by_what_there_is(self, own: Progress, ranking: Ranking) -> Progress:
        """The list with places for those who lack a mark, the disqualified apart.

        An apparatus on which somebody is not entered is over for them from the start.
        """
        keys = _keys(ranking)
        entered = [[part in self.entered[key] for part in ranking.parts] for key in keys]
        apart = ~pd.DataFrame(entered, index=keys, columns=list(ranking.parts), dtype=bool)
        out = pd.Series([line.status == "DSQ" for line in ranking.lines], index=keys, dtype=bool)
        return replace(
            own,
            passed=own.passed | apart,
            rotation=own.rotation.mask(apart, 0),
            competing=own.competing & ~out,
            incomplete="placed by what there is",
        )

    def apparatus(self, ranking: Ranking) -> Progress:
        """One apparatus; where two vaults are needed, both of them."""
        averaging = self.one.rule_set.vault.averaging if SECOND_VAULT in ranking.parts else None
        own = self._progress(_keys(ranking), ranking.parts, averaging)
        return self._with_carried(own, ranking)

    def _with_carried(self, own: Progress, ranking: Ranking) -> Progress:
        """The list with what is carried into it; who has nothing to carry takes no place.

        In an average of two, what is carried counts twice.
        """
        if not ranking.terms:
            return own
        given = [line.terms[0] for line in ranking.lines]
        carried = pd.Series(given, index=_keys(ranking), dtype="Int64")
        twice = carried if own.averaging is None else carried * 2
        return replace(
            own,
            penalty=-twice.fillna(0).astype("Int64"),
            competing=own.competing & carried.notna().astype(bool),
        )

    def members(self, ranking: Ranking) -> Progress:
        """The gymnasts of all teams."""
        keys = [member.gymnast.key for line in ranking.lines for member in line.team.members]
        return self._progress(keys, ranking.parts)

    def teams(self, ranking: Ranking, format: TeamFormat, members: Progress) -> Progress:
        """The teams of these gymnasts, by team key."""
        team_of = {one.key: line.key for line in ranking.lines for one in line.of.gymnasts}
        entered = {start.gymnast.key: start.apparatus for start in self.one.starts}
        keys = list(members.marks.index)
        waiting = [[part in entered.get(key, ()) for part in members.parts] for key in keys]
        return team_progress(
            members,
            pd.DataFrame(waiting, index=keys, columns=list(members.parts), dtype=bool),
            pd.Series([team_of[key] for key in keys], index=keys),
            (format.up, format.count),
            pd.Series({line.key: line.team.penalty for line in ranking.lines}, dtype="Int64"),
        )

    def _progress(
        self, keys: list[int], parts: tuple[str, ...], averaging: Averaging | None = None
    ) -> Progress:
        """The routines of these gymnasts on these parts."""
        found = [[self.routines.get((key, part)) for part in parts] for key in keys]

        def of(number: str) -> pd.DataFrame:
            each = [[getattr(one, number) if one else None for one in row] for row in found]
            return of_cells(each, index, parts)

        index = pd.Index(keys)
        passed = [[one is not None and one.mark is None for one in row] for row in found]
        guests = [not self.people[key].guest for key in keys]
        return progress(
            of("mark"),
            e=of("e").fillna(of("e_worked_out")),
            d=of("d"),
            passed=pd.DataFrame(passed, index=index, columns=list(parts), dtype=bool),
            rotation=self._rotation(index, parts),
            competing=pd.Series(guests, index=index, dtype=bool),
            facts=self._facts(keys),
            averaging=averaging,
        )

    @cached_property
    def rotations(self) -> pd.DataFrame:
        """The rotation of every routine: as given with the mark, else as the squad goes round."""
        running = self.one.competition.running
        parts, keys = self.one.apparatus, list(self.people)
        found = [[self.routines.get((key, part)) for part in parts] for key in keys]
        each = [[one.rotation if one else None for one in row] for row in found]
        given = of_cells(each, keys, parts)
        squads = pd.Series([one.squad for one in self.people.values()], index=keys, dtype="object")
        return rotation_table(given, squads, running.starts, running.circuit or parts)

    @cached_property
    def entered(self) -> dict[int, tuple[str, ...]]:
        """What each is entered on, a second vault right after the first."""
        vault = self.one.by_apparatus.get("VT")
        both = vault is not None and SECOND_VAULT in vault.parts
        lines = vault.lines if vault and both else ()
        twice = {line.gymnast.key for line in lines if not line.below}
        return {
            start.gymnast.key: tuple(
                part
                for code in start.apparatus
                for part in (("VT", SECOND_VAULT) if code == "VT" else (code,))
                if part != SECOND_VAULT or start.gymnast.key in twice
            )
            for start in self.one.starts
        }

    def to_come(self, key: int) -> tuple[tuple[str, int | None], ...]:
        """What one gymnast has to come, each with its rotation if known, by rotation."""
        numbers = self.rotations.loc[[key]].to_numpy(dtype="int64", na_value=0)[0].tolist()
        turns: dict[str, int | None] = {
            part: turn or None for part, turn in zip(self.one.apparatus, numbers, strict=True)
        }
        turns[SECOND_VAULT] = turns.get("VT")
        left = [part for part in self.entered[key] if (key, part) not in self.routines]
        left.sort(key=lambda part: (turns[part] is None, turns[part] or 0))
        return tuple((part, turns[part]) for part in left)

    def turn(self, key: int, part: str) -> tuple[int, int]:
        """When somebody is up by the start lists of a final: which list, and where in it."""
        code = "VT" if part == SECOND_VAULT else part
        for number, listed in enumerate(self.one.start_lists):
            if listed.apparatus in ("", code) and key in listed.keys:
                return number, listed.keys.index(key)
        return 0, 0

    def _rotation(self, keys: pd.Index, parts: tuple[str, ...]) -> pd.DataFrame:
        """The same for one list; a second vault follows the first."""
        first = [self.one.apparatus.index("VT" if part == SECOND_VAULT else part) for part in parts]
        numbers, lacking = parts_of(self.rotations)
        rows = self.rotations.index.get_indexer(keys)
        return table(numbers[rows][:, first], lacking[rows][:, first], keys, parts)

    def _facts(self, keys: list[int]) -> pd.DataFrame:
        """What else a tie rule may ask for; the all-around total only once all are there.

        Before that it would tell apart those who happen to have gone on already.
        """
        facts = {"birth_year": [self._years[key] for key in keys]}
        if self._nothing_to_come:
            facts["all_around"] = [self._whole(key, self.one.apparatus) for key in keys]
        return of_cells(list(zip(*facts.values(), strict=True)), keys, tuple(facts))

    @cached_property
    def _years(self) -> dict[int, int | None]:
        """When everybody on the roster was born."""
        years = self.results.meet.roster["birth_year"]
        return dict(zip(years.index.tolist(), cells(years), strict=True))

    @cached_property
    def _nothing_to_come(self) -> bool:
        """Is every mark there, or a status in its stead?"""
        return all(
            (one.gymnast.key, part) in self.routines
            for one in self.one.starts
            for part in one.apparatus
        )

    def _whole(self, key: int, parts: tuple[str, ...]) -> int | None:
        """The all-around total; None where a mark is missing, unless what there is counts."""
        routines = [self.routines.get((key, part)) for part in parts]
        marks = [one.mark for one in routines if one is not None and one.mark is not None]
        by_what_there_is = self.one.rule_set.totals.incomplete != "no place"
        return sum(marks) if marks and (by_what_there_is or len(marks) == len(parts)) else None


def _keys(ranking: Ranking) -> list[int]:
    return [line.gymnast.key for line in ranking.lines]


def _part(routine: Routine) -> str:
    return SECOND_VAULT if routine.vault == 2 else routine.apparatus
