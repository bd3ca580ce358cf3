"""What of a workbook becomes the roster, what the marks, and which of it has to be copied."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from resultsgen.intake.columns import Question, Understood, quoted, understood
from resultsgen.intake.contests import NewCompetition, contests, slug
from resultsgen.intake.copies import copied, roster_of, why_copied
from resultsgen.intake.left_alone import LeftAlone, left_alone
from resultsgen.intake.meanings import says_nothing
from resultsgen.intake.people import (
    NAMES,
    Entrant,
    TableRow,
    known_statuses,
    people,
    persons,
    shared_bibs,
    words_for_marks,
)
from resultsgen.intake.sheets import NamedSheet
from resultsgen.intake.tables import tables_in
from resultsgen.intake.titles import titled
from resultsgen.reading.whole_names import parted_name
from resultsgen.reading.words import name_order

ROSTER_COPY = "roster.csv"


@dataclass
class Intake:
    """All that was seen in some sheets, and what becomes of it."""

    title: str = ""
    dates: tuple[str, ...] = ()
    roster: list[str] = field(default_factory=list)
    """Sources, as `[files]` names them."""
    marks: list[str] = field(default_factory=list)
    tables: dict[str, dict[str, Any]] = field(default_factory=dict)
    """How a source is to be read, as `[tables]` says it."""
    statuses: dict[str, str] = field(default_factory=dict)
    whole_names: str = ""
    made_bibs: bool = False
    contests: list[NewCompetition] = field(default_factory=list)
    copies: dict[str, str] = field(default_factory=dict)
    """Files that are written beside the user's own, by name."""
    found: list[str] = field(default_factory=list)
    """What was found and taken for what, a line each."""
    questions: list[Question] = field(default_factory=list)
    left_alone: list[LeftAlone] = field(default_factory=list)

    @property
    def is_nothing(self) -> bool:
        """Whether no table was found."""
        return not self.contests


def look_over(sheets: Sequence[NamedSheet]) -> Intake:
    """What some sheets hold, and how they are read as a meet."""
    seen = Intake()
    tables = [one for sheet in sheets if not sheet.sheet.hidden for one in _of_sheet(sheet)]
    rows = people(tables)
    if _take_names_of_sheets(rows):
        rows = people(tables)
    if rows:
        title = titled(sheets, tables)
        seen.title, seen.dates = title.title, title.dates
        seen.found += title.found
        seen.questions += title.questions
        _decide(seen, tables, rows, {sheet.file for sheet in sheets})
        seen.left_alone = left_alone(sheets, tables, title.used)
    else:
        seen.left_alone = left_alone(sheets, [], {})
    return seen


def _of_sheet(sheet: NamedSheet) -> list[Understood]:
    found = tables_in(sheet)
    return [understood(one, alone=len(found) == 1) for one in found]


def _take_names_of_sheets(rows: list[TableRow]) -> bool:
    """Where several sheets have marks of different gymnasts, and nothing says of which level, their
    names are taken for levels, and somebody is asked."""
    held: dict[Understood, list[TableRow]] = {}
    for row in rows:
        held.setdefault(row.table, []).append(row)
    there = {one: {row.person for row in rows} for one, rows in held.items()}
    marked = [one for one, rows in held.items() if one.marks and not any(map(_is_told, rows))]
    for one in marked:
        name, source = one.sheet.name, one.sheet.source
        others = [other for other in marked if other.sheet is not one.sheet]
        if not others or any(there[one] & there[other] for other in others):
            continue
        if says_nothing(name):
            asked = f"{source}: the name of the sheet does not say what its table is of"
        else:
            one.fixed["division"] = name
            asked = f'{source}: "{name}" was taken for a level or age group; or is it a session?'
        lines = (f"fixed = {{ session = {quoted(name)} }}",)
        one.questions.append(Question(asked, lines, f"tables.{source}"))
    return any("division" in one.fixed for one in marked)


def _is_told(row: TableRow) -> bool:
    """Whether something says of which level, session or discipline a row is."""
    own = any(map(row.value, ("division", "session")))
    return own or any(division for _, division in row.person.entries)


