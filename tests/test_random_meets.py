"""Random small meets, judged a second time by a plain reckoning that shares no code with ours."""

from __future__ import annotations

import random
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults

APPARATUS = ("VT", "UB", "BB", "FX")
CUPS = 15
MEETS = 8
PLACES, RESERVES, CAP = 4, 2, 2
UP, COUNT = 3, 2

Marks = dict[str, tuple[Decimal, Decimal] | None]
"""D and E by apparatus; None where the gymnast did not start."""


class Entrant:
    """One gymnast with marks that are often equal."""

    def __init__(self, dice: random.Random, bib: int, up: dict[tuple[str, str], int]) -> None:
        self.bib = str(bib)
        self.club = f"Club {dice.randint(1, 3)}"
        self.guest = dice.random() < 0.15
        self.marks: Marks = {}
        for apparatus in APPARATUS:
            here = up.get((self.club, apparatus), 0)
            if dice.random() < 0.1 or (not self.guest and here == UP):
                self.marks[apparatus] = None
                continue
            if not self.guest:
                up[self.club, apparatus] = here + 1
            d = Decimal(dice.randint(8, 10)) / 2
            self.marks[apparatus] = (d, Decimal(dice.choice(["8.000", "8.500", "9.001"])))

    def mark(self, apparatus: str) -> Decimal | None:
        """D and E added."""
        parts = self.marks[apparatus]
        return parts[0] + parts[1] if parts else None

    @property
    def total(self) -> Decimal | None:
        """All four added; none for those who lack one."""
        given = [self.mark(apparatus) for apparatus in APPARATUS]
        return None if None in given else sum((one for one in given if one is not None), Decimal(0))

    @property
    def all_around(self) -> tuple[Decimal, ...] | None:
        """Total, best three, best two, best one, then E and D: what the international rules ask."""
        if self.total is None:
            return None
        best = sorted((self.mark(one) or Decimal(0) for one in APPARATUS), reverse=True)
        parts = [one for one in self.marks.values() if one]
        e, d = sum(e for _, e in parts), sum(d for d, _ in parts)
        return (self.total, sum(best[:3]), sum(best[:2]), best[0], Decimal(e), Decimal(d))

    def on(self, apparatus: str) -> tuple[Decimal, ...] | None:
        """Mark, then E, then D."""
        parts = self.marks[apparatus]
        return (parts[0] + parts[1], parts[1], parts[0]) if parts else None


def entrants(dice: random.Random) -> list[list[Entrant]]:
    """The gymnasts of each cup of a meet."""
    cups = []
    for cup in range(CUPS):
        up: dict[tuple[str, str], int] = {}
        cups.append([Entrant(dice, 100 * cup + n, up) for n in range(1, dice.randint(2, 9))])
    return cups


def write(folder: Path, dice: random.Random, cups: list[list[Entrant]]) -> None:
    """The meet folder, the rows in any order."""
    settings, roster, marks = ['title = "Random"'], [], []
    for number, cup in enumerate(cups):
        settings.append(
            f'[[competition]]\nid = "cup-{number}"\ntitle = "Cup {number}"\n'
            f'discipline = "women"\ndivisions = ["d{number}"]\n'
            'ranks = ["all-around", "apparatus", "team"]\n'
            f'team = {{ format = "9-{UP}-{COUNT}" }}\n[[competition.cuts]]\nname = "Final"\n'
            f'of = "all-around"\nplaces = {PLACES}\nreserves = {RESERVES}\ncap = {CAP}\n'
            'per = "club"'
        )
        for one in cup:
            guest = "yes" if one.guest else ""
            roster.append(f"{one.bib},X{one.bib},{one.club},d{number},{guest}")
            for apparatus, parts in one.marks.items():
                d, e, mark = (*parts, sum(parts)) if parts else ("", "", "DNS")
                marks.append(f"{one.bib},{apparatus},{mark},{d},{e}")
    dice.shuffle(roster)
    dice.shuffle(marks)
    (folder / "meet.toml").write_text("\n".join(settings), "utf-8")
    head = "bib,family_name,club,division,guest"
    (folder / "roster.csv").write_text("\n".join([head, *roster]) + "\n", "utf-8")
    (folder / "marks.csv").write_text("\n".join(["bib,apparatus,mark,d,e", *marks]), "utf-8")


