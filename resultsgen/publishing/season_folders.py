"""Which folders are the meets of a season, and how each is called."""

from __future__ import annotations

from collections.abc import Iterator
from glob import has_magic
from pathlib import Path, PurePath

from resultsgen.files.opening import is_there
from resultsgen.files.staging import OF_A_SEASON, real
from resultsgen.files.toml_keys import key_path
from resultsgen.meet.problems import Note, Problem, parted
from resultsgen.publishing.season_results import RESULTS
from resultsgen.season.settings import SeasonSettings
from resultsgen.views.site.addresses import file_names

SEASON_FILE = "season.toml"
WHOLE = ("meet.toml", RESULTS, OF_A_SEASON)
"""One of them is in each folder that is a meet, or was published."""


def meet_folders(
    folder: Path, settings: SeasonSettings, out: Path, problems: list[Problem]
) -> dict[str, Path]:
    """Each meet by its id, which follows from how its folder is called; what is wrong is told."""
    named: dict[str, Path] = {}
    for place, id in _found(folder, settings, out, problems).items():
        if other := named.get(id):
            message = (
                f"{place.relative_to(folder)} and {other.relative_to(folder)} would both be "
                f"called {id}; name one of them alone, or rename a folder"
            )
            problems.append(Problem(SEASON_FILE, 0, "meets", "meet-twice", message))
        named.setdefault(id, place)
    short = file_names(named)
    return {short[id]: place for id, place in named.items()}


def _found(
    folder: Path, settings: SeasonSettings, out: Path, problems: list[Problem]
) -> dict[Path, str]:
    """The folders that the settings name, each once, and how it is called; what else they name is
    told."""
    found: dict[Path, tuple[Path, str]] = {}
    within = real(folder)
    for number, pattern in enumerate(settings.meets):
        meets = [*_named(folder, pattern, real(out))]
        if not meets:
            what = "leads to nothing" if has_magic(pattern) else "is not there"
            what += " in the season folder; name folders inside it"
            if (folder / pattern).is_relative_to(out):
                what = "is where the season itself is published; name folders of meets"
            message = f"{pattern} {what}: meets/*"
            if not PurePath(pattern.strip()).parts:
                what = "is the season folder itself" if pattern.strip() else "is an empty name"
                message = f'"{pattern}" {what}; name folders inside it: meets/*'
            where = key_path("meets", number)
            problems.append(Problem(SEASON_FILE, 0, where, "no-such-meet", message, pattern))
        for one, place in meets:
            inside = place.is_relative_to(within)
            if inside and (is_there(one, "meet.toml") or is_there(one, RESULTS)):
                found.setdefault(place, (one, _called(one.relative_to(folder), pattern)))
            else:
                alone = not has_magic(pattern)
                problems.append(_no_meet(one, folder, inside=inside, alone=alone))
    if not found and not parted(problems)[0]:
        message = (
            "leads to no meet at all; name folders with a meet.toml, or published ones: meets/*"
        )
        problems.append(Problem(SEASON_FILE, 0, "meets", "no-such-meet", message))
    return dict(found.values())


def _called(inside: Path, pattern: str) -> str:
    """The name of its folder, and before it those above that the pattern leaves open, so that
    `*/*` knows the same event of two years; of an output folder, the one above it."""
    parts = PurePath(pattern.strip()).parts
    fixed = next((at for at, part in enumerate(parts) if has_magic(part)), len(parts))
    own = [
        [part for part in each if part != "output"] for each in (inside.parts[fixed:], inside.parts)
    ]
    return "-".join(own[0] or own[1][-1:]) or "meet"


def _named(folder: Path, pattern: str, out: Path) -> Iterator[tuple[Path, Path]]:
    """What a name or pattern of `meets` leads to: meets, and the outermost of what is none; and
    where it is, once links are followed.

    Nothing inside of what is published, or of a meet that it leads to, is looked at.
    """
    try:
        found = sorted(folder.glob(pattern)) if PurePath(pattern.strip()).parts else []
    except (ValueError, NotImplementedError):
        found = []
    named = {one: real(one) for one in found}
    if not real(folder).is_relative_to(out):  # Which is refused before anything is written.
        named = {one: at for one, at in named.items() if not at.is_relative_to(out)}
    whole, left = set[Path](), set[Path]()
    for one in named:
        if not whole.intersection(one.parents) and any(is_there(one, name) for name in WHOLE):
            whole.add(one)
    around = {above for one in whole for above in one.parents}
    for one, at in named.items():
        if one in whole:
            yield one, at
        elif one not in around and not (whole | left).intersection(one.parents):
            left.add(one)
            yield one, at


def _no_meet(one: Path, folder: Path, *, inside: bool, alone: bool) -> Problem:
    name = one.relative_to(folder).as_posix() if one.is_relative_to(folder) else str(one)
    if not inside:
        message = f"{name} leads out of the season folder; copy the meet into it"
        return Problem(SEASON_FILE, 0, "meets", "outside-the-folder", message)
    message = f"left alone: {name} is no meet folder and no published folder"
    kind = Problem if alone else Note
    return kind(SEASON_FILE, 0, "meets", "no-meet", message)
