"""The lists as tables: all-around, each apparatus, teams with their gymnasts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Literal

from resultsgen.language import to_say
from resultsgen.scoring.ranking import Line, Ranking, Team, TeamMember, Term
from resultsgen.scoring.results import CompetitionResults, MarksBeside, made_once
from resultsgen.views.lists.cells import (
    EMPTY,
    cut_cell,
    mark_cell,
    mark_columns,
    name_cell,
    name_column,
    part_cell,
    part_columns,
    status_cell,
    team_cell,
    total_cell,
)
from resultsgen.views.lists.codes import legend
from resultsgen.views.lists.listing import Listing
from resultsgen.views.lists.places import place_cell, place_column
from resultsgen.views.lists.start_lists import stand_ins_told
from resultsgen.views.lists.table import Cell, Column, Notes, Row, Table, TableNote
from resultsgen.views.words.reasons import cut_title, tie_sentence, why_words
from resultsgen.views.words.wording import Wording

Cells = tuple[Cell, ...]


@made_once
def list_table(competition: CompetitionResults, ranking: Ranking, wording: Wording) -> Table:
    """A whole list: place, name, what the total is made of, the total, the cuts."""
    listing, say = Listing(ranking, competition, wording), wording.say
    columns, middle = _middle(listing)
    name = name_column(ranking.of_teams, wording)
    if ranking.of_teams:
        name = name._replace(label=say("Team and gymnast"), short=name.label)
    columns = (
        place_column(wording),
        name,
        *columns,
        *(Column(term_title(term, wording), "mark", width=1.1) for term in ranking.terms),
        Column(total_label(ranking, wording), "total", width=1.1),
        *(Column(cut_title(cut, wording), "cut", short="Q", width=0.6) for cut in ranking.cuts),
    )
    rows = (
        *(row for line in ranking.lines for row in _rows(line, listing, middle)),
        *(_row_below(beside, listing, middle) for beside in competition.beside_in(ranking)),
    )
    nobody = (TableNote("", say("Nobody is in this list.")),)
    notes = listing.notes.all() if rows else nobody
    told = stand_ins_told(competition, ranking.id, wording)
    notes = (*notes, *(TableNote("", sentence) for sentence in told))
    return Table(ranking.id, listing.title, columns, rows, notes, legend(columns, rows, wording))


def term_title(term: Term, wording: Wording) -> str:
    """What one of the sums that a total is made of is called; a day by its competition."""
    if term.kind == "day":
        return wording.called(term.title)
    return wording.say("Carried") if term.kind == "carried" else wording.say("Final")


def total_label(ranking: Ranking, wording: Wording) -> str:
    """What a list is ordered by: one mark, the average of two vaults, or a total."""
    if ranking.kind != "apparatus" or ranking.terms:
        return wording.say("Total")
    return wording.say("Average") if len(ranking.parts) > 1 else wording.say("Mark")


Middle = Callable[[Line], Cells]
"""The cells of one line between the name and the total."""


def _middle(listing: Listing) -> tuple[tuple[Column, ...], Middle]:
    """The columns of the marks of a list, and their cells.

    Of one apparatus D, E, penalty and bonus have columns of their own; where two vaults are needed,
    both stand beside their average. Where days are added, their marks do.
    """
    ranking, notes, wording = listing.ranking, listing.notes, listing.wording

    def parts(line: Line) -> Cells:
        routine = line.routines[0]
        return tuple(part_cell(routine, column.label, notes, wording) for column in given)

    def vaults(line: Line) -> Cells:
        # The place of the first vault alone says nothing in a list of averages.
        first, second = (cell._replace(place="") for cell in _marks(line, listing))
        if line.below:
            one_vault = wording.say("One vault: placed below those with two.")
            second = second._replace(note=notes.mark_of(one_vault))
        return first, second

    if ranking.kind != "apparatus":
        return mark_columns(ranking.parts, wording), partial(_marks, listing=listing)
    if not ranking.parts:
        return (), lambda line: ()
    if len(ranking.parts) > 1:
        numbered = (f"{ranking.apparatus}{number}" for number in (1, 2))
        return tuple(Column(wording.apparatus(code), "mark", code) for code in numbered), vaults
    below = (beside.line for beside in listing.competition.beside_in(ranking))
    done = (line.routines[0] for line in (*ranking.lines, *below))
    given = part_columns([routine for routine in done if routine])
    return given, parts


def _marks(line: Line, listing: Listing) -> Cells:
    if line.of.kind == "team":
        return tuple(_apparatus_cell(line.of, code, listing) for code in listing.ranking.parts)
    return tuple(mark_cell(routine, listing.notes, listing.wording) for routine in line.routines)


def _rows(line: Line, listing: Listing, middle: Middle) -> Iterator[Row]:
    who, notes, wording = line.of, listing.notes, listing.wording
    is_team, ranking = who.kind == "team", listing.ranking
    cells = (
        listing.place_cell(line, notes),
        team_cell(who.id, listing.competition) if is_team else name_cell(who, wording),
        *middle(line),
        *listing.term_cells(line),
        _team_total_cell(line, notes, wording) if is_team else total_cell(line, wording),
        *(
            cut_cell(
                cut[who.key],
                listing.cut_state(n, cut[who.key]),
                notes,
                wording,
                team=is_team,
                so_far=listing.chances[n] is not None,
            )
            if who.key in cut
            else EMPTY
            for n, cut in enumerate(listing.cut_lines)
        ),
    )
    id, podium = f"{ranking.id}-{who.key}", listing.podium(line.place)
    qualified = listing.in_cut(0, listing.cut_lines[0].get(who.key)) if ranking.cuts else ""
    rows = [Row(cells, standing(line), id, podium, qualified)]
    if who.kind == "team":
        rows += (_member_row(member, who, listing) for member in who.members)
    cut, reserves = listing.drawn.get(who.key, ""), listing.standing_by.get(who.key, "")
    rows[-1] = rows[-1]._replace(cut=cut, reserves=reserves)
    if qualified == "so-far":
        rows[-1] = rows[-1]._replace(qualified=qualified)
    yield from rows


def standing(line: Line) -> Literal["ranked", "guest", "unranked", "guest unranked", "team"]:
    """How a line stands in its list."""
    if line.of.kind == "team":
        return "team"
    if line.place is not None:
        return "ranked"
    if line.of.guest:
        return "guest unranked" if line.total is None else "guest"
    return "unranked"


def _row_below(beside: MarksBeside, listing: Listing, middle: Middle) -> Row:
    """Marks that no list takes, with why; in a list of one mark the mark stands as the total."""
    ranking, notes, wording = listing.ranking, listing.notes, listing.wording
    who, routines, total = beside.line.gymnast, beside.line.routines, EMPTY
    if ranking.of_teams:
        marks = tuple(mark_cell(each, notes, wording) if each else EMPTY for each in routines)
    else:
        marks = middle(beside.line)
        if len(routines) == 1:
            total = mark_cell(routines[0], notes, wording)._replace(sub="", place="")
    note = notes.mark_of(why_words(beside.why, wording.language))
    cells = (
        place_cell(None, who.guest, note, wording),
        name_cell(who, wording),
        *marks,
        *(EMPTY,) * len(ranking.terms),
        total,
        *(EMPTY,) * len(ranking.cuts),
    )
    kind: Literal["unranked", "guest unranked"] = "guest unranked" if who.guest else "unranked"
    return Row(cells, kind, f"{ranking.id}-{who.key}-{beside.why.replace(' ', '-')}")


def _apparatus_cell(team: Team, code: str, listing: Listing) -> Cell:
    """What counts on one apparatus, with the place of the team there and how that came about."""
    ranking, notes, wording = listing.ranking, listing.notes, listing.wording
    number = ranking.parts.index(code)
    total, place = team.apparatus[number], team.apparatus_places[number]
    if total is None:
        return status_cell("", wording)
    told = []
    if team.short[number]:
        told.append(wording.say("Fewer marks than count: what there is was added up."))
    for tie in ranking.apparatus_ties.get(code, ()):
        # Nothing is told where all equals share.
        if team.key in tie.keys and tie.steps:
            sentence = tie_sentence(tie, listing.names.__getitem__, wording.language)
            told.append(wording.language.headed(wording.apparatus(code), sentence))
    return Cell(
        wording.language.mark(total),
        place=str(place or ""),
        note=" ".join(notes.mark_of(words) for words in told),
    )


def _team_total_cell(line: Line, notes: Notes, wording: Wording) -> Cell:
    team, cell = line.team, total_cell(line, wording)
    if not team.penalty or line.so_far is None:
        return cell
    words = to_say("{team}: team penalty {penalty}.")
    if team.penalty_reason:
        words = to_say("{team}: team penalty {penalty}: {reason}")
    penalty, reason = wording.language.short(team.penalty), wording.called(team.penalty_reason)
    told = wording.say(words, team=team.name, penalty=penalty, reason=reason)
    sub = " ".join(filter(None, (f"P\u00a0{wording.language.short(-team.penalty)}", cell.sub)))
    return cell._replace(sub=sub, note=notes.mark_of(told))


def _member_row(member: TeamMember, team: Team, listing: Listing) -> Row:
    """A gymnast of the team; a blank is not in the line-up, which is neither DNS nor 0.000."""
    ranking, wording = listing.ranking, listing.wording
    name = name_cell(member.gymnast, wording)
    below = [body for body in name.sub.split(", ") if body != team.name]
    if member.day:
        days = {id: term_title(term, wording) for term in ranking.terms for id in term.competitions}
        below.append(days[member.day])
    marks = (
        mark_cell(routine, listing.notes, wording, counts=counts) if routine else EMPTY
        for routine, counts in zip(member.routines, member.counts, strict=True)
    )
    after = (EMPTY,) * (1 + len(ranking.terms) + len(ranking.cuts))
    cells = (EMPTY, name._replace(sub=", ".join(below)), *marks, *after)
    id = "-".join(filter(None, (f"team-{team.key}-{member.gymnast.key}", member.day)))
    return Row(cells, "member", id)
