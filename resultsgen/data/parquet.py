"""Tables as Parquet, where pyarrow is there: values as they are, marks in whole thousandths."""

from __future__ import annotations

import datetime as dt
import io
import sys
from collections.abc import Iterable
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from types import ModuleType
from typing import TYPE_CHECKING, Any, cast

from resultsgen.data.format import Columns, DataField, Fields, texts_of

if TYPE_CHECKING:
    import pyarrow

THOUSANDTHS = b"whole thousandths"
"""Stands as `unit` at each column of marks."""


@cache
def writes_parquet() -> str:
    """What writes it, by which its bytes are shaped; empty where it is not there."""
    try:
        return f"pyarrow {version('pyarrow')}"
    except PackageNotFoundError:
        return ""


@cache
def _arrow() -> Any:
    """pyarrow, which goes without numpy where there is none: to import that takes longer."""
    modules = cast("dict[str, ModuleType | None]", sys.modules)
    there = modules.setdefault("numpy", None)  # None stands for what is not there.
    try:
        import pyarrow.parquet
    finally:
        if there is None:
            del modules["numpy"]
    return pyarrow


def parquet_piece(fields: Fields, told: Columns) -> bytes:
    """Some rows of a table, of which this is told, as `parquet` takes them."""
    pyarrow = _arrow()
    columns = zip(fields.items(), told, strict=True)
    made = [_column(name, one, values) for (name, one), values in columns]
    schema = pyarrow.schema([column for column, _ in made])
    batch = pyarrow.record_batch(
        [pyarrow.array(values, column.type) for column, values in made], schema
    )
    into = io.BytesIO()
    packed = pyarrow.ipc.IpcWriteOptions(compression="lz4")
    with pyarrow.ipc.new_stream(into, schema, options=packed) as stream:
        stream.write_batch(batch)
    return into.getvalue()


def parquet(pieces: Iterable[bytes]) -> bytes:
    """A table that has the rows of these pieces."""
    pyarrow = _arrow()
    table = pyarrow.concat_tables(pyarrow.ipc.open_stream(one).read_all() for one in pieces)
    into = io.BytesIO()
    pyarrow.parquet.write_table(table.combine_chunks(), into, compression="zstd")
    return into.getvalue()


def _column(name: str, one: DataField, values: list[Any]) -> tuple[pyarrow.Field, list[Any]]:
    """Its name, its type and what it means; and its values."""
    pyarrow = _arrow()

    def text(value: Any) -> str | None:
        return None if value is None else one.type.cell(value)

    kinds = {
        "integer": pyarrow.int32(), "number": pyarrow.int32(), "boolean": pyarrow.bool_()
    }  # fmt: skip
    about = {b"description": one.meaning.encode()}
    kind = kinds.get(one.type.column)
    if one.type.column == "number":
        about[b"unit"] = THOUSANDTHS
    if kind is None:
        dates = isinstance(next(filter(None, values), None), dt.date)
        kind = pyarrow.date32() if dates else pyarrow.string()
        if not dates:
            values = [*texts_of(text, values)]
    return pyarrow.field(name, kind, metadata=about), values
