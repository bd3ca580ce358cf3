"""What somebody has to decide of cells that may be meant otherwise than they are read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from resultsgen.intake.columns import NAMES, Question, SettingsPart, Understood
from resultsgen.intake.people import Entrant, TableRow
from resultsgen.intake.sheets import NamedSheet
from resultsgen.meet.marks import parse_mark
from resultsgen.meet.problems import first_of
from resultsgen.reading.encodings import CANDIDATES
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
                (
                    'ranks = ["all-around", "apparatus", "team"]',
                    "[competition.team]",
                    'format = "5-4-3"              # in the team, up on each apparatus, counting',
                    'by = "club"',
                ),
                SettingsPart("competition", first),
            )


def _of_crossed_out(rows: list[TableRow]) -> Iterator[Question]:
    """Those whose name or number is crossed out, and who have marks."""
    whom = []
    for row in rows:
        at, sheet = row.table.at("bib", *NAMES), row.table.sheet
        struck = {column for line, column in sheet.sheet.crossed_out if line == row.row}
        if at in struck and any(parse_mark(text) is not None for _, text in row.marks):
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
                f"{one.sheet.source}: {many - there} of {many} rows have no club; is it that of "
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
