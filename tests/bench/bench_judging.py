"""How long the judging takes: a list of 100,000, a meet of 2,000, and the example meet.

    python tests/bench/bench_judging.py                  # as it is
    python tests/bench/bench_judging.py OLD              # beside the program in another folder

Everything runs in processes of its own with one folder in `PYTHONPATH`, in turn, and the least of
several runs counts, in processor time and without imports. The list is drawn with a fixed seed:
six exact marks, placed by their total, with every tie settled by the international all-around
criteria; its places are checked against a mere sort, so that nothing fast but wrong is measured. Of
a meet, reading and judging are measured apart.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from random import Random
from time import process_time
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
GYMNASTS = 100_000
APPARATUS = ("FX", "PH", "SR", "VT", "PB", "HB")
MEET = 2_000
RUNS = 5
AIM = {"list of 100,000": 1.5}
"""Seconds at most."""


def drawn(count: int) -> list[tuple[list[int], list[int]]]:
    """D and E scores of so many gymnasts on each apparatus, in thousandths."""
    dice = Random(20310517)
    return [
        (
            [dice.randrange(30, 65) * 100 for _ in APPARATUS],
            [dice.randrange(60, 96) * 100 + dice.choice((0, 33, 66)) for _ in APPARATUS],
        )
        for _ in range(count)
    ]


def judged_list(scores: list[tuple[list[int], list[int]]]) -> list[int | None]:
    """Totals and places, ties settled."""
    from resultsgen.rules.criteria import BEST_PARTS, Compared, criteria
    from resultsgen.rules.placings import placings
    from resultsgen.rules.totals import total

    lines = []
    for d, e in scores:
        marks = tuple(map(sum, zip(d, e, strict=True)))
        lines.append(Compared(total(marks, "no place"), marks, tuple(d), tuple(e)))
    return placings(lines, criteria((BEST_PARTS, "total E", "total D"), len(APPARATUS)))


def checked_list() -> float:
    """The time of the list, whose places are those of a mere sort wherever no tie is settled."""
    scores = drawn(GYMNASTS)
    totals = [sum(d) + sum(e) for d, e in scores]
    times, first = Counter(totals), dict[int, int]()
    for place, total in enumerate(sorted(totals, reverse=True), 1):
        first.setdefault(total, place)
    for place, total in zip(judged_list(scores), totals, strict=True):
        assert place is not None
        assert first[total] <= place < first[total] + times[total]
    return best_time(lambda: judged_list(scores))


def best_time(run: Callable[[], object]) -> float:
    """The least processor time of several runs, in seconds."""
    times = []
    for _ in range(RUNS):
        start = process_time()
        run()
        times.append(process_time() - start)
    return min(times)


def write_meet(folder: Path) -> Path:
    """A meet of 2,000 with all-around, every apparatus, teams and a cut."""
    folder.mkdir()
    rows = [
        f"{n},Gymnast {n},Given,Club {n % 400},{'ABCDEFGHIJKLMNOPQRSTUVWXY'[n % 25]},"
        f"{n % 4 + 1},{n % 24 + 1}"
        for n in range(1, MEET + 1)
    ]
    head = "bib,family_name,given_name,club,federation,session,squad"
    (folder / "roster.csv").write_text("\n".join([head, *rows]) + "\n", "utf-8")
    marks = [
        f"{n},{part},{(d + e) / 1000:.3f},{d / 1000:.1f},{e / 1000:.3f}"
        for n, (ds, es) in enumerate(drawn(MEET), 1)
        for part, d, e in zip(APPARATUS, ds, es, strict=True)
    ]
    (folder / "marks.csv").write_text("\n".join(["bib,apparatus,mark,d,e", *marks]) + "\n", "utf-8")
    (folder / "meet.toml").write_text(
        """title = "Two thousand"

[[competition]]
id = "all"
title = "All"
discipline = "men"
rules = "international"
phase = "qualification"
ranks = ["all-around", "apparatus"]

[competition.team]
by = "club"
format = "6-5-4"

[[competition.cuts]]
name = "Final"
of = "all-around"
places = 24
reserves = 4
cap = 2
""",
        "utf-8",
    )
    return folder


def measured_meet(folder: Path) -> dict[str, float]:
    """The times of reading a meet and of judging it."""
    from resultsgen.reading.meet import read_meet

    try:
        from resultsgen.scoring.judging import results
    except ModuleNotFoundError:  # Until November 2026 the room had another name.
        from resultsgen.judging import results

    meet, problems = read_meet(folder)
    assert meet is not None, problems

    def fresh() -> Any:
        return read_meet(folder)[0]

    reading = best_time(fresh)
    meets = iter([fresh() for _ in range(RUNS)])
    return {"reading": reading, "judging": best_time(lambda: results(next(meets)))}


def measured(folders: list[str]) -> dict[str, float]:
    """Everything that is measured in one process."""
    found = {}
    with suppress(ImportError):  # Another version may place other values.
        found[f"list of {GYMNASTS:,}"] = checked_list()
    for folder in folders:
        for what, seconds in measured_meet(Path(folder)).items():
            found[f"{Path(folder).name}, {what}"] = seconds
    return found


def in_process(program: Path, large: Path) -> dict[str, float]:
    """What a process with this program measures, of its own example meet and of the large one."""
    run = subprocess.run(
        [sys.executable, __file__, "--measure", program / "example_meet", large],
        env={**os.environ, "PYTHONPATH": str(program)},
        stdout=subprocess.PIPE,
        check=True,
    )
    return json.loads(run.stdout)


def main() -> None:
    """Measure this program, and another one beside it where its folder is given."""
    if sys.argv[1:2] == ["--measure"]:
        print(json.dumps(measured(sys.argv[2:])))
        return
    with tempfile.TemporaryDirectory() as place:
        large = write_meet(Path(place) / "meet of 2,000")
        ours = in_process(ROOT, large)
        theirs = in_process(Path(sys.argv[1]).resolve(), large) if sys.argv[1:] else {}
    print("processor time in seconds, the least of several runs; beside it the other program's")
    for what, seconds in ours.items():
        other = f"{theirs[what]:8.3f}  {seconds / theirs[what]:6.0%}" if what in theirs else ""
        aim = f"   (aim: at most {AIM[what]})" if what in AIM else ""
        print(f"{what:28}{seconds:8.3f}{other}{aim}")


if __name__ == "__main__":
    main()
