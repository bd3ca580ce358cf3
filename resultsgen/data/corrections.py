"""The table of corrections."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.data.columns import BIB, CsvTable, Field, Row, yes
from resultsgen.history import Corrected, Issue
from resultsgen.language import to_say
from resultsgen.scoring.results import Results
from resultsgen.views.corrections.correction_words import decided
from resultsgen.views.press.attachments import Title


def corrections(results: Results) -> Iterator[CsvTable]:
    """Everything that was published and is otherwise now, the first correction first."""
    fields = (
        Field("publication", "integer", "The number of the publication that corrected it"),
        Field("competition", "string", "Id of the competition"),
        BIB,
        Field("apparatus", "string", "Code of the apparatus; empty: all of the gymnast's marks"),
        Field("vault", "integer", "1 or 2; 1 on every other apparatus; empty where none is named"),
        Field("old", "string", "The mark or status that was published"),
        Field("new", "string", "The mark or status that stands now; empty where none does"),
        Field("what", "string", "What is otherwise where it is no mark: name, club, title, ..."),
        Field("gone", "boolean", "The mark, the gymnast or the competition was withdrawn"),
        Field("why", "string", "The reason: inquiry, entry error, review, or other words"),
        Field("decided", "string", "Who decided it, and when"),
    )
    rows = tuple(_row(issue, one) for issue in results.history.issues for one in issue.corrected)
    yield CsvTable("corrections.csv", Title(to_say("Corrections")), fields, rows)


def _row(issue: Issue, one: Corrected) -> Row:
    return (
        str(issue.publication.number), one.competition, one.bib, one.apparatus,
        str(one.vault) if one.apparatus else "",
        one.old, one.new, one.what, yes(one.gone),
        "; ".join(dict.fromkeys(row.why for row in one.reasons)),
        "; ".join(decided(row) for row in one.reasons),
    )  # fmt: skip
