"""The tables beside the lists: gymnasts, routines, start lists, and who goes through."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.data.columns import (
    GUEST,
    MARK_PARTS,
    PERSON,
    PLACE,
    STATUS,
    TEAM,
    TOTAL,
    CsvTable,
    Field,
    Row,
    mark_parts,
    number,
    person,
    table_of,
    yes,
)
from resultsgen.language import ENGLISH, to_say
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.results import (
    CompetitionResults,
    CutLine,
    CutResult,
    Gymnast,
    Line,
    Ranking,
    Results,
    Routine,
    Start,
)
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.press.attachments import Title
from resultsgen.views.words.reasons import cut_mark, cut_sentence, why_words
from resultsgen.views.words.wording import wording


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
            *person(one), one.team, one.discipline, one.division, one.session, one.squad,
            number(one.start_order), yes(one.guest), yes(not one.published),
            *((number(one.birth_year),) if years else ()),
        )
        for one in results.gymnasts.values()
    )  # fmt: skip
    yield CsvTable("gymnasts.csv", Title(to_say("Gymnasts")), fields, rows)


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
        Field("not_ranked", "string", "Why no list takes it, in words; empty where one does"),
    )
    rows = tuple(
        (
            one.competition.id, *person(gymnast), routine.apparatus, str(routine.vault),
            *mark_parts(routine), routine.status, number(routine.rotation), number(routine.place),
            _not_ranked(one, gymnast, routine),
        )
        for one in results.competitions
        for gymnast, routine in one.own_routines
    )  # fmt: skip
    yield CsvTable("routines.csv", Title(to_say("Routines")), fields, rows)


def _not_ranked(one: CompetitionResults, who: Gymnast, routine: Routine) -> str:
    why = one.not_ranked.get((who.key, routine.apparatus, routine.vault))
    return why_words(why, ENGLISH) if why else ""


def start_lists(results: Results) -> Iterator[CsvTable]:
    """Who starts in each competition."""
    fields = (
        Field("session", "string", "Session or subdivision"),
        Field("squad", "string", "Squad"),
        Field("start_order", "integer", "Start order within the squad, or in the final"),
        *PERSON,
        GUEST,
        Field("apparatus", "string", "What the gymnast starts on, with spaces"),
    )
    for one in results.competitions:
        if not one.competition.has_own_marks:
            continue
        rows = tuple(_final_starts(one) if one.start_lists else _starts(one))
        yield table_of(one, "start-list", to_say("start list"), fields, rows)


def _starts(one: CompetitionResults) -> Iterator[Row]:
    for start in one.starts:
        yield _start(start, start.gymnast.session, start.gymnast.squad,
                     number(start.gymnast.start_order), " ".join(start.apparatus))  # fmt: skip


def _final_starts(one: CompetitionResults) -> Iterator[Row]:
    """A row for each start on each list; session and squad were those of the qualification."""
    starts = {start.gymnast.key: start for start in one.starts}
    for listed in one.start_lists:
        for order, key in enumerate(listed.keys, start=1):
            apparatus = listed.apparatus or " ".join(starts[key].apparatus)
            yield _start(starts[key], "", "", str(order) if listed.by else "", apparatus)


def _start(start: Start, session: str, squad: str, order: str, apparatus: str) -> Row:
    gymnast = start.gymnast
    return (session, squad, order, *person(gymnast), yes(gymnast.guest), apparatus)


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
        Field(
            "outcome",
            "string",
            "qualified, reserve, capped, below minimum, beyond, no body, guest",
        ),
        Field("code", "string", "Q, R1, R2 ... or empty"),
        Field("withdrawn", "boolean", "Qualified, reserve or passed over, but does not start"),
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
            yield table_of(one, "qualification", to_say("qualification"), fields, rows)


def _cut_rows(results: Results, ranking: Ranking, cut: CutResult) -> Iterator[Row]:
    words = wording(results.meet.settings)
    names = {line.key: shown_name(line.of, words) for line in ranking.lines}
    for one in cut.lines:
        line = ranking.by_key[one.key]
        yield (
            cut.cut.name, cut.cut.to, ranking.id, yes(cut.final), number(line.place),
            *_team_or_person(line), show_mark(line.total), one.verdict.outcome,
            cut_mark(one.verdict), yes(one.withdrawn), yes(one.called_up),
            _reason(cut, one, names),
        )  # fmt: skip


def _reason(cut: CutResult, one: CutLine, names: dict[int, str]) -> str:
    return cut_sentence(cut, one, names.__getitem__, ENGLISH)


def _team_or_person(line: Line) -> Row:
    if line.of.kind == "team":
        return (line.of.name, *("",) * len(PERSON))
    return ("", *person(line.of))
