"""Meet folders spoilt at random, as hands, programs and disks spoil them.

`python tests/fuzzing/spoiling.py 5000` spoils so many and counts: tracebacks, runs without an end,
and wrong acceptances, where the second reader finds something else than was accepted.
"""

from __future__ import annotations

import random
import shutil
import signal
import sys
import tempfile
import traceback
import zlib
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from zipfile import BadZipFile

from openpyxl import Workbook, load_workbook
from second_reader import Fact, Irregular, second_reading

from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import checked
from resultsgen.scoring.results import Results

SECONDS = 30
WITHHELD = "Quillfeather"
SETTINGS = """title = "Cup"
dates = [2031-03-15]
files = {{ roster = "{roster}", marks = "{marks}" }}
[status]
state = "provisional"
[columns.disciplines]
WAG = "women"
[[competition]]
id = "cup"
title = "Cup, women"
discipline = "women"
rules = "club-ten"
missing_scores = "share"
ranks = ["all-around", "apparatus", "team"]
[competition.team]
format = "3-3-2"
"""
ROSTER = """bib,family_name,club,publish
1,Adder,North,
2,Bellow,North,yes
3,Quillfeather,South,no
4,Dunmore,South,
007,Eder,"South, e.V.",
"""
WIDE = """bib,VT,UB,BB,FX,Total
1,9.1,9.25,8.875,9.3,36.525
2,9.2,DNS,9.05,8.1,
3,8.7,8.8,8.9,9.05,35.45
4,9.15,7.35,8.4,8.85,33.75
007,9.6,9.4,,DNF,
"""
LONG = """bib,apparatus,mark,d,e,penalty,status,remark
1,VT,9.1,1.0,8.2,0.1,,
1,UB,9.25,1.0,8.25,,,
2,VT,9.2,,,,,first
2,Beam,9.05,1.0,8.05,,,
2,UB,,,,,DNS,
3,FX,9.05,,,,,
4,VT,DNF,,,,,
007,VT,9.6,1.2,8.4,,,
007,FX,,,,,,
"""


@dataclass(frozen=True)
class Form:
    """One form of the same meet."""

    roster: str
    marks: str
    table: str
    separator: str = ","


FORMS = (
    Form("roster.csv", "marks.csv", WIDE),
    Form("roster.csv", "marks.csv", LONG),
    Form("roster.csv", "marks.csv", WIDE, ";"),
    Form("roster.csv", "marks.csv", LONG, "\t"),
    Form("roster.xlsx", "marks.xlsx", WIDE),
    Form("roster.xlsx", "marks.xlsx", LONG),
)


def write(folder: Path, form: Form) -> None:
    """The good meet in one form."""
    settings = SETTINGS.format(roster=form.roster, marks=form.marks)
    (folder / "meet.toml").write_text(settings, encoding="utf-8")
    for name, table in ((form.roster, ROSTER), (form.marks, form.table)):
        rows = [split(line) for line in table.splitlines()]
        if name.endswith(".csv"):
            write_csv(folder / name, rows, form.separator)
        else:
            write_sheet(folder / name, rows)


def split(line: str) -> list[str]:
    """The cells of a line of the good meet."""
    return [
        cell.replace("|", ",") for cell in line.replace('"South, e.V."', "South| e.V.").split(",")
    ]


def write_csv(path: Path, rows: list[list[str]], separator: str = ",") -> None:
    """A table as a spreadsheet saves it."""
    lines = (
        separator.join(f'"{cell}"' if separator in cell else cell for cell in row) for row in rows
    )
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="")


def write_sheet(path: Path, rows: list[list[str]]) -> None:
    """The same as a workbook, marks as numbers."""
    book = Workbook()
    for row in rows:
        book.active.append([_cell(text) for text in row])
    book.save(path)


def _cell(text: str) -> object:
    number = text.replace(".", "", 1).isdigit() and text != "007"
    return None if not text else float(text) if number else text


# Ways to spoil: each takes the chance, the folder and a table's or the settings' file.

