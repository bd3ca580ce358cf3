"""TOML as settings: all that is wrong is told at once, in plain words.

Every key is named with where it stands and what should stand there.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar
from urllib.parse import urlsplit

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from resultsgen.files.toml import LARGEST, TomlError, TooMuchError, leaves, read_toml
from resultsgen.files.toml_keys import key_lines, key_path, line_of
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.meet.values import Frozen
from resultsgen.reading.texts import why_unfit
from resultsgen.reading.toml_slips import date_meant, mend_of

Model = TypeVar("Model", bound=Frozen)

TIME = 'must be a date and time without quotes: 2031-05-18T17:40:00Z, or "now"'

WORDS = {
    "string_type": "must be a text in quotes: {text}",
    "int_type": "must be a whole number",
    "int_parsing": "must be a whole number",
    "float_type": "must be a number",
    "missing": "is missing",
    "string_pattern_mismatch": "is not written as it should be",
    "int_from_float": "must be a whole number",
    "bool_type": "must be true or false, without quotes",
    "bool_parsing": "must be true or false, without quotes",
    "literal_error": "must be {expected}",
    "tuple_type": "must be a list in brackets: {list}",
    "dict_type": "must be a table, not a single value",
    "model_type": "must be a table, not a single value",
    "greater_than_equal": "must be at least {ge}",
    "less_than_equal": "must be at most {le}",
    "string_too_short": "is empty; fill it in",
    "string_too_long": "must have at most {max_length} letters",
    "too_short": "must have at least {min_length}",
    "too_long": "must have at most {max_length}",
    "date_type": "must be a date without quotes: {date}",
    "date_parsing": "must be a date without quotes: {date}",
    "date_from_datetime_parsing": "must be a date without quotes: {date}",
    "date_from_datetime_inexact": "must be a date without a time: {date}",
    "datetime_type": TIME,
    "datetime_parsing": TIME,
    "datetime_from_date_parsing": TIME,
}
"""By the kind of error; what is not here is told in the validator's own words."""

PATTERNS = {
    "id": "must be small letters, digits and single hyphens: women-final",
    "format": "must be three numbers: how many are in the team, how many of them are up on each "
    "apparatus, and how many of these count; write",
}


def validated(
    model: type[Model], text: str, file: str, first_line: int = 1
) -> tuple[Model | None, list[Problem]]:
    """A TOML text as settings, or None and everything that is wrong with it.

    It may begin further down in its file.
    """
    above = first_line - 1
    try:
        held = read_toml(text)
    except TooMuchError as error:
        row = error.line + above if error.line else 0
        return None, [Problem(file, row, "", "settings-too-large", f"is not read: {error}")]
    except TomlError as error:
        line, reason = error.line, str(error)
        written = text.splitlines()[line - 1].strip() if 0 < line <= len(text.splitlines()) else ""
        if reason.startswith("Cannot"):
            reason = "what stands here is said further up already, once is enough"
        usual = f'{reason}; a setting is written as  key = "text"  or  key = 5'
        message = f"is not TOML: {mend_of(written[:200]) or usual}"
        return None, [Problem(file, line + above, "", "not-toml", message, written[:80])]
    settings, problems = validated_table(model, held, file, text)
    unfit_values = [
        (key_path(*path), why) for path, value in leaves(held) if (why := _why_unfit(value))
    ]
    lines = key_lines(text) if unfit_values else {}
    wrong = [
        Problem(file, line_of(lines, named), named[:80], "unfit-text", f"{why}; mend or delete it")
        for named, why in unfit_values
    ]
    unfit = {one.column for one in wrong}  # What it cannot be read as is told then, too.
    problems = [one for one in problems if one.column[:80] not in unfit]
    problems = [replace(one, row=one.row + above) for one in [*problems, *wrong]]
    return None if wrong else settings, problems


def _why_unfit(value: Any) -> str:
    if isinstance(value, str):
        return why_unfit(value)
    if isinstance(value, int) and abs(value) > LARGEST:
        return "is a larger number than any meet has"
    return ""


def validated_table(
    model: type[Model], held: dict[str, Any], file: str, text: str = "", above: str = ""
) -> tuple[Model | None, list[Problem]]:
    """A table already read as settings; *above* names the table of the file that it stands in."""
    try:
        return model.model_validate(held), []
    except ValidationError as error:
        lines = key_lines(text)
        return None, [
            _told(wrong, model, held, file, lines, above)
            for wrong in error.errors()
            # Some lists are too short only since something in them is wrong.
            if wrong["type"] != "too_short" or len(wrong["input"]) < wrong["ctx"]["min_length"]
            # What is no time is no "now" either, which need not be told.
            if not any(str(part).startswith("literal[") for part in wrong["loc"][-1:])
        ]


