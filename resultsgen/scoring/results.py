"""Results: the rules applied to a meet. Everything that pages, books and exports show is in here,
list by list as `ranking.py` has it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, wraps
from typing import Any, Concatenate, Literal, ParamSpec, TypeVar

from resultsgen.history import History
from resultsgen.meet.competition import Competition
from resultsgen.meet.folder import Meet
from resultsgen.meet.ruleset import RuleOverride, RuleSet, TieList
from resultsgen.scoring.ranking import Gymnast, Line, Ranking, Routine, Team

Why = Literal["second vault", "one vault", "not in the all-around", "guest", "no team"]
"""Why no list of a competition takes a mark."""


@dataclass(frozen=True, slots=True)
class MarksBeside:
    """Marks of one gymnast that no list of the competition takes."""

    line: Line
    """With the parts of the list that they stand beside; without place and total."""
    why: Why


@dataclass(frozen=True, slots=True)
class Start:
    """One line of a start list: who, and on which apparatus of the competition."""

    gymnast: Gymnast
    apparatus: tuple[str, ...]


Order = Literal["draw", "rank", "reverse rank", "given", ""]
"""How the order of a start list came about; empty: it is told nowhere, and they stand by bib."""


@dataclass(frozen=True, slots=True)
class StartList:
    """The start list of a final, of one apparatus or of all (then the apparatus is empty)."""

    apparatus: str
    keys: tuple[int, ...]
    by: Order
    equals: bool = False
    """By rank: some share a place in the qualification, and stand as its list has them."""


@dataclass(frozen=True, slots=True)
class StandIn:
    """Somebody who qualified for a final and withdrew, and who was called up for that one."""

    list: str
    """Of the final: the same that led there; where it has no such, the first, or each apparatus."""
    gone: Gymnast | Team
    called_up: Gymnast | Team | None


@dataclass(frozen=True)
class CompetitionResults:
    """One competition: who starts, and its lists."""

    competition: Competition
    rule_set: RuleSet
    apparatus: tuple[str, ...]
    starts: tuple[Start, ...]
    all_around: Ranking | None
    by_apparatus: dict[str, Ranking]
    """In the order of the apparatus; empty where apparatus are not ranked."""
    team: Ranking | None
    routines: tuple[tuple[Gymnast, Routine], ...] = ()
    """Every mark and status with its gymnast, in a list or not: by apparatus, then as the roster.

    None where days are added: they are those of the days."""
    rule_overrides: tuple[RuleOverride, ...] = ()
    """What the meet changes in the rule set."""
    equals: Literal["name", "bib"] = "name"
    """In which order its lists print those who are equal."""
    start_lists: tuple[StartList, ...] = ()
    """Of a final; empty where everybody starts by session and squad, as the roster has it."""
    beside: tuple[MarksBeside, ...] = ()
    """The marks that no list takes; they are shown below the one that is their home."""
    all_around_totals: Mapping[int, int] = field(default_factory=dict)
    """By key, for what is decided by them; nobody's while a mark is to come."""
    years: Mapping[int, int | None] = field(default_factory=dict)
    """When those who start were born, by key, for what is decided; published or not."""
    stand_ins: tuple[StandIn, ...] = ()
    """Of a final, once the cuts that fill it are decided."""
    nobody_left: bool = False
    """What fills it is complete, and lets nobody start."""
    waits_for: str = ""
    """The title of what fills it while a cut that leads here is not decided: who starts here is as
    it stands."""

    @cached_property
    def made(self) -> dict[str, list[tuple[object, Any]]]:
        """What is made of it once, by who makes it, with what else that asks for."""
        return {}

    @property
    def tie_parts(self) -> dict[TieList, int]:
        """How many marks a total of each kind of list is made of: with them a series begins."""
        every, team = len(self.apparatus), self.competition.team
        marks = team.count * max(len(self.competition.days), 1) if team else 1
        return {
            "all-around": every, "apparatus": 1, "vault-average": 2, "team": every,
            "team-apparatus": marks,
        }  # fmt: skip

    @property
    def own_routines(self) -> tuple[tuple[Gymnast, Routine], ...]:
        """The routines that were entered for it, and for no other that it takes them from."""
        return self.routines if self.competition.has_own_marks else ()

    @cached_property
    def by_gymnast(self) -> dict[int, dict[tuple[str, int], Routine]]:
        """The routines of each gymnast, by key, by apparatus and vault."""
        found: dict[int, dict[tuple[str, int], Routine]] = {}
        for gymnast, routine in self.routines:
            found.setdefault(gymnast.key, {})[routine.apparatus, routine.vault] = routine
        return found

    @property
    def home(self) -> Ranking | None:
        """The list below which a mark stands that none takes: the vault's, or the only one."""
        return self.by_apparatus.get("VT") or self.all_around or self.team

    @cached_property
    def not_ranked(self) -> dict[tuple[int, str, int], Why]:
        """Why no list takes a mark, by gymnast, apparatus and vault."""
        each = ((each.line.key, each.why, each.line.routines) for each in self.beside)
        return {
            (key, routine.apparatus, routine.vault): why
            for key, why, routines in each
            for routine in routines
            if routine
        }

    def beside_in(self, ranking: Ranking) -> tuple[MarksBeside, ...]:
        """The marks that stand below a list."""
        return self.beside if ranking is self.home else ()

    @cached_property
    def rankings(self) -> tuple[Ranking, ...]:
        """All lists: all-around, each apparatus, team."""
        lists = (self.all_around, *self.by_apparatus.values(), self.team)
        return tuple(ranking for ranking in lists if ranking)

    @cached_property
    def started(self) -> bool:
        """At least one mark is in, in a list or not; where days are added, on one of them.

        Or nobody performs: all have a status, or nobody is left to start.
        """
        if self.nobody_left:
            return True
        lines = [line for ranking in self.rankings for line in ranking.lines]
        if any(line.status for line in lines) and self._nothing_to_come:
            return True
        if not self.competition.days:
            return any(routine.mark is not None for _, routine in self.routines)
        return any(line.done for line in lines)

    @property
    def _nothing_to_come(self) -> bool:
        return all(ranking.to_come == 0 for ranking in self.rankings)

    @cached_property
    def rotations_known(self) -> bool:
        """Of a list of several apparatus it is known in which rotation marks were made.

        Where days are added, each has rotations of its own.
        """
        if self.competition.days:
            return False
        lists = [ranking for ranking in (self.all_around, self.team) if ranking]
        performed = (each for ranking in lists for line in ranking.lines for each in line.performed)
        routines = (routine for _, held in performed for routine in held if routine)
        squads = {start.gymnast.squad for start in self.starts}
        follow = bool(squads & self.competition.running.starts.keys()) and self.started
        return any(
            each.rotation is not None or follow for each in routines if each.mark is not None
        )

    @cached_property
    def coming(self) -> frozenset[int]:
        """The keys of all who still have a mark to come on one of the lists."""
        return frozenset(key for ranking in self.rankings for key in ranking.coming)

    @property
    def in_progress(self) -> bool:
        """Marks have come in and are still to come; where days are added, the days run."""
        return self.started and not self.complete and not self.competition.days

    @property
    def complete(self) -> bool:
        """No mark is to come on any list."""
        return self.started and self._nothing_to_come