JUNK = (
    "", "-", "n/a", "#N/A", "?", "13,7", "9.1000", "1 3.7", "O.5", " 9.5 ", "９.５", "1e1", "-9.1",
    "nein", "No", "oui", "dns", "DNQ", "9.5*", "9..5", "99", "'9.5", "=9+1", "x", "9.5\u00a0", "∞",
    "North", "VT", "1", "007", "7",
)  # fmt: skip
WORDS = ("Rank", "Gesamt", "Bars", "Note", "BBB", "team", "x", "Nr", "publ", "Beam", "vault", "E")


def letters_of(chance: random.Random, word: str) -> str:
    """A word with a slip of the pen in it."""
    at = chance.randrange(len(word)) if word else 0
    return chance.choice((
        word[:at] + word[at + 1 :],
        word[:at] + chance.choice("abehlnors") + word[at:],
        word[:at] + word[at : at + 2][::-1] + word[at + 2 :],
        word[:at] + chance.choice("abehlnors") + word[at + 1 :],
        word.upper(), word.replace("_", " "), word + " ", word + "s",
    ))  # fmt: skip


SIGNS = (b",", b'"', b"\n", b"[", b"\0", b"\xff", b".")

Rows = list[list[str]]


def a_cell_less(chance: random.Random, rows: Rows) -> None:
    row = chance.choice(rows)
    del row[chance.randrange(len(row))]


def a_cell_more(chance: random.Random, rows: Rows) -> None:
    row = chance.choice(rows)
    row.insert(chance.randrange(len(row) + 1), chance.choice(JUNK))


def another_cell(chance: random.Random, rows: Rows) -> None:
    row = chance.choice(rows[1:])
    row[chance.randrange(len(row))] = chance.choice(JUNK)


def a_slip_in_a_heading(chance: random.Random, rows: Rows) -> None:
    at = chance.randrange(len(rows[0]))
    rows[0][at] = letters_of(chance, rows[0][at])


def another_heading(chance: random.Random, rows: Rows) -> None:
    rows[0][chance.randrange(len(rows[0]))] = chance.choice(WORDS)


def a_heading_less(chance: random.Random, rows: Rows) -> None:
    rows[0][chance.randrange(len(rows[0]))] = ""


def a_heading_twice(chance: random.Random, rows: Rows) -> None:
    rows[0][chance.randrange(len(rows[0]))] = chance.choice(rows[0])


def two_headings_of_one(chance: random.Random, rows: Rows) -> None:
    rows.insert(chance.choice((0, 1)), ["Cup", *[""] * (len(rows[0]) - 1)])


def a_row_less(chance: random.Random, rows: Rows) -> None:
    del rows[chance.randrange(len(rows))]


def a_row_twice(chance: random.Random, rows: Rows) -> None:
    rows.append(list(chance.choice(rows)))


def a_column_less(chance: random.Random, rows: Rows) -> None:
    at = chance.randrange(len(rows[0]))
    for row in rows:
        del row[at : at + 1]


def a_column_more(chance: random.Random, rows: Rows) -> None:
    at = chance.randrange(len(rows[0]) + 1)
    for number, row in enumerate(rows):
        row.insert(at, chance.choice((chance.choice(WORDS), "")) if not number else "9.9")


def decimal_commas(chance: random.Random, rows: Rows) -> None:
    for row in rows[1:]:
        row[:] = [cell.replace(".", ",") for cell in row]


def blank_rows(chance: random.Random, rows: Rows) -> None:
    rows.insert(chance.randrange(len(rows) + 1), [""] * chance.choice((0, 1, len(rows[0]))))


def a_break_in_a_cell(chance: random.Random, rows: Rows) -> None:
    row = chance.choice(rows)
    row[chance.randrange(len(row))] += chance.choice(("\n", '"', '"\n', "\t", ";", ",", "\r"))


TABLE_WAYS: tuple[Callable[[random.Random, Rows], None], ...] = (
    a_cell_less, a_cell_more, another_cell, a_slip_in_a_heading, another_heading, a_heading_less,
    a_heading_twice, two_headings_of_one, a_row_less, a_row_twice, a_column_less, a_column_more,
    decimal_commas, blank_rows, a_break_in_a_cell,
)  # fmt: skip


