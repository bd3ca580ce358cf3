"""What all CSV tables share: columns with what they mean, and how a value stands in a cell.

Marks have three decimals and a point; yes and no are `true` and `false`; what is not there is
empty. A withheld name is empty too: the bib stands for the gymnast.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from resultsgen.data.csv_text import csv_text
from resultsgen.language import ENGLISH
from resultsgen.meet.marks import show_mark
from resultsgen.rules.ties import Tie
from resultsgen.scoring.results import CompetitionResults, Gymnast, Routine
from resultsgen.views.press.attachments import Title
from resultsgen.views.site.addresses import file_names
from resultsgen.views.words.reasons import tie_sentence

Row = tuple[str, ...]


@dataclass(frozen=True)
class Field:
    """One column: its heading, the type of its cells, and what it means."""

    name: str
    type: Literal["string", "integer", "number", "boolean"]
    meaning: str


@dataclass(frozen=True)
class CsvTable:
    """One table: its file below `data/`, its title, its columns and its rows."""

    file: str
    title: Title
    fields: tuple[Field, ...]
    rows: tuple[Row, ...]

    @cached_property
    def text(self) -> str:
        """The whole file."""
        return csv_text([field.name for field in self.fields], self.rows)


PLACE = Field("place", "integer", "The place; empty for guests and the unranked")
BIB = Field("bib", "string", "The gymnast's number")
PERSON = (
    BIB,
    Field("family_name", "string", "Family name; empty where the name is withheld"),
    Field("given_name", "string", "Given name; empty where the name is withheld"),
    Field("club", "string", "Club"),
    Field("federation", "string", "Federation or region"),
)
GUEST = Field("guest", "boolean", "Out of competition: takes no place")
STATUS = Field("status", "string", "DNS, DNF, DSQ, WDR, or empty")
TIE = Field("tie", "string", "How an equal total was settled, in words")
TOTAL = Field("total", "number", "What the list is ordered by")
TEAM = Field("team", "string", "The name of the team")
MARK_PARTS = (
    Field("mark", "number", "The final mark"),
    Field("d", "number", "D score"),
    Field("e", "number", "E score"),
    Field("penalty", "number", "Penalty, never negative"),
    Field("bonus", "number", "Bonus"),
)


def table_of(
    one: CompetitionResults, name: str, title: str, fields: tuple[Field, ...], rows: tuple[Row, ...]
) -> CsvTable:
    """A table of one competition; no code that a meet declares can choose another path."""
    file = file_names([name])[name]
    whole = Title(title, one.competition.title)
    return CsvTable(f"{one.competition.id}/{file}.csv", whole, fields, rows)


def person(one: Gymnast) -> Row:
    """The cells of PERSON."""
    names = (one.family, one.given) if one.published else ("", "")
    return (one.bib, *names, one.club, one.federation)


def mark_parts(routine: Routine) -> Row:
    """The cells of MARK_PARTS."""
    parts = (routine.mark, routine.d, routine.e, routine.penalty, routine.bonus)
    return tuple(show_mark(part) for part in parts)


def tie_sentences(ties: tuple[Tie, ...], names: dict[int, str]) -> dict[int, str]:
    """The sentence of the tie that each was part of, by key."""
    return {key: tie_sentence(tie, names.__getitem__, ENGLISH) for tie in ties for key in tie.keys}


def number(number: int | None) -> str:
    return "" if number is None else str(number)


def yes(is_so: bool) -> str:
    return "true" if is_so else "false"
