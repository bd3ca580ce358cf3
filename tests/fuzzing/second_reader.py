"""A second reader of meet folders, strict and plain, to compare what was accepted with.

It takes tables as CSV of the standard library has them and workbooks as openpyxl has them. What it
does not understand for certain is irregular, and such a folder must not have been accepted.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from openpyxl import load_workbook

MARK = re.compile(r"(\d{1,3})(?:[.,](\d{1,3}))?")
STATUSES = ("DNS", "DNF", "DSQ", "WDR")
APPARATUS = {"vt": "VT", "vault": "VT", "ub": "UB", "uneven bars": "UB", "bb": "BB",
             "balance beam": "BB", "beam": "BB", "fx": "FX", "floor": "FX",
             "floor exercise": "FX", "asymmetric bars": "UB", "ab": "UB", "ue": "UB"}  # fmt: skip
LONG = ("bib", "apparatus", "mark", "d", "e", "penalty", "status")
ROSTER = ("bib", "family_name", "club", "publish", "team")
Fact = tuple[str, str, str]
"""Bib, apparatus (and part), and a mark in thousandths or a status; or a cell of the roster."""


class Irregular(Exception):
    """Something that cannot be read for certain, and so has to be told."""


@dataclass
class Read:
    """What stands in a folder."""

    facts: set[Fact] = field(default_factory=set)
    names: dict[str, str] = field(default_factory=dict)
    withheld: set[str] = field(default_factory=set)
    unread: set[str] = field(default_factory=set)
    """The headings that are not known and have something below them."""


def second_reading(folder: Path, roster: str, marks: str) -> Read:
    """The whole folder."""
    read = Read()
    for row in _rows(folder / roster, ROSTER, read):
        read.names[row["bib"]] = row.get("family_name", "")
        read.facts |= {(row["bib"], name, row.get(name, "")) for name in ("family_name", "club")}
        answer = row.get("publish", "").casefold()
        if answer in ("no", "n", "0", "false"):
            read.withheld.add(row["bib"])
        elif answer not in ("", "yes", "y", "1", "true", "x"):
            raise Irregular(f"publish {answer}")
    for row in _rows(folder / marks, LONG, read):
        read.facts |= set(_facts(row))
        if row["bib"] not in read.names:
            raise Irregular(f"nobody wears {row['bib']}")
    return read


def _facts(row: dict[str, str]) -> Iterator[Fact]:
    """The marks and statuses of a row, in the long form or the wide one."""
    yield from _of_a_routine(row) if "mark" in row else _of_a_gymnast(row)


def _of_a_gymnast(row: dict[str, str]) -> Iterator[Fact]:
    for heading, cell in row.items():
        if cell and heading in APPARATUS:
            yield row["bib"], APPARATUS[heading], value(cell)


def _of_a_routine(row: dict[str, str]) -> Iterator[Fact]:
    code = APPARATUS.get(plain(row["apparatus"]), "")
    given = row["mark"] or row.get("status", "")
    parts = {part: row[part] for part in ("d", "e", "penalty") if row.get(part)}
    if row["apparatus"] and not code:
        raise Irregular(f"apparatus {row['apparatus']}")
    if parts and not given:
        raise Irregular("parts without a mark")
    if given:
        yield row["bib"], code, value(given)
    for part, cell in parts.items():
        unsigned = cell.removeprefix("-") if part == "penalty" else cell
        yield row["bib"], f"{code} {part}", value(unsigned)


def value(cell: str) -> str:
    """A mark in thousandths, or a status."""
    found = MARK.fullmatch(cell)
    if found:
        return str(int(found[1]) * 1000 + int((found[2] or "").ljust(3, "0")))
    if cell.upper() in STATUSES:
        return cell.upper()
    raise Irregular(f"mark {cell}")


def plain(word: str) -> str:
    """As headings are compared."""
    return re.sub(r"[\s_\-]+", " ", word).strip().casefold()


def _rows(path: Path, known: tuple[str, ...], read: Read) -> Iterator[dict[str, str]]:
    """The rows of a table by their plain headings; unknown ones are noted."""
    heading, *body = _regular(_sheet(path) if path.suffix == ".xlsx" else _csv(path))
    meant = _meant(heading, known)
    for row in body:
        cells = {name: row[at] for at, name in meant.items()}
        if any(row) and not cells["bib"]:
            raise Irregular("no bib")
        read.unread |= {heading[at] for at, cell in enumerate(row) if cell and at not in meant}
        if any(row):
            yield cells


def _regular(rows: list[list[str]]) -> list[list[str]]:
    """The rows from the heading on, each with something under every heading and nothing beside."""
    rows = [[" ".join(cell.split()) for cell in row] for row in rows]
    first = next((number for number, row in enumerate(rows) if any(row)), None)
    if first is None:
        raise Irregular("an empty table")
    heading, *body = rows[first:]
    width = max(number for number, cell in enumerate(heading, 1) if cell)
    for row in body:
        if any(row) and len(row) < width:
            raise Irregular(f"a row of {len(row)} cells")
        if any(cell for at, cell in enumerate(row) if at >= width or not heading[at]):
            raise Irregular("a cell under no heading")
    return [heading[:width], *(row[:width] + [""] * (width - len(row)) for row in body)]


def _meant(heading: list[str], known: tuple[str, ...]) -> dict[int, str]:
    """What each column is that is known, by its position."""
    names = [plain(word).replace(" ", "_") for word in heading]
    wide = known == LONG and "mark" not in names
    ours = {"bib"} if wide else set(known)
    meant = {at: name for at, name in enumerate(names) if name in ours}
    if wide:
        meant |= {at: plain(word) for at, word in enumerate(heading) if plain(word) in APPARATUS}
    if "bib" not in meant.values() or len(set(meant.values())) < len(meant):
        raise Irregular("headings")
    return meant


def _csv(path: Path) -> list[list[str]]:
    held = path.read_bytes()
    try:
        text = held.decode("utf-16" if held[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig")
    except UnicodeDecodeError as error:
        raise Irregular("encoding") from error
    if "\0" in text:
        raise Irregular("zeros")
    text = text.lstrip("\r\n")
    first = re.sub(r'"[^"]*"', "", text.split("\n", 1)[0])
    separator = max(",;\t", key=first.count)
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
    except csv.Error as error:
        raise Irregular("quotes") from error


def _sheet(path: Path) -> list[list[str]]:
    """The one sheet of a workbook, merged cells filled, nothing worked out."""
    values, written = load_workbook(path, data_only=True), load_workbook(path)
    sheets = [one for one in values.sheetnames if any(any(row) for row in values[one].values)]
    if len(sheets) != 1:
        raise Irregular("sheets")
    sheet, formulas = values[sheets[0]], written[sheets[0]]
    rows = [[_text(cell.value) for cell in row] for row in sheet.iter_rows()]
    for row in formulas.iter_rows():
        for cell in row:
            here = sheet[cell.coordinate].value
            if (cell.data_type == "f" and here is None) or str(here).startswith("#"):
                raise Irregular("a cell without a value")
    for area in sheet.merged_cells.ranges:
        for row, column in area.cells:
            rows[row - 1][column - 1] = _text(sheet.cell(area.min_row, area.min_col).value)
    return rows


def _text(held: object) -> str:
    if held is None:
        return ""
    if isinstance(held, bool):
        return "yes" if held else "no"
    if isinstance(held, float):
        return format(held, ".9f").rstrip("0").rstrip(".")
    return str(held)
