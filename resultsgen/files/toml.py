"""TOML of strangers: no more levels, entries or digits than any settings need, and plain texts."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, TypeAlias

Path: TypeAlias = tuple[str | int, ...]

LEVELS = 10
ENTRIES = 5_000
LARGEST = 10**9
"""The largest whole number that a setting may be."""

TEXT = re.compile(
    r'"""(?:\\.|[^\\])*?(?:"""|\Z)' + r"|'''.*?(?:'''|\Z)" + r'|"(?:\\.|[^"\\\n])*+"?+|'
    r"'[^'\n]*+'?+|#[^\n]*+",
    re.DOTALL,
)
LONG_KEY = re.compile(rf'(?<![\w-])(?:(?:[\w-]++|"")[ \t]*+\.[ \t]*+){{{LEVELS},}}+')
MANY_DIGITS = re.compile(r"[0-9_]{40}")


class TomlError(ValueError):
    """A text that is not read as TOML: the line, if one can be named, and why."""

    def __init__(self, message: str, line: int = 0) -> None:
        super().__init__(message)
        self.line = line


class TooMuchError(TomlError):
    """There is more of it than any settings need."""


def read_toml(text: str) -> dict[str, Any]:
    """What a TOML text says, numbers with a point as exact decimals; else TomlError.

    >>> read_toml("step = 0.05")
    {'step': Decimal('0.05')}
    """
    signs = TEXT.sub(lambda found: "" if found[0].startswith("#") else '""', text)
    depth = 0
    for sign in re.findall(r"[\[\]{}]", signs):
        depth += 1 if sign in "[{" else -1
        if depth > LEVELS:
            raise TooMuchError(f"brackets stand in brackets more than {LEVELS} deep")
    if LONG_KEY.search(signs):
        raise TooMuchError(f"a key has more than {LEVELS} parts; shorten it")
    entries = sum(signs.count(sign) for sign in "=,[")
    if entries > ENTRIES:
        raise TooMuchError(f"it has {entries} entries, and at most {ENTRIES} are read; shorten it")
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"line (\d+)", str(error))
        line = int(found[1]) if found else len(text.splitlines())
        raise TomlError(re.sub(r" \(at .*\)$", "", str(error)), line) from None
    except (ValueError, RecursionError) as error:
        many = MANY_DIGITS.search(text)
        line = text.count("\n", 0, many.start()) + 1 if many else 0
        message = "a number has more digits than any of a meet; shorten it" if many else str(error)
        raise TooMuchError(message, line) from None


def _decimal(written: str) -> Decimal:
    number = Decimal(written)
    if number.is_finite() and abs(number.adjusted()) > 15:
        raise ValueError(f"{written[:40]} is no number of a meet")
    return number


def laid_over(base: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """One table over another, table by table; lists are replaced whole.

    >>> laid_over({"a": {"b": 1, "c": 2}}, {"a": {"c": 3}})
    {'a': {'b': 1, 'c': 3}}
    """
    both = dict(base)
    for key, value in own.items():
        here = both.get(key)
        tables = isinstance(value, dict) and isinstance(here, dict)
        both[key] = laid_over(here, value) if tables else value  # type: ignore[arg-type]
    return both


def leaves(held: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every value and every key that a TOML text says, with its path."""
    if isinstance(held, dict):
        for key, value in held.items():
            yield (*path, key), key
            yield from leaves(value, (*path, key))
    elif isinstance(held, list):
        for number, value in enumerate(held):
            yield from leaves(value, (*path, number))
    else:
        yield path, held
