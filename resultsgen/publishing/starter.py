"""The starting folder: a small meet that builds as it is, with a remark beside every setting.

`starting_folder/` is the women's meet of teams; the files of `starting_formats/` stand in for its
own where another format or the men's discipline is asked for.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Literal, get_args

Discipline = Literal["women", "men"]
Format = Literal["teams", "individual", "finals"]
DISCIPLINES: tuple[Discipline, ...] = get_args(Discipline)
FORMATS: tuple[Format, ...] = get_args(Format)

STARTING_FOLDER = Path(__file__).parent / "starting_folder"
STARTING_FORMATS = Path(__file__).parent / "starting_formats"
SCHEMA = "meet.schema.json"

COMPETITIONS = "# One [[competition]] for each thing that is placed"
"""Here the part of `meet.toml` begins that depends on the format."""


def new_meet(folder: Path, discipline: Discipline = "women", format: Format = "teams") -> None:
    """Write a new meet folder; FileExistsError where something is there already.

    The schema of `meet.toml` is put beside it, where its first line tells editors to look.
    """
    refuse_what_is_there(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for path in sorted(STARTING_FOLDER.rglob("*")):
        new = folder / path.relative_to(STARTING_FOLDER)
        if path.is_dir():
            new.mkdir()
        else:
            shutil.copyfile(path, new)
    from resultsgen.meet.settings import schema_text

    texts = _other_texts(discipline, format) | {SCHEMA: schema_text()}
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


def refuse_what_is_there(folder: Path) -> None:
    """FileExistsError where a new meet folder would overwrite something."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FileExistsError(f"{folder} is not empty; name a new or an empty folder")


def _other_texts(discipline: Discipline, format: Format) -> dict[str, str]:
    """The files that differ from those of the starting folder."""
    settings = (STARTING_FOLDER / "meet.toml").read_text(encoding="utf-8")
    start = settings.index(COMPETITIONS)
    head, competitions = settings[:start], settings[start:]
    if format != "teams":
        competitions = _text(f"{format}.toml")
    texts = {}
    finals = "_finals" if format == "finals" else ""
    if discipline != "women" or finals:
        texts["marks.csv"] = _text(f"marks_{discipline}{finals}.csv")
    if discipline == "men":
        competitions = _of_men(competitions)
        texts["roster.csv"] = _text("roster_men.csv")
        recap = (STARTING_FOLDER / "pages/recap.md").read_text(encoding="utf-8")
        texts["pages/recap.md"] = _of_men(recap)
    return texts | {"meet.toml": head + competitions}


def _text(name: str) -> str:
    return (STARTING_FORMATS / name).read_text(encoding="utf-8")


def _of_men(text: str) -> str:
    return text.replace("women", "men").replace("Women", "Men")