def spoil_table(chance: random.Random, folder: Path, form: Form, name: str) -> str:
    """One of the ways, or two, in one table."""
    rows = [split(line) for line in (ROSTER if name == form.roster else form.table).splitlines()]
    ways = chance.sample(TABLE_WAYS, chance.choice((1, 1, 1, 2)))
    for way in ways:
        if len(rows) > 1 and all(rows[:2]):
            way(chance, rows)
    if name.endswith(".csv"):
        quoted = decimal_commas not in ways or chance.random() < 0.5
        if quoted:
            write_csv(folder / name, rows, form.separator)
        else:
            text = "\n".join(form.separator.join(row) for row in rows) + "\n"
            (folder / name).write_text(text, encoding="utf-8", newline="")
    else:
        write_sheet(folder / name, rows)
    return " and ".join(way.__name__ for way in ways)


def spoil_bytes(chance: random.Random, folder: Path, form: Form, name: str) -> str:
    """A few bytes of a file, its end, or its encoding."""
    path = folder / name
    held = path.read_bytes()
    at = chance.randrange(len(held))
    kind = chance.choice(("cut", "flip", "put", "drop", "encoding", "ends"))
    if kind == "encoding":
        kind = chance.choice(("utf-16", "utf-8-sig", "latin-1", "utf-16-le"))
        if not name.endswith(".xlsx"):
            path.write_bytes(held.decode().replace("Adder", "Ädder").encode(kind))
        return kind
    path.write_bytes({
        "cut": held[:at],
        "flip": held[:at] + bytes([held[at] ^ (1 << chance.randrange(8))]) + held[at + 1 :],
        "put": held[:at] + chance.choice(SIGNS) + held[at:],
        "drop": held[:at] + held[at + chance.randrange(1, 9) :],
        "ends": held.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\n"))),
    }[kind])  # fmt: skip
    return kind


def spoil_settings(chance: random.Random, folder: Path) -> str:
    """A slip in meet.toml, or one of the things that are first written wrong."""
    path = folder / "meet.toml"
    lines = path.read_text(encoding="utf-8").splitlines()
    at = chance.randrange(len(lines))
    kind = chance.choice(("slip", "line less", "line twice", "quotes", "table", "value"))
    if kind == "slip":
        lines[at] = letters_of(chance, lines[at])
    elif kind == "line less":
        del lines[at]
    elif kind == "line twice":
        lines.insert(at, lines[at])
    elif kind == "quotes":
        lines[at] = lines[at].replace('"', chance.choice(("\u201d", "'", "", '""', "`")))
    elif kind == "table":
        key, word = chance.choice(("Nr.", "a[", "]", "bib", "VT", "{x}", ".")), chance.choice(WORDS)
        table = chance.choice(("roster", "marks", "apparatus", "disciplines"))
        lines.insert(5, f'[columns.{table}]\n"{key}" = "{word}"')
    else:
        head = lines[at].split("=")[0]
        lines[at] = f"{head}= {chance.choice(('5', '[]', '{}', '15.03.2031', 'no', '9999999999'))}"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return kind


def spoil_workbook(chance: random.Random, folder: Path, form: Form, name: str) -> str:
    """What only a workbook can have: errors, formulas, merged cells, further sheets."""
    book = load_workbook(folder / name)
    sheet = book.active
    row, column = chance.randrange(2, sheet.max_row + 1), chance.randrange(1, sheet.max_column + 1)
    kind = chance.choice(("error", "formula", "merged", "sheet", "true", "far"))
    if kind == "error":
        sheet.cell(row, column).value = chance.choice(("#N/A", "#REF!", "#DIV/0!"))
    elif kind == "formula":
        sheet.cell(row, column).value = "=A1+5"
    elif kind == "merged":
        rows = min(sheet.max_row, row + chance.randrange(3))
        columns = min(sheet.max_column, column + chance.choice((0, 0, 1)))
        sheet.merge_cells(start_row=row, end_row=rows, start_column=column, end_column=columns)
    elif kind == "sheet":
        book.create_sheet(chance.choice(("Notes", "marks", "roster"))).append(["bib", "x"])
    elif kind == "true":
        sheet.cell(row, column).value = True
    else:
        sheet.cell(row, sheet.max_column + 2).value = "note"
    book.save(folder / name)
    return kind


