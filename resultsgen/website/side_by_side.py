"""Work that a copy of this process does beside it, or that both share.

A copy is made where that is sound: on Linux, with a second core, while there is no other thread.
Of what is shared each takes the number of what is next out of one pipe. What the copy does not
tell of, as it failed or was ended, is done here: so nothing depends on it, and what is wrong is
told by one process.
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
from typing import Any, TypeVar

WORTH = 8
"""Of less to do the copy costs more than it spares."""

MOST = 1000
"""So many numbers of four bytes go into a pipe, however small it is, before anybody takes one."""

PR_SET_PDEATHSIG = 1
"""Linux, man 2 prctl."""

T = TypeVar("T")


@contextmanager
def beside(work: Callable[[], T]) -> Iterator[Callable[[], T | None]]:
    """Begin it in a copy; what is given waits for what came of it: None where nothing did."""
    if not _may_be_copied():
        yield lambda: None
        return
    this, library, (answers, told) = os.getpid(), _c_library(), os.pipe()
    with FileIO(answers) as answer:
        copy = _copied()
        if copy == 0:
            try:
                answer.close()  # Else what it tells waits for ever where the other was killed.
                _end_with(this, library)
                found = work()
                with open(told, "wb") as pipe:
                    pickle.dump(found, pipe)
            finally:
                os._exit(0)  # All else that is open or to be told belongs to the other.
        os.close(told)

        def done() -> T | None:
            with suppress(EOFError, pickle.UnpicklingError):
                found: T = pickle.loads(answer.readall())
                return found
            return None

        try:
            yield done
        finally:
            if copy:
                with suppress(OSError):  # Where nobody is told of ended processes it may be gone.
                    os.kill(copy, signal.SIGKILL)
                    os.waitpid(copy, 0)


@contextmanager
def side_by_side(work: Sequence[Callable[[], T]]) -> Iterator[Callable[[], list[T]]]:
    """Begin it; what is given does the rest, and tells what came of each."""
    if len(work) < WORTH:
        yield lambda: [one() for one in work]
        return
    with _numbers(len(work)) as numbers:

        def taken() -> dict[int, T]:
            return {one: work[one]() for one in _taken(numbers, len(work))}

        def done() -> list[T]:
            found = taken() | (told() or {})
            return [found[at] if at in found else one() for at, one in enumerate(work)]

        with beside(taken) as told:
            yield done


def _may_be_copied() -> bool:
    alone = sys.platform == "linux" and threading.active_count() == 1
    return alone and len(os.sched_getaffinity(0)) > 1


def _copied() -> int | None:
    """The process that is a copy of this one; 0 in the copy, None where there can be none."""
    with suppress(OSError):
        return os.fork()
    return None


def _c_library() -> Any:
    """By this process, which needs it in the end, rather than by each copy; None without one."""
    import ctypes

    with suppress(OSError):
        return ctypes.CDLL(None)
    return None


def _end_with(other: int, library: Any) -> None:
    """Let the system end this process as soon as the other is gone."""
    with suppress(AttributeError):  # A C library without the call, or none.
        library.prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
    if os.getppid() != other:
        raise ProcessLookupError


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
