"""What incidents cost, as a table: an explanation of the results, and never one itself."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.data.columns import PERSON, CsvTable, Field, Row, number, person, table_of
from resultsgen.language import to_say
from resultsgen.live.costs import Cost, ListChange, costs
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.results import Results

LISTS = ("apparatus", "all-around", "team")


def incidents(results: Results) -> Iterator[CsvTable]:
    """The incidents of each competition that has any."""
    fields = (
        *PERSON,
        Field("apparatus", "string", "Code of the apparatus"),
        Field("vault", "integer", "1 or 2; 1 on every other apparatus"),
        Field("incidents", "string", "What happened, with semicolons"),
        Field("deduction", "number", "What it cost in all"),
        Field("note", "string", "The meet's own remarks, with semicolons"),
        Field("source", "string", "Where common figures come from; empty: given by the meet"),
        Field("mark", "number", "The mark as it is"),
        Field("mark_without", "number", "What it would be without the incidents"),
        *(field for name in LISTS for field in _list_fields(name.replace("-", "_"))),
    )
    found = costs(results)
    for one in results.competitions:
        rows = tuple(
            _row(cost, results) for cost in found if cost.competition == one.competition.id
        )
        if rows:
            title = to_say("what incidents cost (an explanation, not a result)")
            yield table_of(one, "incidents", title, fields, rows)


def _list_fields(name: str) -> tuple[Field, ...]:
    return (
        Field(f"{name}_place", "integer", "The place as it is"),
        Field(f"{name}_place_without", "integer", "The place without the incidents"),
        Field(f"{name}_total_without", "number", "The total without the incidents"),
    )


def _row(cost: Cost, results: Results) -> Row:
    changes: dict[str, ListChange] = {change.kind: change for change in cost.lists}
    sources = dict.fromkeys(one.source for one in cost.incidents if one.source)
    return (
        *person(results.gymnasts[cost.gymnast]),
        cost.apparatus,
        str(cost.vault),
        "; ".join(one.what for one in cost.incidents),
        show_mark(sum(one.deduction for one in cost.incidents)),
        "; ".join(one.note for one in cost.incidents if one.note),
        "; ".join(sources),
        show_mark(cost.mark),
        show_mark(cost.mark_then),
        *(
            cell
            for name in LISTS
            for change in [changes.get(name)]
            for cell in (
                (number(change.place), number(change.place_then), show_mark(change.total_then))
                if change
                else ("",) * 3
            )
        ),
    )