def _decide(seen: Intake, tables: list[Understood], rows: list[TableRow], names: set[str]) -> None:
    everybody = persons(rows)
    seen.contests, asked = contests(rows)
    seen.statuses = known_statuses(words_for_marks(rows))
    disciplines = len({one.discipline for one in seen.contests})
    on_sheet = Counter(id(one.sheet) for one in tables)
    no_bibs = shared_bibs(everybody)
    of_roster = [one for one in tables if not one.marks] or [one for one in tables if one.marks]
    why = _why_a_roster(rows, of_roster, everybody, no_bibs)
    without = ("bib",) if no_bibs else ()
    for one in tables:
        both = one in of_roster and not why
        seen.found += _told_of_table(one, both)
        if not (one.marks or both):
            continue
        source = _source(seen, one, on_sheet[id(one.sheet)], disciplines, without, names, both)
        seen.roster += [source] if both else []
        seen.marks += [source] if one.marks else []
    if why:
        bibs = _numbers(everybody, bool(no_bibs))
        seen.made_bibs = all(not one.bibs for one in everybody) or bool(no_bibs)
        seen.copies[ROSTER_COPY] = roster_of(everybody, bibs)
        seen.roster = [ROSTER_COPY]
        seen.found += _told_of_roster(seen, why, everybody, no_bibs)
    _name_order(seen, tables)
    seen.questions += [question for one in tables for question in one.questions] + asked
    seen.questions += _of_empty_cells(rows)


def _why_a_roster(
    rows: list[TableRow],
    of_roster: list[Understood],
    everybody: list[Entrant],
    no_bibs: list[str],
) -> str:
    """Why the roster is written anew; empty where a table of the user's is one."""
    there = [row for row in rows if row.table in of_roster]
    if no_bibs or any(not one.bibs for one in everybody):
        return (
            "there are no bibs"
            if no_bibs or not any(one.bibs for one in everybody)
            else ("some have no bib")
        )
    if any(not row.value("bib") or not any(map(row.value, NAMES)) for row in there):
        return "no table has bib and name of everybody"
    if {id(one) for one in everybody} - {id(row.person) for row in there}:
        return "some have marks and are in no list of entries"
    said = Counter((id(row.person), row.value("division")) for row in there)
    if any(number > 1 for number in said.values()):
        return "some stand in several tables"
    for row in there:
        entries = row.person.entries
        if len(entries) == 1 and any(entry[1] and not row.value("division") for entry in entries):
            return "the levels are said in another table"
    disciplines = {entry[0] for one in everybody for entry in one.entries}
    if len(disciplines) > 1 and any(not row.value("discipline") for row in there):
        return "women and men are in one meet, and no column says who is which"
    return ""


def _source(
    seen: Intake,
    one: Understood,
    on_sheet: int,
    disciplines: int,
    without: tuple[str, ...],
    names: set[str],
    both: bool,
) -> str:
    """The source that a table is read from: the user's own file, or a copy."""
    source = one.sheet.source
    why = why_copied(one, on_sheet, disciplines)
    if not why and "bib" in without and one.at("bib") is not None:
        why = "its numbers are no bibs"
    if why:
        name = _free_name(one, {*names, *seen.copies})
        seen.copies[name] = copied(one, without)
        seen.found.append(f"{_where(one)}: copied to {name}, since {why}")
        return name
    if how := _how(one, both, disciplines):
        seen.tables[source] = how
    return source


def _where(one: Understood) -> str:
    rows = [*one.table.heading.rows, *one.table.rows]
    return f"{one.sheet.source} {one.sheet.cells(rows, one.table.columns)}"


def _told_of_table(one: Understood, both: bool) -> list[str]:
    kind = "roster and marks" if both and one.marks else "marks" if one.marks else "roster"
    said = "".join(
        f"; {kind} = {quoted(text)}, as {_who_says(one, kind)} says"
        for kind, text in one.fixed.items()
    )
    what = f"{_where(one)}: {kind}, {len(one.table.rows)} rows; {_columns(one)}{said}"
    return [what, *_told_of_rows(one)]


def _columns(one: Understood) -> str:
    """What its columns were taken for."""
    texts = one.table.heading.texts
    return "columns " + ", ".join(
        f"{texts[at]} ({' '.join(filter(None, (meaning.apparatus, meaning.column)))})"
        for at, meaning in one.columns.items()
    )


def _told_of_rows(one: Understood) -> list[str]:
    """What lines across the table say of rows, and which rows are hidden."""
    source, table = one.sheet.source, one.table
    told = []
    for row, said in table.groups.items():
        line = f"{source} {one.sheet.cells([row], table.columns[:1])}"
        of_rows = ", ".join(f"{kind} = {quoted(text)}" for kind, text in said.items())
        told.append(f"{line}: {of_rows} of the rows below")
    if hidden := sorted({*table.rows} & {*one.sheet.sheet.hidden_rows}):
        numbers = ", ".join(str(one.sheet.sheet.lines[row]) for row in hidden)
        told.append(f"{source}: rows {numbers} are hidden, and are read all the same")
    return told


def _who_says(one: Understood, kind: str) -> str:
    return "the line above" if kind in one.table.caption else "the name of the sheet"


