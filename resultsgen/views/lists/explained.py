"""The chapter of the complete book that explains marks by incidents: no part of the results."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from resultsgen.views.lists.sections import Section, Subject
from resultsgen.views.lists.table import Cell, Column, Note, Row, Table
from resultsgen.views.live.costs import Explanation, explanations
from resultsgen.views.words.wording import Wording


def incidents(subject: Subject) -> Iterator[Section]:
    """What incidents cost, competition by competition, marked as an explanation."""
    say = subject.wording.say
    titles = {one.competition.id: one.competition.title for one in subject.competitions}
    told = explanations(subject.results, subject.wording)
    tables = tuple(
        _table(id, titles[id], tuple(these), subject.wording)
        for id, these in groupby(told, lambda one: one.competition)
        if id in titles
    )
    if tables:
        title = say("Incidents explained")
        below = say("An explanation, not a result: nothing here changes a mark or a place.")
        yield Section("incidents", "list", title, title, below, tables=tables, captioned=True)


def _table(id: str, title: str, told: tuple[Explanation, ...], wording: Wording) -> Table:
    """Every routine of a competition in which something happened."""
    columns = (
        Column(wording.say("Gymnast"), "name", width=2.2),
        Column(wording.say("What happened"), "text", width=2.2),
        Column(wording.say("Without it"), "text", width=4.6),
    )
    rows = tuple(_row(f"incidents-{id}-{number}", one) for number, one in enumerate(told, start=1))
    sources = dict.fromkeys(source for one in told for source in one.sources)
    notes = tuple(Note("", source) for source in sources)
    return Table(f"incidents-{id}", title, columns, rows, notes)


def _row(id: str, one: Explanation) -> Row:
    return Row(
        (
            Cell(one.name, one.routine, target=one.target),
            Cell("; ".join(one.happened)),
            Cell(" ".join(one.sentences)),
        ),
        id=id,
    )
