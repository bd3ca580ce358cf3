"""The published tables of `published/`, read: figures as printed, and as thousandths."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import resultsgen
from resultsgen.meet.marks import parse_mark
from resultsgen.meet.ruleset import RuleSet
from resultsgen.rules.criteria import Compared, criteria

FOLDER = Path(__file__).parent / "published"
RULEBOOK = Path(resultsgen.__file__).parent / "rules/rulebook"
ROUTINE = ("d", "e", "bonus", "penalty", "mark")


Rows = list[list[int | None]]


@dataclass(frozen=True)
class Routine:
    """One cell of a table: the printed texts by name, or a status, or nothing at all."""

    printed: dict[str, str]
    status: str = ""

    def __getitem__(self, name: str) -> int | None:
        """Thousandths of one number of the routine; None where none is printed."""
        return parse_mark(self.printed.get(name, ""))

    @property
    def sum_of_parts(self) -> int | None:
        """D + E + bonus - penalty; the penalty counts the same with and without its sign."""
        d, e = self["d"], self["e"]
        if d is None or e is None:
            return None
        return d + e + (self["bonus"] or 0) - abs(self["penalty"] or 0)


@dataclass(frozen=True)
class Published:
    """One table, its rows as dictionaries by column."""

    head: dict[str, Any]
    rows: tuple[dict[str, Any], ...]

    @property
    def id(self) -> str:
        return str(self.head["id"])

    @property
    def kind(self) -> str:
        return str(self.head["kind"])

    @property
    def phase(self) -> str:
        return str(self.head["phase"])

    @property
    def apparatus(self) -> list[str]:
        return list(self.head["apparatus"])

    @property
    def partial(self) -> bool:
        """Only some rows of the table were read; the first of them need not be the winner."""
        return bool(self.head.get("partial"))

    @property
    def rules(self) -> RuleSet:
        """The rule set that is to reproduce the table."""
        return rule_set(self.head["rules"])

    @property
    def bibs(self) -> list[str]:
        return [row["bib" if self.kind != "team" else "team"] for row in self.rows]

    def column(self, name: str) -> list[str]:
        """One column as printed."""
        return [row[name] for row in self.rows]

    def departures(self, aspect: str) -> dict[str, tuple[str, str]]:
        """By bib, where the paper departs from its rules: what is printed, what the rules give."""
        return {
            one["bib"]: (one["printed"], one["by the rules"])
            for one in self.head.get("departs", [])
            if one["aspect"] == aspect
        }

    def by_the_rules(self, aspect: str, printed: dict[str, str]) -> dict[str, str]:
        """The printed values with each departure put right; a departure must really be printed."""
        mended = dict(printed)
        for bib, (wrong, right) in self.departures(aspect).items():
            assert printed[bib] == wrong
            assert wrong != right
            mended[bib] = right
        return mended

    def cell(self, row: dict[str, Any], column: str) -> Routine:
        """The routine in one cell of a row."""
        return self.routine(row[column])

    def routine(self, cell: str | list[str]) -> Routine:
        """A cell as it stands in the file: a list in the order of `routine`, a status, or empty."""
        if isinstance(cell, str):
            return Routine({}, cell)
        return Routine(dict(zip(self.head["routine"], cell, strict=True)))

    @property
    def parts(self) -> list[str]:
        """The columns that hold routines, for a list whose rows have several."""
        return ["first vault", "second vault"] if self.kind == "two vaults" else self.apparatus

    def grid(self, name: str) -> Rows:
        """One number of every routine: a row per row, a cell per part, in thousandths."""
        return [[self.cell(row, part)[name] for part in self.parts] for row in self.rows]

    def printed_marks(self, name: str) -> list[int | None]:
        """A column of printed marks as thousandths; None where nothing is printed."""
        return [parse_mark(text) for text in self.column(name)]


@cache
def rule_set(name: str) -> RuleSet:
    """A rule set of the rulebook."""
    text = (RULEBOOK / f"{name}.toml").read_text(encoding="utf-8")
    return RuleSet.model_validate(tomllib.loads(text, parse_float=Decimal))


def steps(table: Published, ranked: Any, parts: int) -> Any:
    """The criteria by which a table breaks its ties."""
    return criteria(table.rules.tie_rule(ranked, table.phase).criteria, parts)


def compared(total: int | None, marks: Sequence[int | None], d: Any = None, e: Any = None) -> Any:
    """One line of a list, without D and E scores where they are not given."""
    nothing = (None,) * len(marks)
    return Compared(total, tuple(marks), tuple(d or nothing), tuple(e or nothing))


def single_marks(table: Published) -> list[int | None]:
    """The printed mark of each row of an apparatus list; None beside a status."""
    statuses = [row.get("status", "") for row in table.rows]
    marks = table.printed_marks("total")
    return [None if status else mark for status, mark in zip(statuses, marks, strict=True)]


def single_lines(table: Published) -> list[Compared]:
    """What is compared in an apparatus list: the printed mark, E and D; guests take no place."""
    return [
        compared(
            None if row["place"] == "G" else mark,
            [mark],
            [parse_mark(row.get("d", ""))],
            [parse_mark(row.get("e", ""))],
        )
        for row, mark in zip(table.rows, single_marks(table), strict=True)
    ]


def _read(path: Path) -> Published:
    head = json.loads(path.read_text(encoding="utf-8"))
    columns = head["columns"]
    rows = tuple(dict(zip(columns, row, strict=True)) for row in head.pop("rows"))
    return Published(head, rows)


TABLES = {path.stem: _read(path) for path in sorted(FOLDER.glob("*.json"))}
"""Every published table, by its id."""
