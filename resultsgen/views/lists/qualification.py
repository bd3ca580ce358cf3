"""Who goes through: for each cut the qualifiers, the reserves, and who was passed over and why."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.scoring.results import CompetitionResults, CutLine, CutResult, Line, Ranking
from resultsgen.views.lists.cells import cut_title, cut_words, name_cell, place_cell
from resultsgen.views.lists.cut_words import cut_mark, cut_sentence
from resultsgen.views.lists.legend import legend
from resultsgen.views.lists.rankings import Listing, through, total_label
from resultsgen.views.lists.table import Cell, Column, Note, Row, Table
from resultsgen.views.words.wording import Wording

PASSED_OVER = ("capped", "below minimum", "no body", "guest")


def qualification_tables(competition: CompetitionResults, wording: Wording) -> tuple[Table, ...]:
    """A table for each cut of each list."""
    return tuple(
        qualification_table(Listing(ranking, competition, wording), cut)
        for ranking in competition.rankings
        for cut in ranking.cuts
    )


def qualification_table(listing: Listing, cut: CutResult) -> Table:
    """One cut: everybody down to the last reserve, each with what the cut means for them."""
    wording, ranking = listing.wording, listing.ranking
    head = wording.say("Team") if ranking.of_teams else wording.say("Gymnast")
    columns = (
        Column(wording.say("Place"), "place", wording.say("Pl."), width=0.5),
        Column(head, "name", width=2.4),
        Column(total_label(ranking, wording), "total", width=0.9),
        Column(wording.say("Goes through"), "cut", short="Q", width=0.6),
        Column(wording.say("Why"), "text", width=3),
    )
    id = f"cut-{ranking.id}-{ranking.cuts.index(cut) + 1}"
    rows = tuple(_row(id, line, one, cut, listing) for line, one in _considered(ranking, cut))
    return Table(
        id, qualification_title(ranking, cut, wording), columns, rows,
        notes=_notes(listing, cut, rows), legend=legend(columns, rows, wording),
    )  # fmt: skip


def qualification_title(ranking: Ranking, cut: CutResult, wording: Wording) -> str:
    """The name of the cut, with the apparatus where it is taken from the list of one."""
    title = cut_title(cut, wording)
    if not cut.apparatus:
        return title
    return wording.language.headed(title, wording.list_name(ranking.id))


def _considered(ranking: Ranking, cut: CutResult) -> Iterator[tuple[Line, CutLine]]:
    """Every line down to the last one through, without those who were not to be placed.

    Those beyond whom the order of the list left out, or the jury, are told as well. Where places
    stay open because of the minimum, those below it follow; where each body has places of its own,
    everybody.
    """
    marked = [n for n, one in enumerate(cut.lines) if cut_mark(one.verdict) or one.called_up]
    even = [n for n, one in enumerate(cut.lines) if one.verdict.by_order or one.verdict.by_jury]
    last = max((*marked, *even), default=-1)
    is_open = cut.quota.of_each or len(marked) < cut.quota.places + cut.quota.reserves
    for number, one in enumerate(cut.lines):
        outcome = one.verdict.outcome
        told = outcome != "unranked" if number <= last else is_open and outcome in PASSED_OVER
        if told:
            yield ranking.by_key[one.key], one


def _notes(listing: Listing, cut: CutResult, rows: tuple[Row, ...]) -> tuple[Note, ...]:
    """One sentence for all who are placed below those in the table."""
    beyond = [one for one in cut.lines if one.verdict.outcome == "beyond"]
    if not beyond or (rows and rows[-1].id.endswith(f"-{beyond[-1].key}")):
        return ()
    wording = listing.wording
    reason = cut_sentence(cut, beyond[-1], listing.names.__getitem__, wording.language)
    text = wording.say("Those placed below do not go through: {reason}.", reason=reason)
    return (Note("", text),)


def _row(id: str, line: Line, one: CutLine, cut: CutResult, listing: Listing) -> Row:
    wording = listing.wording
    cells = (
        place_cell(line.place, line.of.guest, "", wording),
        name_cell(line.of, wording),
        Cell(wording.language.mark(line.total)),
        Cell(cut_mark(one.verdict), about=cut_words(one.verdict, wording)),
        Cell(cut_sentence(cut, one, listing.names.__getitem__, wording.language)),
    )
    return Row(cells, "guest" if line.of.guest else "ranked", f"{id}-{one.key}", 0, through(one))
