"""The running meet, competition by competition: how it stands, who needs what, what is decided.

Keys are gymnast keys, in a team list team keys. Marks and margins are whole thousandths. Whatever
is called decided rests on the bound beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from resultsgen.live.contests import Contest, Entries
from resultsgen.live.decided import (
    LEAD,
    MEDAL,
    Bound,
    Chance,
    Goal,
    Outlook,
    Prospect,
    bound,
    chances,
    prospects,
)
from resultsgen.live.needs import Need, Terms, need
from resultsgen.live.progress import Progress
from resultsgen.live.standings import (
    ApparatusLeaders,
    LiveSession,
    SoFar,
    Standings,
    in_order,
    leaders,
    so_far,
    standing,
    standings,
)
from resultsgen.scoring.people import in_order_of_equals
from resultsgen.scoring.results import CompetitionResults, ListKind, Results


@dataclass(frozen=True)
class LiveCut:
    """What one cut can still mean for everybody on the list."""

    cut: str
    chances: tuple[Chance, ...]


@dataclass(frozen=True)
class LiveList:
    """One list as it stands, how it came about, and what is decided of it."""

    kind: ListKind
    apparatus: str
    """Empty for all-around and team."""
    now: Standings
    so_far: tuple[SoFar, ...]
    """By the sum of what there is, however many apparatus are done."""
    sessions: tuple[LiveSession, ...]
    """Empty for a list of one apparatus."""
    bound: Bound | None
    """What prospects and chances rest on; None: no bound is known, and nothing is decided."""
    prospects: tuple[Prospect, ...]
    cuts: tuple[LiveCut, ...]

    @property
    def id(self) -> str:
        """What tells it from the others of its competition, as the list that it is of."""
        return self.apparatus or self.kind

    @property
    def passed_already(self) -> tuple[SoFar, ...]:
        """Those who have done less than the leading and have as much as any of them, or more.

        All that there is of both is compared: of teams, also what is no whole apparatus yet.
        """
        compared = {line.key for line in self.now.leading}
        if not compared:
            return self.so_far
        most = max(line.total for line in self.so_far if line.key in compared)
        others = (line for line in self.so_far if line.key not in compared)
        return tuple(line for line in others if line.total >= most)

    @property
    def leading(self) -> tuple[int, ...]:
        """Who leads as it stands, of those who have done most; or who already has more."""
        if self.passed_already:
            return tuple(line.key for line in self.so_far if line.place == 1)
        return self.now.first


@dataclass(frozen=True)
class NeedInList:
    """One need, and the list and the cut it is about (empty: no cut)."""

    kind: ListKind
    apparatus: str
    cut: str
    need: Need

    @property
    def id(self) -> str:
        """The list it is about, as that has it."""
        return self.apparatus or self.kind


@dataclass(frozen=True)
class GymnastNeeds:
    """All that one gymnast needs; `rotation` and `apparatus` of the next routine, if known."""

    key: int
    rotation: int | None
    apparatus: str
    """Empty where several are to come in an unknown order."""
    needs: tuple[NeedInList, ...]


@lru_cache(maxsize=1)
def live(results: Results) -> dict[str, LiveCompetition]:
    """Every competition as it runs, by its id; what is asked of it is worked out once.

    Where days are added nothing is told: each day runs by itself.
    """
    return {
        one.competition.id: LiveCompetition(Entries(results, _what_runs(one)))
        for one in results.competitions
    }


def _what_runs(one: CompetitionResults) -> CompetitionResults:
    """The lists of a competition in which marks come in."""
    if not one.competition.days:
        return one
    return replace(one, all_around=None, by_apparatus={}, team=None)


@dataclass(frozen=True, eq=False)
class LiveCompetition:
    """One competition while it runs; each part is worked out when it is first asked for."""

    entries: Entries

    @cached_property
    def contests(self) -> tuple[Contest, ...]:
        """Apparatus, all-around, teams: what the competition ranks."""
        return self.entries.contests()

    @cached_property
    def all_around(self) -> LiveList | None:
        """The all-around, where it is ranked."""
        return self._only("all-around")

    @cached_property
    def by_apparatus(self) -> dict[str, LiveList]:
        """Each apparatus that is ranked, in its order."""
        return {one.apparatus: self._list(one) for one in self._on("apparatus")}

    @cached_property
    def team(self) -> LiveList | None:
        """The teams, where there are any."""
        return self._only("team")

    @property
    def lists(self) -> tuple[LiveList, ...]:
        """All-around, each apparatus, teams."""
        found = (self.all_around, *self.by_apparatus.values(), self.team)
        return tuple(listed for listed in found if listed)

    @cached_property
    def leaders(self) -> dict[str, ApparatusLeaders]:
        """Who leads each apparatus, and who has still to go."""
        return {
            contest.apparatus: leaders(contest.progress, contest.steps, self._starting(contest))
            for contest in self._on("apparatus")
        }

    def _starting(self, contest: Contest) -> list[int]:
        part = contest.progress.parts[0]
        entered = (key for key in self.entries.people if key in contest.progress.lines)
        return sorted(entered, key=lambda key: self.entries.turn(key, part))

    @cached_property
    def bound(self) -> Bound | None:
        """What nobody's mark is taken to surpass in this competition."""
        one = self.entries.competition
        meet, highest = one.competition.running, one.rule_set.marks.highest
        return bound(highest, meet.highest, self.entries.best, meet.allowance)

    def _on(self, kind: ListKind) -> tuple[Contest, ...]:
        return tuple(contest for contest in self.contests if contest.kind == kind)

    def _only(self, kind: ListKind) -> LiveList | None:
        return next(map(self._list, self._on(kind)), None)

    def _list(self, contest: Contest) -> LiveList:
        progress, cuts = contest.progress, []
        found: tuple[Prospect, ...] = ()
        if self.bound:
            outlook = Outlook(progress, self.bound, contest.steps, contest.joined)
            found = prospects(outlook)
            cuts = [LiveCut(name, chances(outlook, goal)) for name, goal in contest.cuts.items()]
        return LiveList(
            kind=contest.kind,
            apparatus=contest.apparatus,
            now=self._as_listed(contest, standing(progress, contest.steps)),
            so_far=so_far(progress),
            sessions=() if contest.kind == "apparatus" else tuple(self._sessions(contest)),
            bound=self.bound,
            prospects=found,
            cuts=tuple(cuts),
        )

    def _as_listed(self, contest: Contest, found: Standings) -> Standings:
        """A standing with its equals as the lists print them; teams stand by name."""
        return found if contest.kind == "team" else in_order(found, self._equals)

    @cached_property
    def _equals(self) -> dict[int, int]:
        """Where each stands among equals."""
        people = in_order_of_equals(self.entries.competition.equals, self.entries.people)
        return {key: number for number, key in enumerate(people)}

    def _sessions(self, contest: Contest) -> Iterator[LiveSession]:
        """The list of each session by itself: what its rotations have to do with one another.

        A team belongs to a session if all its gymnasts are in it. The sessions of the roster are
        those of the qualification; a final is one session.
        """
        one = self.entries.competition.competition
        if one.entered_from or one.starters:
            yield self._session("", contest.progress, contest)
            return
        found: dict[str, list[int]] = {}
        for key in contest.progress.lines:
            people = contest.gymnasts(key)
            sessions = {self.entries.people[gymnast].session for gymnast in people}
            if len(sessions) == 1:
                found.setdefault(sessions.pop(), []).append(key)
        for name in sorted(found):
            yield self._session(name, contest.progress.only(found[name]), contest)

    def _session(self, name: str, progress: Progress, contest: Contest) -> LiveSession:
        after = tuple(
            self._as_listed(contest, found) for found in standings(progress, contest.steps)
        )
        return LiveSession(name, after)

    @cached_property
    def needs(self) -> tuple[GymnastNeeds, ...]:
        """What those need who have a mark to come in a list, in order of rotation and start.

        In a final, the start lists say who is up when.
        """
        coming = []
        for key, who in self.entries.people.items():
            left = () if who.guest else self.entries.to_come(key)
            if left:
                part, rotation = left[0]
                known = rotation is not None or len(left) == 1
                order = (rotation is None, rotation or 0, self.entries.turn(key, part))
                coming.append((order, key, rotation, part if known else ""))
        coming.sort(key=lambda each: each[0])
        found = (
            GymnastNeeds(key, rotation, part, tuple(self._needs(key, part)))
            for _, key, rotation, part in coming
        )
        return tuple(gymnast for gymnast in found if gymnast.needs)

    @cached_property
    def _asked(self) -> list[tuple[Contest, Terms, Progress | None]]:
        """Each list of gymnasts, how it is told apart, and how it ends if all make the most."""
        rule = self.entries.competition.rule_set.marks
        adds_up = rule.composition == "d+e" and not rule.bonus
        return [
            (
                contest,
                Terms(contest.steps, max(rule.step, 1), rule.highest_e, adds_up),
                contest.progress.filled(self.bound.mark) if self.bound else None,
            )
            for contest in (*self._on("all-around"), *self._on("apparatus"))
        ]

    def _needs(self, key: int, upcoming: str) -> Iterator[NeedInList]:
        """What somebody needs in every list that what is to come counts for."""
        for contest, terms, full in self._asked:
            if key not in contest.progress.in_it:
                continue
            for parts, is_last in _horizons(contest, key, upcoming):
                for cut, goal in self._goals(contest) if is_last else (("", LEAD),):
                    found = need(contest.progress, key, parts, goal, terms, full)
                    if found:
                        yield NeedInList(contest.kind, contest.apparatus, cut, found)

    def _goals(self, contest: Contest) -> Iterator[tuple[str, Goal]]:
        """To lead, a medal place where the competition is a final, and each cut.

        A medal place and a cut are reached at the end; before it, only the lead is worth telling.
        """
        yield "", LEAD
        if self.entries.competition.competition.phase == "final":
            yield "", MEDAL
        yield from contest.cuts.items()


def _horizons(contest: Contest, key: int, upcoming: str) -> Iterator[tuple[tuple[str, ...], bool]]:
    """The next routine of this list alone, and all of its routines to come: these are the last.

    A list of one apparatus waits until that is the next, and asks for both vaults in one: after the
    first, nobody leads.
    """
    left = contest.progress.to_come(key)
    first = (upcoming,) if upcoming in left else ()
    if contest.kind == "apparatus" and upcoming and not first:
        return
    if first and first != left and contest.kind != "apparatus":
        yield first, False
    if left:
        yield left, True
