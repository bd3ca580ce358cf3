"""The marks: one row per routine, or one row per gymnast with a column per apparatus."""

from __future__ import annotations

from itertools import compress
from pathlib import Path

from resultsgen.meet.columns import MARKS
from resultsgen.meet.folder import MarkRow
from resultsgen.meet.marks import STATUSES
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.belonging import Belonging, Bibs, competitions_in
from resultsgen.reading.named_tables import leave_alone, read_sources
from resultsgen.reading.tables import OR_A_STATUS, ReadTable, status_in
from resultsgen.reading.words import Words

IN_THE_WIDE_FORM = ("bib", "competition", "rotation", "status")
"""The columns that a table with a column per apparatus may have beside."""

PARTS = ("d", "e", "penalty", "bonus")
"""The parts of a mark that a table may give."""


def read_marks(
    folder: Path, settings: MeetSettings, words: Words, bibs: Bibs
) -> tuple[tuple[MarkRow, ...], list[Problem]]:
    """The marks of all sources, each with its competition and its gymnast.

    A row that belongs to nobody keeps None as its gymnast, so that it can be checked and told.
    """
    marks: list[MarkRow] = []
    problems: list[Problem] = []
    for table in read_sources(folder, settings, "marks"):
        table.problems = [one for one in table.problems if not _is_apparatus(one, words)]
        if "bib" in table.columns:
            marks += _marks(table, settings, words, bibs)
        problems += table.problems
    return tuple(marks), problems


def _is_apparatus(problem: Problem, words: Words) -> bool:
    """A heading such as "Vault 2" is nearly `vault`, and is no slip of the pen."""
    of_heading = problem.code == "unknown-heading"
    return of_heading and words.apparatus_and_vault(problem.column) is not None


def _marks(table: ReadTable, settings: MeetSettings, words: Words, bibs: Bibs) -> list[MarkRow]:
    """The marks of one file, in the long form or the wide one, told by its headings."""
    table.tell_empty({"bib": "the bib is empty; fill it in, or delete the row"})
    of_the_long_form = {"mark", "apparatus"} & table.columns.keys()
    apparatus = {} if of_the_long_form else _apparatus_columns(table, words)
    if len(of_the_long_form) < 2 and not apparatus:
        found = ", ".join([*table.headings.values(), *(heading for heading, _ in table.others)])
        message = (
            "needs the columns 'apparatus' and 'mark', or a column for each apparatus with its "
            f"code as the heading; the headings are {found}; rename them, or map them under "
            "[columns.marks] or [columns.apparatus] in meet.toml"
        )
        where = table.file, table.heading_line, ""
        table.problems.append(Problem(*where, "no-such-column", message))
        return []
    table.put_statuses(words.statuses, "status", "mark", *apparatus)
    whose = bibs.whose(table, competitions_in(table.file, settings))
    if not apparatus:
        leave_alone(table, "marks", settings)
        return _long_form(table, words, whose)
    marks = _wide_form(table, apparatus, whose)
    _tell_lookalikes(table, settings, words, apparatus)
    idle = [
        table.headings[column.name]
        for column in MARKS
        if column.name not in IN_THE_WIDE_FORM
        and any(table.column(column.name))
        and not words.apparatus_and_vault(table.headings[column.name])
    ]
    leave_alone(table, "marks", settings, idle)
    return marks


def _long_form(table: ReadTable, words: Words, whose: list[Belonging]) -> list[MarkRow]:
    """A row for each routine; one without mark and status is not yet one."""
    codes, vaults = apparatus_and_vault(table, words)
    marks = table.marks("mark", instead=STATUSES, or_a_word=OR_A_STATUS)
    own = table.statuses("status", STATUSES)
    in_mark = table.read("mark", lambda text: status_in(text, STATUSES))
    both = list(zip(in_mark, own, strict=True))
    for row, (first, second) in enumerate(both):
        if first and second and first != second:
            message = f"the mark's cell says {first} and the status says {second}; keep one"
            table.problems.append(table.problem(row, "status", "two-statuses", message, second))
    statuses = [first or second for first, second in both]
    d, e, penalties, bonuses = (table.marks(name) for name in PARTS)
    rotations = table.whole_numbers("rotation")
    there = [bool(mark or status) for mark, status in zip(table.column("mark"), own, strict=True)]
    _tell_what_is_missing(table, there)
    heading = table.headings["mark"]
    rows = zip(
        table.lines, table.column("bib"), whose, codes, vaults, marks, d, e, penalties, bonuses,
        rotations, statuses, strict=True,
    )  # fmt: skip
    return [
        MarkRow(
            table.file, line, bib, belongs.gymnast, belongs.competition, code, vault, mark,
            d, e, penalty and abs(penalty), bonus, rotation, status, heading,
        )
        for line, bib, belongs, code, vault, mark, d, e, penalty, bonus, rotation, status
        in compress(rows, there)
    ]  # fmt: skip


