"""How long reading 100,000 marks takes, beside what pandas needs for the same file.

Run by hand: python tests/bench/bench_reading.py
"""

import random
import tempfile
import time
from pathlib import Path

import pandas as pd

from resultsgen.checks import checked
from resultsgen.meet.folder import Meet
from resultsgen.reading import read_meet
from resultsgen.reading.marks import read_marks
from resultsgen.reading.roster import read_roster
from resultsgen.reading.rulesets import read_rule_sets
from resultsgen.reading.settings import read_settings
from resultsgen.reading.words import words

MARKS = 100_000
APPARATUS = ("FX", "PH", "SR", "VT", "PB", "HB")
SETTINGS = """
title = "Made-up meet"
[[competition]]
id = "men"
title = "Men"
discipline = "men"
"""


def write_meet(folder: Path) -> None:
    """A made-up meet of 100,000 marks with D, E and penalty."""
    chance = random.Random(1)
    gymnasts = -(-MARKS // len(APPARATUS))
    (folder / "meet.toml").write_text(SETTINGS, encoding="utf-8")
    roster = [f"{1000 + n},FAMILY{n},Given,Club {n % 400},R{n % 20}" for n in range(gymnasts)]
    head = "bib,family_name,given_name,club,federation"
    (folder / "roster.csv").write_text("\n".join([head, *roster]) + "\n", encoding="utf-8")
    rows = []
    for n in range(MARKS):
        d, e = chance.randrange(2000, 6600, 100), chance.randrange(6000, 9601)
        penalty = chance.choice((0, 0, 0, 0, 100, 300))
        numbers = (d + e - penalty, d, e, penalty)
        shown = ",".join(f"{number // 1000}.{number % 1000:03d}" for number in numbers)
        rows.append(f"{1000 + n // len(APPARATUS)},{APPARATUS[n % len(APPARATUS)]},{shown}")
    head = "bib,apparatus,mark,d,e,penalty"
    (folder / "marks.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")


def least_time(work, times: int = 9) -> float:
    """The shortest of several runs, in milliseconds."""
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return min(taken) * 1000


def main() -> None:
    """Print the times and their ratio."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_meet(folder)
        settings, _, problems = read_settings(folder)
        assert settings
        assert not problems
        known = words(settings)
        roster, problems = read_roster(folder, settings, known)
        marks, more = read_marks(folder, settings, known, roster)
        assert len(marks) == MARKS
        assert not problems + more
        rules, _ = read_rule_sets(folder, settings)
        meet = Meet(settings, rules.by_competition, roster, marks)
        pandas = least_time(lambda: pd.read_csv(folder / "marks.csv", dtype=str))
        ours = least_time(lambda: read_marks(folder, settings, known, roster))
        checks = least_time(lambda: checked(meet))
        whole = least_time(lambda: read_meet(folder))
    print(f"pandas.read_csv(dtype=str), marks.csv alone {pandas:8.1f} ms")
    print(f"marks.csv read into exact marks             {ours:8.1f} ms  {ours / pandas:5.2f} times")
    print(f"all checks                                  {checks:8.1f} ms")
    print(f"read_meet: settings, roster, marks, checks  {whole:8.1f} ms")


if __name__ == "__main__":
    main()
