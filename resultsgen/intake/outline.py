"""What of some sheets becomes the roster and what the marks, and all that there is to say of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from resultsgen.intake.columns import (
    NAMES,
    STATED,
    UNKNOWN,
    Question,
    SettingsPart,
    Understood,
    understood,
)
from resultsgen.intake.contests import NewCompetition, contests, free_name
from resultsgen.intake.copies import (
    copied,
    how_it_is_read,
    marks_of,
    name_of_copy,
    roster_of,
    why_copied,
)
from resultsgen.intake.doubts import (
    LeftAlone,
    ask_of_what_is_read,
    doubts_of_levels,
    doubts_of_rows,
    doubts_of_teams,
    left_alone,
    undecided_headings,
)
from resultsgen.intake.meanings import of_sheets, said_by, says_nothing
from resultsgen.intake.people import (
    Entrant,
    TableRow,
    is_withheld,
    known_statuses,
    numbers,
    people,
    persons,
    shared_bibs,
    words_for_marks,
)
from resultsgen.intake.tables import NamedSheet, tables_in
from resultsgen.intake.titles import titled
from resultsgen.language import LANGUAGES
from resultsgen.meet.names import DISCIPLINES
from resultsgen.meet.problems import counted
from resultsgen.reading.whole_names import parted_name
from resultsgen.reading.words import heard, name_order

RESERVED = ("roster.csv", "marks.csv")
"""Names that no copy of a single table gets."""

OF_ALL_TABLES = ("club", "federation", "team", "birth_year", "guest")
"""What is the same of a gymnast wherever she stands, and is read from the roster alone."""


@dataclass
class Intake:
    """All that was seen in some sheets, and what becomes of it."""

    title: str = ""
    venue: str = ""
    dates: tuple[str, ...] = ()
    language: str = "en"
    """That of the headings."""
    roster: list[str] = field(default_factory=list)
    """Sources, as `[files]` names them."""
    marks: list[str] = field(default_factory=list)
    tables: dict[str, dict[str, Any]] = field(default_factory=dict)
    """How a source is to be read, as `[tables]` says it."""
    statuses: dict[str, str] = field(default_factory=dict)
    whole_names: str = ""
    undecided: dict[str, int] = field(default_factory=dict)
    """Headings of numbers like marks, whose apparatus nothing says, and how many numbers."""
    names: str = ""
    """How names are shown, where they stand otherwise than lists have them."""
    made_bibs: bool = False
    contests: list[NewCompetition] = field(default_factory=list)
    copies: dict[str, str] = field(default_factory=dict)
    """Files that are written beside the user's own, by name."""
    found: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    left_alone: list[LeftAlone] = field(default_factory=list)


def look_over(sheets: Sequence[NamedSheet], discipline: str = "") -> Intake:
    """What some sheets hold, and how they are read as a meet; no competition where no table is.

    Who is of no discipline by the sheets is of this one.
    """
    seen = Intake()
    tables = _tables(sheets)
    if discipline and not any(one.discipline or one.table.of("discipline") for one in tables):
        tables = _tables(sheets, discipline)
    rows = people(tables)
    seen.questions += _without_final_marks(tables)
    found, tables = tables, [one for one in tables if not _is_of_others(one, rows, seen)]
    nobodys = [one.sheet for one in found if one not in tables]
    rows = people(tables)
    if _take_names_of_sheets(rows):
        rows = people(tables)
    title = titled(sheets, tables)
    seen.left_alone = left_alone(sheets, tables, title.used, nobodys)
    if rows:
        seen.title, seen.venue, seen.dates = title.title, title.venue, title.dates
        seen.found += title.found
        seen.questions += title.questions
        _take_language(seen, tables)
        _decide(seen, tables, rows, {sheet.file for sheet in sheets}, discipline)
        seen.questions += doubts_of_teams(sheets, tables, seen.contests[0].id)
    return seen


def _without_final_marks(tables: list[Understood]) -> Iterator[Question]:
    for one in tables:
        if one.has_parts and not one.is_of_marks:
            yield Question(
                f"{one.where}: D and E stand here without a final mark, so nothing of it is read "
                "as marks; add a column for the final mark of each apparatus, and begin again"
            )


def _is_of_others(one: Understood, rows: list[TableRow], seen: Intake) -> bool:
    """Whether a table has people none of whom has marks, where others have: judges perhaps."""
    marked = {row.person for row in rows if row.table.is_of_marks}
    here = dict.fromkeys(row.person for row in rows if row.table is one)
    if one.is_of_marks or not marked or marked & here.keys():
        return False
    if one.has_parts:
        return True  # Somebody is asked for the final marks.
    whom = ", ".join(person.name for person in [*here][:3])
    asked = (
        f"{one.where}: nobody here has a mark ({whom}), so the table is left alone; if these are "
        "gymnasts, add them to the roster"
    )
    seen.questions.append(Question(asked))
    return True


