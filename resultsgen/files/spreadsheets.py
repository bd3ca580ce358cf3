"""Spreadsheets: the process that opens them, and the cells that they would run.

They are handed to a process of its own, which has limits of memory and time.

One process opens all workbooks of a meet. Where it dies of one, another takes the rest, with the
time that is left. Systems without limits for a process (Windows) have that of time alone.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import signal
import sys
from collections.abc import Callable, Iterator
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import lru_cache
from threading import Timer
from typing import TYPE_CHECKING, Any, TypeVar, cast

from resultsgen.files.workbooks import MEMORY, PATIENCE, SECONDS, receive, send

if TYPE_CHECKING:
    import subprocess

Value = TypeVar("Value")

TOO_MUCH = (
    f"it takes more than {MEMORY // 10**6} MB of memory or {SECONDS} s to open: something stands "
    "far outside of the table, or there is too much in it"
)
WORK = "import sys; sys.path[:] = sys.argv[2:]\nfrom resultsgen.files.workbooks import work\n"
WORK += "work(int(sys.argv[1]))"


@dataclass
class Opener:
    """The process that opens spreadsheets, started when it is first needed."""

    process: subprocess.Popen[bytes] | None = None
    left: float = field(default=SECONDS)
    """Seconds of work that are left."""
    last: tuple[bytes | None, Any] = (None, None)
    """The workbook that was opened last, and what was read in it."""

    def read(self, held: bytes, reading: Callable[[dict[str, Any]], Value]) -> Value:
        """What *reading* makes of the answer of a workbook; often its next sheet is asked for."""
        if self.last[0] != held:
            self.last = held, reading(self.answer(held))
        return cast(Value, self.last[1])

    def answer(self, held: bytes) -> dict[str, Any]:
        """What `workbooks.answer` says of a workbook; `too much` where the process died of it."""
        if self.left < 1:
            return {"too much": f"the spreadsheets of a meet may take {SECONDS} s together"}
        if self.process is None:
            self.process = _start(round(self.left))
        given_up = Timer(PATIENCE, self.process.kill)
        given_up.start()
        try:
            send(self.process.stdin, held)
            told = receive(self.process.stdout)
        except BrokenPipeError:
            told = None
        finally:
            given_up.cancel()
        if told is not None:
            return dict(json.loads(told))
        self.close()
        return {"too much": TOO_MUCH}

    def close(self) -> None:
        process, self.process = self.process, None
        if process is None:
            return
        self.left -= _ended(process)
        for pipe in (process.stdin, process.stdout):
            if pipe:
                with contextlib.suppress(OSError):
                    pipe.close()


def _ended(process: subprocess.Popen[bytes]) -> float:
    """End a process; the seconds that it worked, all there are where the system tells none."""
    worked = float(SECONDS)
    if hasattr(os, "wait4"):
        with contextlib.suppress(ProcessLookupError, ChildProcessError):
            os.kill(process.pid, signal.SIGKILL)
            used = os.wait4(process.pid, 0)[2]
            worked = used.ru_utime + used.ru_stime
    process.kill()
    process.wait()
    return worked


def _start(seconds: int) -> subprocess.Popen[bytes]:
    """A fresh Python that finds the same modules, and nothing in the folder that it is in."""
    import subprocess

    return subprocess.Popen(
        [sys.executable, "-I", "-S", "-c", WORK, str(seconds), *filter(None, sys.path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


OPENER: ContextVar[Opener | None] = ContextVar("OPENER", default=None)


@contextlib.contextmanager
def one_opener() -> Iterator[Opener]:
    """One process for all workbooks that are opened within; it ends with it."""
    if there := OPENER.get():
        yield there
        return
    opener = Opener()
    token = OPENER.set(opener)
    try:
        yield opener
    finally:
        OPENER.reset(token)
        opener.close()


SIGN = "[=+\\-@＝＋－＠]"
STARTS = rf"'*+(?:[^\S\t\r\n]*{SIGN}|[\t\r\n])"
GOES_ON = rf"'*+ *{SIGN}"
STARTS_A_FORMULA = re.compile(rf"^(?={STARTS})|(?<=[;\t\r\n])(?={GOES_ON})")
"""Where a spreadsheet begins to read a formula: at the start of a cell, and after what it may
take for the end of one. Wide forms of the signs are read like the narrow ones by some."""

APOSTROPHE = re.compile(rf"^'(?={STARTS})|(?<=[;\t\r\n])'(?={GOES_ON})")
"""The apostrophe that is put before what a spreadsheet would run, and taken off again.

A text that begins with apostrophes before such a sign gets one more, so that what was written is
what is read, whatever it was."""

PLAIN_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


@lru_cache(maxsize=2**16)  # Most cells of a meet stand in several tables.
def harmless(cell: str) -> str:
    """A cell with an apostrophe before what a spreadsheet would run; plain numbers stay.

    >>> harmless("=1+1"), harmless("-0.300"), harmless("-Ada"), harmless("TV Ulmenquell")
    ("'=1+1", '-0.300', "'-Ada", 'TV Ulmenquell')
    """
    return cell if PLAIN_NUMBER.fullmatch(cell) else STARTS_A_FORMULA.sub("'", cell)


def as_meant(cell: str) -> str:
    """The cell without the apostrophes that were put there.

    >>> as_meant("'=1+1"), as_meant("-0.300"), as_meant("''-Ada"), as_meant("O'Hara")
    ('=1+1', '-0.300', "'-Ada", "O'Hara")
    """
    return APOSTROPHE.sub("", cell)
