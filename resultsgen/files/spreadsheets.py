"""Spreadsheets: the process that opens them, and the cells that they would run.

They are handed to a process of its own, which has limits of memory and time.

One process opens all workbooks of a meet. Where it dies of one, another takes the rest, with the
time that is left. Systems without limits for a process (Windows) have that of time alone.
"""

from __future__ import annotations

import contextlib
import json
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextvars import ContextVar
from dataclasses import dataclass, field
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
