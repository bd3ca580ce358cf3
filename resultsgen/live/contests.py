"""Every list of a running competition with all that decides it: marks, tie rule, cuts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from resultsgen.live.decided import Goal, cut
from resultsgen.live.progress import LiveLine, Progress, team_progress
from resultsgen.meet.marks import Averaging
from resultsgen.meet.ruleset import TieList
from resultsgen.meet.settings import BYE
from resultsgen.rules.criteria import NO_TOTAL, Criterion, criteria
from resultsgen.scoring.cutting import body
from resultsgen.scoring.results import (
    SECOND_VAULT,
    CompetitionResults,
    CutResult,
    Gymnast,
    Line,
    ListKind,
    Ranking,
    Results,
    Routine,
)


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
        return self.teams.get(key, ()) if self.kind == "team" else (key,)


@dataclass(frozen=True, eq=False)
class Entries:
    """Who starts in a competition, where and when, and what each has done there."""

    results: Results
    competition: CompetitionResults

    @cached_property
    def people(self) -> dict[int, Gymnast]:
        """Everybody who starts, in order of start."""
        return {start.gymnast.key: start.gymnast for start in self.competition.starts}

    @cached_property
    def routines(self) -> dict[tuple[int, str], Routine]:
        """Every mark or status there is, by gymnast and part."""
        return {
            (who.key, SECOND_VAULT if routine.vault == 2 else routine.apparatus): routine
            for who, routine in self.competition.routines
        }

    @property
    def best(self) -> int | None:
        """The highest mark of the competition so far."""
        marks = (routine.mark for routine in self.routines.values() if routine.mark is not None)
        return max(marks, default=None)

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
        code = "VT" if part == SECOND_VAULT else part
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
        code = "VT" if part == SECOND_VAULT else part
        for number, listed in enumerate(self.competition.start_lists):
            if listed.apparatus in ("", code) and key in listed.keys:
                return number, listed.keys.index(key)
        return 0, 0

    def contests(self) -> tuple[Contest, ...]:
        """Each apparatus, the all-around, the teams: what the competition ranks."""
        one = self.competition
        whole = [self._all_around(one.all_around)] if one.all_around else []
        teams = [self._teams()] if one.team and one.team.lines else []
        return (*map(self._apparatus, one.by_apparatus.values()), *whole, *teams)

    def _all_around(self, ranking: Ranking) -> Contest:
        """The all-around; the rules say whether who lacks a mark for good takes a place.

        Where they do, the disqualified take none, and an apparatus on which somebody is not entered
        is over for them from the start.
        """
        progress = self._with_carried(self._progress(ranking.lines, ranking.parts), ranking)
        if self.competition.rule_set.totals.incomplete != "no place":
            lines = {}
            for key, line in progress.lines.items():
                apart = [part not in self.entered[key] for part in ranking.parts]
                lines[key] = replace(
                    line,
                    passed=tuple(
                        own or other for own, other in zip(line.passed, apart, strict=True)
                    ),
                    rotation=tuple(
                        0 if other else own for own, other in zip(line.rotation, apart, strict=True)
                    ),
                )
            for out in (line.key for line in ranking.lines if line.status == "DSQ"):
                lines[out] = replace(lines[out], competing=False)
            progress = replace(progress, lines=lines, incomplete="placed by what there is")
        return self._contest("all-around", "", "all-around", progress, ranking.cuts)

    def _apparatus(self, ranking: Ranking) -> Contest:
        """One apparatus; where two vaults are needed, both of them."""
        both = SECOND_VAULT in ranking.parts
        averaging = self.competition.rule_set.vault.averaging if both else None
        lines = [line for line in ranking.lines if not line.below]
        progress = self._with_carried(self._progress(lines, ranking.parts, averaging), ranking)
        of: TieList = "vault-average" if both else "apparatus"
        return self._contest("apparatus", ranking.apparatus, of, progress, ranking.cuts)

    def _teams(self) -> Contest:
        """The teams."""
        ranking = self.competition.team
        assert ranking
        teams = {
            line.key: tuple(gymnast.key for gymnast in line.of.gymnasts) for line in ranking.lines
        }
        members = Progress(
            ranking.parts,
            {key: self._line(key, ranking.parts) for keys in teams.values() for key in keys},
        )
        contest = self._contest("team", "", "team", members, ranking.cuts, teams)
        return replace(contest, progress=self.of_teams(contest), joined=True)

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
        kind: ListKind,
        apparatus: str,
        of: TieList,
        progress: Progress,
        cuts: Iterable[CutResult],
        teams: Mapping[int, tuple[int, ...]] | None = None,
    ) -> Contest:
        """A list with its tie rule and its cuts.

        How many places a share of those placed is, nobody knows before all are placed. A mark to
        come may bring a tie that lacks a value, where the meet shares it or the value is none of
        the mark; else it stops the publication.
        """
        settings = self.competition.competition
        rule = self.competition.rule_set.tie_rule(of, settings.phase)
        steps = criteria(rule.criteria, len(progress.parts))
        first = {key: keys[0] for key, keys in teams.items()} if teams else {}
        goals = {
            made.cut.name: cut(
                made.quota,
                {
                    key: body(self.people[first.get(key, key)], made.cut.per)
                    for key in (teams or self.people)
                },
            )
            for made in cuts
            if made.cut.percent is None
        }
        beside = any(step.name in ("all-around total", "younger") for step in steps)
        joined = settings.missing_scores == "share" or beside
        return Contest(kind, apparatus, progress, steps, goals, joined, progress, teams or {})

    def _with_carried(self, own: Progress, ranking: Ranking) -> Progress:
        """The list with what is carried into it; who has nothing to carry takes no place.

        In an average of two, what is carried counts twice.
        """
        if not ranking.terms:
            return own
        carried = {line.key: line.terms[0] for line in ranking.lines}
        times = 1 if own.averaging is None else 2
        lines = {
            key: replace(
                line,
                penalty=-times * (carried[key] or 0),
                competing=line.competing and carried[key] is not None,
            )
            for key, line in own.lines.items()
        }
        return replace(own, lines=lines)

    def _progress(
        self, lines: Iterable[Line], parts: tuple[str, ...], averaging: Averaging | None = None
    ) -> Progress:
        """The routines of the gymnasts of a list on these parts."""
        found = {line.key: self._line(line.key, parts) for line in lines}
        return Progress(parts, found, averaging=averaging)

    def _line(self, key: int, parts: tuple[str, ...]) -> LiveLine:
        made = [self.routines.get((key, part)) for part in parts]
        return LiveLine(
            key,
            marks=tuple(one.mark if one else None for one in made),
            e=tuple(
                (one.e_worked_out if one.e is None else one.e) if one else None for one in made
            ),
            d=tuple(one.d if one else None for one in made),
            passed=tuple(one is not None and one.mark is None for one in made),
            rotation=tuple(self.rotation(key, part) for part in parts),
            competing=not self.people[key].guest,
            all_around=self._whole(key) if self._nothing_to_come else None,
            birth_year=self._years[key],
        )

    @cached_property
    def _years(self) -> dict[int, int | None]:
        """When everybody on the roster was born."""
        return {entry.key: entry.birth_year for entry in self.results.meet.entries}

    @cached_property
    def _nothing_to_come(self) -> bool:
        """Is every mark there, or a status in its stead?

        Before that, the all-around total would tell apart those who happen to have gone on already.
        """
        return all(
            (key, part) in self.routines
            for key in self.people
            for part in self.competition.apparatus
        )

    def _whole(self, key: int) -> int:
        """The all-around total; none where a mark is missing, unless what there is counts."""
        parts = self.competition.apparatus
        made = [self.routines.get((key, part)) for part in parts]
        marks = [one.mark for one in made if one is not None and one.mark is not None]
        whole = self.competition.rule_set.totals.incomplete == "no place"
        lacks = not marks or (whole and len(marks) < len(parts))
        return NO_TOTAL if lacks else sum(marks)
