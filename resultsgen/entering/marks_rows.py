"""How a file of marks is written: its layout, and the cells of a row of it."""

from __future__ import annotations

import codecs
import csv
import io
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from resultsgen.entering.routines import MarkEntry
from resultsgen.files.cell_texts import harmless
from resultsgen.files.opening import file_bytes, is_there
from resultsgen.meet.columns import MARKS
from resultsgen.meet.folder import Meet
from resultsgen.meet.marks import show_mark
from resultsgen.meet.parts import SECOND_VAULT
from resultsgen.meet.settings import MeetSettings
from resultsgen.meet.sources import TableForm
from resultsgen.reading.belonging import BibsWorn, competitions_in
from resultsgen.reading.grids import parted_source
from resultsgen.reading.named_tables import read_source
from resultsgen.reading.sheets import WORKBOOKS, read_sheets
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.words import words
from resultsgen.scoring.results import Results


class NotWrittenError(Exception):
    """A row that was not written; the message says why, and what to do."""


@dataclass(frozen=True)
class RowLayout:
    """How rows stand in a file of marks."""

    source: str
    columns: tuple[str, ...]
    """Our name of each column, in their order; empty for one that is left empty."""
    headings: tuple[str, ...] = ()
    """Of a file that is not there yet: its heading."""
    separator: str = ","
    newline: str = "\n"
    encoding: str = "utf-8"
    point: str = "."
    fixed: Mapping[str, str] = field(default_factory=dict)
    """What holds of every row, and stands in none."""

    def row(self, cells: Mapping[str, str]) -> str:
        """A row with these cells, by our names, and its end."""
        return self.line([harmless(cells.get(name, "")) for name in self.columns])

    def line(self, cells: Sequence[str]) -> str:
        written = io.StringIO(newline="")
        writer = csv.writer(written, delimiter=self.separator, lineterminator=self.newline)
        writer.writerow(cells)
        return written.getvalue()


def layout_of(folder: Path, settings: MeetSettings, source: str) -> RowLayout | str:
    """How a source of marks is written; or why no row can be added to it."""
    how, (file, _) = settings.tables.get(source, TableForm()), parted_source(folder, source)
    if source not in settings.sources("marks"):
        return "is none of the sources of the marks in meet.toml"
    if "\0" in source:
        return "is no name of a file"
    if Path(file).suffix.lower() in WORKBOOKS:
        return "is a workbook, and rows are added to CSV alone"
    if how.until:
        return "ends where until in meet.toml says, and not at its last row"
    if not is_there(folder, source) or not os.path.getsize(folder / source):
        return _new(source, settings, how)
    return _of(folder, read_source(folder, settings, "marks", source), how)


def _new(source: str, settings: MeetSettings, how: TableForm) -> RowLayout:
    """A file that is begun: with our columns, under the headings that the settings give them."""
    own = [one for one in settings.competitions if source in settings.sources_of(one)]
    wanted = {"bib", "apparatus", "d", "e", "penalty", "mark", "status", "vault", "bonus"}
    wanted |= {"competition"} if len(own) > 1 else set()
    columns = [one.name for one in MARKS if one.name in wanted and one.name not in how.fixed]
    called = settings.columns.marks | how.columns
    return RowLayout(source, tuple(columns), tuple(called.get(name, name) for name in columns),
                  encoding=how.encoding or "utf-8", fixed=how.fixed)  # fmt: skip


def _of(folder: Path, table: ReadTable, how: TableForm) -> RowLayout | str:
    """The layout of a file with a row for each routine."""
    if not {"bib", "mark", "apparatus"} <= table.columns.keys():
        return "has no columns bib, apparatus and mark, a row for each routine"
    book = read_sheets(folder, table.file, how.encoding, heading=table.heading_line)
    assert not isinstance(book, list), "a table that was read has a sheet"
    sheet = book.sheets[0]
    row = sheet.rows[sheet.lines.index(table.heading_line)]
    names = {heading: name for name, heading in table.headings.items()}
    columns = tuple(names.get(heading.strip(), "") for heading in row)
    held = file_bytes(folder, table.file)
    encoding = encoding_of(held, how)
    text = held.decode(encoding)
    newline = next((end for end in ("\r\n", "\n", "\r") if end in text), "\n")
    marks = [text for name in ("mark", "d", "e") for text in table.column(name)]
    commas = sum("," in mark for mark in marks) > sum("." in mark for mark in marks)
    width = sheet.widths[sheet.lines.index(table.heading_line)]
    return RowLayout(table.file, columns[:width], (), sheet.separator, newline, encoding,
                  "," if commas else ".", how.fixed)  # fmt: skip