def _told(
    error: ErrorDetails,
    model: type[Frozen],
    held: Any,
    file: str,
    lines: dict[str, int],
    above: str,
) -> Problem:
    kind = error["type"]
    path, value = _path(error["loc"], held)
    named = ".".join(filter(None, (above, key_path(*path))))
    line = line_of(lines, named)
    if kind == "missing":
        message = f"{path[-1]} is missing; add  {path[-1]} = ..."
        return Problem(file, line, named, "missing-setting", message)
    if kind == "extra_forbidden":
        known = list(_at(path[:-1], model).get("properties", {}))
        mend = did_you_mean(str(path[-1]), known, cutoff=0.5) or f"there are {', '.join(known)}"
        message = f"there is no setting {path[-1]} here; {mend}"
        return Problem(file, line, named, "unknown-setting", message, _shown(value))
    return Problem(file, line, named, "wrong-setting", _wrong(error, path, model), _shown(value))


def _path(location: tuple[Any, ...], held: Any) -> tuple[tuple[str | int, ...], Any]:
    """The part of an error's location that a person sees in the file, and what stands there."""
    path: list[str | int] = []
    for part in location:
        if isinstance(held, dict) and part not in held and part != "[key]":
            return (*path, part), None
        if not isinstance(held, (dict, list)) or part == "[key]":
            break
        held = held[part]
        path.append(part)
    return tuple(path), held


def _wrong(error: ErrorDetails, path: tuple[str | int, ...], model: type[Frozen]) -> str:
    named = str(path[-1]) if path and isinstance(path[-1], str) else key_path(*path[-2:])
    context = error.get("ctx") or {}
    if error["type"] == "value_error":
        return f"{named}: {context['error']}"
    if error["type"] == "string_pattern_mismatch":
        told = PATTERNS.get(str(path[-1]), WORDS[error["type"]])
        return f"{named} {told}" + (_team_format(error["input"]) if path[-1] == "format" else "")
    words, value = WORDS.get(error["type"]), error["input"]
    if not words:
        return f"{named}: {error['msg']}"
    shown = _shown(value)
    date, listed = date_meant(shown), f'"{shown}"' if isinstance(value, str) else ""
    if error["type"] == "tuple_type" and not listed:
        each = _at((*path, 0), model)
        fits = isinstance(value, dt.date) or each.get("type") in ("integer", "number")
        if "properties" in each:
            return f"{named} is written with two brackets, for each one:  [[{named}]]"
        listed = shown if fits else "".join(f'"{one}"' for one in each.get("enum", ())[:1])
    return f"{named} " + words.format(
        **context,
        text=f'"{shown}"' if shown else '"..."',
        list=f"[{date or listed or '...'}]",
        date=date or dt.date(2031, 5, 18).isoformat(),
    )


def in_words(error: ErrorDetails) -> str:
    """What is wrong with a value that nobody wrote by hand."""
    context = error.get("ctx") or {}
    if error["type"] == "value_error":
        return str(context["error"])
    words, *_ = WORDS.get(error["type"], "").partition(":")  # After it stands an example.
    return words.format(**context) if words else error["msg"]


def _team_format(text: str) -> str:
    """The line to write; of two numbers, for a team all of whom are up."""
    if two := re.fullmatch(r"(\d{1,2})\D+(\d{1,2})", text.strip()):
        return f'  format = "{two[1]}-{two[1]}-{two[2]}"  where all of the team are up'
    return '  format = "5-4-3"'


def _at(path: tuple[str | int, ...], model: type[Frozen]) -> dict[str, Any]:
    """What the schema says of a setting."""
    here = schema = _schema(model)
    for part in path:
        here = _resolved(here, schema)
        if isinstance(part, int):
            here = here.get("items", {})
        else:
            here = here.get("properties", {}).get(part) or here.get("additionalProperties", {})
    return _resolved(here, schema)


@cache
def _schema(model: type[Frozen]) -> dict[str, Any]:
    return model.model_json_schema(by_alias=True)


def _resolved(here: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    for choice in here.get("anyOf", []):
        if "$ref" in choice:
            here = choice
    if "$ref" in here:
        here = schema["$defs"][here["$ref"].rsplit("/", 1)[-1]]
    return here


def _shown(value: Any) -> str:
    """A value as it may be written in TOML, shortened."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (str, int, Decimal, dt.date, dt.time)):
        return str(value)[:80]
    return ""


def address_amiss(address: str, file: str) -> Iterator[Problem]:
    """What is wrong with the address of publication that a file of settings names."""
    if address and not _is_web_address(address):
        message = "base_url must be a whole web address: https://example.org/cup/"
        yield Problem(file, 0, "base_url", "no-web-address", message, address)


def _is_web_address(text: str) -> bool:
    """It has a host that a name can be asked for by, and nothing that does not belong there."""
    try:
        address = urlsplit(text)
        host = (address.hostname or "").encode("idna")
        _ = address.port  # ValueError where it is none.
    except ValueError:
        return False
    shape = re.fullmatch(r"https?://[^\s\"'<>/?#@\\]+(/[^\s\"'<>?#\\]*)?", text)
    return bool(host and shape and text.isprintable())