def spoil(chance: random.Random, folder: Path, form: Form) -> str:
    """Spoil one thing of a folder, and say how."""
    name = chance.choice((form.roster, form.marks, form.marks))
    which = chance.random()
    if name.endswith(".xlsx") and which < 0.4:
        return f"{name}: {spoil_workbook(chance, folder, form, name)}"
    if which < 0.65:
        return f"{name}: {spoil_table(chance, folder, form, name)}"
    if which < 0.85:
        return f"meet.toml: {spoil_settings(chance, folder)}"
    name = chance.choice((name, "meet.toml"))
    return f"{name}: bytes, {spoil_bytes(chance, folder, form, name)}"


class EndlessError(Exception):
    """It took too long."""


@contextmanager
def at_most(seconds: int) -> Iterator[None]:
    """Raise where something takes longer."""

    def given_up(*_: object) -> None:
        raise EndlessError

    signal.signal(signal.SIGALRM, given_up)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)


def facts_of(judged: Results) -> set[Fact]:
    """The marks, their parts, the statuses, the names and clubs that were read."""
    found: set[Fact] = set()
    for row in judged.meet.mark_rows:
        mark = row.status if row.mark is None else str(row.mark)
        found.add((row.bib, row.apparatus, mark))
        for part in ("d", "e", "penalty"):
            if (points := getattr(row, part)) is not None:
                found.add((row.bib, f"{row.apparatus} {part}", str(points)))
    for entry in judged.meet.entries:
        found |= {(entry.bib, name, getattr(entry, name)) for name in ("family_name", "club")}
    return found


def wrong_in(judged: Results, folder: Path, form: Form) -> str:
    """What was accepted and should not have been; empty where all is as it stands."""
    try:
        read = second_reading(folder, form.roster, form.marks)
    except Irregular as why:
        return f"irregular: {why}"
    except (BadZipFile, KeyError, ValueError, zlib.error):  # A part that nobody needs is broken.
        write(folder, form)
        read = second_reading(folder, form.roster, form.marks)
    if read.facts != facts_of(judged):
        return f"marks: {sorted(read.facts ^ facts_of(judged))[:4]}"
    told = " ".join(f"{note.column} {note.message}" for note in judged.meet.notes)
    told += " ".join(one.column for one in judged.meet.stated)  # Compared with the judging.
    untold = {heading for heading in read.unread if " ".join(heading.split()) not in told}
    if untold:
        return f"not told: {sorted(untold)}"
    withheld = WITHHELD in {read.names[bib] for bib in read.withheld}
    shown = [one.name for one in judged.gymnasts.values() if one.published]
    return "a withheld name is published" if withheld and WITHHELD in str(shown) else ""


def tried(number: int, folder: Path) -> tuple[str, str]:
    """Spoil the folder with that number and try it: what happened, and how it was spoilt."""
    chance = random.Random(number)
    form = chance.choice(FORMS)
    write(folder, form)
    how = spoil(chance, folder, form)
    try:
        with at_most(SECONDS):
            judged, _ = checked(folder, folder / "output", BuildOptions())
    except MeetProblems as found:
        mute = [one for one in found.problems if not one.message or not one.file]
        return ("a problem without words" if mute else "refused"), how
    except EndlessError:
        return "endless", how
    except Exception:
        return f"traceback: {traceback.format_exc(limit=-3)}", how
    wrong = wrong_in(judged, folder, form) if "meet.toml" not in how else ""
    return (f"wrong: {wrong}" if wrong else "accepted"), how


def main(first: int, count: int) -> Counter[str]:
    """Try so many folders; what happened, counted, and each that should not have been printed."""
    happened: Counter[str] = Counter()
    for number in range(first, first + count):
        folder = Path(tempfile.mkdtemp(prefix="spoilt-"))
        try:
            what, how = tried(number, folder)
        finally:
            shutil.rmtree(folder)
        happened[what.split(":")[0]] += 1
        if (number + 1 - first) % 100 == 0:
            print(dict(happened), file=sys.stderr, flush=True)
        if what not in ("refused", "accepted"):
            print(f"{number} ({how}): {what}", flush=True)
    return happened


if __name__ == "__main__":
    asked = [int(one) for one in sys.argv[1:]] or [5000]
    print(dict(main(asked[1] if len(asked) > 1 else 0, asked[0])))
