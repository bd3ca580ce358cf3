"""Every list of a running competition with all that decides it: marks, tie rule, cuts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, cached_property

from resultsgen.live.goals import Goal, cut
from resultsgen.live.progress import LiveLine, LivePart, Progress, team_progress
from resultsgen.meet.competition import BYE
from resultsgen.meet.parts import SECOND_VAULT, apparatus_of
from resultsgen.meet.ruleset import TieList
from resultsgen.rules.criteria import BEST_PARTS, Criterion, criteria
from resultsgen.scoring.cutting import body
from resultsgen.scoring.ranking import Gymnast, Line, ListKind, Ranking, Routine
from resultsgen.scoring.results import CompetitionResults


def rotations(circuit: Sequence[str], start: str) -> dict[str, int]:
    """The rotation, from 1, in which a squad that starts there is on each apparatus.

    Each squad keeps the order of the apparatus and wraps round: one that starts on beam goes on to
    floor, vault and bars. Where there are more squads than apparatus, the circuit holds byes:
    rotations at rest, at the places that the meet gives them. Where everybody does the same
    apparatus at a time, all squads start on the same one. A start that is no part of the circuit
    tells nothing. Source: Olympic order and wrapping round, a broadcaster's explainer of 2024;
    byes are common practice.

    >>> rotations(("VT", "UB", "BB", "FX"), "BB")
    {'VT': 3, 'UB': 4, 'BB': 1, 'FX': 2}
    >>> rotations(("VT", "UB", "bye", "BB", "FX", "bye 2"), "bye")
    {'VT': 5, 'UB': 6, 'BB': 2, 'FX': 3}
    """
    if start not in circuit:
        return {}
    first = circuit.index(start)
    return {
        station: (position - first) % len(circuit) + 1
        for position, station in enumerate(circuit)
        if not station.startswith(BYE)
    }


@dataclass(frozen=True)
class Contest:
    """One list; `members` are the gymnasts behind it, the same lines but for a team list."""

    kind: ListKind
    apparatus: str
    """Empty for all-around and team."""
    progress: Progress
    steps: tuple[Criterion, ...]
    cuts: dict[str, Goal]
    """By the name of the cut."""
    joined: bool
    """Somebody may join a tie without the E or D score, or the fact, that settles it."""
    members: Progress
    teams: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    """The gymnasts of each team, by its key."""

    def gymnasts(self, key: int) -> tuple[int, ...]:
        """The gymnasts behind a line: the gymnast, or those of the team."""
        return self.teams.get(key, (key,))

    def once_over(self, key: int, rotation: int | None) -> Progress | None:
        """The list once the next routine of a gymnast, in this rotation, is over: those who are
        further as they stood then; None where that is not known, or where they had done more."""
        done = self.progress.done[key] + 1
        if self.progress.furthest <= done:
            return self.progress
        then = self._once_over(rotation) if rotation and self._timed else None
        if then is None or then.done[key] != done - 1 or then.furthest > done:
            return None
        return then

    @cached_property
    def _once_over(self) -> Callable[[int], Progress]:
        return cache(self.progress.after)

    @cached_property
    def _timed(self) -> bool:
        """The rotation of all that is over is known."""
        made = (part for line in self.progress.in_it.values() for part in line.parts if part.over)
        return all(part.rotation is not None for part in made)


@dataclass(frozen=True, eq=False)
class Entries:
    """Who starts in a competition, where and when, and what each has done there."""

    competition: CompetitionResults

    @cached_property
    def people(self) -> dict[int, Gymnast]:
        """Everybody who starts, in order of start."""
        return {start.gymnast.key: start.gymnast for start in self.competition.starts}

    @cached_property
    def routines(self) -> dict[tuple[int, str], Routine]:
        """Every mark or status there is, by gymnast and part."""
        return {(who.key, routine.part): routine for who, routine in self.competition.routines}

    @cached_property
    def entered(self) -> dict[int, tuple[str, ...]]:
        """What each is entered on, a second vault right after the first."""
        vault = self.competition.by_apparatus.get("VT")
        lines = vault.lines if vault and SECOND_VAULT in vault.parts else ()
        twice = {line.key for line in lines if not line.below}
        return {
            start.gymnast.key: tuple(
                part
                for code in start.apparatus
                for part in (("VT", SECOND_VAULT) if code == "VT" else (code,))
                if part != SECOND_VAULT or start.gymnast.key in twice
            )
            for start in self.competition.starts
        }

    @cached_property
    def _by_squad(self) -> dict[str, dict[str, int]]:
        """In which rotation each squad is on each apparatus, of those whose start is given."""
        running = self.competition.competition.running
        circuit = running.circuit or self.competition.apparatus
        return {squad: rotations(circuit, start) for squad, start in running.starts.items()}

    def rotation(self, key: int, part: str) -> int | None:
        """The rotation of a routine: as given with the mark, else as the squad goes round.

        A second vault follows the first.
        """
        code = apparatus_of(part)
        routine = self.routines.get((key, code))
        if routine and routine.rotation is not None:
            return routine.rotation
        return self._by_squad.get(self.people[key].squad, {}).get(code)

    def to_come(self, key: int) -> tuple[tuple[str, int | None], ...]:
        """What one gymnast has to come, each with its rotation if known, by rotation."""
        left = [part for part in self.entered[key] if (key, part) not in self.routines]
        turns = [(part, self.rotation(key, part) or None) for part in left]
        return tuple(sorted(turns, key=lambda turn: (turn[1] is None, turn[1] or 0)))

    def turn(self, key: int, part: str) -> tuple[int, int]:
        """When somebody is up by the start lists of a final: which list, and where in it."""
        code = apparatus_of(part)
        for number, listed in enumerate(self.competition.start_lists):
            if listed.apparatus in ("", code) and key in listed.keys:
                return number, listed.keys.index(key)
        return 0, 0

    def contests(self) -> Iterator[Contest]:
        """The all-around, each apparatus, the teams: what the competition ranks.

        Where days are added there is nothing to tell: each day runs by itself.
        """
        rules, days = self.competition.rule_set, self.competition.competition.days
        for ranking in () if days else self.competition.rankings:
            if ranking.of_teams and ranking.lines:
                yield self._of_teams(ranking)
            elif ranking.kind == "all-around":
                lines = [self._line(line, ranking) for line in ranking.lines]
                progress = Progress(ranking.parts, {}, rules.totals.incomplete).of(lines)
                yield self._contest(ranking, "all-around", progress)
            elif ranking.kind == "apparatus":
                both = SECOND_VAULT in ranking.parts
                averaging = rules.vault.averaging if both else None
                lines = [self._line(line, ranking) for line in ranking.lines if not line.below]
                progress = Progress(ranking.parts, {}, averaging=averaging).of(lines)
                yield self._contest(ranking, "vault-average" if both else "apparatus", progress)

    def _of_teams(self, ranking: Ranking) -> Contest:
        teams = {line.key: tuple(who.key for who in line.of.gymnasts) for line in ranking.lines}
        lines = (self._made(key, ranking.parts) for keys in teams.values() for key in keys)
        progress = Progress(ranking.parts, {}).of(lines)
        members = self._contest(ranking, "team", progress, teams)
        joined = any(step.name != BEST_PARTS for step in members.steps)
        return replace(members, progress=self.of_teams(members), joined=joined)

    def of_teams(self, contest: Contest) -> Progress:
        """The teams of the members of a contest."""
        format, ranking = self.competition.competition.team, self.competition.team
        assert format
        assert ranking
        return team_progress(
            contest.members,
            contest.teams,
            {start.gymnast.key: start.apparatus for start in self.competition.starts},
            (format.up, format.count),
            {line.key: line.team.penalty for line in ranking.lines},
        )

    def _contest(
        self,
        ranking: Ranking,
        of: TieList,
        progress: Progress,
        teams: Mapping[int, tuple[int, ...]] | None = None,
    ) -> Contest:
        """A list with its tie rule and its cuts.

        How many places a share of those placed is, nobody knows before all are placed. A mark to
        come may bring a tie that lacks a value, where the meet shares it or the value waits for
        other marks; else it stops the publication.
        """
        settings = self.competition.competition
        rule = self.competition.rule_set.tie_rule(of, settings.phase)
        steps = criteria(rule.criteria, len(progress.parts))
        people = {line.key: line.of.gymnasts[0] for line in ranking.lines}
        goals = {
            made.cut.name: cut(
                made.quota,
                {key: body(who, made.cut.per) for key, who in people.items()},
                frozenset(made.absent),
            )
            for made in ranking.cuts
            if made.cut.percent is None
        }
        waits = any(step.name == "all-around total" for step in steps)
        joined = settings.missing_scores == "share" or waits
        return Contest(
            ranking.kind, ranking.apparatus, progress, steps, goals, joined, progress, teams or {}
        )

    def _line(self, line: Line, ranking: Ranking) -> LiveLine:
        """A gymnast in a list, with what is carried into it; who has nothing to carry has no place.

        In an average of two, what is carried counts twice. Where an all-around places by what there
        is, the disqualified take no place, and an apparatus on which somebody is not entered is
        over for them from the start.
        """
        found = self._made(line.key, ranking.parts)
        if ranking.terms:
            carried, times = line.terms[0], 2 if SECOND_VAULT in ranking.parts else 1
            competing = found.competing and carried is not None
            found = found._replace(penalty=-times * (carried or 0), competing=competing)
        by_what_there_is = self.competition.rule_set.totals.incomplete != "no place"
        if ranking.kind == "all-around" and by_what_there_is:
            parts = tuple(
                part if name in self.entered[line.key] else part._replace(passed=True, rotation=0)
                for name, part in zip(ranking.parts, found.parts, strict=True)
            )
            competing = found.competing and line.status != "DSQ"
            found = found._replace(parts=parts, competing=competing)
        return found

    def _made(self, key: int, names: Iterable[str]) -> LiveLine:
        """What a gymnast has done on these parts."""
        parts = tuple(self._parts[key, name] for name in names)
        guest, year = self.people[key].guest, self.competition.years.get(key)
        return LiveLine(key, parts, not guest, 0, self.competition.all_around_totals.get(key), year)

    @cached_property
    def _parts(self) -> dict[tuple[int, str], LivePart]:
        """What everybody has done on every apparatus."""
        found = {}
        for key in self.people:
            for name in (*self.competition.apparatus, SECOND_VAULT):
                made, rotation = self.routines.get((key, name)), self.rotation(key, name)
                found[key, name] = LivePart(rotation=rotation)
                if made:
                    e = made.e_worked_out if made.e is None else made.e
                    passed = made.mark is None
                    found[key, name] = LivePart(made.mark, e, made.d, rotation, passed)
        return found
