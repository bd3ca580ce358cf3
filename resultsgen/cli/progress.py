"""What a build tells while it runs: a bar on a terminal, plain lines elsewhere."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from resultsgen.cli.terminal import print_error

Progress = Callable[[str, int, int], None]


@contextmanager
def progress() -> Iterator[Progress]:
    """Give the function that is told every step; both go to the error stream."""
    if sys.stderr and sys.stderr.isatty():
        with _bar() as told:
            yield told
    else:
        yield _lines()


def _lines() -> Progress:
    """One line for each step, when it begins."""
    begun: set[str] = set()

    def told(step: str, done: int, of: int) -> None:
        if step not in begun:
            begun.add(step)
            print_error(f"{step} ...")

    return told


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
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        tasks: dict[str, object] = {}

        def told(step: str, done: int, of: int) -> None:
            if step not in tasks:
                for task in tasks.values():
                    bar.update(task, visible=False)  # type: ignore[arg-type]
                tasks[step] = bar.add_task(step, total=of or None)
            bar.update(tasks[step], completed=done, total=of or None)  # type: ignore[arg-type]

        yield told
