"""How long the running meet and its notable facts take, beside the program of an older commit.

    git worktree add OLD 9632fbc
    python tests/bench/bench_live.py OLD

Everything that pages ask while the example meet and the running evening go on is worked out:
standings after each rotation, leads, needs, what is decided, costs of incidents, notable facts.
Both programs do it in turn, each in a process of its own that reads and judges its own example
first, and the best of several runs counts, in processor time.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
MEETS = ("example_meet", "tests/example_evening")
RUNS, TURNS = 5, 2
AIM = 0.1

NOW = """
from resultsgen.live.competition import live
from resultsgen.live.costs import costs
from resultsgen.live.notable import notable

def ask(results):
    for one in live(results).values():
        one.lists, one.needs
    costs(results), notable(results)
"""
THEN = """
from resultsgen.judging.costs import costs
from resultsgen.judging.notable import notable
from resultsgen.judging.running import running

def ask(results):
    for one in running(results).values():
        one.all_around, one.by_apparatus, one.team, one.leaders, one.needs
    costs(results), notable(results)
"""
MEASURE = """
import sys, time
from pathlib import Path
sys.path.insert(0, "tests")
from folders import judged

times = []
for _ in range({runs}):
    results = judged(Path({meet!r}))
    start = time.process_time()
    ask(results)
    times.append(time.process_time() - start)
print(min(times))
"""


def seconds(program: Path, meet: str, ask: str) -> float:
    """The least processor time of several runs in a fresh process."""
    code = ask + MEASURE.format(runs=RUNS, meet=str(program / meet))
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=program, env={"PYTHONPATH": str(program)}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return float(done.stdout)


def main(old: Path) -> None:
    """Measure both in turn, and print the share that is left of both meets together."""
    sums = [0.0, 0.0]
    for meet in MEETS:
        pairs = [(seconds(old, meet, THEN), seconds(ROOT, meet, NOW)) for _ in range(TURNS)]
        then, now = (min(times) for times in zip(*pairs, strict=True))
        print(f"{meet}: {then * 1000:.1f} ms then, {now * 1000:.1f} ms now")
        sums = [sums[0] + then, sums[1] + now]
    print(f"share {sums[1] / sums[0]:.3f} (aim: at most {AIM})")


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve())
