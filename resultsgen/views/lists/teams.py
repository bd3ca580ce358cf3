"""The team list: the team with its totals, and below it its gymnasts with counting marks."""

from __future__ import annotations

from dataclasses import replace

from resultsgen.scoring.results import Beside, CompetitionResults, Line, Team, TeamMember
from resultsgen.views.lists.cells import (
    EMPTY,
    mark_cell,
    mark_columns,
    name_cell,
    no_mark_cell,
    place_cell,
    status_cell,
)
from resultsgen.views.lists.rankings import Listing
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.site.addresses import club_target
from resultsgen.views.words.notes import Notes
from resultsgen.views.words.wording import Wording
from resultsgen.views.words.words import tie_sentence


def team_table(competition: CompetitionResults, wording: Wording) -> Table | None:
    """Teams and their gymnasts; None where the competition does not rank teams."""
    ranking = competition.team
    if ranking is None:
        return None
    listing = Listing(ranking, competition, wording)
    columns = (
        Column(wording.say("Place"), "place", wording.say("Pl."), width=0.5),
        Column(wording.say("Team and gymnast"), "name", short=wording.say("Team"), width=2.6),
        *mark_columns(ranking.parts, wording),
        *listing.term_columns(),
        Column(wording.say("Total"), "total", width=1.1),
        *listing.cut_columns(),
    )
    rows = (
        row
        for line in ranking.lines
        for row in (
            _team_row(line, listing),
            *(_member_row(member, line.team, listing) for member in line.team.members),
        )
    )
    below = (_row_below(one, listing) for one in competition.beside_in(ranking))
    return listing.table("team", columns, (*rows, *below))


def _row_below(one: Beside, listing: Listing) -> Row:
    """Marks of a gymnast who is in no team that is ranked, or a second vault."""
    marks = (
        mark_cell(routine, listing.notes, listing.wording) if routine else EMPTY
        for routine in one.line.routines
    )
    return listing.row_below(one, (*marks, *(EMPTY,) * (1 + len(listing.ranking.terms))))


def _team_row(line: Line, listing: Listing) -> Row:
    team, wording = line.team, listing.wording
    team_format = listing.competition.competition.team
    by_club = team_format is not None and team_format.by == "club"
    cells = (
        place_cell(line.place, False, listing.tie_note(team.key), wording),
        Cell(team.name, target=club_target(team.name) if by_club else ""),
        *(_apparatus_cell(team, number, listing) for number in range(len(team.apparatus))),
        *listing.term_cells(line.terms),
        _total_cell(line, listing.notes, wording),
        *listing.cut_cells(team.key),
    )
    podium, cut = listing.podium(line.place), listing.through(team.key)
    return Row(cells, "team", f"team-{team.key}", podium, cut)


def _apparatus_cell(team: Team, number: int, listing: Listing) -> Cell:
    """What counts on one apparatus, with the place of the team there."""
    wording = listing.wording
    total, place = team.apparatus[number], team.apparatus_places[number]
    if total is None:
        return no_mark_cell(wording)
    too_few = wording.say("Fewer marks than count: what there is was added up.")
    told = (too_few if team.short[number] else "", _tie_on_apparatus(team, number, listing))
    return Cell(
        wording.language.mark(total),
        place=f"({place})" if place is not None else "",
        note=" ".join(listing.notes.mark_of(one) for one in told if one),
    )


def _tie_on_apparatus(team: Team, number: int, listing: Listing) -> str:
    """How an equal total on one apparatus was settled; nothing where all equals share."""
    code = listing.ranking.parts[number]
    for tie in listing.ranking.apparatus_ties.get(code, ()):
        if team.key in tie.keys and tie.steps:
            story = tie_sentence(tie, listing.names.__getitem__, listing.wording.language)
            apparatus = listing.wording.apparatus(code)
            return listing.wording.language.headed(apparatus, story)
    return ""


def _total_cell(line: Line, notes: Notes, wording: Wording) -> Cell:
    """The team total, with the penalty that was taken from it."""
    team = line.team
    if line.total is None:
        return status_cell(line.status, wording) if line.status else no_mark_cell(wording)
    if not team.penalty:
        return Cell(wording.language.mark(line.total))
    penalty = wording.language.short(team.penalty)
    told = wording.say("{team}: team penalty {penalty}.", team=team.name, penalty=penalty)
    if team.penalty_reason:
        told = wording.say(
            "{team}: team penalty {penalty}: {reason}",
            team=team.name,
            penalty=penalty,
            reason=team.penalty_reason,
        )
    return Cell(
        wording.language.mark(line.total),
        sub=f"P\u00a0−{penalty}",
        note=notes.mark_of(told),
    )


def _member_row(member: TeamMember, team: Team, listing: Listing) -> Row:
    """A gymnast of the team; a blank is not in the line-up, which is neither DNS nor 0.000."""
    notes, wording = listing.notes, listing.wording
    name = name_cell(member.gymnast, wording)
    bodies = [body for body in name.sub.split(", ") if body != team.name]
    days = {id: term.title for term in listing.ranking.terms for id in term.competitions}
    if member.day:
        bodies.append(days[member.day])
    marks = (
        mark_cell(routine, notes, wording, counts=counts) if routine else EMPTY
        for routine, counts in zip(member.routines, member.counts, strict=True)
    )
    after = (EMPTY,) * (1 + len(listing.ranking.terms) + len(listing.ranking.cuts))
    cells = (EMPTY, replace(name, sub=", ".join(bodies)), *marks, *after)
    id = "-".join(filter(None, (f"team-{team.key}-{member.gymnast.key}", member.day)))
    return Row(cells, "member", id)
