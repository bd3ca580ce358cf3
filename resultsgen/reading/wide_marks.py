"""Marks in the wide form: one row per gymnast, a column per apparatus or per part of its mark."""

from __future__ import annotations

from resultsgen.meet.folder import MarkRow
from resultsgen.meet.marks import STATUSES
from resultsgen.meet.parts import SECOND_VAULT, part_of
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.belonging import Belonging, competitions_in
from resultsgen.reading.tables import OR_A_STATUS, ReadTable, status_in
from resultsgen.reading.words import Part, Words, heard

PARTS = ("d", "e", "penalty", "bonus")
"""The parts of a mark that a table may give."""

NO_FINAL_MARK = "the final mark is empty although a part of it is given (D, E, penalty); fill it in"


def may_be_of_parts(table: ReadTable) -> list[tuple[str, list[str]]]:
    """The headings and cells that may be of an apparatus: of no column of ours, and "vault".

    "Vault" is an apparatus here, although the long form has a column of that name.
    """
    vault = table.headings.get("vault")
    return [*table.others, *([(vault, table.columns["vault"])] if vault else [])]


def columns_of_parts(table: ReadTable, words: Words) -> dict[str, Part]:
    """The columns of a table in the wide form: what each says of which apparatus and vault."""
    meanings: dict[str, Part] = {}
    for heading, cells in may_be_of_parts(table):
        if meaning := words.part(heading):
            key = f"{heading} (again)" if heading in meanings else heading
            table.columns[key], meanings[key] = cells, meaning
    if meanings:
        table.others = [one for one in table.others if not words.part(one[0])]
    return meanings


def wide_form(
    table: ReadTable, parts: dict[str, Part], whose: list[Belonging], words: Words
) -> list[MarkRow]:
    """A row of marks for each routine; a status may stand for all that the gymnast does."""
    rotations = table.whole_numbers("rotation")
    columns = [
        (
            keys["mark"], code, vault, table.column(keys["mark"]),
            table.marks(keys["mark"], instead=STATUSES, or_a_word=OR_A_STATUS),
            table.read(keys["mark"], lambda text: status_in(text, STATUSES)),
            table.parts([keys.get(name, "") for name in PARTS], keys["mark"]),
        )
        for (code, vault), keys in _routines(table, parts, words).items()
    ]  # fmt: skip
    own, none = table.statuses("status", STATUSES), [None] * len(table)
    status = table.headings.get("status", "status")
    columns.append((status, "", 1, own, [*none], own, [[*none]] * len(PARTS)))
    numbers = table.column("bib")
    return [
        MarkRow(
            table.file, line, numbers[row], whose[row].gymnast, whose[row].competition, code, vault,
            marks[row], d[row], e[row], without_sign(penalties[row]), bonuses[row],
            rotations[row], statuses[row], heading,
        )
        for row, line in enumerate(table.lines)
        for heading, code, vault, cells, marks, statuses, (d, e, penalties, bonuses) in columns
        if cells[row]
    ]  # fmt: skip


def without_sign(penalty: int | None) -> int | None:
    """A penalty as it is kept, however the table writes it."""
    return penalty and abs(penalty)


def _routines(
    table: ReadTable, parts: dict[str, Part], words: Words
) -> dict[tuple[str, int], dict[str, str]]:
    """By apparatus and vault, the column of the final mark and of each part; else what is wrong."""
    if "vault" in table.columns and "vault" not in table.headings:
        message = "fixed.vault is for a table with a row for each routine; write VT2 as a heading"
        table.tell_heading("", "no-vault-number", message)
    first: dict[Part, str] = {}
    for heading, part in parts.items():
        if (other := first.setdefault(part, heading)) != heading:
            message = f"{other} and {heading} mean the same; rename or delete one"
            table.tell_heading(heading, "heading-twice", message)
    routines: dict[tuple[str, int], dict[str, str]] = {}
    for part, heading in first.items():
        routines.setdefault((part.apparatus, part.vault), {})[part.name] = heading
    for (code, vault), keys in routines.items():
        of_parts = [keys[name] for name in PARTS if name in keys]
        table.say_once(keys.get("mark", ""), of_parts)
        beside = [heading for heading in of_parts if any(table.column(heading))]
        if beside and "mark" not in keys:
            of = part_of(code, vault)
            message = (
                f"{', '.join(beside)}: there are parts of the mark on {of}, and no column of the "
                f'final mark; write {of} as its heading, or  "its heading" = "{of}"  under '
                "[columns.apparatus]"
            )
            table.tell_heading(beside[0], "no-final-mark", message)
        elif beside:
            marks = table.column(keys["mark"])
            cells = enumerate(zip(*map(table.column, beside), strict=True))
            forgotten = (row for row, given in cells if any(given) and not marks[row])
            table.tell_rows(forgotten, keys["mark"], "no-final-mark", NO_FINAL_MARK)
    return {routine: keys for routine, keys in routines.items() if "mark" in keys}


def tell_lookalikes(
    table: ReadTable, settings: MeetSettings, words: Words, parts: dict[str, Part]
) -> None:
    """Tell of headings that look like an apparatus for which the table has no column."""
    held = [settings.competitions[n] for n in competitions_in(table.file, settings)]
    wanted = {(code, 1): code for one in held for code in settings.apparatus_of(one)}
    if any(one.vaults == 2 for one in held):
        wanted["VT", 2] = SECOND_VAULT
    there = {
        (part.apparatus, part.vault) for part in parts.values() if part.name in ("mark", *PARTS)
    }
    lacking = {code: meant for meant, code in wanted.items() if meant not in there}
    for heading in (one for one, _ in table.others if heard(one) not in words.undecided):
        may = [code for code, meant in lacking.items() if words.looks_like(heading, meant)]
        may = may if heard(heading) in words.open else may[:1]
        if may:
            code = may[0]
            message = (
                f"{heading} looks like {' or '.join(may)}, for which there is no column; write "
                f'{code} as the heading, write  "{heading}" = "{code}"  under [columns.apparatus], '
                "or call the column something else"
            )
            table.tell_heading(heading, "unknown-heading", message, heading)
