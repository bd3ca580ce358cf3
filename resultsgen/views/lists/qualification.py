"""Each cut as a table: who goes through it, who stands by, who does not, and why."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Literal

from resultsgen.language import to_say
from resultsgen.live.competition import live_competition
from resultsgen.live.lists import Chances
from resultsgen.scoring.ranking import CutLine, CutResult, Line, Ranking
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import name_cell, name_column, total_cell
from resultsgen.views.lists.codes import legend
from resultsgen.views.lists.listing import Listing, last_reserve, last_through, marked
from resultsgen.views.lists.places import place_cell, place_column
from resultsgen.views.lists.rankings import total_label
from resultsgen.views.lists.table import Cell, Column, Notes, Row, Table, TableNote
from resultsgen.views.live.needs import NeedWords
from resultsgen.views.words.reasons import NEVER, cut_title, is_plain
from resultsgen.views.words.wording import Wording

NOT_ELIGIBLE = ("capped", *NEVER)


def qualification_tables(
    competition: CompetitionResults, wording: Wording, *, noted: bool = False
) -> tuple[Table, ...]:
    """A table for each cut of each list; *noted*: with reasons below it, where they say more."""
    return tuple(
        qualification_table(listing, number, noted=noted)
        for ranking in competition.rankings
        for listing in [Listing(ranking, competition, wording)]
        for number in range(len(ranking.cuts))
    )


def qualification_table(listing: Listing, number: int, *, noted: bool = False) -> Table:
    """One cut: everybody down to the last reserve, each with what the cut means for them."""
    wording, ranking = listing.wording, listing.ranking
    cut, chances = ranking.cuts[number], listing.chances[number]
    language = wording.language
    columns = (
        place_column(wording),
        name_column(ranking.of_teams, wording, 2.4),
        Column(total_label(ranking, wording), "total", width=0.9),
        Column(wording.say("Qualifies"), "cut", short="Q", width=0.6),
        *(() if noted else (Column(wording.say("Why"), "text", width=3),)),
    )
    reasons = Notes()
    id, last, standing_by = f"cut-{ranking.id}-{number + 1}", last_through(cut), last_reserve(cut)
    title = qualification_title(ranking, cut, wording)

    def row(line: Line, cut_line: CutLine) -> Row:
        is_said = chances is not None or not is_plain(cut, cut_line)
        why = listing.cut_sentence(number, cut_line) if is_said else ""
        if cut_line.verdict.outcome == "unranked" and not noted:
            why = needed_for(listing, cut, line.key) or why
        code, about = listing.cut_state(number, cut_line)
        # The codes say as much of those who are in for good, and of those who are not finished.
        is_plain_code = chances is not None and (
            code == "Q" or cut_line.verdict.outcome == "unranked"
        )
        note = reasons.mark_of(why) if noted and not is_plain_code else ""
        cells = (
            place_cell(line.place, line.of.guest, "", wording),
            name_cell(line.of, wording),
            total_cell(line, wording) if line.total is None else Cell(language.mark(line.total)),
            Cell(code, about=about, note=note),
            *(() if noted else (Cell(why),)),
        )
        drawn = title if line.key == last else ""
        reserves = wording.say("Reserves") if line.key == standing_by else ""
        kind: Literal["ranked", "guest", "unranked"] = "guest" if line.of.guest else "ranked"
        if cut_line.verdict.outcome == "unranked":
            kind = "unranked"
        qualified = listing.in_cut(number, cut_line)
        return Row(cells, kind, f"{id}-{line.key}", 0, qualified, cut=drawn, reserves=reserves)

    considered = tuple(_considered(ranking, cut, chances, listing.spare[number]))
    rows = tuple(row(line, cut_line) for line, cut_line in considered)
    told = {line.key for line, _ in considered}
    beyond = [line for line in cut.lines if line.verdict.outcome == "beyond"]
    beyond = beyond if beyond and beyond[-1].key not in told else []
    notes: tuple[TableNote, ...] = ()
    if beyond and chances is not None:
        text = to_say("Those placed below can no longer qualify.")
        if beyond[-1].key in listing.spare[number]:
            text = to_say("Those placed below qualify only if somebody withdraws.")
        notes = (TableNote("", wording.say(text)),)
    elif beyond:
        # One sentence for all who are placed below those in the table.
        reason = listing.cut_sentence(number, beyond[-1])
        text = wording.say("Those placed below do not qualify: {reason}.", reason=reason)
        notes = (TableNote("", text),)
    codes = legend(columns, rows, wording)
    return Table(id, title, columns, rows, (*reasons.all(), *notes), codes)


def qualification_title(ranking: Ranking, cut: CutResult, wording: Wording) -> str:
    """The name of the cut, with the apparatus where it is taken from the list of one."""
    title = cut_title(cut, wording)
    return wording.language.headed(title, wording.list_name(ranking.id)) if cut.apparatus else title


def needed_for(listing: Listing, cut: CutResult, key: int) -> str:
    """What somebody with marks to come needs to make a cut, if that is in reach."""
    now, ranking = live_competition(listing.competition), listing.ranking
    if ranking.of_teams:
        return ""
    for need in now.needs_of(key):
        if need.list == ranking.id and need.cut == cut.cut.name:
            words = NeedWords(need, now, listing.names.__getitem__, listing.wording)
            return words.short if words.possible else ""
    return ""


def _considered(
    ranking: Ranking, cut: CutResult, chances: Chances | None, spare: Collection[int]
) -> Iterator[tuple[Line, CutLine]]:
    """Every line down to the last qualifier, without those who were not to be placed.

    While marks are to come, everybody of whom something is open or to come, and who may yet be a
    reserve. Those beyond whom the order of the list left out, or the jury, are told as well. Where
    places stay open because of the minimum, those below it follow; where each body has places of
    its own, everybody.
    """
    verdicts = [line.verdict for line in cut.lines]
    here = marked(cut)
    even = [n for n, verdict in enumerate(verdicts) if verdict.by_order or verdict.by_jury]
    last = max((*here, *even), default=-1)
    is_open = cut.quota.of_each or len(here) < cut.quota.places + cut.quota.reserves
    for number, line in enumerate(cut.lines):
        outcome, chance = line.verdict.outcome, chances.get(line.key) if chances else None
        told = outcome != "unranked" if number <= last else is_open and outcome in NOT_ELIGIBLE
        is_open_to = chance == "open" or (line.key in spare and cut.quota.reserves)
        if told or is_open_to or (chance and outcome == "unranked"):
            yield ranking.by_key[line.key], line
