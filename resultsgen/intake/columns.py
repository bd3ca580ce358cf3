"""What the columns of a table are: by their headings, and by what stands below where those say
nothing; and what the name of the sheet and the lines above add to that."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from resultsgen.intake.meanings import Meaning, is_of_one_judge, known_words, like_marks, meant
from resultsgen.intake.tables import FoundTable, NamedSheet
from resultsgen.meet.columns import ROSTER
from resultsgen.meet.names import DISCIPLINES
from resultsgen.reading.grids import letters
from resultsgen.reading.words import NO, YES, Words, is_guest

STATED = ("total", "place")
"""Columns that are compared with the judging, and not read."""

UNKNOWN = "the heading is none that is known"
"""Why a column is left alone."""

NAMES = ("name", "family_name", "given_name")
OF_THE_ROSTER = tuple(one.name for one in ROSTER)
OF_MEN = frozenset(DISCIPLINES["men"]) - {*DISCIPLINES["women"]}
OF_WOMEN = frozenset(DISCIPLINES["women"]) - {*DISCIPLINES["men"]}


class SettingsPart(NamedTuple):
    """A part of `meet.toml`, and of several of its kind the one: a source, or a competition."""

    part: str
    of: str = ""


BESIDE = SettingsPart("tables")
"""Of no source: it stands where those begin."""


@dataclass(frozen=True)
class Question:
    """What somebody has to decide: a sentence, and lines for `meet.toml` to take the # from.

    Several lines with one key are answers of which one is given.
    """

    asked: str
    lines: tuple[str, ...] = ()
    about: SettingsPart = BESIDE
    """Where it stands."""

    @property
    def keys(self) -> list[str]:
        """The settings that its lines make."""
        return [line.partition(" = ")[0] for line in self.lines]


def lines_of_teams(by: str) -> tuple[str, ...]:
    """What a competition says whose teams are made of this column of the roster."""
    return (
        'ranks = ["all-around", "apparatus", "team"]',
        "[competition.team]",
        'format = "5-4-3"              # in the team, up on each apparatus, counting',
        f'by = "{by}"',
    )


@dataclass(eq=False)
class Understood:
    """A table, what its columns are, and what is said of all its rows."""

    table: FoundTable
    columns: dict[int, Meaning]
    fixed: dict[str, str] = field(default_factory=dict)
    discipline: str = ""
    """Empty where nothing tells."""
    mapped: dict[str, str] = field(default_factory=dict)
    """Our columns whose headings the reader does not know by itself."""
    left: dict[int, str] = field(default_factory=dict)
    unclear: tuple[str, ...] = ()
    """Headings that mean one apparatus of women and another of men."""
    unsettled: list[int] = field(default_factory=list)
    """Columns of numbers like marks, of which nothing says the apparatus."""
    guests: dict[int, int] = field(default_factory=dict)
    """By row, the cell among other things that says that she is a guest."""
    made_bibs: dict[int, str] = field(default_factory=dict)
    """By row without a number, where others have one, that which was made for her."""
    questions: list[Question] = field(default_factory=list)

    @property
    def sheet(self) -> NamedSheet:
        return self.table.sheet

    @property
    def marks(self) -> dict[int, Meaning]:
        return {at: one for at, one in self.columns.items() if one.column == "mark"}

    @property
    def is_of_marks(self) -> bool:
        """Whether marks are read from it, or will be once somebody has decided."""
        return bool(self.marks or self.unsettled)

    @cached_property
    def has_parts(self) -> bool:
        parts = (at for at, one in self.columns.items() if one.column in ("d", "e"))
        return any(map(self.values, parts))

    @property
    def codes(self) -> tuple[str, ...]:
        """The apparatus that its columns are of."""
        return tuple(dict.fromkeys(one.apparatus for one in self.marks.values() if one.apparatus))

    def at(self, *names: str) -> int | None:
        """The first column that means one of these and is of no apparatus."""
        own = (at for at, one in self.columns.items() if one.column in names and not one.apparatus)
        return next(own, None)

    def said(self, row: int) -> dict[str, str]:
        """What a row says under our columns of the roster, by itself or in common with others."""
        own = {
            one.column: text
            for at, one in self.columns.items()
            if not one.apparatus and (text := self.sheet.text(row, at))
        }
        held = {**self.fixed, **self.table.said.get(row, {}), **own}
        return {name: text for name, text in held.items() if name in OF_THE_ROSTER}

    def value(self, row: int, name: str) -> str:
        """What a row says under one of our columns, in a cell or in common with others."""
        at = self.at(name)
        own = "" if at is None else self.sheet.text(row, at)
        return own or self.table.said.get(row, {}).get(name, "") or self.fixed.get(name, "")

    @property
    def where(self) -> str:
        """The file, the sheet and the cells that it stands in."""
        rows = [*self.table.heading.rows, *self.table.rows]
        return f"{self.sheet.source} {self.sheet.cells(rows, self.table.columns)}"

    def told(self, both: bool) -> str:
        """What it was taken for, and what is said of all its rows; *both*: roster, too."""
        kinds = ["roster"] * (both or not self.is_of_marks) + ["marks"] * self.is_of_marks
        kind = " and ".join(kinds)
        said = (
            f"; {kind} = {quoted(text)}, as "
            f"{'the line above' if kind in self.table.caption else 'the name of the sheet'} says"
            for kind, text in self.fixed.items()
        )
        return f"{self.where}: {kind}, rows: {len(self.table.rows)}{''.join(said)}"

    def told_columns(self) -> str:
        texts = self.table.heading.texts
        return "columns " + ", ".join(
            f"{texts[at]} ({' '.join(filter(None, (meaning.apparatus, meaning.column)))})"
            for at, meaning in self.columns.items()
        )

    def told_rows(self) -> Iterator[str]:
        """What lines across the table say of the rows below, and which rows are hidden."""
        for row, said in self.table.groups.items():
            of_rows = ", ".join(f"{kind} = {quoted(text)}" for kind, text in said.items())
            where = self.sheet.cells([row], self.table.columns[:1])
            text = self.sheet.text(row, min(self.sheet.texts(row)))
            whole = "" if text in said.values() else f"{text}: "
            yield f"{self.sheet.source} {where}: {whole}{of_rows}, of the rows below"
        for row, at in self.guests.items():
            where = self.sheet.cells([row], [at])
            yield f'{self.sheet.source} {where}: {self.sheet.text(row, at)}: guest = "yes"'
        sheet = self.sheet.sheet
        rows = [str(sheet.lines[at]) for at in self.table.rows if at in sheet.hidden_rows]
        columns = [letters(at) for at in self.columns if at in sheet.hidden_columns]
        for what, hidden in (("rows", rows), ("columns", columns)):
            if hidden:
                yield f"{self.sheet.source}: hidden {what}, read all the same: {', '.join(hidden)}"

    def values(self, at: int) -> list[str]:
        return [text for row in self.table.rows if (text := self.sheet.text(row, at))]

    def ask(self, asked: str, lines: Iterable[str] = (), about: SettingsPart | None = None) -> None:
        """Have somebody decide something; *about*: this table, where nothing else is said."""
        where = about or SettingsPart("tables", self.sheet.source)
        self.questions.append(Question(asked, tuple(lines), where))

    @cached_property
    def words(self) -> Words:
        """Those for apparatus, as its headings and cells settle them."""
        at = self.at("apparatus")
        cells = [] if at is None else self.values(at)
        texts = [*self.table.heading.spoken.values(), *cells]
        return known_words(self.discipline or "women").among(texts)

    def may_be(self, heading: str) -> list[str]:
        """Of which apparatus that no other heading is a heading may be, by its looks."""
        free = [one for one in DISCIPLINES[self.discipline or "women"] if one not in self.codes]
        return [code for code in free if self.words.looks_like(heading, (code, 1))]

    def marks_of(self, row: int) -> list[tuple[str, str]]:
        common, _ = self.words.apparatus_and_vault(self.value(row, "apparatus")) or ("", 1)
        return [
            (mark.apparatus or common, text)
            for at, mark in self.marks.items()
            if (text := self.sheet.text(row, at))
        ]

    def unsettled_of(self, row: int) -> list[tuple[str, str]]:
        """What a row says that may be marks, with the headings."""
        texts = self.table.heading.texts
        cells = ((texts[at], self.sheet.text(row, at)) for at in self.unsettled)
        return [(heading, text) for heading, text in cells if text]


def understood(table: FoundTable, of_sheet: dict[str, str], otherwise: str = "") -> Understood:
    """What the columns of a table are; *of_sheet* is what the name of its sheet says, *otherwise*
    the discipline where nothing tells it."""
    texts = table.heading.spoken
    said = of_sheet | table.caption
    clear = meant(texts, *DISCIPLINES)
    codes = {one.apparatus for one in clear.values()}
    discipline = discipline_of(codes) or said.get("discipline", otherwise)
    columns = meant(texts, discipline or "women")
    unclear = {at for at in texts if columns.get(at) != clear.get(at)}
    one = Understood(table, columns, dict(said), discipline)
    joined = meant(table.heading.texts, discipline or "women")
    for at, meaning in columns.items():  # "Surname" below "Gymnast": the reader joins them.
        if not meaning.apparatus and joined.get(at) != meaning:
            one.mapped[meaning.column] = table.heading.texts[at]
    one.unclear = tuple(texts[at] for at in sorted(unclear))
    if any(mark.apparatus for mark in columns.values()):
        one.fixed.pop("apparatus", None)
    elif one.at("apparatus") is not None:
        one.fixed.pop("apparatus", None)
        _find_the_mark(one, "VT")
    elif "apparatus" in said:
        _find_the_mark(one, said["apparatus"])
    elif one.marks:
        asked = f"{one.sheet.source}: which apparatus are these marks of? Nothing says it"
        one.ask(asked, ('fixed.apparatus = "VT"',))
    one.fixed = {kind: text for kind, text in one.fixed.items() if not one.table.of(kind)}
    _keep_one_of_each(one)
    for at, text in table.heading.texts.items():
        if at not in one.columns and at not in one.left:
            one.left[at] = _why_left(one, at, text)
    if one.at("guest") is None:
        _find_guests(one)
    return one


def discipline_of(codes: Collection[str]) -> str:
    """What some apparatus say; empty where they are of both disciplines, or of none alone."""
    men, women = OF_MEN.intersection(codes), OF_WOMEN.intersection(codes)
    return "" if men and women else "men" if men else "women" if women else ""


def _find_guests(one: Understood) -> None:
    """A column of remarks, of places or totals may say who is out of competition: by itself it is
    the column of guests, among other things what it says is added to her row."""
    one.questions += _guests_by_name(one)
    may = [at for at, why in one.left.items() if why == UNKNOWN]
    may += [at for at, meaning in one.columns.items() if meaning in map(Meaning, STATED)]
    told = {at: [row for row in one.table.rows if is_guest(one.sheet.text(row, at))] for at in may}
    here = [at for at, rows in told.items() if rows]
    if len(here) == 1 and here[0] in one.left and len(told[here[0]]) == len(one.values(here[0])):
        one.columns[here[0]] = Meaning("guest")
        one.mapped["guest"] = one.table.heading.texts[here[0]]
        del one.left[here[0]]
        return
    one.guests = {row: at for at in here for row in told[at]}
    for row in one.guests:
        one.table.said[row]["guest"] = "yes"


def _guests_by_name(one: Understood) -> Iterator[Question]:
    """Of a name that ends in brackets with a word for guests, somebody is asked."""
    for at, meaning in one.columns.items():
        for row in one.table.rows if meaning.column in NAMES else ():
            text = one.sheet.text(row, at)
            where = f"{one.sheet.source} {one.sheet.cells([row], [at])}"
            if (ending := re.fullmatch(r".*[(\[](.*)[)\]]", text)) and is_guest(ending[1]):
                yield Question(
                    f"{where}: {text} reads like a guest, and takes a place; "
                    'write "yes" in a column guest, and the name without it'
                )


def _find_the_mark(one: Understood, code: str) -> None:
    """Where the apparatus stands in a cell, or is said of the sheet, a heading means what it means
    beside an apparatus elsewhere: as in "Vault points" or "Vault total" the mark."""
    for at, text in one.table.heading.spoken.items():
        part = known_words(one.discipline or "women").part(f"{code} {text}")
        if not one.marks and part and part.name == "mark":
            one.columns[at] = Meaning("mark")
            one.mapped["mark"] = one.table.heading.texts[at]


def _keep_one_of_each(one: Understood) -> None:
    """Of two columns that mean the same the fuller one is read, and somebody is asked."""
    for meaning in dict.fromkeys(one.columns.values()):
        same = [at for at, other in one.columns.items() if other == meaning]
        if len(same) < 2:
            continue
        kept = max(same, key=lambda at: (len(one.values(at)), -at))
        texts = one.table.heading.texts
        others = [at for at in same if at != kept]
        named = meaning.column
        if meaning.apparatus:
            named += f" of {meaning.apparatus}"
        else:
            one.mapped[meaning.column] = texts[kept]
        one.ask(
            f"{one.sheet.source}: {' and '.join(texts[at] for at in same)} mean the same, "
            f"{named}; {texts[kept]} is read",
            [f"columns.{meaning.column} = {quoted(texts[at])}" for at in others],
        )
        for at in others:
            del one.columns[at]
            one.left[at] = f"means the same as {texts[kept]}"


def _why_left(one: Understood, at: int, text: str) -> str:
    """Why a column is not read; of one that looks like years somebody is asked."""
    values, source = one.values(at), one.sheet.source
    said = {value.casefold() for value in values}
    if is_of_one_judge(text):
        return "what a single judge gave is not read"
    if values and all(re.fullmatch(r"(?:19|20)\d\d", value) for value in values):
        if one.at("birth_year") is None:
            asked = f"{source}: {text} holds years; are they years of birth?"
            one.ask(asked, [f"columns.birth_year = {quoted(text)}"])
    elif like_marks(values, whole=bool(one.may_be(text))):
        one.unsettled.append(at)
    elif one.at("publish") is None and said <= YES | NO and any(map(str.isalpha, said & NO)):
        asked = f"{source}: {text} says no of some; is it whose name may be published? Now all are"
        one.ask(asked, [f"columns.publish = {quoted(text)}"])
    return UNKNOWN


def quoted(text: str) -> str:
    r"""A text as TOML has it, whatever is in it.

    >>> quoted('a "b" \\ c')
    '"a \\"b\\" \\\\ c"'
    """
    signs = {'"': '\\"', "\\": "\\\\"}
    written = (
        signs.get(sign) or (sign if sign.isprintable() else f"\\U{ord(sign):08x}") for sign in text
    )
    return '"' + "".join(written) + '"'
