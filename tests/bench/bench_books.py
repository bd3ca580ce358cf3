"""How long the books of the example meet take, and what they weigh.

    python tests/bench/bench_books.py [WORKERS]

Told are: all books made fresh, nothing changed, and one mark changed; pages a second, the memory
of the largest worker and of this process, and the sizes of the files. The corrected set is also
made without a cache, and both must be the same, so that nothing fast but wrong is measured.
"""

from __future__ import annotations

import resource
import shutil
import sys
import tempfile
import time
from pathlib import Path

from pypdf import PdfReader

from resultsgen.books import write_books
from resultsgen.judging import results
from resultsgen.reading import read_meet
from resultsgen.results import Results
from resultsgen.theme import find_theme

EXAMPLE = Path(__file__).parents[2] / "example_meet"


def judged(folder: Path) -> Results:
    """The results of a meet folder."""
    meet, problems = read_meet(folder)
    assert meet is not None, problems
    return results(meet)[0]


def corrected(folder: Path) -> Path:
    """A copy of the example meet in which one final mark is another."""
    shutil.copytree(EXAMPLE, folder)
    marks = folder / "marks_junior_women.csv"
    lines = marks.read_text(encoding="utf-8").splitlines(keepends=True)
    head, *rows = lines
    last = rows[-1].rstrip("\r\n")
    cells = last.split(",")
    cells[-1] = "9.125"
    marks.write_text("".join([head, *rows[:-1], ",".join(cells) + "\n"]), encoding="utf-8")
    return folder


def timed(meet: Results, folder: Path, cache: Path | None, workers: int) -> float:
    """Seconds to write all books into a folder."""
    start = time.perf_counter()
    write_books(meet, find_theme("standard"), folder, lambda *_: None, workers=workers, cache=cache)
    return time.perf_counter() - start


def files(folder: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def megabytes(who: int) -> float:
    """The largest memory so far of this process or of one of those it started."""
    return resource.getrusage(who).ru_maxrss / 1024


def main(workers: int) -> None:
    """Make the books four times, and tell."""
    with tempfile.TemporaryDirectory() as place:
        work = Path(place)
        cache = work / "cache"
        first, second = judged(EXAMPLE), judged(corrected(work / "meet"))
        fresh = timed(first, work / "fresh", cache, workers)
        unchanged = timed(first, work / "unchanged", cache, workers)
        one_mark = timed(second, work / "one-mark", cache, workers)
        again = timed(second, work / "again", None, workers)
        made, mended = files(work / "fresh"), files(work / "one-mark")
        assert made == files(work / "unchanged")
        assert mended == files(work / "again")
        pages = sum(len(PdfReader(path).pages) for path in (work / "fresh").iterdir())
        changed = [name for name in mended if mended[name] != made.get(name)]
        print(f"{len(made)} books, {pages} pages, {sum(map(len, made.values())) / 1e6:.2f} MB")
        print(f"fresh:         {fresh:6.2f} s, {pages / fresh:.1f} pages a second")
        print(f"nothing new:   {unchanged:6.2f} s")
        print(f"one new mark:  {one_mark:6.2f} s, {len(changed)} books changed")
        print(f"without cache: {again:6.2f} s")
        here, workers_most = map(megabytes, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
        print(f"memory:        {here:6.0f} MB here, {workers_most:.0f} MB in the largest worker")
        spent = resource.getrusage(resource.RUSAGE_CHILDREN)
        print(f"CPU:           {spent.ru_utime + spent.ru_stime:6.1f} s in all workers of all runs")
        largest = max(made, key=lambda name: len(made[name]))
        print(f"largest file:  {len(made[largest]) / 1e6:6.2f} MB, {largest}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 0)
