"""The running meet, competition by competition: how it stands, who needs what, what is decided.

Keys are gymnast keys, in a team list team keys. Marks and margins are whole thousandths. Whatever
is called decided rests on the bound beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from resultsgen.live import decided
from resultsgen.live.contests import Contest, Entries
from resultsgen.live.decided import Bound, Outlook
from resultsgen.live.goals import LEAD, MEDAL, Goal
from resultsgen.live.lists import Chances, LiveList
from resultsgen.live.needs import Need, need
from resultsgen.live.progress import LiveLine, Progress
from resultsgen.live.standings import (
    LiveSession,
    Standing,
    Standings,
    by_done,
    in_order,
    placed_in,
    so_far,
    standing,
    standings,
    teams_so_far,
)
from resultsgen.live.tied_marks import Terms
from resultsgen.scoring.people import in_order_of_equals
from resultsgen.scoring.ranking import CutResult, Gymnast, Ranking
from resultsgen.scoring.results import CompetitionResults, Results, made_once


@dataclass(frozen=True)
class GymnastNeeds:
    """All that one gymnast needs; `rotation` and `apparatus` of the next routine, if known."""

    key: int
    rotation: int | None
    apparatus: str
    """Empty where several are to come in an unknown order."""
    needs: tuple[Need, ...]


@lru_cache(maxsize=1)
def live(results: Results) -> dict[str, LiveCompetition]:
    """Every competition as it runs, by its id; what is asked of it is worked out once."""
    return {judged.competition.id: live_competition(judged) for judged in results.competitions}


def as_it_runs(results: Results, ranking: Ranking) -> LiveList | None:
    """A list as it stands; None where days are added, of which each runs by itself."""
    return live(results)[ranking.competition].lists.get(ranking.id)


def compared(results: Results, ranking: Ranking) -> tuple[tuple[Standing, ...], ...]:
    """A list in groups of those who can be compared, the first in front.

    While marks are to come, of those with equally many apparatus done; else one of all who are
    placed, and one of those with one vault below those with two. Teams are one group, by what
    there is: what each is over with says little, and whoever leads leads everywhere.
    """
    if is_running(ranking) and ranking.of_teams:
        return tuple(filter(None, (teams_so_far(ranking),)))
    if is_running(ranking):
        listed = as_it_runs(results, ranking)
        return listed.now.groups if listed else by_done(ranking)
    return tuple(filter(None, (placed_in(ranking), placed_in(ranking, below=True))))


def in_front(results: Results, ranking: Ranking) -> tuple[Standing, ...]:
    """Those who lead a list as it stands, and who is compared with them."""
    groups = compared(results, ranking)
    if not is_running(ranking) or ranking.of_teams:
        return sum(groups, ())
    listed = as_it_runs(results, ranking)
    return listed.in_front if listed else next(iter(groups), ())


def is_running(ranking: Ranking) -> bool:
    """Marks are to come, of several: whoever has the only one can be compared."""
    return bool(ranking.to_come) and (ranking.kind != "apparatus" or not ranking.parts)


@made_once
def live_competition(judged: CompetitionResults) -> LiveCompetition:
    """One competition as it runs."""
    return LiveCompetition(Entries(judged))


def chances_so_far(judged: CompetitionResults, ranking: Ranking, cut: CutResult) -> Chances | None:
    """What a cut can still mean, by key, of all who can take a place; None once it is decided.

    It is open for all of them where nothing is known.
    """
    if cut.final:
        return None
    listed = live_competition(judged).lists.get(ranking.id)
    if listed and cut.cut.name in listed.cuts:
        return listed.cuts[cut.cut.name]
    can = (line for line in ranking.lines if not (line.of.guest or line.status))
    return {line.key: "open" for line in can if line.key not in cut.absent}


@dataclass(frozen=True, eq=False)
class LiveCompetition:
    """One competition while it runs; each part is worked out when it is first asked for."""

    entries: Entries

    @cached_property
    def contests(self) -> tuple[Contest, ...]:
        """The all-around, each apparatus, teams: what the competition ranks."""
        return tuple(self.entries.contests())

    @cached_property
    def lists(self) -> dict[str, LiveList]:
        """The same as they stand, by id: all-around, BB, team."""
        found = map(self._list, self.contests)
        return {listed.id: listed for listed in found}

    @cached_property
    def bound(self) -> Bound | None:
        """What nobody's mark is taken to surpass in this competition."""
        one = self.entries.competition
        marks = (made.mark for made in self.entries.routines.values() if made.mark is not None)
        running, best = one.competition.running, max(marks, default=None)
        return decided.bound(one.rule_set.marks.highest, running.highest, best, running.allowance)

    @property
    def highest(self) -> int | None:
        """No mark is taken to surpass it; None: nobody knows."""
        return self.bound.mark if self.bound else None

    @property
    def is_final(self) -> bool:
        """Who is first has won."""
        return self.entries.competition.competition.phase == "final"

    @cached_property
    def lowest(self) -> int:
        """The lowest mark so far that is no 0.000."""
        return min((made.mark for made in self.entries.routines.values() if made.mark), default=0)

    def _list(self, contest: Contest) -> LiveList:
        progress, outlook = contest.progress, None
        if self.bound:
            outlook = Outlook(progress, self.bound, contest.steps, contest.joined)
        on_apparatus = contest.kind == "apparatus"
        return LiveList(
            kind=contest.kind,
            apparatus=contest.apparatus,
            parts=len(progress.parts),
            now=self._as_listed(contest, standing(progress, contest.steps)),
            so_far=so_far(progress),
            unfinished=progress.unfinished,
            to_go=tuple(self._to_go(progress)) if on_apparatus else (),
            by_session=lambda: () if on_apparatus else tuple(self._sessions(contest)),
            outlook=outlook,
            highest=self.entries.competition.rule_set.marks.highest,
            goals=contest.cuts,
        )

    def _to_go(self, progress: Progress) -> list[int]:
        """Who is not over with a list, in order of start."""
        parts = len(progress.parts)
        to_go = [key for key in self.entries.people if progress.done.get(key, parts) < parts]
        return sorted(to_go, key=lambda key: self.entries.turn(key, progress.parts[0]))

    def _as_listed(self, contest: Contest, found: Standings) -> Standings:
        """A standing with its equals as the lists print them; teams stand by name."""
        return found if contest.kind == "team" else in_order(found, self._equals)

    @cached_property
    def _equals(self) -> dict[int, int]:
        """Where each stands among equals."""
        people = in_order_of_equals(self.entries.competition.equals, self.entries.people)
        return {key: number for number, key in enumerate(people)}

    def session(self, who: Gymnast) -> str:
        """The sessions of the roster are those of the qualification; a final is one session."""
        settings = self.entries.competition.competition
        return "" if settings.entered_from or settings.starters else who.session

    def _sessions(self, contest: Contest) -> Iterator[LiveSession]:
        """The list of each session by itself: what its rotations have to do with one another.

        A team belongs to a session if all its gymnasts are in it.
        """
        people = self.entries.people
        found: dict[str, list[LiveLine]] = {}
        for key, line in contest.progress.lines.items():
            sessions = {self.session(people[gymnast]) for gymnast in contest.gymnasts(key)}
            if len(sessions) == 1:
                found.setdefault(sessions.pop(), []).append(line)
        for name, lines in sorted(found.items()):
            after = standings(contest.progress.of(lines), contest.steps)
            yield LiveSession(name, tuple(self._as_listed(contest, one) for one in after))

    @cached_property
    def needs(self) -> tuple[GymnastNeeds, ...]:
        """What those need who have a mark to come in a list, in order of rotation and start."""
        found = (
            GymnastNeeds(key, rotation, part, self.needs_of(key))
            for key, (rotation, part) in self._coming.items()
        )
        return tuple(gymnast for gymnast in found if gymnast.needs)

    def needs_of(self, key: int) -> tuple[Need, ...]:
        """The same of one gymnast, who does not wait until all are reckoned."""
        if key in self._coming and key not in self._needed:
            _, part = self._coming[key]
            self._needed[key] = tuple(self._needs(key, part))
        return self._needed.get(key, ())

    @cached_property
    def _needed(self) -> dict[int, tuple[Need, ...]]:
        """What was reckoned already."""
        return {}

    @cached_property
    def _alike(self) -> dict[tuple[object, ...], Need | None]:
        """The same by all that it hangs on."""
        return {}

    @cached_property
    def _coming(self) -> dict[int, tuple[int | None, str]]:
        """Those with a mark to come, in order: in which rotation, and on what, where that is known.

        In a final, the start lists say who is up when.
        """
        coming = []
        for key, who in self.entries.people.items():
            left = () if who.guest else self.entries.to_come(key)
            if left:
                part, rotation = left[0]
                known = rotation is not None or len(left) == 1
                order = (rotation is None, rotation or 0, self.entries.turn(key, part))
                coming.append((order, key, (rotation, part if known else "")))
        return {key: turn for _, key, turn in sorted(coming, key=lambda each: each[0])}

    @cached_property
    def _asked(self) -> list[tuple[Contest, Terms, Progress | None, dict[str, Goal]]]:
        """Each list of gymnasts, how it is told apart, how it ends if all make the most, the goals.

        These are a medal place where the competition is a final, and each cut. They are reached at
        the end; before it, only the lead is worth telling.
        """
        one, bound = self.entries.competition, self.bound
        rule, medal = one.rule_set.marks, {"": MEDAL} if self.is_final else {}
        adds_up = rule.composition == "d+e" and not rule.bonus
        return [
            (
                contest,
                Terms(contest.steps, max(rule.step, 1), rule.highest_e, adds_up),
                contest.progress.filled(bound.mark) if bound else None,
                medal | contest.cuts,
            )
            for contest in self.contests
            if contest.kind != "team"
        ]

    def _needs(self, key: int, upcoming: str) -> Iterator[Need]:
        """What somebody needs in every list that what is to come counts for."""
        rotation, _ = self._coming[key]
        for contest, terms, full, goals in self._asked:
            if key not in contest.progress.in_it:
                continue
            for parts, is_last in _horizons(contest, key, upcoming):
                then = contest.progress if is_last else contest.once_over(key, rotation)
                if then is None:
                    continue
                for cut, goal in (("", LEAD), *(goals.items() if is_last else ())):
                    # Who has no mark there needs what all need of whom the same is known.
                    line, list = contest.progress.lines[key], contest.apparatus or contest.kind
                    own = key if line.has_mark else line._replace(key=0)
                    of = (goal.aim, goal.is_for(key), goal.bodies.get(key))
                    alike = (list, parts, is_last or rotation, cut, own, *of)
                    if alike not in self._alike:
                        found = need(then, key, parts, goal, terms, full)
                        self._alike[alike] = found and replace(
                            found, list=list, cut=cut, last=is_last
                        )
                    if found := self._alike[alike]:
                        yield replace(found, key=key)


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
