"""What of the sheets is not read, and what somebody has to decide of the rest.

Every filled cell is in a table that is read, or among those left alone.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from resultsgen.intake.columns import (
    NAMES,
    Question,
    SettingsPart,
    Understood,
    lines_of_teams,
    quoted,
)
from resultsgen.intake.meanings import rest_of, said_by
from resultsgen.intake.people import Entrant, TableRow
from resultsgen.intake.tables import NamedSheet
from resultsgen.meet.marks import parse_mark
from resultsgen.meet.problems import counted, first_of
from resultsgen.reading.texts import CANDIDATES
from resultsgen.reading.words import column_words, heard

OF_THE_ROSTER = frozenset({"columns.birth_year", "columns.publish"})
"""Settings that say something of a table that is the roster, and of no other."""


def doubts_of_teams(
    sheets: Sequence[NamedSheet], tables: list[Understood], first: str
) -> Iterator[Question]:
    """Of sheets without gymnasts that name teams; *first* is the first competition."""
    there = {one.sheet.source for one in tables}
    for sheet in (one for one in sheets if one.source not in there):
        lines = (sheet.texts(row).values() for row in range(min(len(sheet.rows), 20)))
        texts = [sheet.name, *(text for line in lines for text in line)]
        if any(column_words().get(heard(text)) == "team" for text in texts):
            yield Question(
                f"{sheet.source} names teams, and is not read; they are worked out from the marks, "
                "if the competition of those who are in them has the lines that stand there",
                lines_of_teams("club"),
                SettingsPart("competition", first),
            )


def undecided_headings(tables: list[Understood]) -> tuple[dict[str, int], list[Question]]:
    """Headings of numbers like marks with how many there are, and of which apparatus they may be;
    one that several sheets have is asked about once."""
    found: dict[str, list[tuple[Understood, int]]] = {}
    for table in tables:
        for at in table.unsettled:
            found.setdefault(heard(table.table.heading.texts[at]), []).append((table, at))
    counted, questions = {}, []
    for columns in found.values():
        table, first = columns[0]
        text = table.table.heading.texts[first]
        values = (value for one, at in columns for value in one.values(at))
        counted[text] = sum(parse_mark(value) is not None for value in values)
        sources = first_of(list(dict.fromkeys(one.sheet.source for one, _ in columns)), 5)
        asked = f"{sources}: {text} holds numbers like marks; of which apparatus? Write its code "
        asked += f'between the quotes of  {quoted(text)} = "" , or delete that line if it is none'
        lines = tuple(f"{quoted(text)} = {quoted(code)}" for code in table.may_be(text))
        questions.append(Question(asked, lines, SettingsPart("columns.apparatus")))
    return counted, questions


def _of_crossed_out(rows: list[TableRow]) -> Iterator[Question]:
    """Those whose name or number is crossed out, and who have marks."""
    whom = []
    for row in rows:
        at, sheet = row.table.at("bib", *NAMES), row.table.sheet
        struck = {column for line, column in sheet.sheet.crossed_out if line == row.row}
        texts = (text for _, text in (*row.marks, *row.unsettled))
        if at in struck and any(parse_mark(text) is not None for text in texts):
            whom.append(f"{row.person.name} ({sheet.source} {sheet.cells([row.row], [at])})")
    if whom:
        yield Question(
            f"crossed out, and read all the same: {', '.join(whom)}; write WDR in the place of "
            "a mark where somebody withdrew, or delete the row"
        )


def doubts_of_rows(
    rows: list[TableRow], tables: list[Understood], read_alone: list[str]
) -> Iterator[Question]:
    """Who is crossed out, empty marks where most are there, letters of an old file, and
    clubs that stand beside the first of theirs alone; *read_alone* are sources of which no part was
    written anew."""
    yield from _of_crossed_out(rows)
    cells = [
        (row, meaning.apparatus, row.table.sheet.text(row.row, at))
        for row in rows
        for at, meaning in row.table.marks.items()
    ]
    empty = [f"{row.person.name} {code}".strip() for row, code, text in cells if not text]
    if empty and 2 * len(empty) < len(cells):
        yield Question(
            f"empty cells mean that a mark is still to come: {first_of(empty, 5)}; write "
            "DNS where somebody did not start"
        )
    for one in tables:
        if one.sheet.encoding:
            source, where = one.sheet.source, SettingsPart("tables", one.sheet.source)
            asked = f"{source}: if letters look wrong,"
            others = (name for name in CANDIDATES if name != one.sheet.encoding)
            lines = tuple(f'encoding = "{name}"' for name in others)
            yield (
                Question(f"{asked} which encoding is it in?", lines, where)
                if source in read_alone
                else Question(f"{asked} save it as CSV UTF-8, and begin again")
            )
        at, many = one.at("club"), len(one.table.rows)
        there = 0 if at is None else len(one.values(at))
        if 0 < there < many:
            yield Question(
                f"{one.sheet.source}: no club in {many - there} of {many} rows; is it that of "
                "the row above? Then merge the cells, or write it in each"
            )


def doubts_of_levels(everybody: list[Entrant]) -> Iterator[Question]:
    """Whom nothing but the name tells to be one gymnast in several levels."""
    levels = [(one, {level for _, level in one.entries}) for one in everybody if not one.bibs]
    found = [f"{one.name} ({', '.join(sorted(held))})" for one, held in levels if len(held) > 1]
    if found:
        yield Question(
            "who stands in several levels by one name was taken for one gymnast: "
            f"{first_of(found, 5)}; where they are two, give each a bib of her own"
        )


def ask_of_what_is_read(one: Understood, source: str, both: bool) -> None:
    """Let the questions about a table be of what it is read from; of a copy, or where another file
    is the roster, without lines that settle nothing there."""
    own = one.sheet.source
    for number, asked in enumerate(one.questions):
        if asked.about.of != own:
            continue
        copy = source if source == own else f"{source} (copied from {own})"
        text = asked.asked.replace(own, copy, 1)
        if theirs := {*asked.keys} & OF_THE_ROSTER:
            settled, name = both, theirs.pop().removeprefix("columns.")
            text += "" if both else f"; then write it in a column {name} of the roster"
        else:
            settled = source == own or "fixed.apparatus" in asked.keys
            text += "" if settled or not asked.lines else "; else rename them, and begin again"
        lines = asked.lines if settled else ()
        one.questions[number] = Question(text, lines, SettingsPart("tables", source))


SHOWN, PIECES = 200, 40
"""So many signs of a piece are shown, and so many pieces of a sheet for one reason."""

Cell = tuple[int, int]
"""Row and column."""


@dataclass(frozen=True)
class LeftAlone:
    """Cells that are not read: where they are, what stands there and why."""

    file: str
    sheet: str
    cells: str
    text: str
    why: str

    def __str__(self) -> str:
        where = f"{self.file}#{self.sheet}" if self.sheet else self.file
        return f"{where} {self.cells}: {self.text}: {self.why}"


def left_alone(
    sheets: Sequence[NamedSheet],
    tables: list[Understood],
    used: Collection[tuple[int, int, int]],
    nobodys: Collection[NamedSheet] = (),
) -> list[LeftAlone]:
    """What of each sheet is not read: a column, or what stands in a row, at a time; of *nobodys*
    somebody is asked."""
    found: list[LeftAlone] = []
    for number, sheet in enumerate(sheets):
        none = "no table of gymnasts was found on it"
        if sheet.sheet.hidden or sheet in nobodys:
            none = "the sheet is hidden" if sheet.sheet.hidden else "nobody on it has a final mark"
        why = _why(sheet, [one for one in tables if one.sheet is sheet], none)
        pieces: dict[tuple[str, int], list[Cell]] = {}
        for (row, at), piece in why.items():
            if piece[0] and (number, row, at) not in used:
                pieces.setdefault(piece, []).append((row, at))
        often = Counter(because for because, _ in pieces)
        for because in [one for one in often if often[one] > PIECES]:
            many = [cell for piece in pieces if piece[0] == because for cell in pieces[piece]]
            pieces = {one: held for one, held in pieces.items() if one[0] != because}
            pieces[because, 0] = many
        for (because, _), held in sorted(pieces.items(), key=lambda one: one[1]):
            text = " | ".join(sheet.text(*one) for one in held)
            if len(text) > SHOWN:
                text = f"{text[:SHOWN]}... ({counted(len(held), 'cell')})"
            cells = sheet.cells([row for row, _ in held], [at for _, at in held])
            name = "" if sheet.alone else sheet.sheet.name
            found.append(LeftAlone(sheet.file, name, cells, text, because))
    return found


def _why(sheet: NamedSheet, tables: list[Understood], none: str) -> dict[Cell, tuple[str, int]]:
    """For each filled cell why it is not read, empty where it is, and the piece that it is of;
    *none*: why where the sheet has no table."""
    first = min((one.table.heading.rows[0] for one in tables), default=0)
    why: dict[Cell, tuple[str, int]] = {}
    for row in range(len(sheet.rows)):
        beyond = "above the table" if row < first else "beside or below the table"
        piece = (beyond, row) if tables else (none, 0)
        why |= dict.fromkeys(((row, at) for at in sheet.texts(row)), piece)
    for one in tables:
        of_rows = {row: "" for row in (*one.table.heading.rows, *one.table.rows)}
        for row, because in (of_rows | one.table.between).items():
            for at in sheet.texts(row).keys() & {*one.table.columns}:
                left = one.left.get(at, "" if at in one.columns else "there is no heading above")
                why[row, at] = (because, row) if because else (left, -1 - at)
        for row in one.table.groups:
            why |= dict.fromkeys(((row, at) for at in sheet.texts(row)), ("", 0))
        why |= dict.fromkeys(one.guests.items(), ("", 0))
        for cell in [cell for cell in why if cell[0] < one.table.heading.rows[0]]:
            text = sheet.text(*cell)
            said = said_by(text)
            if said and said.items() <= one.table.caption.items():
                why[cell] = ("nothing else of it is read", cell[0]) if rest_of(text) else ("", 0)
    return why
