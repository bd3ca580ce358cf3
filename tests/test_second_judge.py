"""A second judge (`second_judge.py`) confirms what `results.json` tells of meets on their way."""

from __future__ import annotations

import json
import random
import sys
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import second_judge
from folders import judged, write_folder
from running_drawn import drawn

from resultsgen.data.whole import results_text
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results

EVENING = Path(__file__).parent / "example_evening"


NARROW, WIDE = (3, 6, 10), (2, 10, 29, 34, 53, 54, 80, 130, 144)
"""Seeds of meets that between them have every kind of statement; python FILE 0 2000 tries more."""


@pytest.mark.parametrize(("seeds", "wide"), [(NARROW, False), (WIDE, True)])
def test_a_second_judge_confirms_random_meets_on_their_way(
    tmp_path: Path, seeds: tuple[int, ...], wide: bool
) -> None:
    found = sum((judged_again(seed, tmp_path, wide=wide) for seed in seeds), Counter[str]())
    assert all(found[name] for name in ("places", "needs", "prospects", "teams", "rotations"))
    assert found["days"] or not wide


def judged_again(seed: int, base: Path, *, wide: bool, states: int = 2) -> Counter[str]:
    """One meet in some of its states; how much of it was judged."""
    dice, folder = random.Random(seed), base / f"{seed}"
    meet, found = drawn(dice, folder, wide=wide), Counter[str](meets=1)
    for count in dice.sample(range(1, len(meet.rows) + 1), min(states, len(meet.rows))):
        read, problems = read_meet(meet.write(folder, count))
        assert read is not None, problems
        placed, unsettled = results(read)
        if not unsettled:  # What the jury has to decide is no fault of ours.
            told = json.loads(results_text(placed))
            found.update(second_judge.check(told, meet.step, dice, exact=not meet.share))
            found["states"] += 1
    return found


def test_a_second_judge_confirms_the_evening_that_runs() -> None:
    told = json.loads(results_text(judged(EVENING)))
    found = second_judge.check(told, 50, random.Random(1))
    assert Counter(found) >= Counter(places=20, needs=20, prospects=20)


def test_whom_a_cut_leaves_out_before_the_first_mark_is_told_with_the_highest_mark(
    tmp_path: Path,
) -> None:
    """Bell is in no club, and each club has its own places; Cole can come to 16 at most."""
    folder = write_folder(
        tmp_path,
        """
        == meet.toml ==
        title = "Cup"
        rules.international.totals.incomplete = "placed by what there is"
        [[competition]]
        id = "cup"
        title = "Cup"
        discipline = "women"
        apparatus = ["UB", "BB"]
        rules = "international"
        running.highest = 16.000
        cuts = [{ name = "Final", of = "all-around", each = 1, per = "club", minimum = 20.000 }]
        == roster.csv ==
        bib,family_name,club,entered
        1,Adams,North,
        2,Bell,,
        3,Cole,North,UB
        == marks.csv ==
        bib,apparatus,mark
        """,
    )
    told = json.loads(results_text(judged(folder)))
    second_judge.check(told, 50, random.Random(1))
    (one,) = told["competitions"]
    assert one["highest"] == "16.000"
    assert [each["list"] for each in one["open"]] == ["all-around"]
    assert one["open"][0]["cuts"] == [{"cut": "Final", "sure": [], "out": [1, 2]}]


@pytest.mark.parametrize(
    ("part", "name", "other"),
    [
        ("needs", "wins", "1.000"),
        ("needs", "safe", "1.000"),
        ("open", "worst", 1),
        ("all_around", "total", "1.000"),
    ],
)
def test_the_second_judge_notices_what_is_wrong(part: str, name: str, other: object) -> None:
    told = json.loads(results_text(judged(EVENING)))
    (one,) = told["competitions"]
    row = {
        "needs": lambda: next(each for each in one["needs"] if each["safe"]),
        "open": lambda: next(each for each in one["open"][0]["prospects"] if each["worst"] > 1),
        "all_around": lambda: one["all_around"]["lines"][0],
    }[part]()
    row[name] = other
    with pytest.raises(AssertionError):
        second_judge.check(told, 50, random.Random(1))


def test_the_second_judge_fails_on_a_criterion_that_it_does_not_know() -> None:
    told = json.loads(results_text(judged(EVENING)))
    (one,) = told["competitions"]
    (rule,) = (rule for rule in one["rules"]["ties"] if rule["of"] == "all-around")
    rule["criteria"].append("shoe size")
    with pytest.raises(KeyError, match="shoe size"):
        second_judge.check(told, 50, random.Random(1))


def by_hand(first: int, last: int) -> None:
    """Wide meets of these seeds, what is wrong line by line, and how much was judged."""
    found = Counter[str]()
    for seed in range(first, last):
        with TemporaryDirectory() as base:
            try:
                found += judged_again(seed, Path(base), wide=True, states=3)
            except AssertionError as wrong:
                found["wrong"] += 1
                print(seed, str(wrong)[:900], flush=True)
        if seed % 100 == 99:
            print(seed + 1, dict(found), flush=True)


if __name__ == "__main__":
    by_hand(*map(int, sys.argv[1:]))
