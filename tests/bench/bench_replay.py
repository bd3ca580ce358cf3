"""A meet replayed mark by mark: how long it takes from the Enter key to the page in a browser.

    python tests/bench/bench_replay.py            # timed, one mark after the other
    python tests/bench/bench_replay.py --kill 30  # a process is killed at 30 of the marks

24 gymnasts in four squads make 96 marks. `resultsgen mark` takes them from its input and
`resultsgen watch --publish` publishes them, both as processes of their own; a browser has the
announcer's page open, whose own script asks for news, here without its pause. On the way: each
mark is a publication, pages tell a whole number of marks, what is published verifies, what is to be
said is on the first screen of a phone; whoever is killed has lost no mark, and goes on when started
again.

On 29 November 2026, two cores with nothing before it: from Enter to the page median 0.28 to 0.32 s,
worst 0.57 to 0.89 s, in four replays; 97 publications for 96 marks, also where it was killed 30
times.
"""

from __future__ import annotations

import argparse
import random
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parent.parent))
from browsing import ARGUMENTS, served
from playwright.sync_api import Page, sync_playwright

PARTS, SQUADS = ("VT", "UB", "BB", "FX"), "ABCD"
SETTINGS = """\
title = "Replayed Cup"
published = "now"
[[competition]]
id = "cup"
title = "Women"
discipline = "women"
phase = "final"
ranks = ["all-around", "apparatus", "team"]
team = { format = "6-6-3", by = "club" }
running = { highest = 15.500, starts = { A = "VT", B = "UB", C = "BB", D = "FX" } }
[[competition.cuts]]
name = "Apparatus finals"
of = "apparatus"
places = 8
reserves = 2
cap = 2
per = "club"
"""
NAMES = """
Aldersyke Brackwen Castrow Dunswold Eversley Fennimore Garrowby Halsmere Inverley Jorvane Kettlow
Lindmoor Merrowby Norvale Ostermark Penhallow Quarrick Rothmere Selwyck Thornby Ulverly Vennacott
Westmarch Yarrowdale
"""
CLUBS = ("Brinwick", "Hartsee", "Sieboldau", "Nordwald")
AT_ONCE = "const later = setTimeout; setTimeout = (f, ms) => later(f, ms >= 5000 ? 40 : ms);"
"""The pause between two questions for news is all that the browser's page has otherwise."""
CAME = "() => [...document.querySelectorAll('.arrivals, .aloud')].map(it => it.innerText).join()"
WON = "() => document.querySelectorAll('.won').length > 0"
IN_VIEW = """height => [...document.querySelectorAll('.aloud > li, .won, .upnext .who')]
    .filter(it => it.getBoundingClientRect().bottom + scrollY <= height && it.checkVisibility())
    .map(it => (it.matches('.who') ? 'Up: ' : '') + it.innerText)"""
PHONE = {"width": 390, "height": 844}


@dataclass(frozen=True)
class Entered:
    """One mark on its way; no two are equal, so each is found by its digits."""

    bib: str
    name: str
    part: str
    d: int
    e: int

    @property
    def slip(self) -> str:
        return f"{self.bib} {self.part.lower()} {shown(self.d)} {shown(self.e)}"

    @property
    def mark(self) -> str:
        return shown(self.d + self.e)


def shown(mark: int) -> str:
    return f"{mark // 1000}.{mark % 1000:03d}"


def written(folder: Path, dice: random.Random) -> list[Entered]:
    """The folder, and the marks in the order of the hall: the squads by turns."""
    folder.mkdir()
    (folder / "meet.toml").write_text(SETTINGS, "utf-8")
    rows = ["bib,family_name,given_name,club,squad,start_order"]
    rows += [f"{101 + at},{name},Ada,{CLUBS[at % 4]},{SQUADS[at // 6]},{at % 6 + 1}"
             for at, name in enumerate(NAMES.split())]  # fmt: skip
    (folder / "roster.csv").write_text("\n".join(rows) + "\n", "utf-8")
    (folder / "marks.csv").write_text("bib,apparatus,d,e,penalty,mark\n", "utf-8")
    found, marks = [], dice.sample(range(11_900, 13_300), 96)
    for turn, number, squad in product(range(4), range(6), range(4)):
        d = dice.choice((4_000, 4_300, 4_600))
        who, part = squad * 6 + number, PARTS[(squad + turn) % 4]
        found.append(Entered(str(101 + who), NAMES.split()[who], part, d, marks.pop() - d))
    return found


