"""Work that two processes share: a copy of this one does what neither of them has begun.

A copy is made where that is sound: on Linux, with a second core, while there is no other thread.
Each takes the number of what is next out of one pipe. What the copy does not tell of, as it failed
or was ended, is done here: so nothing depends on it, and what is wrong is told by one process.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from io import FileIO
from typing import TypeVar

WORTH = 8
"""Of less to do the copy costs more than it spares."""

MOST = 1000
"""So many numbers of four bytes go into a pipe, however small it is, before anybody takes one."""

T = TypeVar("T")


@contextmanager
def side_by_side(work: Sequence[Callable[[], T]]) -> Iterator[Callable[[], list[T]]]:
    """Begin it; what is given does the rest, and tells what came of each."""
    if len(work) < WORTH or not _may_be_copied():
        yield lambda: [one() for one in work]
        return
    this, (answers, told) = os.getpid(), os.pipe()
    with _numbers(len(work)) as numbers, FileIO(answers) as answer:
        copy = _copied()
        if copy == 0:
            try:
                answer.close()  # Else what it tells waits for ever where the other was killed.
                found = {
                    one: work[one]() for one in _taken(numbers, len(work)) if os.getppid() == this
                }
                with open(told, "wb") as pipe:
                    pickle.dump(found, pipe)
            finally:
                os._exit(0)  # All else that is open or to be told belongs to the other.
        os.close(told)

        def done() -> list[T]:
            found = {one: work[one]() for one in _taken(numbers, len(work))}
            with suppress(EOFError, pickle.UnpicklingError):
                found |= pickle.loads(answer.readall())
            return [found[at] if at in found else one() for at, one in enumerate(work)]

        try:
            yield done
        finally:
            if copy:
                with suppress(OSError):  # Where nobody is told of ended processes it may be gone.
                    os.kill(copy, signal.SIGKILL)
                    os.waitpid(copy, 0)


def _may_be_copied() -> bool:
    alone = sys.platform == "linux" and threading.active_count() == 1
    return alone and len(os.sched_getaffinity(0)) > 1


def _copied() -> int | None:
    """The process that is a copy of this one; 0 in the copy, None where there can be none."""
    with suppress(OSError):
        return os.fork()
    return None


def _step(many: int) -> int:
    return -(-many // MOST)


def _numbers(many: int) -> FileIO:
    """A pipe with the first of each few numbers below so many."""
    numbers, writing = os.pipe()
    with FileIO(writing, "w") as pipe:
        pipe.write(b"".join(first.to_bytes(4) for first in range(0, many, _step(many))))
    return FileIO(numbers)


def _taken(numbers: FileIO, many: int) -> Iterator[int]:
    """The numbers for which this process is the first to ask."""
    while few := numbers.read(4):
        first = int.from_bytes(few)
        yield from range(first, min(first + _step(many), many))
