"""Series, leagues and qualifications over several meets: the rules, on plain values."""

from fractions import Fraction

import pytest

from resultsgen.season.criteria import RoundPart
from resultsgen.season.series import Round, points_by_place, table
from resultsgen.season.settings import SeriesSettings

POINTS = (10_000, 6000, 4000, 3000)


def by_points(*orders, points=POINTS, each=False, to_come=0, totals=None, **settings):
    """A table from the places of each round: "A B=C D"; and rounds to come."""
    rounds = []
    for number, order in enumerate(orders):
        places, place = {}, 1
        for group in order.split():
            sharing = group.split("=")
            places |= dict.fromkeys(sharing, place)
            place += len(sharing)
        given = points_by_place(places, points, each=each)
        parts = {who: RoundPart(place, None, given[who]) for who, place in places.items()}
        rounds.append(Round(f"r{number}", f"r{number}", (), "", "held", parts))
    rounds += [Round(f"c{one}", f"c{one}", (), "", "to come", {}) for one in range(to_come)]
    own = {"id": "s", "title": "S", "rounds": [one.id for one in rounds], **settings}
    return table(SeriesSettings.model_validate(own), tuple(rounds))


def places(held):
    return " ".join(f"{line.who}{line.place or '-'}" for line in held.lines)


def sums(held):
    return {line.who: line.sum / 1000 for line in held.lines}


@pytest.mark.parametrize(("each", "shared"), [(False, Fraction(13, 3)), (True, Fraction(6))])
def test_equals_share_the_points_of_their_places_or_each_get_the_highest(each, shared):
    held = by_points("A B=C=D E", each=each)
    assert sums(held) == {"A": 10, "B": shared, "C": shared, "D": shared, "E": 0}
    assert places(held) == "A1 B2 C2 D2 E5"
    if not each:
        assert sum(sums(held).values()) == sum(POINTS) // 1000


def test_the_best_rounds_count_and_of_equal_ones_the_earlier():
    held = by_points("A B C", "B A C", "B A C", "C A B", best=2)
    assert sums(held) == {"B": 20, "A": 16, "C": 14}
    assert [[part.counts for part in line.parts] for line in held.lines] == [
        [False, True, True, False], [True, True, False, False], [True, False, False, True]
    ]  # fmt: skip
    assert [line.before for line in held.lines] == [1, 2, 3]
    assert [line.behind / 1000 for line in held.lines] == [0, 4, 6]
    assert held.order[0] == {"A": 1, "B": 2, "C": 3}
    assert held.over


@pytest.mark.parametrize(
    ("ties", "expected", "named"),
    [
        ((), "A1 B1 C3", []),
        (("most firsts",), "A1 B1 C3", []),
        (("most firsts", "last round"), "B1 A2 C3", ["last round"]),
        (("best places",), "A1 B1 C3", []),
    ],
)
def test_criteria_tell_equals_apart(ties, expected, named):
    held = by_points("A B C", "B A C", ties=list(ties))
    assert places(held) == expected
    assert [step.criterion.name for tie in held.ties for step in tie.steps] == named


def test_too_few_rounds_have_no_place_once_there_are_not_enough_to_come():
    assert places(by_points("A B", "B", to_come=1, needed=2)) == "B1 A2"
    assert places(by_points("A B", "B", needed=2)) == "B1 A-"