def _take_language(seen: Intake, tables: list[Understood]) -> None:
    """That of which most words are in the headings; English where two are equal."""
    texts = dict.fromkeys(text for one in tables for text in one.table.heading.texts.values())
    words = Counter(word for text in texts for word in {*heard(text).split()})
    told = {code: [word for word in words if word in of_sheets(code)] for code in LANGUAGES}
    first, second = sorted(told, key=lambda code: -sum(words[one] for one in told[code]))[:2]
    if first != "en" and len(told[first]) > len(told[second]):
        seen.language = first
        said = ", ".join(told[first][:4])
        seen.found.append(f'languages = ["{first}"], as the headings are: {said}')


def _tables(sheets: Sequence[NamedSheet], otherwise: str = "") -> list[Understood]:
    every = []
    for sheet in (sheet for sheet in sheets if not sheet.sheet.hidden):
        found = tables_in(sheet)
        told = {kind for one in found for kind in one.caption} if len(found) > 1 else set()
        said = {kind: text for kind, text in said_by(sheet.name).items() if kind not in told}
        every += [understood(one, said, otherwise) for one in found]
    asked = {heard(one.table.heading.texts[at]) for one in every for at in one.unsettled}
    for one in every:
        unknown = (at for at, why in one.left.items() if why == UNKNOWN)
        one.unsettled = [at for at in unknown if heard(one.table.heading.texts[at]) in asked]
    return every


def _take_names_of_sheets(rows: list[TableRow]) -> bool:
    """Where sheets have marks of different gymnasts, and of some nothing says of which level,
    their names are taken for clubs, or for levels, and then somebody is asked."""
    held: dict[Understood, list[TableRow]] = {}
    for row in rows:
        held.setdefault(row.table, []).append(row)
    there = {one: {row.person for row in rows} for one, rows in held.items()}
    marked = [one for one, rows in held.items() if one.is_of_marks and not any(map(_is_told, rows))]
    for one in marked:
        name, source = one.sheet.name, one.sheet.source
        clubs = {heard(row.value("club")) for row in held[one]} - {""}
        others = [other for other in held if other.is_of_marks and other.sheet is not one.sheet]
        if heard(name) in clubs or not others or any(there[one] & there[two] for two in others):
            continue
        asked = (
            f'{source}: "{name}" was taken for a level or age group; if it is a session, call the '
            'sheet "Session 1" or with its number, and begin again'
        )
        levels = any(row.value("division") for other in others for row in held[other])
        if says_nothing(name) and not levels:
            asked = (
                f"{source}: the name of the sheet does not say which level these gymnasts are in; "
                "if they are not all in one, call each sheet as its level, and begin again"
            )
        elif not (clubs or levels) and {*heard(name).split()} & of_sheets("clubs"):
            one.fixed["club"] = name
            continue
        else:
            one.fixed["division"] = name
        one.ask(asked)
    return any(one.fixed for one in marked)


def _is_told(row: TableRow) -> bool:
    """Whether something says of which level, session or discipline a row is."""
    own = any(map(row.value, ("division", "session", "discipline")))
    return own or any(division for _, division in row.person.entries)


def _decide(
    seen: Intake, tables: list[Understood], rows: list[TableRow], names: set[str], discipline: str
) -> None:
    everybody = persons(rows)
    seen.contests, asked = contests(rows, seen.language, discipline)
    seen.statuses = known_statuses(words_for_marks(rows))
    no_bibs = shared_bibs(everybody)
    of_roster = [one for one in tables if not one.is_of_marks] or tables
    why = _why_a_roster([row for row in rows if row.table in of_roster], everybody, no_bibs)
    bibs = numbers(everybody, anew=bool(no_bibs))
    for row in (row for row in rows if not (no_bibs or row.person.bibs)):
        if row.table.at("bib") is not None:
            row.table.made_bibs[row.row] = bibs[row.person]
    on_sheet = Counter(one.sheet.source for one in tables)
    before = ""
    for one in tables:
        both = one in of_roster and not why
        columns = one.told_columns()
        shown = "the same columns" if columns == before else columns
        seen.found += [f"{one.told(both)}; {shown}", *one.told_rows()]
        before = columns
        if one.is_of_marks or both:
            source = _source(seen, one, both, on_sheet[one.sheet.source], no_bibs, names)
            seen.roster += [source] if both else []
            seen.marks += [source] if one.is_of_marks else []
            ask_of_what_is_read(one, source, both)
        elif stated := [
            one.table.heading.texts[at]
            for at, meaning in one.columns.items()
            if meaning.column in STATED
        ]:
            seen.found.append(f"{one.where}: taken into the roster, without {', '.join(stated)}")
    if why:
        _write_roster(seen, free_name("roster", {*names, *seen.copies}, ".csv"), why, bibs, no_bibs)
    if not seen.marks:
        codes = (code for one in seen.contests for code in DISCIPLINES[one.discipline])
        seen.marks = [free_name("marks", {*names, *seen.copies}, ".csv")]
        seen.copies[seen.marks[0]] = marks_of(bibs, codes)
        seen.found.append(f"{seen.marks[0]}: for marks to come, with a row for each gymnast")
    seen.undecided, of_headings = undecided_headings(tables)
    seen.questions += [question for one in tables for question in one.questions]
    seen.questions += [*of_headings, *asked]
    seen.questions += [*_name_order(seen, tables), *doubts_of_levels(everybody)]
    seen.questions += doubts_of_rows(rows, tables, seen.roster)