def encoding_of(held: bytes, how: TableForm) -> str:
    wide = {codecs.BOM_UTF16_LE: "utf-16-le", codecs.BOM_UTF16_BE: "utf-16-be"}
    return next((wide[bom] for bom in wide if held.startswith(bom)), how.encoding or "utf-8")


def layout_for(folder: Path, judged: Results, entry: MarkEntry, into: str) -> RowLayout:
    """The file that a row goes into: that of the row it replaces, else the first that fits."""
    settings = judged.meet.settings
    own = settings.sources_of(entry.routine.judged.competition)
    why = []
    for source in [entry.before.file] if entry.before else [into] if into else own:
        layout = layout_of(folder, settings, source)
        if isinstance(layout, RowLayout) and _takes(layout, entry, judged.meet):
            return layout
        if isinstance(layout, RowLayout):
            layout = f"is for {', '.join(layout.fixed.values())} alone"
        why.append(f"{source} {layout}")
    if entry.before:
        raise NotWrittenError(f"{why[0]}; correct the mark there, on line {entry.before.line}")
    line = ", ".join(f'"{one}"' for one in (*own, "entered.csv"))
    raise NotWrittenError(
        f"{'; '.join(why)}: name a file for new marks, which is begun then, with the line  "
        f"marks = [{line}]  under [files] in meet.toml"
    )


def _takes(layout: RowLayout, entry: MarkEntry, meet: Meet) -> bool:
    """Does what holds of all rows of a file hold of this one?"""
    routine = entry.routine
    known = words(meet.settings).narrowed([routine.judged.competition.discipline])
    code, _ = known.apparatus_and_vault(layout.fixed.get("apparatus", routine.apparatus)) or ("", 1)
    competition = layout.fixed.get("competition", routine.competition)
    return (code, competition.casefold()) == (routine.apparatus, routine.competition)


def cells_of(entry: MarkEntry, meet: Meet, layout: RowLayout) -> dict[str, str]:
    """The cells of a row by our names; NotWrittenError where one has no column and is needed."""
    made, routine = entry.made, entry.routine
    there = {*layout.columns, *layout.fixed} or {*layout.headings}
    marks = {"mark": made.mark, "d": made.d, "e": made.e, "penalty": made.penalty,
             "bonus": made.bonus}  # fmt: skip
    cells = {name: show_mark(value).replace(".", layout.point) for name, value in marks.items()}
    cells |= {
        "bib": routine.gymnast.bib,
        "apparatus": routine.apparatus,
        "vault": "2" if routine.vault == 2 else "",
        "rotation": str(entry.rotation or ("rotation" in there and routine.rotation) or ""),
        "status": made.status,
        "competition": routine.competition,
    }
    if "status" not in there:
        cells["mark"], cells["status"] = cells["mark"] or made.status, ""
    if "vault" not in there and routine.vault == 2:
        cells["apparatus"], cells["vault"] = SECOND_VAULT, ""
    lost = [name for name, cell in cells.items() if cell and name not in there]
    # A row that names no competition is of the only one of its file, or of that which has the bib.
    here = competitions_in(layout.source, meet.settings)
    possible = BibsWorn(meet.settings, meet.entries).possible(routine.gymnast.bib, here)
    if [meet.settings.competitions[at].id for at in possible] == [routine.competition]:
        lost = [name for name in lost if name != "competition"]
    if lost:
        names = ", ".join(lost)
        raise NotWrittenError(f"{layout.source} has no column {names}; add it to its heading")
    return cells
