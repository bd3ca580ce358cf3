"""The running meet as tables: the standings after each rotation, and what is needed."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.data.columns import BIB, CsvTable, Field, Row, number, table_of
from resultsgen.language import to_say
from resultsgen.live.competition import GymnastNeeds, LiveList, live
from resultsgen.live.standings import Standing
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.standings import listed_sessions
from resultsgen.views.live.need_words import NeedWords
from resultsgen.views.words.wording import wording

LIST = Field("list", "string", "all-around, team, or the code of the apparatus")

STANDINGS = (
    LIST,
    Field("session", "string", "The session; empty where there is one"),
    Field("rotation", "integer", "After this rotation"),
    Field("done", "integer", "How many apparatus are done; places count those with as many"),
    Field("place", "integer", "The place among those"),
    Field("bib", "string", "The gymnast's number; empty for a team"),
    Field("name", "string", "The gymnast or the team, as printed"),
    Field("total", "number", "The total so far"),
    Field("behind_first", "number", "Behind the first of those"),
    Field("behind_next", "number", "Behind the next better place; empty for the first"),
    Field("moved", "integer", "Places gained (below zero: lost) since the rotation before"),
)

NEEDS = (
    Field("rotation", "integer", "The rotation of the next routine, if it is known"),
    Field("next", "string", "The code of the next apparatus, if it is known"),
    BIB,
    Field("name", "string", "The gymnast, as printed"),
    LIST,
    Field("aim", "string", "lead, medal (one of the first three places) or cut"),
    Field("cut", "string", "Which cut"),
    Field("apparatus", "string", "What the mark is made on; several: their sum"),
    Field("ties", "number", "The mark that ties; empty where none does"),
    Field("tie", "string", "What the rules make of it: reached, shared, missed or open"),
    Field("if_e", "number", "The least E score that is enough in an open tie"),
    Field("if_d", "number", "The least D score that is enough in an open tie"),
    Field("wins", "number", "The least mark that is enough as it stands; 0.000: any"),
    Field("safe", "number", "The least mark that is enough whatever the others do, if one is"),
    Field("average", "number", "The same on average, where several are to come"),
    Field("highest", "number", "No mark is taken to surpass it; empty: nobody knows"),
    Field("words", "string", "The whole of it in a sentence"),
)


def standings(results: Results) -> Iterator[CsvTable]:
    """The standings of each competition of which rotations are known."""
    for one in results.competitions:
        rows = tuple(_standings_rows(results, one))
        if rows:
            yield table_of(one, "standings", to_say("standings by rotation"), STANDINGS, rows)


def _standings_rows(results: Results, one: CompetitionResults) -> Iterator[Row]:
    for listed, session in listed_sessions(results, one):
        names = _names(results, one, listed)
        for after in session.standings:
            for line in (line for group in after.groups for line in group):
                bib, name = names[line.key]
                yield (listed.kind, session.session, str(after.rotation), *_line(line, bib, name))


def _line(line: Standing, bib: str, name: str) -> Row:
    behind = show_mark(line.behind_first), show_mark(line.behind_next)
    head = (str(line.done), str(line.place), bib, name, show_mark(line.total))
    return (*head, *behind, number(line.moved))


def _names(
    results: Results, one: CompetitionResults, listed: LiveList
) -> dict[int, tuple[str, str]]:
    """Bib and name of each line; a team has no bib."""
    cells = lines_of(one, listed.kind, wording(results.meet.settings))
    bibs = {key: gymnast.bib for key, gymnast in results.gymnasts.items()}
    return {
        key: ("" if listed.kind == "team" else bibs[key], cell.text) for key, cell in cells.items()
    }


def needs(results: Results) -> Iterator[CsvTable]:
    """What is needed in each competition with marks to come."""
    for one in results.competitions:
        if one.in_progress:
            rows = tuple(_needs_rows(results, one))
            yield table_of(one, "needs", to_say("what is needed"), NEEDS, rows)


def _needs_rows(results: Results, one: CompetitionResults) -> Iterator[Row]:
    now, words = live(results)[one.competition.id], wording(results.meet.settings)
    cells = lines_of(one, "apparatus", words)
    highest = now.bound.mark if now.bound else None
    for gymnast in now.needs:
        for need in gymnast.needs:
            told = NeedWords(need, lambda key: cells[key].text, words, highest)
            bib = results.gymnasts[gymnast.key].bib
            yield (*_who(gymnast, bib, cells[gymnast.key].text), *_need(told))


def _who(gymnast: GymnastNeeds, bib: str, name: str) -> Row:
    return (number(gymnast.rotation), gymnast.apparatus, bib, name)


def _need(told: NeedWords) -> Row:
    need, tie = told.need, told.need.tie
    score = tie.score if tie else ""
    at_least = show_mark(tie.at_least) if tie else ""
    return (
        need.list,
        need.aim,
        need.cut,
        " ".join(need.apparatus),
        show_mark(need.ties),
        tie.outcome if tie else "",
        at_least if score == "E" else "",
        at_least if score == "D" else "",
        show_mark(need.wins),
        show_mark(told.safe),
        show_mark(need.average) if told.several else "",
        show_mark(told.highest),
        told.sentence,
    )
