"""How long reading takes: 100,000 marks, 2,000 gymnasts, and the example meet.

Run by hand: python tests/bench/bench_reading.py [OLDER]

Beside it in the same run, in a process of its own, the same with the package of an older commit,
where a folder with it is named.
"""

import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
APPARATUS = ("FX", "PH", "SR", "VT", "PB", "HB")
SETTINGS = """
title = "Made-up meet"
[[competition]]
id = "men"
title = "Men"
discipline = "men"
"""


def write_meet(folder: Path, marks: int) -> Path:
    """A made-up meet of so many marks with D, E and penalty."""
    chance = random.Random(1)
    gymnasts = -(-marks // len(APPARATUS))
    folder.mkdir()
    (folder / "meet.toml").write_text(SETTINGS, encoding="utf-8")
    roster = [f"{1000 + n},FAMILY{n},Given,Club {n % 400},R{n % 20}" for n in range(gymnasts)]
    head = "bib,family_name,given_name,club,federation"
    (folder / "roster.csv").write_text("\n".join([head, *roster]) + "\n", encoding="utf-8")
    rows = []
    for n in range(marks):
        d, e = chance.randrange(2000, 6600, 100), chance.randrange(6000, 9601)
        penalty = chance.choice((0, 0, 0, 0, 100, 300))
        numbers = (d + e - penalty, d, e, penalty)
        shown = ",".join(f"{number // 1000}.{number % 1000:03d}" for number in numbers)
        rows.append(f"{1000 + n // len(APPARATUS)},{APPARATUS[n % len(APPARATUS)]},{shown}")
    head = "bib,apparatus,mark,d,e,penalty"
    (folder / "marks.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return folder


def least(folder: Path, times: int) -> tuple[float, float]:
    """Milliseconds of the processor for the first run, and the least of the further ones."""
    from resultsgen.reading.meet import read_meet

    taken = []
    for _ in range(times):
        begun = time.process_time()
        meet, problems = read_meet(folder)
        taken.append((time.process_time() - begun) * 1000)
        assert meet, problems
    return taken[0], min(taken)


def measure(folders: list[str]) -> None:
    """Print how long each folder takes, and what loading the package takes."""
    begun = time.process_time()
    import resultsgen.reading.meet  # noqa: F401

    print(f"  loading                    {(time.process_time() - begun) * 1000:8.1f} ms")
    for name in folders:
        first, further = least(Path(name), times=7)
        print(f"  {Path(name).name:22} {first:8.1f} ms first, {further:8.1f} ms again")


def main() -> None:
    """Measure this package, and the older one that is named."""
    with tempfile.TemporaryDirectory() as name:
        made = [write_meet(Path(name) / f"{n}-marks", n) for n in (12_000, 100_000)]
        for package in (*sys.argv[1:], str(ROOT)):
            print(package)
            folders = [Path(package) / "example_meet", *made]
            command = [sys.executable, __file__, "--measure", *map(str, folders)]
            subprocess.run(command, check=True, env=os.environ | {"PYTHONPATH": package})


if __name__ == "__main__":
    if sys.argv[1:2] == ["--measure"]:
        measure(sys.argv[2:])
    else:
        main()
