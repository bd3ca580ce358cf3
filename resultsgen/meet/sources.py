"""Where the tables of a meet stand, and how they are to be read."""

from __future__ import annotations

import codecs
import re
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from resultsgen.meet.values import Frozen, NameOrder, Sources, as_list


class Files(Frozen):
    """Names of the tables in the meet folder; a sheet of a workbook is `file#Sheet`."""

    roster: Sources = Field(("roster.csv",), min_length=1)
    marks: Sources = Field(("marks.csv",), min_length=1)
    incidents: str = Field(
        "incidents.csv", description="What happened in a routine; may be missing"
    )
    bests: str = Field("bests.csv", description="Bests and records so far; may be missing")
    corrections: str = Field(
        "corrections.csv", description="Why published marks were changed; may be missing"
    )


class Columns(Frozen):
    """Our column name on the left, the heading in your file on the right."""

    whole_names: NameOrder = Field(
        "given first",
        description="Order of a whole name in one cell that has neither comma nor capitals",
    )
    roster: dict[str, str] = Field({})
    marks: dict[str, str] = Field({})
    incidents: dict[str, str] = Field({})
    bests: dict[str, str] = Field({})
    corrections: dict[str, str] = Field({})
    apparatus: dict[str, str] = Field(
        {}, description='Your word for an apparatus = its code: Sprung = "VT"'
    )
    disciplines: dict[str, str] = Field(
        {}, description='Your word for a discipline = ours: MAG = "men"'
    )
    status: dict[str, Literal["DNF", "DNS", "DSQ", "WDR"]] = Field(
        {}, description='What stands for a status in the marks or on the roster: "-" = "DNS"'
    )


def _one_or_two(rows: tuple[int, ...]) -> tuple[int, ...]:
    if len(rows) == 2 and rows[1] != rows[0] + 1:
        raise ValueError("a heading is one row, or two that follow one another: [4, 5]")
    return rows


def _known_encoding(name: str) -> str:
    try:
        known = ENCODINGS.fullmatch(codecs.lookup(name).name) if name else name == ""
    except (LookupError, ValueError):
        known = None
    if not known:
        raise ValueError(
            f"there is no encoding {name} of tables; often it is cp1252, mac-roman or cp850"
        )
    return name


ENCODINGS = re.compile(
    r"cp\d{3,4}|iso8859-\d+|mac-[a-z]+\d?|koi8-[rtu]|gb\w+|big5\w*|shift_jis\w*|euc_\w+"
)
"""How tables were written before Unicode, as Python calls it."""


class TableForm(Frozen):
    """How a source is to be read that is no plain table."""

    heading: Annotated[
        tuple[Annotated[int, Field(ge=1)], ...],
        BeforeValidator(as_list),
        AfterValidator(_one_or_two),
        Field(max_length=2, json_schema_extra={"type": ["integer", "array"]}),
    ] = Field((), description="Its row, or its two: [4, 5]; empty: the first that is not empty")
    until: str = Field("", description="Reading ends at the first row that begins so")
    fixed: dict[str, str] = Field(
        {}, description='What holds of every row: division = "Level 3", apparatus = "BB"'
    )
    columns: dict[str, str] = Field(
        {}, description="Our column name = the heading, in this table alone"
    )
    encoding: Annotated[str, AfterValidator(_known_encoding)] = Field(
        "", description="Of a CSV file that is neither UTF-8 nor UTF-16: cp1252, mac-roman"
    )
