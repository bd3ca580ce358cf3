"""The marks: one row per routine, or one row per gymnast with a column per apparatus.

Totals and places that a table says beside are no marks, and compared with the judging.
"""

from __future__ import annotations

import re
from itertools import compress
from pathlib import Path
from typing import Literal

from resultsgen.files.opening import TABLES, is_there, names_in
from resultsgen.meet.columns import MARKS
from resultsgen.meet.folder import MarkRow, Stated
from resultsgen.meet.marks import STATUSES, parse_mark
from resultsgen.meet.problems import MOST, Note, Problem, first_of
from resultsgen.meet.settings import MeetSettings
from resultsgen.meet.sources import TableForm
from resultsgen.reading.belonging import Belonging, BibsWorn, competitions_in
from resultsgen.reading.by_name import OF_NAMES, NamesBeside, give_bibs, tell_twice
from resultsgen.reading.grids import parted_source
from resultsgen.reading.named_tables import leave_alone, read_sources, tell_withheld
from resultsgen.reading.tables import OR_A_STATUS, ReadTable, status_in
from resultsgen.reading.wide_marks import (
    NO_FINAL_MARK,
    PARTS,
    columns_of_parts,
    may_be_of_parts,
    tell_lookalikes,
    wide_form,
    without_sign,
)
from resultsgen.reading.words import Words, heard, plain

IN_THE_WIDE_FORM = {"bib", "competition", "rotation", "status", "total", "place"}
"""The columns that a table with a column per apparatus may have beside."""

IN_THE_LONG_FORM = {column.name for column in MARKS if not column.beside} | {"place"}


def read_marks(
    folder: Path, settings: MeetSettings, words: Words, bibs: BibsWorn
) -> tuple[tuple[MarkRow, ...], tuple[Stated, ...], list[Problem]]:
    """The marks of all sources, each with its competition and its gymnast; and what stands beside.

    A row that belongs to nobody keeps None as its gymnast, so that it can be checked and told.
    """
    marks: list[MarkRow] = []
    stated: list[Stated] = []
    problems: list[Problem] = []
    names = NamesBeside(bibs)
    for table in read_sources(folder, settings, "marks"):
        if table.columns.keys() & {"bib", "name", "family_name"}:
            rows, beside = _marks(table, settings, words, bibs, names)
            marks += rows
            stated += beside
        problems += table.problems
    if not marks and _may_come_later(folder, settings):
        message = "is not there yet, so no marks are read; add it once there are some"
        return (), (), [Note(settings.files.marks[0], 0, "", "no-marks-yet", message)]
    return tuple(marks), tuple(stated), problems


def _may_come_later(folder: Path, settings: MeetSettings) -> bool:
    """Before the meet there need be no marks; who names a file, or has a table that nobody reads,
    may have meant that."""
    files, tables = settings.files, (names_in(folder, "", ending) for ending in TABLES)
    known = {parted_source(folder, source)[0] for source in settings.sources("roster")}
    known |= {files.incidents, files.bests, files.corrections}
    own = any(one.marks for one in settings.competitions)
    if own or "marks" in files.model_fields_set or is_there(folder, files.marks[0]):
        return False
    return {name for names in tables for name in names} <= known


def _marks(
    table: ReadTable, settings: MeetSettings, words: Words, bibs: BibsWorn, names: NamesBeside
) -> tuple[list[MarkRow], list[Stated]]:
    """The marks of one file, in the long form or the wide one, told by its headings."""
    here = competitions_in(table.file, settings)
    words = words.narrowed(settings.competitions[number].discipline for number in here)
    words = words.among([*dict(may_be_of_parts(table)), *table.column("apparatus")])
    table.tell_empty({"bib": "the bib is empty; fill it in, or delete the row"})
    if by_name := "bib" not in table.columns:
        give_bibs(table, bibs, here)
    parts = {} if _is_long(table, settings) else columns_of_parts(table, words)
    if not parts and not {"mark", "apparatus"} <= table.columns.keys():
        if words.undecided.isdisjoint(map(heard, table.said_headings())):
            _tell_form(table)
        return [], []
    own = (heading for heading, part in parts.items() if part.name in ("mark", *PARTS))
    table.put_statuses(words.statuses, "status", "mark", *PARTS, *own)
    whose = bibs.whose(table, here)
    names.compare(table, whose)
    published = names.published(table.column("bib"))
    tell_withheld(table, published)
    used = {*OF_NAMES} if by_name else {*OF_NAMES} - {"club"}
    used |= {name for name, heading in table.headings.items() if heading in parts}
    if parts and by_name:
        tell_twice(table, published)
    if parts:
        marks, used = wide_form(table, parts, whose, words), used | IN_THE_WIDE_FORM
        tell_lookalikes(table, settings, words, parts)
        places = {name: one.apparatus for name, one in parts.items() if one.name == "place"}
        stated = [
            one
            for name, code in {"total": "", "place": "", **places}.items()
            for one in stated_in(table, name, [code] * len(table), whose)
        ]
    else:
        of = {one.id: one.discipline for one in settings.competitions}
        # Words that mean another apparatus of women than of men are clear by who did it.
        table.columns["apparatus"] = [
            words.unclear.get(heard(text), {}).get(of.get(one.competition, ""), text)
            for text, one in zip(table.column("apparatus"), whose, strict=True)
        ]
        marks, used = _long_form(table, words, whose), used | IN_THE_LONG_FORM
        meant = table.read("apparatus", lambda text: words.apparatus_and_vault(text) or ("", 1))
        stated = stated_in(table, "place", [code for code, _ in meant], whose)
    unused = [one.name for one in MARKS if one.name in table.headings and one.name not in used]
    idle = [table.headings[name] for name in unused if any(table.column(name))]
    leave_alone(table, "marks", settings, idle)
    # Of whom no name tells it is told already.
    return [row for row in marks if row.bib or not by_name], stated


