"""A list as it was judged: who stands in it with what routines, its places, ties and cuts.

Marks, totals and averages are whole thousandths (`marks.show_mark` prints them). Lines stand in
the order in which they are listed: by place, then guests or those without a place where the rule
set says.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import ClassVar, Literal

from resultsgen.meet.competition import BodyKind, Cut
from resultsgen.meet.parts import part_of
from resultsgen.rules.cuts import Quota, Verdict
from resultsgen.rules.replacements import Unfilled
from resultsgen.rules.ties import Tie


@dataclass(frozen=True, slots=True)
class Gymnast:
    """One row of the roster. `family` and `given` are empty where the name is withheld."""

    kind: ClassVar[Literal["gymnast"]] = "gymnast"

    key: int
    """Index of the roster row."""
    person: str
    """The same for all entries of a gymnast: women/101; women/101/junior if others wear 101."""
    bib: str
    family: str
    given: str
    club: str
    federation: str
    team: str
    discipline: str
    division: str
    session: str
    squad: str
    start_order: int | None
    birth_year: int | None
    """None unless the meet publishes it."""
    guest: bool
    published: bool
    """False: no name anywhere; the bib stands for it."""
    pronounced: str = ""
    """How the name is said; for who announces and presents alone."""
    lasting: str = ""
    """The number that the gymnast has in every meet, where one is given."""

    @property
    def name(self) -> str:
        """As listed: family name first; the bib where the name is withheld."""
        return f"{self.family} {self.given}".strip() if self.published else f"Bib {self.bib}"

    @property
    def id(self) -> str:
        """What tells the gymnast from the others in a list."""
        return self.bib

    @property
    def gymnasts(self) -> tuple[Gymnast, ...]:
        """Who is behind a line of a list."""
        return (self,)


@dataclass(frozen=True, slots=True)
class Routine:
    """One performance on one apparatus, or the status that stands in its place."""

    apparatus: str
    vault: int
    """1 or 2."""
    mark: int | None
    d: int | None = None
    e: int | None = None
    penalty: int | None = None
    bonus: int | None = None
    status: str = ""
    rotation: int | None = None
    place: int | None = None
    """The place among all who performed here on this apparatus (the first vault on VT)."""
    e_worked_out: int | None = None
    """The E score that was not given, from mark, D score, bonus and penalty, for ties alone."""
    parts_give: int | None = None
    """D + E + bonus - penalty where that is not the mark (and the meet only notes it)."""

    @property
    def part(self) -> str:
        """What it is of a list: the apparatus, or the second vault."""
        return part_of(self.apparatus, self.vault)


@dataclass(frozen=True, slots=True)
class Term:
    """One of the sums that the totals of a list are made of, where it is not its marks alone."""

    kind: Literal["carried", "final", "day"]
    competitions: tuple[str, ...]
    """Ids of those whose marks it holds."""
    title: str = ""
    """Of a day: the title of its competition."""


@dataclass(frozen=True, slots=True)
class TeamMember:
    """A gymnast of a team: a routine per apparatus, and whether its mark counts for the team."""

    gymnast: Gymnast
    routines: tuple[Routine | None, ...]
    counts: tuple[bool, ...]
    day: str = ""
    """The id of the competition of the marks, where days are added: a member for each day."""


@dataclass(frozen=True, slots=True)
class Team:
    """One team of a list, with what it is made of."""

    kind: ClassVar[Literal["team"]] = "team"
    guest: ClassVar[bool] = False
    published: ClassVar[bool] = True

    key: int
    """Its number in the team list of the competition."""
    name: str
    by: BodyKind
    """What the team is made of; a federation may be called as a club is."""
    penalty: int
    penalty_reason: str
    apparatus: tuple[int | None, ...]
    """Total per apparatus."""
    apparatus_places: tuple[int | None, ...]
    short: tuple[bool, ...]
    """Fewer marks than count, per apparatus: what there is was added up."""
    members: tuple[TeamMember, ...]

    @property
    def id(self) -> str:
        """What tells the team from the others in a list."""
        return self.name

    @property
    def gymnasts(self) -> tuple[Gymnast, ...]:
        """Who is behind a line of a list; once, also where days are added."""
        return tuple({member.gymnast.key: member.gymnast for member in self.members}.values())


@dataclass(frozen=True, slots=True)
class Line:
    """One gymnast or one team in a list."""

    of: Gymnast | Team
    place: int | None
    total: int | None
    """What the list is ordered by once nothing is to come; None for those without a place (but
    guests may have one)."""
    so_far: int | None
    """The sum of the marks there are; the total where all are there."""
    done: int
    """How many parts have a mark; of a team, on how many it is over and has one."""
    status: str
    """DNS, DNF, DSQ, WDR, or empty."""
    needed: int
    """How many marks a whole total has; of a team, how many apparatus, day by day."""
    routines: tuple[Routine | None, ...] = ()
    """One per part of the list; None: not yet, or not entered. Of a team, its members have them."""
    terms: tuple[int | None, ...] = ()
    """One per term of the list: what the total is made of."""
    below: bool = False
    """Placed by one vault below those with two, whose averages it is not compared with."""
    to_come: int = 0
    """Of a team, how many can still be sent up, on all apparatus together."""

    @property
    def kind(self) -> Literal["gymnast", "team"]:
        """What stands in the line."""
        return self.of.kind

    @property
    def key(self) -> int:
        """The gymnast's, or the team's."""
        return self.of.key

    @property
    def name(self) -> str:
        """As listed; the bib where the name of a gymnast is withheld."""
        return self.of.name

    @property
    def id(self) -> str:
        """The bib, or the name of the team."""
        return self.of.id

    @property
    def gymnast(self) -> Gymnast:
        """Who it is, in a list of gymnasts."""
        assert self.of.kind == "gymnast"
        return self.of

    @property
    def team(self) -> Team:
        """Which team it is, in a list of teams."""
        assert self.of.kind == "team"
        return self.of

    @property
    def performed(self) -> tuple[tuple[Gymnast, tuple[Routine | None, ...]], ...]:
        """The routines behind the line, with who made them."""
        if self.of.kind == "gymnast":
            return ((self.of, self.routines),)
        return tuple((member.gymnast, member.routines) for member in self.of.members)


@dataclass(frozen=True, slots=True)
class CutLine:
    """What one cut means for one gymnast or team of the list it is taken from."""

    key: int
    verdict: Verdict
    """By the list as it was; only `ahead` are those who fill the cap without who withdrew."""
    withdrawn: bool = False
    """Qualified, a reserve or kept out by the cap, but does not start in the final."""
    called_up: bool = False
    """A reserve, or a team-mate whom the cap kept out, who starts for somebody withdrawn."""
    in_place_of: int | None = None
    """The key of whoever withdrew and is replaced."""
    held_back: tuple[int, ...] = ()
    """Those of the same body who fill the cap, so that the next reserve was called up instead."""
    unfilled: Unfilled | None = None
    """Why nobody was called up in the place of this one, who withdrew."""


@dataclass(frozen=True)
class CutResult:
    """A qualification line applied to one list, in the order of that list."""

    cut: Cut
    apparatus: str
    """The apparatus of the list; empty for all-around and team."""
    lines: tuple[CutLine, ...]
    final: bool
    """False while marks of the list are still to come."""
    quota: Quota
    """The cut in figures: as the meet sets it, or as is usual by the rule set."""
    undecided: tuple[tuple[int, ...], ...] = ()
    """Keys of equals of whom only some qualify or are called up, and nobody decided which."""
    absent: tuple[int, ...] = ()
    """The keys of all who withdrew from what it leads to, wherever they stand."""

    @property
    def usual(self) -> bool:
        """The rule set says how many qualify, and not the meet."""
        return not self.cut.says_how_many

    @cached_property
    def through(self) -> int:
        """How many qualify: more than places where a tie lets them in, fewer if not so many."""
        return sum(line.verdict.outcome == "qualified" for line in self.lines)

    @property
    def starting(self) -> tuple[CutLine, ...]:
        """Those who start in what the cut leads to: through and not withdrawn, or called up."""
        return tuple(
            line
            for line in self.lines
            if line.called_up or (line.verdict.outcome == "qualified" and not line.withdrawn)
        )

    @property
    def waiting(self) -> tuple[CutLine, ...]:
        """The reserves in their order, without those who were called up or withdrew."""
        waiting = (
            line
            for line in self.lines
            if line.verdict.outcome == "reserve" and not line.called_up and not line.withdrawn
        )
        return tuple(sorted(waiting, key=lambda line: line.verdict.number))

    def of(self, key: int) -> CutLine | None:
        return next((line for line in self.lines if line.key == key), None)


Numbered = tuple[tuple[int, CutLine], ...]
"""Lines of a cut, each with the number that is called."""

ListKind = Literal["all-around", "apparatus", "team"]


@dataclass(frozen=True)
class Ranking:
    """A list of gymnasts, the all-around or one apparatus; or the list of teams."""

    competition: str
    kind: ListKind
    apparatus: str
    """Empty for the all-around and the teams."""
    parts: tuple[str, ...]
    """What the routines of a line stand for: apparatus codes, or VT and VT2, or the one code.

    Empty in a list of gymnasts where days are added: the marks stand in the lists of the days."""
    lines: tuple[Line, ...]
    ties: tuple[Tie, ...]
    cuts: tuple[CutResult, ...]
    coming: tuple[int, ...]
    """The keys of the gymnasts entered here who still have a mark to come."""
    to_come: int
    """How many lines still have a mark to come; 0: the list is complete."""
    terms: tuple[Term, ...] = ()
    """What each total is the sum of; empty where it is made of the marks of the list alone."""
    apparatus_ties: dict[str, tuple[Tie, ...]] = field(default_factory=dict)
    """Equal totals of teams on one apparatus, by its code."""

    @property
    def id(self) -> str:
        """What tells the list from the others of its competition: all-around, team, BB, VT."""
        return self.apparatus or self.kind

    @property
    def of_teams(self) -> bool:
        return self.kind == "team"

    def numbered(self, cut: CutResult) -> tuple[Numbered, Numbered]:
        """Who starts by a cut, from 1 in the jury's order, and who stands by with the own number.

        Equals whom nobody put in order share one.
        """

        def order(line: CutLine) -> tuple[int, bool, int]:
            place, verdict = self.by_key[line.key].place or 0, line.verdict
            return (place, line.called_up, verdict.number) if verdict.by_jury else (place, False, 0)

        numbers: dict[tuple[int, bool, int], int] = {}
        starting = enumerate(sorted(cut.starting, key=order), start=1)
        return (
            tuple((numbers.setdefault(order(line), at), line) for at, line in starting),
            tuple((line.verdict.number, line) for line in cut.waiting),
        )

    @cached_property
    def by_key(self) -> dict[int, Line]:
        """The lines by the key of the gymnast or the team."""
        return {line.key: line for line in self.lines}

    @cached_property
    def places(self) -> dict[int, int | None]:
        """Each place as it is shown: of teams by the sum of what there is while marks are to come.

        That is their order everywhere; who is over with how much is another for each apparatus.
        """
        if not self.of_teams or not self.to_come:
            return {line.key: line.place for line in self.lines}
        # Of equal sums those that are over stand as their tie was settled.
        sums = {
            line.key: (-line.so_far, line.place or 0)
            for line in self.lines
            if line.so_far is not None and not line.status
        }
        return {
            line.key: 1 + sum(one < sums[line.key] for one in sums.values())
            if line.key in sums
            else None
            for line in self.lines
        }
