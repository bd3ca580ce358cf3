"""The marks: one row per routine, or one row per gymnast with a column per apparatus."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from resultsgen.meet.columns import MARKS
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.belonging import belonging, competitions_of, nobodys
from resultsgen.reading.left_alone import left_alone
from resultsgen.reading.routines import Routines, long_form
from resultsgen.reading.tables import Mapped, Table, read_table
from resultsgen.reading.wide_form import lookalikes, wide_form
from resultsgen.reading.words import Words

if TYPE_CHECKING:
    import pandas as pd


IN_THE_WIDE_FORM = ("bib", "competition", "rotation", "status")
"""The columns that a table with a column per apparatus may have beside."""


def read_marks(
    folder: Path, settings: MeetSettings, words: Words, roster: pd.DataFrame
) -> tuple[pd.DataFrame, list[Problem]]:
    """The marks of all files, each with its competition and its gymnast.

    A row that belongs to nobody keeps `<NA>` as its gymnast, so that it can be checked and told.
    """
    import pandas as pd

    frames: list[pd.DataFrame] = []
    problems: list[Problem] = []
    files = _files(settings)
    mapped = Mapped(settings.columns.marks, in_one_file=len(files) == 1)
    for file in files:
        table, told = read_table(folder, file, MARKS, mapped, "marks")
        problems += [one for one in told if not _is_apparatus(one, words)]
        if table is not None and "bib" in table.columns:
            frame, told = _marks(table, settings, words, roster)
            frames.append(frame)
            problems += told
    if len(frames) > 1:
        frames = [pd.concat(frames, ignore_index=True)]
    return frames[0] if frames else _no_marks(), problems


def _is_apparatus(problem: Problem, words: Words) -> bool:
    """A heading such as "Vault 2" is nearly `vault`, and is no slip of the pen."""
    of_heading = problem.code == "unknown-heading"
    return of_heading and words.apparatus_and_vault(problem.column) is not None


def _files(settings: MeetSettings) -> list[str]:
    """The files of marks, each once, in the order of the competitions."""
    own = (one for one in settings.competitions if one.has_own_marks)
    return list(dict.fromkeys(one.marks or settings.files.marks for one in own))


def _marks(
    table: Table, settings: MeetSettings, words: Words, roster: pd.DataFrame
) -> tuple[pd.DataFrame, list[Problem]]:
    """The marks of one file."""
    mend = "the bib is empty; fill it in, or delete the row"
    problems = table.problems("bib", lambda bib: not bib, "empty-cell", mend)
    routines, told = _form(table, words)
    problems += told
    if routines is None:
        return _no_marks(), problems
    problems += _not_read(table, settings, words)
    whose, told = belonging(table, settings, roster, competitions_of(table.file, settings))
    rows = routines.row
    frame = _frame(
        routines,
        bib=table.column("bib").text().take(rows),
        competition=whose.competition.take(rows),
        gymnast=whose.gymnast.take(rows),
        file=table.file,
        line=table.lines.take(rows),
    )
    return frame, problems + told + nobodys(table, whose, roster)


def _form(table: Table, words: Words) -> tuple[Routines | None, list[Problem]]:
    """The routines of a table in the long form or the wide one, told by its headings."""
    if "mark" in table.columns and "apparatus" in table.columns:
        return long_form(table, words)
    if not {"mark", "apparatus"} & table.columns.keys():
        routines, problems = wide_form(table, words)
        if routines is not None:
            return routines, problems
    found = ", ".join([*table.headings.values(), *(heading for heading, _ in table.others)])
    message = (
        "needs the columns 'apparatus' and 'mark', or a column for each apparatus with its code "
        f"as the heading; the headings are {found}; rename them, or map them under "
        "[columns.marks] or [columns.apparatus] in meet.toml"
    )
    return None, [Problem(table.file, table.heading_line, "", "no-such-column", message)]


def _not_read(table: Table, settings: MeetSettings, words: Words) -> list[Problem]:
    """What stands beside the marks: an apparatus by another name, or what is left alone."""
    if "mark" in table.columns:
        return [*left_alone(table, "marks", settings)]
    others = tuple(one for one in table.others if not words.apparatus_and_vault(one[0]))
    beside = replace(table, others=others)
    held = [settings.competitions[number] for number in competitions_of(table.file, settings)]
    wanted = {(code, 1): code for one in held for code in settings.apparatus_of(one)}
    if any(one.vaults == 2 for one in held):
        wanted["VT", 2] = "VT2"
    found = {words.apparatus_and_vault(heading) for heading, _ in table.others}
    found.add(words.apparatus_and_vault(table.headings.get("vault", "")))
    lacking = {code: meant for meant, code in wanted.items() if meant not in found}
    told = lookalikes(beside, words, lacking)
    return [*told, *left_alone(beside, "marks", settings, _idle(table, words))]


def _idle(table: Table, words: Words) -> list[str]:
    """The headings that say nothing in a table with a column per apparatus, and what is there."""
    idle = [column.name for column in MARKS if column.name not in IN_THE_WIDE_FORM]
    return [
        table.headings[name]
        for name in idle
        if name in table.columns
        and not table.column(name).is_blank()
        and not words.apparatus_and_vault(table.headings[name])
    ]


def _frame(routines: Routines, **whose: Any) -> pd.DataFrame:
    """The table of marks as `Meet` describes it, and `column`, the heading of the mark."""
    import pandas as pd

    held = vars(routines) | whose
    names = [column.name for column in MARKS] + ["gymnast", "file", "line", "column"]
    frame = pd.DataFrame({name: held[name] for name in names}, copy=False)
    return frame.astype({"file": "str"}) if len(frame) == 0 else frame


def _no_marks() -> pd.DataFrame:
    """The table of marks before the first one."""
    import numpy as np
    import pandas as pd

    text, nothing = pd.array([], dtype="str"), pd.array([], dtype="Int64")
    row = np.array([], dtype=np.int64)
    none: dict[str, Any] = {one.name: nothing for one in fields(Routines)}
    routines = Routines(**none | {"row": row, "apparatus": text, "status": text, "column": text})
    return _frame(routines, bib=text, competition=text, gymnast=nothing, file=text, line=row)
