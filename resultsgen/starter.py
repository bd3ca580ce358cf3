"""The starting folder: a small meet that builds as it is, with a remark beside every setting."""

from __future__ import annotations

import shutil
from pathlib import Path

STARTING_FOLDER = Path(__file__).parent / "starting_folder"
SCHEMA = Path(__file__).parent / "meet.schema.json"


def new_meet(folder: Path) -> None:
    """Write a new meet folder; FileExistsError where something is there already.

    The schema of `meet.toml` is put beside it, where its first line tells editors to look.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FileExistsError(f"{folder} is there and not empty; name a folder that is not")
    shutil.copytree(STARTING_FOLDER, folder, dirs_exist_ok=True, copy_function=shutil.copyfile)
    shutil.copyfile(SCHEMA, folder / SCHEMA.name)
