"""A small site in versions; run as a script it builds one after the other until it is killed."""

import itertools
import sys
from pathlib import Path

from resultsgen.files import staging

PAGES = 12


def write_version(folder: Path, version: int, before: Path | None = None) -> None:
    """A small site of which every page says the version, and two files do not."""
    for number in range(PAGES):
        text = f"version {version}\n" * 200
        staging.write(folder, f"part{number % 3}/{number}.html", text.encode(), before)
    staging.write(folder, "icon.svg", b"<svg/>", before)
    (folder / "style.css").write_text("body { color: black }")


def build(target: Path, version: int, *inputs: Path) -> staging.Staging:
    """Put a version in place."""
    with staging.staged(target, inputs) as new:
        write_version(new.folder, version, target)
    return new


if __name__ == "__main__":
    print("ready", flush=True)
    for number in itertools.count(int(sys.argv[2])):
        build(Path(sys.argv[1]), number)
