"""How long a season of many meets takes, and how much memory: 120 gymnasts at each meet.

Run by hand: `.venv/bin/python tests/bench/bench_season.py [meets ...]`, 40, 50 and 500 unless you
say so. The meets are published folders with nothing in them but `results.json`: 600 routines in
four competitions, everybody at three meets, 40 people for each meet. Each build is a process of its
own, without yearbooks.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import random
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).parents[2]
APPARATUS = {"women": ("VT", "UB", "BB", "FX"), "men": ("FX", "PH", "SR", "VT", "PB", "HB")}
DIVISIONS = ("junior", "senior")
GROUPS = tuple((d, v) for d in APPARATUS for v in DIVISIONS)
STARTS, EACH = 3, 30
RULES = {"name": "international", "title": "International"}
SYLLABLES = ("bar", "del", "fen", "gor", "hul", "jas", "kel", "lom", "mir", "nor", "pel", "ras")


class Person(NamedTuple):
    """A made-up gymnast."""

    family: str
    given: str
    club: str
    born: int
    number: str
    strength: int


def name(number: int, syllables: int) -> str:
    """A name that no other number has."""
    parts = []
    for _ in range(syllables):
        number, part = divmod(number, len(SYLLABLES))
        parts.append(SYLLABLES[part])
    return "".join(parts).capitalize()


def people(meets: int) -> dict[tuple[str, str], list[Person]]:
    """Everybody of each group; seven of ten have a lasting number, some share a name."""
    chance = random.Random(11)
    found: dict[tuple[str, str], list[Person]] = {}
    for which, group in enumerate(GROUPS):
        found[group] = [
            Person(
                name(each * 4 + which if each % 100 else which, 5), name(each % 1000, 3),
                f"Club {chance.randrange(40 + meets // 2):03}", 2005 + chance.randrange(16),
                f"L{which}{each:05}" if each % 10 < 7 else "", chance.randrange(10_000, 13_500),
            )
            for each in range(EACH * meets // STARTS)
        ]  # fmt: skip
    return found


def lines(marks: dict[int, dict[str, dict[str, Any]]]) -> Iterator[dict[str, Any]]:
    """The lines of a list, best first, with places."""
    totals = {row: sum(_whole(one["mark"]) for one in held.values()) for row, held in marks.items()}
    place, before = 0, -1
    for number, row in enumerate(sorted(totals, key=lambda row: -totals[row]), start=1):
        place = place if totals[row] == before else number
        before = totals[row]
        yield {
            "entry": row, "place": place, "total": _told(before), "so_far": _told(before),
            "done": len(marks[row]), "needed": len(marks[row]), "terms": [], "below": False,
            "status": "", "routines": [*marks[row].values()],
        }  # fmt: skip


def ranking(parts: tuple[str, ...], marks: dict[int, dict[str, dict[str, Any]]]) -> dict[str, Any]:
    """A list."""
    alone = len(parts) == 1
    return {
        "kind": "apparatus" if alone else "all-around", "apparatus": parts[0] if alone else "",
        "parts": parts, "total_is": "sum", "terms": [], "to_come": 0, "lines": [*lines(marks)],
    }  # fmt: skip


def competition(
    group: tuple[str, str], who: dict[int, Person], day: str, chance: random.Random, more: int
) -> dict[str, Any]:
    """A competition with all its lists; the first mark is so much higher."""
    parts = APPARATUS[group[0]]
    marks: dict[int, dict[str, dict[str, Any]]] = {}
    for row, one in who.items():
        marks[row] = {}
        for part in parts:
            d, e = chance.randrange(20, 60) * 100, one.strength + chance.randrange(-900, 900) - 4000
            e, more = e + more, 0
            marks[row][part] = {
                "apparatus": part, "vault": 1, "mark": _told(d + e), "d": _told(d), "e": _told(e),
                "penalty": None, "bonus": None, "status": "", "rotation": None, "place": None,
                "parts_give": None,
            }  # fmt: skip
    single = [ranking((part,), {row: {part: marks[row][part]} for row in who}) for part in parts]
    for held in single:
        for line in held["lines"]:
            line["routines"][0]["place"] = line["place"]
    return {
        "id": "-".join(group), "title": f"{group[0]}, {group[1]}", "discipline": group[0],
        "phase": "final", "day": day, "complete": True, "marks_of": [], "days": [],
        "carried_from": [], "rules": RULES, "all_around": ranking(parts, marks),
        "by_apparatus": single, "team": None, "not_ranked": [], "cuts": [],
    }  # fmt: skip


def results(
    number: int, meets: int, everybody: dict[tuple[str, str], list[Person]], more: int = 0
) -> bytes:
    """The results of one meet; the same number gives the same, but for a mark that is higher."""
    chance = random.Random(number)
    first = (dt.date(2011, 1, 8) + dt.timedelta(days=number * 365 // 41)).isoformat()
    gymnasts, held = [], []
    for group in GROUPS:
        of = everybody[group]
        # Those who stand beside each other in a year meet again.
        start = number * EACH // STARTS
        who = {
            len(gymnasts) + each: of[(start + each) % len(of)] for each in range(min(EACH, len(of)))
        }
        gymnasts += [
            {
                "entry": row, "bib": str(row + 1), "family_name": one.family,
                "given_name": one.given, "name_withheld": False, "club": one.club, "team": "",
                "federation": "", "discipline": group[0], "division": group[1], "session": "",
                "squad": "", "start_order": None, "birth_year": one.born, "guest": False,
                "person": one.number,
            }
            for row, one in who.items()
        ]  # fmt: skip
        held.append(competition(group, who, first, chance, 0 if held else more))
    codes = dict.fromkeys(part for parts in APPARATUS.values() for part in parts)
    told = {
        "format": "resultsgen results", "version": "1.10",
        "meet": {
            "title": f"Meet {number}", "place": f"Town {number % 40}", "first_day": first,
            "last_day": first, "organiser": "", "state": "official",
        },
        "apparatus": [{"code": code, "name": code} for code in codes],
        "gymnasts": gymnasts, "competitions": held,
    }  # fmt: skip
    return json.dumps(told, indent=1).encode()


def _whole(text: str) -> int:
    return int(text.replace(".", ""))


def _told(mark: int) -> str:
    return f"{mark // 1000}.{mark % 1000:03}"


def write_meet(folder: Path, data: bytes) -> None:
    """A published folder of nothing but results."""
    (folder / "data").mkdir(parents=True, exist_ok=True)
    (folder / "data/results.json").write_bytes(data)
    line = f"{sha256(data).hexdigest()}  data/results.json\n"
    (folder / "SHA256SUMS").write_text(line)


def write_archive(folder: Path, meets: int) -> None:
    """A season folder of so many published meets."""
    everybody = people(meets)
    for number in range(meets):
        write_meet(folder / f"meets/m{number:04}", results(number, meets, everybody))
    (folder / "season.toml").write_text('title = "An archive"\nmeets = ["meets/*"]\n')


def build(folder: Path, work: Path, what: str) -> None:
    """One build in a process of its own, with its time and the most memory that it had."""
    environment = os.environ | {
        "RESULTSGEN_CACHE": str(work / "cache"),
        "PYTHONPATH": str(ROOT),
        "PYTHONPYCACHEPREFIX": str(work / "compiled"),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    code = "import sys; from resultsgen.cli import main; sys.exit(main())"
    words = [sys.executable, "-c", code, "season", str(folder), "--without-books"]
    said = work / "said"
    begun = time.perf_counter()
    with said.open("wb") as opened:
        child = os.posix_spawn(
            sys.executable, words, environment, file_actions=[(os.POSIX_SPAWN_DUP2,
            opened.fileno(), 1)],
        )  # fmt: skip
        _, status, used = os.wait4(child, 0)
    seconds = time.perf_counter() - begun
    last = said.read_text("utf-8").splitlines()[-1]
    assert status == 0, last
    processor = used.ru_utime + used.ru_stime
    print(f"{what:24} {seconds:7.2f} s, {processor:7.2f} s of processors, "
          f"{used.ru_maxrss / 1000:6.0f} MB", flush=True)  # fmt: skip
    print(f"{'':24} {last[last.index(':') + 2 :]}", flush=True)


def main(sizes: list[int]) -> None:
    """Build archives of these sizes, and build them again with a little changed."""
    for meets in sizes:
        with tempfile.TemporaryDirectory() as place:
            work, folder = Path(place), Path(place) / "season"
            write_archive(folder, meets)
            print(f"{meets} meets")
            build(folder, work, "whole")
            build(folder, work, "nothing changed")
            everybody, half = people(meets), meets // 2
            write_meet(folder / f"meets/m{half:04}", results(half, meets, everybody, 1))
            build(folder, work, "one meet changed")
            write_meet(folder / "meets/new", results(meets, meets, everybody))
            build(folder, work, "one meet added")
            shutil.rmtree(folder)


if __name__ == "__main__":
    main([int(one) for one in sys.argv[1:]] or [40, 50, 500])