def apparatus_and_vault(table: ReadTable, words: Words) -> tuple[list[str], list[int]]:
    """The code of each row's apparatus, and which vault: by its own column, or as in `VT2`."""
    table.tell(
        "apparatus",
        "unknown-apparatus",
        f"{{text}} is no apparatus here; write one of {', '.join(words.codes())}, "
        "or say what it means under [columns.apparatus] in meet.toml",
        lambda text: bool(text) and words.apparatus_and_vault(text) is None,
    )
    meant = table.read("apparatus", lambda text: words.apparatus_and_vault(text) or ("", 1))
    numbers = table.whole_numbers("vault")
    message = "the apparatus says the second vault, the number the first; keep one of them"
    both = zip(meant, table.column("vault"), strict=True)
    contradicting = (row for row, (one, text) in enumerate(both) if one[1] == 2 and text == "1")
    table.tell_rows(contradicting, "vault", "no-vault-number", message, "1")
    vaults = [
        2 if vault == 2 else 1 if number is None else number
        for (_, vault), number in zip(meant, numbers, strict=True)
    ]
    return [code for code, _ in meant], vaults


def _tell_what_is_missing(table: ReadTable, there: list[bool]) -> None:
    """Parts of a mark without the mark, which was forgotten, or a mark without its apparatus.

    A status may go without apparatus, for the whole competition.
    """
    given = map(any, zip(*map(table.column, PARTS), strict=True))
    forgotten = (row for row, parts in enumerate(given) if parts and not there[row])
    message = "the final mark is empty although a part of it is given (D, E, penalty); fill it in"
    table.tell_rows(forgotten, "mark", "no-final-mark", message)
    both = zip(table.column("apparatus"), table.column("mark"), strict=True)
    nowhere = (
        row
        for row, (apparatus, mark) in enumerate(both)
        if not apparatus and mark and mark.upper() not in STATUSES
    )
    message = "the apparatus of this mark is empty; write its code"
    table.tell_rows(nowhere, "apparatus", "empty-cell", message)


def _apparatus_columns(table: ReadTable, words: Words) -> dict[str, tuple[str, int]]:
    """The columns of a table in the wide form: the apparatus and the vault that each stands for.

    "Vault" is an apparatus here, although the long form has a column of that name.
    """
    meanings: dict[str, tuple[str, int]] = {}
    candidates = list(table.others)
    if "vault" in table.columns:
        candidates.append((table.headings["vault"], table.columns["vault"]))
    for heading, cells in candidates:
        if meaning := words.apparatus_and_vault(heading):
            key = f"{heading} (again)" if heading in meanings else heading
            table.columns[key], meanings[key] = cells, meaning
    if meanings:
        table.others = [one for one in table.others if not words.apparatus_and_vault(one[0])]
    return meanings


def _wide_form(
    table: ReadTable, apparatus: dict[str, tuple[str, int]], whose: list[Belonging]
) -> list[MarkRow]:
    first: dict[tuple[str, int], str] = {}
    for heading, meaning in apparatus.items():
        if (other := first.setdefault(meaning, heading)) != heading:
            message = f"{other} and {heading} mean the same; rename or delete one"
            where = table.file, table.heading_line, heading
            table.problems.append(Problem(*where, "heading-twice", message))
    rotations = table.whole_numbers("rotation")
    columns = [
        (
            heading, code, vault, table.column(heading),
            table.marks(heading, instead=STATUSES, or_a_word=OR_A_STATUS),
            table.read(heading, lambda text: status_in(text, STATUSES)),
        )
        for heading, (code, vault) in apparatus.items()
    ]  # fmt: skip
    # A status may stand for all that the gymnast does.
    own = table.statuses("status", STATUSES)
    columns.append((table.headings.get("status", "status"), "", 1, own, [None] * len(own), own))
    numbers = table.column("bib")
    return [
        MarkRow(
            table.file, line, numbers[row], whose[row].gymnast, whose[row].competition, code, vault,
            marks[row], None, None, None, None, rotations[row], statuses[row], heading,
        )
        for row, line in enumerate(table.lines)
        for heading, code, vault, cells, marks, statuses in columns
        if cells[row]
    ]  # fmt: skip


def _tell_lookalikes(
    table: ReadTable, settings: MeetSettings, words: Words, apparatus: dict[str, tuple[str, int]]
) -> None:
    """Tell of headings that look like an apparatus for which the table has no column."""
    held = [settings.competitions[n] for n in competitions_in(table.file, settings)]
    wanted = {(code, 1): code for one in held for code in settings.apparatus_of(one)}
    if any(one.vaults == 2 for one in held):
        wanted["VT", 2] = "VT2"
    lacking = {code: meant for meant, code in wanted.items() if meant not in apparatus.values()}
    for heading, _ in table.others:
        looks_like = (code for code, meant in lacking.items() if words.looks_like(heading, meant))
        if code := next(looks_like, ""):
            message = (
                f"{heading} looks like {code}, for which there is no column; write {code} as the "
                "heading, map it under [columns.apparatus] in meet.toml, or call the column "
                "something else"
            )
            where = table.file, table.heading_line, heading
            table.problems.append(Problem(*where, "unknown-heading", message, heading))