More = ParamSpec("More")


Made = TypeVar("Made")


def made_once(
    make: Callable[Concatenate[CompetitionResults, More], Made],
) -> Callable[Concatenate[CompetitionResults, More], Made]:
    """Makes something of a competition and whatever is equal; asked again, the very same."""

    @wraps(make)
    def made(judged: CompetitionResults, /, *more: More.args, **named: More.kwargs) -> Made:
        known, asked = judged.made.setdefault(make.__qualname__, []), (more, named)
        for before, found in known:
            if before == asked:
                return found  # type: ignore[no-any-return]
        known.append((asked, make(judged, *more, **named)))
        return known[-1][1]  # type: ignore[no-any-return]

    return made


@dataclass(frozen=True, eq=False)
class Results:
    """The whole meet, placed; told from another by identity, so that it can be asked for again."""

    meet: Meet
    competitions: tuple[CompetitionResults, ...]
    gymnasts: dict[int, Gymnast]
    """By key; several keys may be one person entered in several divisions (same bib and name)."""
    history: History = field(default_factory=History)
    """What was published so far, this publication the last; nothing where nothing is published."""

    @property
    def goes_on(self) -> bool:
        """Other results are to be expected: they are provisional, or marks are to come."""
        official = self.meet.settings.status.state == "official"
        return not official or not all(each.complete for each in self.competitions)

    @cached_property
    def by_id(self) -> dict[str, CompetitionResults]:
        """The competitions by their ids."""
        return {each.competition.id: each for each in self.competitions}

    def competition(self, id: str) -> CompetitionResults:
        return self.by_id[id]
