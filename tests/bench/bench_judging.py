"""How long the judging takes: 100,000 gymnasts, six marks each, against bare pandas.

    python tests/bench/bench_judging.py

Ours adds six exact marks, places by the total and settles every tie by the international
all-around criteria; bare pandas adds, sorts and ranks the same columns and leaves ties as they
are. Both run in turn in one process on the same table, and the best of several runs counts.
The answer of the one is checked against the other, so that nothing fast but wrong is measured.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pandas as pd

from resultsgen.rules.criteria import BEST_PARTS, Sheet, criteria
from resultsgen.rules.placings import placings
from resultsgen.rules.totals import all_around_totals

GYMNASTS = 100_000
APPARATUS = ("FX", "PH", "SR", "VT", "PB", "HB")
RUNS = 7
AIM = 3.0


def tables() -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """Marks, D and E of everybody, in thousandths; drawn with a fixed seed."""
    draw = np.random.default_rng(20310517)
    shape = (GYMNASTS, len(APPARATUS))
    d = draw.integers(30, 65, shape) * 100
    e = draw.integers(60, 96, shape) * 100 + draw.choice([0, 33, 66], shape)

    def table(values: np.ndarray) -> pd.DataFrame:
        return pd.DataFrame(values, columns=list(APPARATUS)).astype("Int64")

    return table(d + e), table(d), table(e)


def judged(marks: pd.DataFrame, d: pd.DataFrame, e: pd.DataFrame) -> pd.Series[int]:
    """Totals and places, ties settled."""
    sheet = Sheet(all_around_totals(marks), marks, e, d)
    return placings(sheet, criteria((BEST_PARTS, "total E", "total D"), len(APPARATUS)))


def bare(marks: pd.DataFrame) -> pd.Series[float]:
    """The same columns added, sorted and ranked by pandas alone; equal totals share the place."""
    table = marks.assign(total=marks.sum(axis=1)).sort_values("total", ascending=False)
    return table["total"].rank(method="min", ascending=False)


def best_time(run: Callable[[], object]) -> float:
    """The shortest of several runs, in seconds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Measure both, check that they agree where no tie is settled, and print the ratio."""
    marks, d, e = tables()
    ours, theirs = judged(marks, d, e), bare(marks).sort_index()
    total = marks.sum(axis=1)
    alone = ~total.duplicated(keep=False)
    assert (ours[alone] == theirs[alone].astype("Int64")).all()
    assert (ours >= theirs.astype("Int64")).all()
    tied, shared = int((~alone).sum()), int(ours.duplicated(keep=False).sum())
    plain, whole = best_time(lambda: bare(marks)), best_time(lambda: judged(marks, d, e))
    print(f"{GYMNASTS:,} gymnasts with {len(APPARATUS)} marks each; best of {RUNS} runs")
    print(f"{tied:,} of them have a total that somebody else has; {shared:,} share a place at last")
    print(f"bare pandas, added, sorted and ranked: {plain * 1000:8.1f} ms")
    print(f"totals and places with ties settled:   {whole * 1000:8.1f} ms")
    print(f"ratio {whole / plain:.2f} (aim: at most {AIM:.0f})")


if __name__ == "__main__":
    main()