def _how(one: Understood, both: bool, disciplines: int) -> dict[str, Any]:
    """How the user's own table is to be read, as [tables] says it."""
    table, lines = one.table, one.sheet.sheet.lines
    rows = [lines[row] for row in table.heading.rows]
    how: dict[str, Any] = {}
    if len(rows) > 1 or any(one.sheet.texts(row) for row in range(table.heading.rows[0])):
        how["heading"] = rows[0] if len(rows) == 1 else rows
    if until := _until(one):
        how["until"] = until
    kinds = [kind for kind in one.fixed if both or kind == "apparatus"]
    kinds = [kind for kind in kinds if kind != "discipline" or disciplines > 1]
    if kinds:
        how["fixed"] = {kind: one.fixed[kind] for kind in kinds}
    if one.mapped:
        how["columns"] = dict(one.mapped)
    if one.sheet.encoding:
        how["encoding"] = one.sheet.encoding
    return how


def _until(one: Understood) -> str:
    """The text that the first row below the last gymnast begins with."""
    below = (one.sheet.texts(row) for row in range(max(one.table.rows) + 1, len(one.sheet.rows)))
    return next((next(iter(here.values())) for here in below if here), "")


def _free_name(one: Understood, taken: set[str]) -> str:
    said = [text for kind, text in one.fixed.items() if kind != "discipline"]
    sheet = [] if one.sheet.alone else [one.sheet.name]
    stem = slug(" ".join(dict.fromkeys([Path(one.sheet.file).stem, *sheet, *said])))
    held = {name.casefold() for name in taken} | {ROSTER_COPY}
    names = (f"{stem}.csv", *(f"{stem}-{number}.csv" for number in range(2, len(held) + 3)))
    return next(name for name in names if name not in held)


def _numbers(everybody: list[Entrant], anew: bool) -> dict[int, str]:
    """A bib for everybody: her own, or the next that nobody has."""
    own = {next(iter(one.bibs), "") for one in everybody if not anew}
    free = (str(number) for number in range(1, 2 * len(everybody) + 1) if str(number) not in own)
    return {
        id(one): next(free) if anew or not one.bibs else next(iter(one.bibs)) for one in everybody
    }


def _told_of_roster(
    seen: Intake, why: str, everybody: list[Entrant], no_bibs: list[str]
) -> list[str]:
    made = sum(not one.bibs for one in everybody) if not no_bibs else len(everybody)
    told = [f"{ROSTER_COPY}: written for {len(everybody)} gymnasts, since {why}"]
    if no_bibs:
        told.append(f"the numbers in the tables are no bibs: {'; '.join(no_bibs[:5])}")
    if made:
        told.append(
            f"{ROSTER_COPY}: {made} bibs were made, in the order in which the gymnasts stand in "
            "the files" + ('; they are printed nowhere: bibs = "made"' if seen.made_bibs else "")
        )
    return told


def _name_order(seen: Intake, tables: list[Understood]) -> None:
    """The order of whole names, where the heading says it or somebody has to."""
    held = [
        (one, at)
        for one in tables
        for at, meaning in one.columns.items()
        if meaning.column == "name"
    ]
    orders = {name_order(one.table.heading.texts[at]) for one, at in held} - {""}
    bare = [name for one, at in held for name in one.values(at) if _tells_no_order(name)]
    if len(orders) == 1:
        seen.whole_names = orders.pop()
    elif bare:
        asked = (
            f"whole names without comma or capitals ({', '.join(bare[:3])}): the last word was "
            "taken for the family name"
        )
        seen.questions.append(Question(asked, ('whole_names = "family first"',), "columns"))


def _tells_no_order(name: str) -> bool:
    return parted_name(name, "given first")[:2] != parted_name(name, "family first")[:2]


def _of_empty_cells(rows: list[TableRow]) -> list[Question]:
    """Where nearly all marks are there, the empty ones may be of somebody who did not start."""
    cells = [
        (row, meaning.apparatus, row.table.sheet.text(row.row, at))
        for row in rows
        for at, meaning in row.table.marks.items()
        if (row.row, at) not in {(one.row, one.column) for one in row.table.sheet.sheet.broken}
    ]
    empty = [(row, code) for row, code, text in cells if not text]
    if not empty or 2 * len(empty) > len(cells):
        return []
    whom = ", ".join(f"{row.person.name} {code}".strip() for row, code in empty[:5])
    more = f" and {len(empty) - 5} more" if len(empty) > 5 else ""
    asked = (
        f"empty cells mean that a mark is still to come: {whom}{more}; write DNS where somebody "
        "did not start"
    )
    return [Question(asked)]
