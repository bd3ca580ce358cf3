"""The tables that leave as CSV: their columns with what they mean, and their rows as text.

Marks have three decimals and a point; yes and no are `true` and `false`; what is not there is
empty. A withheld name is empty too: the bib stands for the gymnast.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from resultsgen.language import ENGLISH
from resultsgen.marks import show_mark
from resultsgen.results import (
    CompetitionResults,
    CutLine,
    CutResult,
    Gymnast,
    Line,
    Ranking,
    Results,
    Routine,
    TeamLine,
    TeamRanking,
    Tie,
)
from resultsgen.views.addresses import file_names
from resultsgen.views.cells import shown_name
from resultsgen.views.rankings import list_id
from resultsgen.views.routines import routines
from resultsgen.views.wording import wording
from resultsgen.views.words import cut_mark, cut_sentence, tie_sentence

Row = tuple[str, ...]


@dataclass(frozen=True)
class Field:
    """One column: its heading, the type of its cells, and what it means."""

    name: str
    type: Literal["string", "integer", "number", "boolean"]
    meaning: str


@dataclass(frozen=True)
class CsvTable:
    """One table: its file below `data/`, its title, its columns and its rows."""

    file: str
    title: str
    fields: tuple[Field, ...]
    rows: tuple[Row, ...]


PLACE = Field("place", "integer", "The place; empty for guests and the unranked")
BIB = Field("bib", "string", "The gymnast's number")
PERSON = (
    BIB,
    Field("family_name", "string", "Family name; empty where the name is withheld"),
    Field("given_name", "string", "Given name; empty where the name is withheld"),
    Field("club", "string", "Club"),
    Field("federation", "string", "Federation or region"),
)
GUEST = Field("guest", "boolean", "Out of competition: takes no place")
STATUS = Field("status", "string", "DNS, DNF, DSQ, WDR, or empty")
TIE = Field("tie", "string", "How an equal total was settled, in words")
TOTAL = Field("total", "number", "What the list is ordered by")
TEAM = Field("team", "string", "The name of the team")
MARK_PARTS = (
    Field("mark", "number", "The final mark"),
    Field("d", "number", "D score"),
    Field("e", "number", "E score"),
    Field("penalty", "number", "Penalty, never negative"),
    Field("bonus", "number", "Bonus"),
)


def gymnasts(results: Results) -> Iterator[CsvTable]:
    """Every row of the roster, by name."""
    years = results.meet.settings.privacy.birth_year
    fields = (
        *PERSON,
        Field("team", "string", "Team, where it is neither the club nor the federation"),
        Field("discipline", "string", "men, women, or one of the meet's own"),
        Field("division", "string", "Age group or level"),
        Field("session", "string", "Session or subdivision"),
        Field("squad", "string", "Squad"),
        Field("start_order", "integer", "Start order within the squad"),
        GUEST,
        Field("name_withheld", "boolean", "The name is not published"),
        *((Field("birth_year", "integer", "Year of birth"),) if years else ()),
    )
    rows = tuple(
        (
            *_person(one), one.team, one.discipline, one.division, one.session, one.squad,
            _number(one.start_order), _yes(one.guest), _yes(not one.published),
            *((_number(one.birth_year),) if years else ()),
        )
        for one in results.gymnasts.values()
    )  # fmt: skip
    yield CsvTable("gymnasts.csv", "Gymnasts", fields, rows)


def all_routines(results: Results) -> Iterator[CsvTable]:
    """Every routine of the meet, one row each."""
    fields = (
        Field("competition", "string", "Id of the competition"),
        *PERSON,
        Field("apparatus", "string", "Code of the apparatus"),
        Field("vault", "integer", "1 or 2; 1 on every other apparatus"),
        *MARK_PARTS,
        STATUS,
        Field("rotation", "integer", "The rotation it was performed in"),
        Field("place", "integer", "The place among all on this apparatus"),
    )
    rows = tuple(
        (
            one.competition.id, *_person(gymnast), routine.apparatus, str(routine.vault),
            *_parts(routine), routine.status, _number(routine.rotation), _number(routine.place),
        )
        for one in results.competitions
        for gymnast, routine in routines(one)
    )  # fmt: skip
    yield CsvTable("routines.csv", "Routines", fields, rows)


def start_lists(results: Results) -> Iterator[CsvTable]:
    """Who starts in each competition."""
    fields = (
        Field("session", "string", "Session or subdivision"),
        Field("squad", "string", "Squad"),
        Field("start_order", "integer", "Start order within the squad"),
        *PERSON,
        GUEST,
        Field("apparatus", "string", "What the gymnast starts on, with spaces"),
    )
    for one in results.competitions:
        rows = tuple(
            (
                start.gymnast.session, start.gymnast.squad, _number(start.gymnast.start_order),
                *_person(start.gymnast), _yes(start.gymnast.guest), " ".join(start.apparatus),
            )
            for start in one.starts
        )  # fmt: skip
        yield _table(one, "start-list", "start list", fields, rows)


def all_around_lists(results: Results) -> Iterator[CsvTable]:
    """The all-around of each competition, with every mark and its parts."""
    for one in results.competitions:
        if one.all_around:
            yield _list(results, one, one.all_around, "all-around", "all-around")


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
            ties = _ties(one.team.ties, {line.key: line.name for line in one.team.lines})
            fields = (
                PLACE,
                TEAM,
                TOTAL,
                Field("penalty", "number", "Taken from the team's total"),
                Field("penalty_reason", "string", "Why"),
                STATUS,
                *(field for code in one.team.parts for field in _team_fields(code)),
                TIE,
            )
            rows = tuple(_team_row(line, ties) for line in one.team.lines)
            yield _table(one, "team", "teams", fields, rows)


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
    )
    for one in results.competitions:
        lines = one.team.lines if one.team else ()
        rows = tuple(
            (
                _number(line.place), line.name, *_person(member.gymnast), routine.apparatus,
                *_parts(routine), routine.status, _yes(counts),
            )
            for line in lines
            for member in line.members
            for routine, counts in zip(member.routines, member.counts, strict=True)
            if routine
        )  # fmt: skip
        if one.team:
            yield _table(one, "team-marks", "marks of the teams", fields, rows)


def qualifications(results: Results) -> Iterator[CsvTable]:
    """Each cut of each competition: who goes through, who is reserve, who was passed over."""
    fields = (
        Field("cut", "string", "What it qualifies for"),
        Field("to", "string", "Id of the competition it leads to"),
        Field("list", "string", "The list it is taken from"),
        Field("decided", "boolean", "false while marks are still to come"),
        PLACE,
        TEAM,
        *PERSON,
        TOTAL,
        Field("outcome", "string", "qualified, reserve, capped, below minimum, beyond, guest"),
        Field("code", "string", "Q, R1, R2 ... or empty"),
        Field("withdrawn", "boolean", "Qualified, but does not start"),
        Field("called_up", "boolean", "Starts in place of somebody who withdrew"),
        Field("reason", "string", "The reason in words, where the place does not say it"),
    )
    for one in results.competitions:
        rows = tuple(
            row
            for ranking in one.rankings
            for cut in ranking.cuts
            for row in _cut_rows(results, ranking, cut)
        )
        if any(ranking.cuts for ranking in one.rankings):
            yield _table(one, "qualification", "qualification", fields, rows)


def _table(
    one: CompetitionResults, name: str, title: str, fields: tuple[Field, ...], rows: tuple[Row, ...]
) -> CsvTable:
    """A table of one competition; no code that a meet declares can choose another path."""
    file = file_names([name])[name]
    whole_title = f"{one.competition.title}: {title}"
    return CsvTable(f"{one.competition.id}/{file}.csv", whole_title, fields, rows)


def _list(
    results: Results, one: CompetitionResults, ranking: Ranking, name: str, title: str
) -> CsvTable:
    """A list of gymnasts with every part of every routine."""
    words = wording(results.meet.settings)
    names = {line.gymnast.key: shown_name(line.gymnast, words) for line in ranking.lines}
    ties = _ties(ranking.ties, names)
    fields = (
        PLACE, *PERSON, GUEST, STATUS, TOTAL,
        Field("so_far", "number", "The sum of the marks there are"),
        *(field for part in ranking.parts for field in _part_fields(part)),
        TIE,
    )  # fmt: skip
    rows = tuple(_list_row(line, ties) for line in ranking.lines)
    return _table(one, name, title, fields, rows)


def _list_row(line: Line, ties: dict[int, str]) -> Row:
    return (
        _number(line.place), *_person(line.gymnast), _yes(line.gymnast.guest), line.status,
        show_mark(line.total), show_mark(line.so_far),
        *(cell for routine in line.routines for cell in _part(routine)),
        ties.get(line.gymnast.key, ""),
    )  # fmt: skip


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
    return (*_parts(routine), routine.status, _number(routine.place))


def _parts(routine: Routine) -> Row:
    """The cells of MARK_PARTS."""
    parts = (routine.mark, routine.d, routine.e, routine.penalty, routine.bonus)
    return tuple(show_mark(part) for part in parts)


def _team_fields(code: str) -> tuple[Field, ...]:
    return (
        Field(code, "number", f"The sum of the counting marks on {code}"),
        Field(f"{code}_place", "integer", "The place of the team on this apparatus"),
        Field(f"{code}_short", "boolean", "Fewer marks than count: what there is was added up"),
    )


def _team_row(line: TeamLine, ties: dict[int, str]) -> Row:
    each = zip(line.apparatus, line.apparatus_places, line.short, strict=True)
    return (
        _number(line.place), line.name, show_mark(line.total), show_mark(line.penalty),
        line.penalty_reason, line.status,
        *(cell for mark, place, short in each
          for cell in (show_mark(mark), _number(place), _yes(short))),
        ties.get(line.key, ""),
    )  # fmt: skip


def _cut_rows(results: Results, ranking: Ranking | TeamRanking, cut: CutResult) -> Iterator[Row]:
    words = wording(results.meet.settings)
    lines = {_key(line): line for line in ranking.lines}
    names = {
        key: line.name if isinstance(line, TeamLine) else shown_name(line.gymnast, words)
        for key, line in lines.items()
    }
    for one in cut.lines:
        line = lines[one.key]
        yield (
            cut.cut.name, cut.cut.to, list_id(ranking), _yes(cut.final), _number(line.place),
            *_team_or_person(line), show_mark(line.total), one.verdict.outcome,
            cut_mark(one.verdict), _yes(one.withdrawn), _yes(one.called_up),
            _reason(cut, one, names),
        )  # fmt: skip


def _reason(cut: CutResult, one: CutLine, names: dict[int, str]) -> str:
    return cut_sentence(cut, one, names.__getitem__, ENGLISH)


def _team_or_person(line: Line | TeamLine) -> Row:
    if isinstance(line, TeamLine):
        return (line.name, *("",) * len(PERSON))
    return ("", *_person(line.gymnast))


def _key(line: Line | TeamLine) -> int:
    return line.key if isinstance(line, TeamLine) else line.gymnast.key


def _ties(ties: tuple[Tie, ...], names: dict[int, str]) -> dict[int, str]:
    """The sentence of the tie that each was part of, by key."""
    return {key: tie_sentence(tie, names.__getitem__, ENGLISH) for tie in ties for key in tie.keys}


def _person(one: Gymnast) -> Row:
    """The cells of PERSON."""
    names = (one.family, one.given) if one.published else ("", "")
    return (one.bib, *names, one.club, one.federation)


def _number(number: int | None) -> str:
    return "" if number is None else str(number)


def _yes(is_so: bool) -> str:
    return "true" if is_so else "false"
