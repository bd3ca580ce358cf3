"""The lists as tables: all-around, each apparatus, teams, and every mark of every team."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.data.columns import (
    GUEST,
    MARK_PARTS,
    PERSON,
    PLACE,
    STATUS,
    TEAM,
    TIE,
    TOTAL,
    CsvTable,
    Field,
    Row,
    mark_parts,
    number,
    person,
    table_of,
    tie_sentences,
    yes,
)
from resultsgen.language import to_say
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.results import CompetitionResults, Line, Ranking, Results, Routine, Term
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.words.wording import wording


def all_around_lists(results: Results) -> Iterator[CsvTable]:
    """The all-around of each competition, with every mark and its parts."""
    for one in results.competitions:
        if one.all_around:
            yield _list(results, one, one.all_around, "all-around", to_say("all-around"))


def apparatus_lists(results: Results) -> Iterator[CsvTable]:
    """Each apparatus of each competition."""
    for one in results.competitions:
        for code, ranking in one.by_apparatus.items():
            title = results.meet.settings.apparatus_name(code)
            yield _list(results, one, ranking, f"apparatus-{code}", title)


def team_lists(results: Results) -> Iterator[CsvTable]:
    """The teams of each competition, with their apparatus totals."""
    for one in results.competitions:
        if one.team:
            ties = tie_sentences(one.team.ties, {line.key: line.id for line in one.team.lines})
            fields = (
                PLACE,
                TEAM,
                TOTAL,
                Field("penalty", "number", "Taken from the team's total"),
                Field("penalty_reason", "string", "Why"),
                STATUS,
                *term_fields(one.team.terms),
                *(field for code in one.team.parts for field in _team_fields(code)),
                TIE,
            )
            rows = tuple(_team_row(line, ties) for line in one.team.lines)
            yield table_of(one, "team", to_say("teams"), fields, rows)


def team_marks(results: Results) -> Iterator[CsvTable]:
    """Every mark of every team, and whether it counts."""
    fields = (
        Field("team_place", "integer", "The place of the team"),
        TEAM,
        *PERSON,
        Field("apparatus", "string", "Code of the apparatus"),
        *MARK_PARTS,
        STATUS,
        Field("counts", "boolean", "Whether the mark counts for the team"),
        Field("day", "string", "Id of the competition of the mark, where days are added"),
    )
    for one in results.competitions:
        lines = one.team.lines if one.team else ()
        rows = tuple(
            (
                number(line.place), line.id, *person(member.gymnast), routine.apparatus,
                *mark_parts(routine), routine.status, yes(counts), member.day,
            )
            for line in lines
            for member in line.team.members
            for routine, counts in zip(member.routines, member.counts, strict=True)
            if routine
        )  # fmt: skip
        if one.team:
            yield table_of(one, "team-marks", to_say("marks of the teams"), fields, rows)


def _list(
    results: Results, one: CompetitionResults, ranking: Ranking, name: str, title: str
) -> CsvTable:
    """A list of gymnasts with every part of every routine."""
    words = wording(results.meet.settings)
    names = {line.gymnast.key: shown_name(line.gymnast, words) for line in ranking.lines}
    ties = tie_sentences(ranking.ties, names)
    fields = (
        PLACE, *PERSON, GUEST, STATUS, TOTAL,
        Field("so_far", "number", "The sum of the marks there are"),
        Field("done", "integer", "How many marks there are"),
        Field("needed", "integer", "How many marks a whole total has"),
        *term_fields(ranking.terms),
        *(field for part in ranking.parts for field in _part_fields(part)),
        TIE,
    )  # fmt: skip
    rows = tuple(_list_row(line, ties) for line in ranking.lines)
    return table_of(one, name, title, fields, rows)


def _list_row(line: Line, ties: dict[int, str]) -> Row:
    return (
        number(line.place), *person(line.gymnast), yes(line.gymnast.guest), line.status,
        show_mark(line.total), show_mark(line.so_far), str(line.done), str(line.needed),
        *(show_mark(term) for term in line.terms),
        *(cell for routine in line.routines for cell in _part(routine)),
        ties.get(line.gymnast.key, ""),
    )  # fmt: skip


def term_fields(terms: tuple[Term, ...]) -> tuple[Field, ...]:
    """The columns of what a total is made of: carried and final, or day_ and the id of each."""
    meanings = {"carried": "What is carried into the final", "final": "The final by itself"}
    return tuple(
        Field(f"day_{term.competitions[0]}", "number", f"The total of {term.title}")
        if term.kind == "day"
        else Field(term.kind, "number", meanings[term.kind])
        for term in terms
    )


def _part_fields(part: str) -> tuple[Field, ...]:
    """The columns of one part of a list: VT, VT_d, VT_e ..."""
    return (
        Field(part, "number", f"The mark on {part}"),
        Field(f"{part}_d", "number", "D score"),
        Field(f"{part}_e", "number", "E score"),
        Field(f"{part}_penalty", "number", "Penalty, never negative"),
        Field(f"{part}_bonus", "number", "Bonus"),
        Field(f"{part}_status", "string", "What stands in place of a mark"),
        Field(f"{part}_place", "integer", "The place on this apparatus"),
    )


def _part(routine: Routine | None) -> Row:
    if routine is None:
        return ("",) * 7
    return (*mark_parts(routine), routine.status, number(routine.place))


def _team_fields(code: str) -> tuple[Field, ...]:
    return (
        Field(code, "number", f"The sum of the counting marks on {code}"),
        Field(f"{code}_place", "integer", "The place of the team on this apparatus"),
        Field(f"{code}_short", "boolean", "Fewer marks than count: what there is was added up"),
    )


def _team_row(line: Line, ties: dict[int, str]) -> Row:
    team = line.team
    each = zip(team.apparatus, team.apparatus_places, team.short, strict=True)
    return (
        number(line.place), team.name, show_mark(line.total), show_mark(team.penalty),
        team.penalty_reason, line.status, *(show_mark(term) for term in line.terms),
        *(cell for mark, place, short in each
          for cell in (show_mark(mark), number(place), yes(short))),
        ties.get(line.key, ""),
    )  # fmt: skip
