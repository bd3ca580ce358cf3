"""Kinds of values that settings have, and what all settings have in common."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

from resultsgen.meet.marks import parse_mark


def _thousandths(value: Any) -> int:
    """A mark written as a TOML number (read exactly, never as a float) or as text."""

    mark = parse_mark(str(value)) if isinstance(value, (str, int, Decimal)) else None
    if mark is None:
        raise ValueError("write a mark with at most three decimals, for example 12.500")
    return mark


Mark = Annotated[
    int,
    BeforeValidator(_thousandths),
    Field(json_schema_extra={"type": ["number", "string"]}),
]
"""A mark in `meet.toml`; whole thousandths once read."""

NameOrder = Literal["given first", "family first"]
"""Which part of a name stands first, where one text has both."""


def as_list(value: Any) -> Any:
    """One value where several may stand, as a list of one."""
    return (value,) if isinstance(value, (str, int)) else value


def _sources_once(sources: tuple[str, ...]) -> tuple[str, ...]:
    if len(set(sources)) < len(sources):
        raise ValueError("name each source once")
    return sources


Sources = Annotated[
    tuple[str, ...],
    BeforeValidator(as_list),
    AfterValidator(_sources_once),
    Field(max_length=200, json_schema_extra={"type": ["string", "array"]}),
]
"""Where the rows of a table stand, one after the other: files of the meet folder, of a workbook
with the sheet, `club.xlsx#Level 3`."""


def _one_line(text: str) -> str:
    if len(text.splitlines()) > 1:
        raise ValueError("must stand on one line; take the line break out")
    return text


OneLine = Annotated[str, AfterValidator(_one_line)]
"""A text that is printed on one line."""


def _filled(text: str) -> str:
    if not text.strip():
        raise PydanticCustomError("string_too_short", "is empty")
    return text


Filled = Annotated[str, AfterValidator(_filled)]
"""A text that is not empty, nor blank."""

Title = Annotated[OneLine, AfterValidator(_filled)]

Whole = Annotated[int, Field(strict=True)]
"""A whole number; true is none."""


def _no_truth(value: Any) -> Any:
    if isinstance(value, bool):
        raise PydanticCustomError("int_type", "must be a whole number")
    return value


NoTruth = BeforeValidator(_no_truth)
"""Of a number in a TOML file of the meet or a theme, read from text too: true is none."""

Number = Annotated[int, NoTruth]

Slug = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=100)]
"""Part of the names of files, which hold some 250 letters in all."""


def _of_our_time(day: dt.date) -> dt.date:
    if not 1800 <= day.year < 2200:
        raise ValueError(f"no meet was or will be on {day}")
    return day


Day = Annotated[dt.date, AfterValidator(_of_our_time)]


class Frozen(BaseModel):
    """Base of all settings: nothing unknown is accepted and nothing changes after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)
