"""How results are told as data: each thing field by field, as the files `*.fields` say.

    Line: One gymnast in a list.
        entry=key  count    The gymnast
        place      number?  The place; null for guests and the unranked
        *          person=gymnast

A field has a name, a type and a meaning, with two blanks or more between them; lines that are set
in deeper go on with the meaning. After `=` stands where the value is found, as a path from the
thing that is told, where it does not bear the name of the field; or code works it out (the values
handed to `read_fields`). `whole` is any whole number, `count` one from 0, `number` one from 1.
`x?` may be nothing, `[x]` are several, `a | b` is one of these words, and a capital begins the
name of another thing that was said before. `*` takes in the columns of another thing, where a row
leads to one, and puts words into their names. From this follow JSON, the cells of tables, and what
describes both.

Marks have three decimals and a point, in JSON as text; what is not there is null, in a cell empty.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from operator import attrgetter
from pathlib import Path
from typing import Any

from resultsgen.meet.marks import show_mark

_decimal = lru_cache(maxsize=100_000)(show_mark)

Value = Callable[[Any, Any], Any]
"""Finds a value: in the thing that is told, and in what stands around it."""


@dataclass(frozen=True, eq=False)
class DataType:
    """What a value is: in a JSON Schema, in JSON, in the column of a table, in a cell."""

    schema: Mapping[str, Any]
    told: Value | None = None
    """In JSON; None: as it is."""
    column: str = "string"
    """As Table Schema calls it."""
    cell: Callable[[Any], str] = str
    holds: DataObject | None = None
    """What it is made of, where that is told field by field."""

    def or_none(self) -> DataType:
        """The same, or nothing."""
        some, schema = self.told, {"anyOf": [self.schema, {"type": "null"}]}

        def told(value: Any, around: Any) -> Any:
            return value if value is None or some is None else some(value, around)

        return replace(self, schema=schema, told=some and told)

    def several(self) -> DataType:
        """Several of them."""
        told, schema = self.told, {"type": "array", "items": self.schema}

        def each(values: Iterable[Any], around: Any) -> list[Any]:
            return [told(value, around) for value in values] if told else list(values)

        return DataType(schema, each, cell=" ".join, holds=self.holds)


TYPES = {
    "text": DataType({"type": "string"}),
    "whole": DataType({"type": "integer"}, column="integer"),
    "count": DataType({"type": "integer", "minimum": 0}, column="integer"),
    "number": DataType({"type": "integer", "minimum": 1}, column="integer"),
    "vault": DataType({"enum": [1, 2]}, column="integer"),
    "mark": DataType(
        {"type": "string", "pattern": r"^-?[0-9]+\.[0-9]{3}$", "examples": ["13.700"]},
        lambda mark, _: _decimal(mark), "number", _decimal,
    ),
    "flag": DataType(
        {"type": "boolean"}, None, "boolean", lambda is_so: "true" if is_so else "false"
    ),
    "day": DataType({"type": "string"}, lambda day, _: day.isoformat()),
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class DataField:
    """One field of what is told, or one column."""

    type: DataType
    meaning: str
    value: Value
    path: Callable[[Any], Any] | None = None
    """Finds it in the thing alone, where that is enough."""


Fields = Mapping[str, DataField]


def fields_within(outer: Callable[[Any], Any], fields: Fields, **names: str) -> Fields:
    """The fields of what a row leads to, as columns of the row; with *names* put into theirs.

    They are empty where the row leads nowhere.
    """

    def within(value: Value) -> Value:
        def read(row: Any, around: Any) -> Any:
            thing = outer(row)
            return None if thing is None else value(thing, around)

        return read

    return {
        name.format(**names): DataField(one.type, one.meaning.format(**names), within(one.value))
        for name, one in fields.items()
    }


def rows_of(fields: Fields, things: Iterable[Any], around: Any) -> tuple[tuple[str, ...], ...]:
    """The rows of a table, one for each thing."""
    return tuple(cells_of(fields, values_of(fields, things, around)))


Columns = list[list[Any]]
"""The values of each field in turn, of all things."""


def values_of(fields: Fields, things: Iterable[Any], around: Any) -> Columns:
    """What the fields say of these things."""
    held = tuple(things)
    return [
        [*map(one.path, held)] if one.path else [one.value(thing, around) for thing in held]
        for one in fields.values()
    ]


def cells_of(
    fields: Fields, told: Columns, shown: Callable[[str], str] = str
) -> Iterator[tuple[str, ...]]:
    """The same as rows of texts, as they are *shown*."""

    def column(one: DataField, values: list[Any]) -> Iterator[str]:
        cell = one.type.cell
        return texts_of(lambda value: shown("" if value is None else cell(value)), values)

    return zip(*map(column, fields.values(), told), strict=True)


def texts_of(text: Callable[[Any], Any], values: list[Any]) -> Iterator[Any]:
    """The text of each value of a column, made once: most of them come again."""
    texts = {value: text(value) for value in {*values}}
    return map(texts.__getitem__, values)


@dataclass(frozen=True, eq=False)
class DataObject:
    """A thing that is told field by field."""

    name: str
    about: str
    around: Value | None = None
    """What stands around its fields, of the thing and what stands around that; None: the same."""
    fields: dict[str, DataField] = field(default_factory=dict)

    @cached_property
    def type(self) -> DataType:
        """The type of a value that is such a thing."""
        return DataType({"$ref": f"#/$defs/{self.name}"}, self.told, holds=self)

    @cached_property
    def _plan(self) -> tuple[tuple[str, Value, Value | None], ...]:
        return tuple((name, one.value, one.type.told) for name, one in self.fields.items())

    def told(self, thing: Any, around: Any) -> dict[str, Any]:
        """The thing as JSON has it."""
        if self.around:
            around = self.around(thing, around)
        return {
            name: value(thing, around) if told is None else told(value(thing, around), around)
            for name, value, told in self._plan
        }

    @property
    def schema(self) -> dict[str, Any]:
        """Its own JSON Schema."""
        properties = {
            name: {**one.type.schema, "description": one.meaning}
            for name, one in self.fields.items()
        }
        return {
            "title": self.name,
            "description": self.about,
            "type": "object",
            "properties": properties,
            "required": list(properties),
            "additionalProperties": False,
        }


def read_fields(
    file: str, values: Mapping[str, Value], around: Mapping[str, Value] | None = None
) -> dict[str, DataObject]:
    """What a file beside this one says; *values* by thing and field, *around* by thing."""
    text = (Path(__file__).parent / file).read_text("utf-8").replace("\n        ", " ")
    found: dict[str, DataObject] = {}
    for block in text.strip().split("\n\n"):
        head, *lines = block.splitlines()
        thing, _, about = head.partition(": ")
        made = found[thing] = DataObject(thing, about, (around or {}).get(thing))
        for line in lines:
            named, kind, *meaning = re.split(r"  +", line.strip(), maxsplit=2)
            name, _, path = named.partition("=")
            if name == "*":
                taken, _, path = kind.partition("=")
                outer = attrgetter(path) if path else lambda row: row
                names = dict(pair.split("=") for pair in meaning)
                made.fields.update(fields_within(outer, found[taken].fields, **names))
                continue
            value, at = values.get(f"{thing}.{name}"), attrgetter(path or name)
            made.fields[name] = DataField(
                _type(kind, found), meaning[0], value or _of_thing(at), None if value else at
            )
    return found


def schema_of(held: Mapping[str, DataObject], whole: str, title: str) -> dict[str, Any]:
    """The JSON Schema of the thing that all others are parts of."""
    parts = {name: part.schema for name, part in held.items()}
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"} | parts.pop(whole)
    return head | {"title": title, "$defs": parts}


def _of_thing(found: Callable[[Any], Any]) -> Value:
    return lambda thing, _: found(thing)


def _type(kind: str, known: Mapping[str, DataObject]) -> DataType:
    if " | " in kind or kind.startswith('"'):
        return DataType({"enum": [word.strip('"') for word in kind.split(" | ")]})
    if kind.endswith("?"):
        return _type(kind[:-1], known).or_none()
    if kind.startswith("["):
        return _type(kind[1:-1], known).several()
    return known[kind].type if kind in known else TYPES[kind]