def _tell_form(table: ReadTable) -> None:
    """Tell that a table is in neither form, and what to write where it is nearly in one."""
    found = ", ".join(table.said_headings())
    line = 'write  "your heading" = "VT"  under [columns.apparatus]'
    if "mark" in table.columns:
        line = (
            'if all marks are of one apparatus, write  fixed.apparatus = "VT"  '
            f'under [tables."{table.file}"]'
        )
    elif "apparatus" in table.columns:
        line = (
            f'write  mark = "{table.headings.get("total", "your heading")}"  under [columns.marks]'
        )
    message = (
        "needs the columns 'apparatus' and 'mark', or a column for each apparatus with its "
        f"code as the heading; the headings are {found}; rename them, take it out of "
        f"marks where it has none, or {line}"
    )
    table.tell_heading("", "no-such-column", message)


def _is_long(table: ReadTable, settings: MeetSettings) -> bool:
    """Has it a row for each routine? A heading of ours, or one that is mapped, says it alone."""
    found = {"mark", "apparatus"} & table.columns.keys()
    ours = {name for name in found if plain(table.headings.get(name, name)) == name}
    mapped = settings.columns.marks | settings.tables.get(table.file, TableForm()).columns
    return len(found) == 2 or bool(ours | (found & mapped.keys()))


def _long_form(table: ReadTable, words: Words, whose: list[Belonging]) -> list[MarkRow]:
    """A row for each routine; one without mark and status is not yet one."""
    codes, vaults = apparatus_and_vault(table, words)
    table.say_once("mark", PARTS)
    marks = table.marks("mark", instead=STATUSES, or_a_word=OR_A_STATUS)
    own = table.statuses("status", STATUSES)
    in_mark = table.read("mark", lambda text: status_in(text, STATUSES))
    both = list(zip(in_mark, own, strict=True))
    for row, (first, second) in enumerate(both):
        if first and second and first != second:
            message = f"the mark's cell says {first} and the status says {second}; keep one"
            table.problems.append(table.problem(row, "status", "two-statuses", message, second))
    statuses = [first or second for first, second in both]
    d, e, penalties, bonuses = table.parts(PARTS, "mark")
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
            d, e, without_sign(penalty), bonus, rotation, status, heading,
        )
        for line, bib, belongs, code, vault, mark, d, e, penalty, bonus, rotation, status
        in compress(rows, there)
    ]  # fmt: skip


def apparatus_and_vault(table: ReadTable, words: Words) -> tuple[list[str], list[int]]:
    """The code of each row's apparatus, and which vault: by its own column, or as in `VT2`."""
    table.tell(
        "apparatus",
        "unknown-apparatus",
        lambda text: (
            f"{words.no_apparatus(text)}, or say what it means under "
            "[columns.apparatus] in meet.toml"
        ),
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
    table.tell_rows(forgotten, "mark", "no-final-mark", NO_FINAL_MARK)
    both = zip(table.column("apparatus"), table.column("mark"), strict=True)
    nowhere = (
        row
        for row, (apparatus, mark) in enumerate(both)
        if not apparatus and mark and mark.upper() not in STATUSES
    )
    message = "the apparatus of this mark is empty; write its code"
    table.tell_rows(nowhere, "apparatus", "empty-cell", message)


PLACE = re.compile(r"(?:[T=] ?)?([1-9][0-9]{0,4})(?: ?[=.]|st|nd|rd|th|er|re|ère|e|º|ª)?", re.I)


def place_in(text: str) -> int | None:
    """A place as lists write it; None for anything else.

    >>> [place_in(text) for text in ("2", "2=", "=2", "T2", "2.", "1er", "2 to 3", "-")]
    [2, 2, 2, 2, 2, 1, None, None]
    """
    found = PLACE.fullmatch(text)
    return int(found[1]) if found else None


def stated_in(
    table: ReadTable, name: str, apparatus: list[str], whose: list[Belonging]
) -> list[Stated]:
    """What a column says of each gymnast; what is neither is told as left alone."""
    if name not in table.columns:
        return []
    heading = table.headings.get(name, name)
    kind: Literal["total", "place"] = "total" if name == "total" else "place"
    read = table.read(name, parse_mark if kind == "total" else place_in)
    cells = enumerate(zip(table.column(name), read, strict=True))
    unread = [(table.lines[row], text) for row, (text, value) in cells if text and value is None]
    unread += [(one.row, one.value or "no value") for one in table.broken if one.column == heading]
    table.broken = [one for one in table.broken if one.column != heading]
    if unread:
        shown = first_of([f"{text} (row {line})" for line, text in sorted(unread)], MOST)
        message = f"left alone, for it is no {kind}: {shown}"
        where = table.file, table.heading_line, heading
        table.problems.append(Note(*where, "left-alone", message))
    rows = zip(table.lines, read, apparatus, whose, strict=True)
    return [
        Stated(table.file, line, heading, one.gymnast, one.competition, code, kind, value)
        for line, value, code, one in rows
        if value is not None and one.gymnast is not None
    ]
