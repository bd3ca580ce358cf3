"""Files of a club are looked over, and a meet folder is written from them, whole or not at all.

Then all that there is to say of it is said, a line each.
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.files.spreadsheets import one_opener
from resultsgen.intake.columns import quoted
from resultsgen.intake.contests import free_name
from resultsgen.intake.meet_file import meet_toml
from resultsgen.intake.outline import Intake, look_over
from resultsgen.intake.tables import NamedSheet
from resultsgen.meet.problems import MeetProblems, counted
from resultsgen.meet.settings import schema_text
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import checked, nothing_to_mend
from resultsgen.publishing.starter import (
    COMPETITIONS,
    SCHEMA,
    STARTING_FOLDER,
    refuse_what_is_there,
)
from resultsgen.reading.sheets import read_sheets
from resultsgen.reading.texts import likely_encodings, telling_words

NOT_TO_TAKE = (
    "meet.toml", SCHEMA, "readme.md", "incidents.csv", "bests.csv",
    "corrections.csv", "output", "pages", "assets", "publications",
)  # fmt: skip
"""Names that mean something in a meet folder, and that no file of somebody's may have there."""


WORK = ".resultsgen-new-"
"""How the hidden folder begins in which a meet folder is made."""

INVENTED = "Everything in it is invented. Change it to yours, then:"
"""What the README.md of the starting folder says of that folder alone."""

TOLD_HERE = ("left-alone", "hidden-cells")
"""Notes of the reader that say what was said already."""


@dataclass
class Beginning:
    """A meet folder on its way, and what there is to say of it."""

    folder: Path
    seen: Intake = field(default_factory=Intake)
    told: list[str] = field(default_factory=list)
    mode: int = 0o666
    """Nobody may read what is written from files who may not read these."""

    def write(self, name: str, held: bytes) -> None:
        (self.folder / name).write_bytes(held)
        (self.folder / name).chmod((self.folder / name).stat().st_mode & (self.mode | 0o600))


@contextmanager
def begun(
    folder: Path, files: Sequence[Path], discipline: str = "", *, dry_run: bool
) -> Iterator[Beginning]:
    """Write a meet folder from files, whose gymnasts are of a discipline where these say none.

    It stands in its place once all that is done with it went well, and nowhere where *dry_run* says
    so, or no table was found.
    """
    refuse_what_is_there(folder)
    target = Path(os.path.realpath(folder))
    near = next(one for one in target.parents if one.is_dir())
    left = [f"{one}: what is in it a run left behind that was killed; delete it, if none goes on"
            for one in sorted(near.glob(f"{WORK}*"))]  # fmt: skip
    with tempfile.TemporaryDirectory(dir=None if dry_run else near, prefix=WORK) as work:
        made = Beginning(Path(work) / "meet", told=left)
        made.folder.mkdir()
        names = _copy(files, made)
        with one_opener():
            made.seen = look_over(
                [one for name in names for one in _sheets(made, name)], discipline
            )
        if made.seen.contests:
            _write(made, names, files[0].stem)
        yield made
        if made.seen.contests and not dry_run:
            refuse_what_is_there(target)
            target.parent.mkdir(parents=True, exist_ok=True)
            if target.exists():
                target.rmdir()
            os.rename(made.folder, target)


def _copy(files: Sequence[Path], made: Beginning) -> list[str]:
    """Put each file into the folder as it is; its name there."""
    taken = {*NOT_TO_TAKE}
    names = []
    for file in files:
        real = Path(os.path.realpath(file))
        try:
            held = file_bytes(real.parent, real.name)
        except UnreadableError as problem:
            made.told.append(f"{file}: {problem}")
            continue
        name = _free(file.name, taken)
        if name != file.name:
            made.told.append(
                f"{file.name}: copied as {name}, since the name is taken, or not allowed on every "
                "system"
            )
        taken.add(name.casefold())
        made.mode &= real.stat().st_mode
        made.write(name, held)
        names.append(name)
    return names


def _free(name: str, taken: set[str]) -> str:
    """The name, or one near it that is free, and that every system and `meet.toml` takes."""
    kept = "".join(
        sign if sign.isprintable() and sign not in '/\\:*?"<>|' else "-" for sign in name
    )
    kept = kept.lstrip(".").rstrip(". ") or "table"
    stem, ending = os.path.splitext(kept)
    return free_name(stem, taken, ending)