def reckoned(values: dict[str, tuple[Decimal, ...] | None]) -> dict[str, int | None]:
    """The place of each: one more than there are who are better."""
    given = [one for one in values.values() if one is not None]
    return {
        who: None if own is None else 1 + sum(other > own for other in given)
        for who, own in values.items()
    }


def cut(places: dict[str, int | None], clubs: dict[str, str]) -> dict[str, str] | None:
    """Q and R marks by walking down the list; None where a tie stands on the way."""
    ranked = sorted((place, who) for who, place in places.items() if place is not None)
    if any(one == other for (one, _), (other, _) in pairwise(ranked)):
        return None
    taken: dict[str, str] = {}
    for _, who in ranked:
        of_club = [one for one in taken if clubs[one] == clubs[who]]
        if len(of_club) < CAP and len(taken) < PLACES + RESERVES:
            number = len(taken) + 1
            taken[who] = "Q" if number <= PLACES else f"R{number - PLACES}"
    return taken


def told(ranking: Ranking) -> dict[str, tuple[int | None, int | None]]:
    """Place and total by bib."""
    return {line.gymnast.bib: (line.place, line.total) for line in ranking.lines}


def through(ranking: Ranking) -> dict[str, str]:
    """Q and R marks by bib."""
    bibs = {line.gymnast.key: line.gymnast.bib for line in ranking.lines}
    marks = {}
    for one in ranking.cuts[0].lines:
        if one.verdict.outcome == "qualified":
            marks[bibs[one.key]] = "Q"
        elif one.verdict.outcome == "reserve":
            marks[bibs[one.key]] = f"R{one.verdict.number}"
    return marks


def thousandths(value: Decimal | None) -> int | None:
    """As results hold it."""
    return None if value is None else int(value * 1000)


@pytest.mark.parametrize("seed", range(MEETS))
def test_random_meets_are_judged_as_a_plain_reckoning_has_it(tmp_path: Path, seed: int) -> None:
    dice = random.Random(seed)
    cups = entrants(dice)
    write(tmp_path, dice, cups)
    meet, problems = read_meet(tmp_path)
    assert meet is not None, problems
    judged, unsettled = results(meet)
    assert not unsettled
    for number, cup in enumerate(cups):
        compare(judged.competition(f"cup-{number}"), cup)


def compare(own: CompetitionResults, cup: list[Entrant]) -> None:
    """Every place, total, cut and team of one cup."""
    competing = [one for one in cup if not one.guest]
    assert own.all_around is not None
    places = reckoned({one.bib: one.all_around for one in competing})
    assert told(own.all_around) == {
        one.bib: (places.get(one.bib), thousandths(one.total)) for one in cup
    }
    expected = cut(places, {one.bib: one.club for one in cup})
    if expected is not None:
        assert through(own.all_around) == expected
    for apparatus, ranking in own.by_apparatus.items():
        places = reckoned({one.bib: one.on(apparatus) for one in competing})
        assert told(ranking) == {
            one.bib: (places.get(one.bib), thousandths(one.mark(apparatus))) for one in cup
        }
    assert own.team is not None
    compare_teams(own.team, competing)


def compare_teams(team: Ranking, competing: list[Entrant]) -> None:
    """The best marks of each club on each apparatus, added; ties by the best three, two, one."""
    clubs: dict[str, tuple[Decimal, ...] | None] = {}
    for club in {one.club for one in competing}:
        members = [one for one in competing if one.club == club]
        if len(members) >= COUNT:
            clubs[club] = team_values(members)
    places = reckoned(clubs)
    assert {line.name: (line.place, line.total) for line in team.lines} == {
        name: (places[name], thousandths(value[0] if value else None))
        for name, value in clubs.items()
    }


def team_values(members: list[Entrant]) -> tuple[Decimal, ...] | None:
    """The total, then the best three, two and one apparatus; none without a mark."""
    sums = []
    for apparatus in APPARATUS:
        given = [mark for one in members if (mark := one.mark(apparatus)) is not None]
        sums.append(sum(sorted(given, reverse=True)[:COUNT], Decimal(0)))
    if not any(sums):
        return None
    best = sorted(sums, reverse=True)
    return tuple(sum(best[:count], Decimal(0)) for count in (4, 3, 2, 1))
