"""What `check` costs: run as a script, it checks each folder in a fork of its own with limits.

Everything is imported before, once; so a fork shows what the folder costs and not what Python does.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import resource
import subprocess
import sys
import time
import traceback
from dataclasses import dataclass
from pathlib import Path

SECONDS = 10
MEGABYTES = 500


@dataclass(frozen=True)
class Cost:
    """How a check ended, and what it took; processes that it started are counted."""

    code: int
    told: str
    seconds: float
    megabytes: float


def costs(folders: list[Path]) -> dict[str, Cost]:
    """What checking each folder costs, by the folder's name."""
    command = [sys.executable, __file__, *map(str, folders)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return {name: Cost(*told) for name, told in json.loads(done.stdout).items()}


def _fork(folder: Path) -> list[object]:
    ours, theirs = os.pipe()
    if child := os.fork():
        os.close(theirs)
        with os.fdopen(ours, "rb") as pipe:
            told = pipe.read()
        os.waitpid(child, 0)
        return json.loads(told) if told else [-1, "died", float(SECONDS), float(MEGABYTES)]
    with os.fdopen(theirs, "wb") as pipe:
        pipe.write(json.dumps(_measured(folder)).encode())
    os._exit(0)


def _measured(folder: Path) -> tuple[int, str, float, float]:
    """Exit code, what was printed, seconds of work, megabytes."""
    from resultsgen.cli import main

    resource.setrlimit(resource.RLIMIT_CPU, (2 * SECONDS, 2 * SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (4_000_000_000, 4_000_000_000))
    begun = time.process_time()
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed):
        try:
            code = main(["check", str(folder)])
        except BaseException:
            code = -1
            printed.write(traceback.format_exc()[-2000:])
    own, others = (
        resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    seconds = time.process_time() - begun + others.ru_utime + others.ru_stime
    megabytes = (own.ru_maxrss + others.ru_maxrss) * 1024 / 10**6
    return code, printed.getvalue(), seconds, megabytes


if __name__ == "__main__":
    import resultsgen.publishing.publish  # noqa: F401

    print(json.dumps({Path(one).name: _fork(Path(one)) for one in sys.argv[1:]}))