def _sheets(made: Beginning, name: str) -> list[NamedSheet]:
    """The sheets of a file in which anything stands."""
    encoding = ""
    book = read_sheets(made.folder, name)
    if isinstance(book, list) and {one.code for one in book} == {"not-utf8"}:
        held = file_bytes(made.folder, name)
        likely = {} if b"\0" in held else likely_encodings(held)
        encoding = next(iter(likely), "")
        book = read_sheets(made.folder, name, encoding) if encoding else book
    if isinstance(book, list):
        made.told += [f"not read: {problem}" for problem in book]
        return []
    there = [one for one in book.sheets if not one.is_empty]
    made.told += [f"{name}#{one.name}: not read: {one.refused}" for one in there if one.refused]
    if encoding:
        cells = {cell for one in there for row in one.rows for cell in row if not cell.isascii()}
        words = dict.fromkeys(telling_words(" ".join(sorted(cells))))
        made.told.append(
            f"{name}: is not Unicode, and was read as {encoding}; check that these are right: "
            f"{', '.join([*words][:30])}"
        )
    return [NamedSheet(name, one, len(there) == 1, encoding) for one in there if not one.refused]


def _write(made: Beginning, names: list[str], otherwise: str) -> None:
    """What stands beside the files; *otherwise* is the title where no table has one."""
    seen = made.seen
    if not seen.title:
        seen.title = re.sub(r"[\W_]+", " ", otherwise).strip() or "Meet"
        made.told.append(f"title = {quoted(seen.title)}, as the file is called")
    starting = (STARTING_FOLDER / "meet.toml").read_text(encoding="utf-8")
    texts = {
        "meet.toml": meet_toml(seen, starting, COMPETITIONS),
        SCHEMA: schema_text(),
        **seen.copies,
        "README.md": _read_me(names, seen),
    }
    for name, text in texts.items():
        made.write(name, text.encode())


def _read_me(names: list[str], seen: Intake) -> str:
    """That of the starting folder, with where marks are changed in this one."""
    text = (STARTING_FOLDER / "README.md").read_text(encoding="utf-8")
    sources = dict.fromkeys(one.partition("#")[0] for one in (*seen.roster, *seen.marks))
    said = f"""It was made from {_listed(names)}. Look at the lines *To decide* in `meet.toml`.

**Names and marks are read from {_listed(sources)}.** Write changes there, and build again: the page
of corrections says what was published otherwise."""
    if {*sources} - {*seen.copies}:
        said += """
A newer file may take the place of an older one of yours under the same name, with its headings
where they were."""
    if seen.copies:
        said += f"""

{_listed(seen.copies)}: written from your files, and read in their place. To begin with newer ones,
make another folder with `resultsgen new --from`, and take over what you changed in `meet.toml`."""
    text = text.replace(INVENTED, f"{said}\n\nThen:")
    text = text.replace(
        "each file becomes a page |", "each file becomes a page; make it if you need it |"
    )
    gone = tuple(f"| `{name}` |" for name in ("roster.csv", "marks.csv") if name not in sources)
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith(gone))


def _listed(names: Iterable[str]) -> str:
    """Names as they are set in Markdown, whatever is in them.

    >>> _listed(["a`b.csv", "c.xlsx"])
    "`a'b.csv`, `c.xlsx`"
    """
    return ", ".join("`" + name.replace("`", "'") + "`" for name in names)


def waiting(seen: Intake) -> str:
    """That numbers were not taken for marks, and where to say what they are; else nothing."""
    if not seen.undecided:
        return ""
    cells, headings = counted(sum(seen.undecided.values()), "cell"), ", ".join(seen.undecided)
    taken = "none of these was" if any(one.apparatus for one in seen.contests) else "no mark was"
    return (
        f"there are numbers in {cells} under {headings}: {taken} "
        "taken, until [columns.apparatus] in meet.toml says of which apparatus they are. "
    )


def lines_of(made: Beginning) -> Iterator[str]:
    """What was found and left alone, what is to decide, and what is to mend before it builds."""
    seen = made.seen
    yield from made.told
    yield from seen.found
    for word, status in seen.statuses.items():
        yield f'"{word}" stands for {status} where a mark would be: [columns.status] in meet.toml'
    for one in seen.contests:
        some = any(True for _ in one.marks)
        marks = ", ".join(one.apparatus) or ("marks of an apparatus" if some else "no marks yet")
        yield f'competition {one.id}: {one.title}, {marks}; rules = "{one.rules}": {one.why}'
    for left in seen.left_alone:
        yield f"left alone: {left}"
    for asked in seen.questions:
        there = asked.lines or asked.about.part == "columns.apparatus"
        yield f"to decide{', in meet.toml' if there else ''}: {asked.asked}"
    if not seen.contests:
        return
    try:
        judged, _ = checked(made.folder, made.folder / "output", BuildOptions())
    except MeetProblems as found:
        yield from map(str, found.problems)
        yield f"{len(found.problems)} to mend, then it builds."
        return
    notes = judged.meet.notes
    yield from (f"note: {one}" for one in notes if one.column or one.code not in TOLD_HERE)
    if stated := len(judged.meet.stated):
        otherwise = sum(one.code == "stated-otherwise" for one in notes)
        end = f"{otherwise} are otherwise, told above" if otherwise else "all equal"
        yield f"totals and places of the files beside the judging: {stated} compared, {end}"
    yield nothing_to_mend(judged)
