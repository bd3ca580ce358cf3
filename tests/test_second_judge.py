"""A second judge (`second_judge.py`) confirms what `results.json` tells of meets on their way."""

from __future__ import annotations

import json
import random
from collections import Counter
from pathlib import Path

import pytest
import second_judge
from folders import judged
from running_drawn import drawn

from resultsgen.data.whole import results_text
from resultsgen.reading import read_meet
from resultsgen.scoring.judging import results

EVENING = Path(__file__).parent / "example_evening"


def test_a_second_judge_confirms_random_meets_on_their_way(tmp_path: Path) -> None:
    found: Counter[str] = Counter()
    for seed in (3, 6, 10):
        dice = random.Random(seed)
        meet = drawn(dice, tmp_path / f"{seed}")
        for count in dice.sample(range(1, len(meet.rows) + 1), 2):
            read, problems = read_meet(meet.write(tmp_path / f"{seed}", count))
            assert read, problems
            placed, unsettled = results(read)
            if not unsettled:  # What the jury has to decide is no fault of ours.
                told = json.loads(results_text(placed))
                found.update(second_judge.check(told, meet.step, dice, exact=not meet.share))
    assert all(found[name] for name in ("places", "needs", "prospects", "teams", "rotations"))


def test_a_second_judge_confirms_the_evening_that_runs() -> None:
    told = json.loads(results_text(judged(EVENING)))
    found = second_judge.check(told, 50, random.Random(1))
    assert Counter(found) >= Counter(places=20, needs=20, prospects=20)


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