def _source(
    seen: Intake, one: Understood, both: bool, on_sheet: int, no_bibs: list[str], names: set[str]
) -> str:
    """What a table is read from: somebody's own file, or a copy that is made."""
    disciplines = len({contest.discipline for contest in seen.contests})
    because = why_copied(one, on_sheet, disciplines, no_bibs)
    if not because:
        if how := how_it_is_read(one, both, disciplines):
            seen.tables[one.sheet.source] = how
        return one.sheet.source
    source = free_name(name_of_copy(one), {*names, *seen.copies, *RESERVED}, ".csv")
    seen.copies[source] = copied(one, without=("bib",) if no_bibs else ())
    seen.found.append(
        f"{one.where}: copied to {source}, since {because}; from now on that copy is read, and "
        "changes belong there"
    )
    return source


def _why_a_roster(there: list[TableRow], everybody: list[Entrant], no_bibs: list[str]) -> str:
    """Why the roster is written anew; empty where tables of the user's are one."""
    if no_bibs or not any(one.bibs for one in everybody):
        return "there are no bibs"
    if any(not one.bibs for one in everybody):
        return "some have no bib"
    if any(not row.value("bib") or not any(map(row.value, NAMES)) for row in there):
        return "no table has bib and name of everybody"
    if {*everybody} - {row.person for row in there}:
        return "some have marks and are in no list of entries"
    if max(Counter((row.person, row.value("division")) for row in there).values()) > 1:
        return "gymnasts have several rows"
    for row in there:
        ((_, level), *more) = row.person.entries
        if level and not more and not row.value("division"):
            return "the levels are said in another table"
        if row.person.withheld and not is_withheld(row.table.said(row.row)):
            return "another table says whose name is not to be published"
        for name in OF_ALL_TABLES:
            if row.person.held.get(name) and not row.value(name):
                return f"another table says more of gymnasts ({name})"
    disciplines = {entry[0] for one in everybody for entry in one.entries}
    if len(disciplines) > 1 and any(not row.value("discipline") for row in there):
        return "women and men are in one meet, and no column says who is which"
    return ""


def _write_roster(
    seen: Intake, name: str, why: str, bibs: dict[Entrant, str], no_bibs: list[str]
) -> None:
    made = sum(bib not in one.bibs or bool(no_bibs) for one, bib in bibs.items())
    seen.made_bibs = made == len(bibs)
    seen.copies[name] = roster_of(bibs)
    seen.roster = [name]
    seen.found.append(f"{name}: written for {counted(len(bibs), 'gymnast')}, since {why}")
    if no_bibs:
        seen.found.append(f"the numbers in the tables are not bibs: {'; '.join(no_bibs[:5])}")
    if made:
        hidden = '; they are printed nowhere: bibs = "made"' if seen.made_bibs else ""
        seen.found.append(
            f"{name}: {counted(made, 'bib')} made, in the order in which the gymnasts stand in "
            f"the files{hidden}"
        )


def _name_order(seen: Intake, tables: list[Understood]) -> Iterator[Question]:
    """The order of whole names, where the heading says it; else somebody has to."""
    held = [(one, at) for one in tables if (at := one.at("name")) is not None]
    orders = {name_order(one.table.heading.texts[at]) for one, at in held} - {""}
    bare = (name for one, at in held for name in one.values(at) if _tells_no_order(name))
    some = [*islice(bare, 3)] if len(orders) != 1 else []
    if len(orders) == 1:
        seen.whole_names = orders.pop()
    elif some:
        asked = (
            f"whole names without comma or capitals ({', '.join(some)}): the last word was "
            "taken for the family name"
        )
        yield Question(asked, ('whole_names = "family first"',), SettingsPart("columns"))
    commas = ["," in name for one, at in held for name in one.values(at)]
    said = seen.whole_names or ("given first" if some else "")
    if said == "given first" and 2 * sum(commas) < len(commas):
        seen.names = "given first"
        seen.found.append('names = "given first": they are shown as they stand in the files')


def _tells_no_order(name: str) -> bool:
    return parted_name(name, "given first")[:2] != parted_name(name, "family first")[:2]