@dataclass
class Hall:
    """The processes over one meet folder, and what was seen of them."""

    folder: Path
    out: Path
    dice: random.Random
    watching: subprocess.Popen[str] | None = None
    marking: subprocess.Popen[str] | None = None
    kills: int = 0
    verified: int = 0
    seconds: list[float] = field(default_factory=list)

    def command(self, *words: str) -> list[str]:
        return [sys.executable, "-m", "resultsgen", *words]

    def go(self, name: str) -> subprocess.Popen[str]:
        """Start what is not running."""
        running = getattr(self, name)
        if running is None:
            words = ["mark", str(self.folder)]
            if name == "watching":
                words = ["watch", str(self.folder), "--publish", "-o", str(self.out), "--port", "0"]
            log = (self.folder.parent / f"{name}.log").open("a", encoding="utf-8")
            running = subprocess.Popen(
                self.command(*words), text=True, stdin=subprocess.PIPE,
                stdout=subprocess.PIPE if name == "marking" else log, stderr=log,
            )  # fmt: skip
            setattr(self, name, running)
        return running

    def end(self, name: str) -> None:
        """Kill it as no program can hear."""
        running = getattr(self, name)
        if running:
            running.kill()
            running.wait()
            for stream in (running.stdin, running.stdout):
                if stream:
                    stream.close()
        setattr(self, name, None)

    def send(self, one: Entered) -> float:
        """Press Enter; when that was."""
        running = self.go("marking")
        assert running.stdin
        running.stdin.write(one.slip + "\n")
        running.stdin.flush()
        return time.monotonic()

    def answer(self, one: Entered) -> str:
        """What `mark` says of it."""
        running = self.go("marking")
        assert running.stdout
        for line in running.stdout:
            assert not re.search(r"^Not entered|[?]", line), line
            if f" {one.mark} (" in line:
                return line.strip()
        raise AssertionError(f"no answer to {one.slip}")

    def kill_some(self) -> bool:
        """Kill one or both while a mark is on its way; whether `mark` was one of them."""
        time.sleep(self.dice.random() * self.dice.choice((0.02, 0.2, 1.0)))
        names = self.dice.choice((["watching"], ["marking"], ["watching", "marking"]))
        for name in names:
            self.end(name)
        self.kills += 1
        return "marking" in names

    def rows(self) -> list[str]:
        """The rows of marks as they lie on the disk."""
        return (self.folder / "marks.csv").read_text("utf-8").splitlines()[1:]

    def holds(self, one: Entered) -> bool:
        """The row is there, whole, and once."""
        found = [row for row in self.rows() if row.startswith(f"{one.bib},{one.part},")]
        assert len(found) < 2, found
        assert all(shown(one.e) in row for row in found), found
        return bool(found)

    def number(self) -> int:
        """The number of the last publication."""
        return max((int(re.sub(r"\D", "", path.stem) or 0)
                    for path in (self.out / "data" / "publications").glob("*.json")),
                   default=0)  # fmt: skip

    def verify(self) -> None:
        """What is published is whole, as the program itself says of it."""
        for _ in range(5):
            before = self.stamp()
            found = subprocess.run(
                self.command("verify", str(self.out)), text=True, capture_output=True, check=False
            )
            if found.returncode == 0:
                self.verified += 1
                return
            if self.stamp() == before:
                break
        raise AssertionError(found.stdout + found.stderr)

    def stamp(self) -> tuple[int, int]:
        status = self.out.stat()
        return status.st_ino, status.st_mtime_ns


@contextmanager
def page_of(address: str) -> Iterator[Page]:
    """The announcer's page on a phone."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=list(ARGUMENTS)
        )
        page = browser.new_context(viewport=PHONE).new_page()
        page.add_init_script(AT_ONCE)
        page.goto(address)
        yield page
        browser.close()


def until_shown(page: Page, one: Entered, since: float, *, last: bool) -> float:
    """Seconds until the page tells what the mark did, and after the last one who won."""
    while time.monotonic() < since + 60:
        if page.evaluate(WON) if last else one.mark in page.evaluate(CAME):
            return time.monotonic() - since
        time.sleep(0.005)
    raise AssertionError(f"{one.slip} did not come")


def is_said_at_once(page: Page, one: Entered, *, last: bool) -> str:
    """What the mark did, or who won, stands on a phone before anybody scrolls; what does."""
    seen = page.evaluate(IN_VIEW, PHONE["height"])
    assert any(" won " in text or one.name in text for text in seen), (one, seen)
    if not last:
        assert one.name in seen[0], (one, seen)
        assert len(seen) > 1, (one, seen)  # What is decided, or else who is up next.
    return " | ".join(" ".join(text.split()) for text in seen)


def tells_a_whole_number(page_text: str, marks: list[Entered]) -> int:
    """How many marks a page tells: the first so many, and no other."""
    there = [one.mark in page_text for one in marks]
    count = sum(there)
    assert all(there[:count]), "a page that is neither before nor after a mark"
    return count


def replay(base: Path, kill: int, seed: int) -> None:
    dice = random.Random(seed)
    hall = Hall(base / "meet", base / "out", dice)
    marks = written(hall.folder, dice)
    killed = set(dice.sample(range(len(marks)), kill))
    try:
        replayed(hall, marks, killed)
    finally:
        hall.end("marking")
        hall.end("watching")
    print(f"{len(marks)} marks, {hall.number()} publications, {hall.kills} times killed, "
          f"{hall.verified} times verified")  # fmt: skip
    if hall.seconds:
        print(f"from Enter to the page: median {median(hall.seconds):.3f} s, "
              f"worst {max(hall.seconds):.3f} s")  # fmt: skip


def replayed(hall: Hall, marks: list[Entered], killed: set[int]) -> None:
    """Every mark entered, seen and asked after."""
    hall.go("watching")
    while not (hall.out / "index.html").exists():
        time.sleep(0.05)
    with served(hall.out) as address, page_of(f"{address}competitions/cup/announcer.html") as page:
        for at, one in enumerate(marks):
            since = hall.send(one)
            answered = ""
            if at in killed:
                if hall.kill_some() and not hall.holds(one):
                    since = hall.send(one)
                hall.go("watching")
            else:
                answered = hall.answer(one)
            last = one is marks[-1]
            took = until_shown(page, one, since, last=last)
            if answered:
                hall.seconds.append(took)
            assert all(map(hall.holds, marks[: at + 1]))
            listed = (hall.out / "competitions" / "cup" / "all-around.html").read_text("utf-8")
            tells_a_whole_number(listed, marks)
            if at in killed or at % 8 == 7:
                hall.verify()
            if not killed:
                assert hall.number() == at + 2, (hall.number(), at)
            said = is_said_at_once(page, one, last=last)
            print(f"{at + 1:3} {took:6.3f} s {one.slip}: {said}", flush=True)


if __name__ == "__main__":
    asked = argparse.ArgumentParser()
    asked.add_argument("--kill", type=int, default=0)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    with TemporaryDirectory() as base:
        replay(Path(base), given.kill, given.seed)
