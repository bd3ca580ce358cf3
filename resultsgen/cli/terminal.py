"""What is said to the person at the table: the only place that prints.

Meet folders come from strangers: no sign of theirs moves the cursor, colours or hides a line. And
whoever does not listen, a closed or a full stream, changes nothing of what a command does.
A build tells how far it is: a bar on a terminal, plain lines elsewhere.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

CONTROL = re.compile(
    "[\\x00-\\x08\\x0a-\\x1f\\x7f-\\x9f\\u2028-\\u202e\\u2066-\\u2069\\ud800-\\udfff]"
)
"""Signs that steer a terminal, override the direction of writing, or are halves of letters."""


def print_line(line: str) -> None:
    _write(sys.stdout, line)


def print_error(line: str) -> None:
    _write(sys.stderr, line)


def printable(text: str) -> str:
    r"""A text on one line with every sign that steers a terminal written out.

    >>> printable("Ada\x1b[2J")
    'Ada\\x1b[2J'
    """
    return CONTROL.sub(lambda sign: sign[0].encode("unicode_escape").decode(), text)


def have_streams() -> None:
    """Where standard streams are closed, let nothing that is opened later take their place."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)


def let_go() -> None:
    """Drop what nobody takes; else the interpreter would end with a code of its own."""
    for stream in (sys.stdout, sys.stderr):
        _write(stream, None)


def _write(stream: TextIO | None, line: str | None) -> None:
    """Write a line, or only what is still waiting; a stream that fails is never tried again."""
    if stream is None or stream.closed:
        return
    try:
        if line is not None:
            encoding = stream.encoding or "utf-8"
            known = printable(line).encode(encoding, "backslashreplace").decode(encoding)
            stream.write(known + "\n")
        stream.flush()
    except OSError:  # What is still waiting goes nowhere.
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


Progress = Callable[[str, int, int], None]


@contextmanager
def progress() -> Iterator[Progress]:
    """Give the function that is told every step; both go to the error stream."""
    begun: set[str] = set()

    def line_when_it_begins(step: str, _done: int, _of: int) -> None:
        if step not in begun:
            begun.add(step)
            print_error(f"{step} ...")

    if sys.stderr and sys.stderr.isatty():
        with _bar() as told:
            yield told
    else:
        yield line_when_it_begins


@contextmanager
def _bar() -> Iterator[Progress]:
    """The step, how far it is, and the time that is left of it; gone when all is done."""
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        SpinnerColumn,
        TextColumn,
        TimeRemainingColumn,
    )

    columns = (
        SpinnerColumn(),
        TextColumn("{task.description}", markup=False),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    bar = Progress(*columns, console=Console(stderr=True), transient=True)
    tasks: dict[str, object] = {}

    def told(step: str, done: int, of: int) -> None:
        bar.start()
        if step not in tasks:
            for task in tasks.values():
                bar.update(task, visible=False)  # type: ignore[arg-type]
            tasks[step] = bar.add_task(step, total=of or None)
        bar.update(tasks[step], completed=done, total=of or None)  # type: ignore[arg-type]
        if of and done == of:  # Its thread would keep a copy of this process from being made.
            bar.stop()

    try:
        yield told
    finally:
        bar.stop()
