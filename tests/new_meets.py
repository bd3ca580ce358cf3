"""A meet begun from a club's workbooks, as at a terminal: what was done, and all that was said."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from resultsgen.cli import main


class Run(NamedTuple):
    """How a command ended, and what it printed."""

    code: int
    told: str


def ended(*arguments: object) -> int:
    """With which code a command in this process ended."""
    try:
        return main([*map(str, arguments)])
    except SystemExit as by_parser:
        return int(str(by_parser.code))


def run(*arguments: object) -> Run:
    """One command in this process."""
    told = io.StringIO()
    with contextlib.redirect_stdout(told), contextlib.redirect_stderr(told):
        code = ended(*arguments)
    return Run(code, told.getvalue())


def begun(folder: Path, files: Iterable[Path], *more: object) -> Run:
    """`resultsgen new FOLDER --from FILES`."""
    return run("new", folder, "--from", *files, *more)


def built(folder: Path) -> Run:
    """`resultsgen build FOLDER --without-books`."""
    return run("build", folder, "--without-books")


def held(folder: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
