"""Who qualifies: for each cut the qualifiers, the reserves, and who is not eligible and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.scoring.results import CompetitionResults, CutLine, CutResult, Line, Ranking
from resultsgen.views.lists.cells import legend, name_cell, name_column, place_cell, place_column
from resultsgen.views.lists.rankings import Listing, in_cut, total_label
from resultsgen.views.lists.table import Cell, Column, Note, Row, Table
from resultsgen.views.words.reasons import cut_mark, cut_title, cut_words
from resultsgen.views.words.wording import Wording

NOT_ELIGIBLE = ("capped", "below minimum", "no body", "guest")


def qualification_tables(competition: CompetitionResults, wording: Wording) -> tuple[Table, ...]:
    """A table for each cut of each list."""
    return tuple(
        qualification_table(listing, number)
        for ranking in competition.rankings
        for listing in [Listing(ranking, competition, wording)]
        for number in range(len(ranking.cuts))
    )


def qualification_table(listing: Listing, number: int) -> Table:
    """One cut: everybody down to the last reserve, each with what the cut means for them."""
    wording, ranking = listing.wording, listing.ranking
    cut, language = ranking.cuts[number], wording.language
    columns = (
        place_column(wording),
        name_column(ranking.of_teams, wording, 2.4),
        Column(total_label(ranking, wording), "total", width=0.9),
        Column(wording.say("Qualifies"), "cut", short="Q", width=0.6),
        Column(wording.say("Why"), "text", width=3),
    )
    id = f"cut-{ranking.id}-{number + 1}"

    def row(line: Line, cut_line: CutLine) -> Row:
        cells = (
            place_cell(line.place, line.of.guest, "", wording),
            name_cell(line.of, wording),
            Cell(language.mark(line.total)),
            Cell(cut_mark(cut_line.verdict), about=cut_words(cut_line.verdict, language)),
            Cell(listing.cut_sentence(number, cut_line)),
        )
        row = Row(cells, id=f"{id}-{line.key}", qualified=in_cut(cut_line))
        return replace(row, kind="guest") if line.of.guest else row

    considered = tuple(_considered(ranking, cut))
    rows = tuple(row(line, cut_line) for line, cut_line in considered)
    beyond = [line for line in cut.lines if line.verdict.outcome == "beyond"]
    notes: tuple[Note, ...] = ()
    if beyond and (not considered or considered[-1][0].key != beyond[-1].key):
        # One sentence for all who are placed below those in the table.
        reason = listing.cut_sentence(number, beyond[-1])
        text = wording.say("Those placed below do not qualify: {reason}.", reason=reason)
        notes = (Note("", text),)
    title, codes = qualification_title(ranking, cut, wording), legend(columns, rows, wording)
    return Table(id, title, columns, rows, notes, codes)


def qualification_title(ranking: Ranking, cut: CutResult, wording: Wording) -> str:
    """The name of the cut, with the apparatus where it is taken from the list of one."""
    title = cut_title(cut, wording.language)
    return wording.language.headed(title, wording.list_name(ranking.id)) if cut.apparatus else title


def _considered(ranking: Ranking, cut: CutResult) -> Iterator[tuple[Line, CutLine]]:
    """Every line down to the last qualifier, without those who were not to be placed.

    Those beyond whom the order of the list left out, or the jury, are told as well. Where places
    stay open because of the minimum, those below it follow; where each body has places of its own,
    everybody.
    """
    verdicts = [line.verdict for line in cut.lines]
    marked = [n for n, line in enumerate(cut.lines) if cut_mark(line.verdict) or line.called_up]
    even = [n for n, verdict in enumerate(verdicts) if verdict.by_order or verdict.by_jury]
    last = max((*marked, *even), default=-1)
    is_open = cut.quota.of_each or len(marked) < cut.quota.places + cut.quota.reserves
    for number, line in enumerate(cut.lines):
        outcome = line.verdict.outcome
        if outcome != "unranked" if number <= last else is_open and outcome in NOT_ELIGIBLE:
            yield ranking.by_key[line.key], line
