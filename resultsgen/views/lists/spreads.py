"""How the marks of a competition lie, as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.charts import FEWEST, FieldMarks, Spread, SpreadChart, scale_of
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Marks:
    """The marks of one competition: for each apparatus its name and the marks, lowest first."""

    by_apparatus: dict[str, tuple[str, FieldMarks]]
    scale: tuple[tuple[int, str], ...]
    zeros: bool
    """Whether marks of zero were left out: beside them all others would be one spot."""


def marks_of(judged: CompetitionResults, wording: Wording) -> Marks:
    """What the pictures of a competition are drawn from; of two vaults the first."""
    made: dict[str, list[int]] = {code: [] for code in judged.by_apparatus}
    for _, routine in judged.routines:
        if routine.vault == 1 and routine.mark is not None and routine.apparatus in made:
            made[routine.apparatus].append(routine.mark)
    zeros = any(0 in marks for marks in made.values())
    found = {
        code: (wording.apparatus("VT1" if len(ranking.parts) > 1 else code), marks)
        for code, ranking in judged.by_apparatus.items()
        if len(marks := FieldMarks(sorted(filter(None, made[code])))) >= FEWEST
    }
    scale = scale_of([mark for _, marks in found.values() for mark in marks]) if found else ()
    return Marks(found, tuple((mark, wording.language.short(mark)) for mark in scale), zeros)


def spread_of_marks(marks: Marks, wording: Wording) -> SpreadChart | None:
    """How the marks on each apparatus lie, with the best; None where there are too few."""
    best = {code: lie[-1] for code, (_, lie) in marks.by_apparatus.items()}
    lead = wording.say("The marks on each apparatus, the best of them named.")
    return _spread_chart(best, marks, lead, wording)


def among_all_marks(own: Mapping[str, int], marks: Marks, wording: Wording) -> SpreadChart | None:
    """One gymnast's marks, by apparatus, among those of everybody."""
    lead = wording.say("The gymnast's own marks among all marks on each apparatus.")
    return _spread_chart(own, marks, lead, wording)


def strips(chart: SpreadChart) -> dict[str, SpreadChart]:
    """Each row by itself, to stand at the end of a row that says whose it is."""
    return {
        row.label: SpreadChart(f"{row.label}: {row.value}", (bare,), chart.scale)
        for row in chart.rows
        for bare in [replace(row, label="", value="")]
    }


def _spread_chart(
    named: Mapping[str, int], marks: Marks, lead: str, wording: Wording
) -> SpreadChart | None:
    show, rows, told = wording.language.mark, [], [lead]
    for code, (name, lie) in marks.by_apparatus.items():
        if own := named.get(code):
            rows.append(Spread(name, lie, own, show(own)))
            told.append(
                wording.say(
                    "{apparatus}: {mark}, of marks from {lowest} to {highest}.",
                    apparatus=name, mark=show(own), lowest=show(lie[0]), highest=show(lie[-1]),
                )
            )  # fmt: skip
    if marks.zeros:
        told.append(wording.say("Marks of zero are left out of the picture."))
    return SpreadChart(" ".join(told), tuple(rows), marks.scale) if rows else None
