"""The CSV tables, column by column as `tables.fields` says, and what each row of them is about.

Yes and no are `true` and `false`. A withheld name is empty: the bib stands for the gymnast.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from operator import attrgetter
from types import SimpleNamespace as Row
from typing import Any

from resultsgen.data.format import DataObject, Fields, Value, fields_within, read_fields, rows_of
from resultsgen.data.packing import CsvTable
from resultsgen.data.whole import (
    Around,
    of_tie,
    on_each_apparatus,
    told_corrections,
    told_needs,
)
from resultsgen.language import ENGLISH, to_say
from resultsgen.live.costs import costs
from resultsgen.scoring.results import CompetitionResults, Ranking, Results
from resultsgen.views.corrections.correction_words import decided
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.standings import listed_sessions
from resultsgen.views.press.attachments import Title
from resultsgen.views.site.addresses import file_names
from resultsgen.views.words.reasons import cut_mark, cut_sentence, why_words
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
            yield _list(results, one, one.team, "team", to_say("teams"))


def _list(
    results: Results, one: CompetitionResults, ranking: Ranking, name: str, title: str
) -> CsvTable:
    """A list of gymnasts with every part of every routine; or of teams."""
    part = _columns("team-part" if ranking.of_teams else "part")
    each: list[Fields] = [_columns("team" if ranking.of_teams else "list")]
    for number, term in enumerate(ranking.terms):
        kind = "day_{id}" if term.kind == "day" else str(term.kind)
        column, outer = {kind: _columns("term")[kind]}, _at(number, attrgetter("terms"))
        each.append(fields_within(outer, column, id=term.competitions[0], title=term.title))
    made = (lambda line: on_each_apparatus(line, ranking)) if ranking.of_teams else _routines
    each += [
        fields_within(_at(number, made), part, part=code)
        for number, code in enumerate(ranking.parts)
    ]
    columns = {name: field for fields in (*each, _columns("tie")) for name, field in fields.items()}
    return _table(one, name, title, columns, ranking.lines, Around(results, one, ranking))


_routines = attrgetter("routines")


def _at(number: int, of: Callable[[Any], Any]) -> Callable[[Any], Any]:
    """One of the several things that a row leads to."""

    def found(row: Any) -> Any:
        return of(row)[number]

    return found


def team_marks(results: Results) -> Iterator[CsvTable]:
    """Every mark of every team, and whether it counts."""
    for one in results.competitions:
        rows = (
            Row(line=line, member=member, routine=routine, counts=counts)
            for line in (one.team.lines if one.team else ())
            for member in line.team.members
            for routine, counts in zip(member.routines, member.counts, strict=True)
            if routine
        )
        if one.team:
            title = to_say("marks of the teams")
            yield _table(one, "team-marks", title, _columns("team-marks"), rows)


def qualifications(results: Results) -> Iterator[CsvTable]:
    """Each cut of each competition: who qualifies, who is reserve, who is not eligible."""
    for one in results.competitions:
        rows = (
            Row(
                ranking=ranking, result=cut, means=means, line=line, names=around.listing.names,
                gymnast=None if ranking.of_teams else line.of,
            )
            for ranking in one.rankings
            for around in [Around(results, one, ranking)]
            for cut in ranking.cuts
            for means in cut.lines
            for line in [ranking.by_key[means.key]]
        )  # fmt: skip
        if any(ranking.cuts for ranking in one.rankings):
            columns = _columns("qualification")
            yield _table(one, "qualification", to_say("qualification"), columns, rows)


def start_lists(results: Results) -> Iterator[CsvTable]:
    """Who starts in each competition."""
    for one in results.competitions:
        if one.competition.has_own_marks:
            rows = _final_starts(one) if one.start_lists else _starts(one)
            yield _table(one, "start-list", to_say("start list"), _columns("start-list"), rows)


def _starts(one: CompetitionResults) -> Iterator[Row]:
    for start in one.starts:
        who, apparatus = start.gymnast, " ".join(start.apparatus)
        yield Row(gymnast=who, session=who.session, squad=who.squad, order=who.start_order,
                  apparatus=apparatus)  # fmt: skip


def _final_starts(one: CompetitionResults) -> Iterator[Row]:
    """A row for each start on each list; session and squad were those of the qualification."""
    starts = {start.gymnast.key: start for start in one.starts}
    for listed in one.start_lists:
        for order, key in enumerate(listed.keys, start=1):
            apparatus = listed.apparatus or " ".join(starts[key].apparatus)
            yield Row(gymnast=starts[key].gymnast, session="", squad="",
                      order=order if listed.by else None, apparatus=apparatus)  # fmt: skip


def standings(results: Results) -> Iterator[CsvTable]:
    """The standings of each competition of which rotations are known."""
    words = wording(results.meet.settings)
    for one in results.competitions:
        rows = [
            Row(listed=listed, session=session.session, rotation=after.rotation, line=line,
                bib="" if listed.kind == "team" else results.gymnasts[line.key].bib,
                name=names[line.key].text)
            for listed, session in listed_sessions(results, one)
            for names in [lines_of(one, listed.kind, words)]
            for after in session.standings
            for group in after.groups
            for line in group
        ]  # fmt: skip
        if rows:
            title = to_say("standings by rotation")
            yield _table(one, "standings", title, _columns("standings"), rows)


def needs(results: Results) -> Iterator[CsvTable]:
    """What is needed in each competition with marks to come."""
    for one in results.competitions:
        if one.in_progress:
            rows, around = told_needs(results, one), Around(results, one)
            yield _table(one, "needs", to_say("what is needed"), _columns("needs"), rows, around)


def incidents(results: Results) -> Iterator[CsvTable]:
    """The incidents of each competition that has any: explanations, never results."""
    columns = {**_columns("incidents")}
    for name in ("apparatus", "all-around", "team"):
        outer = _change(name)
        columns |= fields_within(outer, _columns("without"), list=name.replace("-", "_"))
    for one in results.competitions:
        rows = [
            Row(cost=cost, gymnast=results.gymnasts[cost.gymnast])
            for cost in costs(results)
            if cost.competition == one.competition.id
        ]
        if rows:
            title = to_say("what incidents cost (an explanation, not a result)")
            yield _table(one, "incidents", title, columns, rows)


def _change(name: str) -> Callable[[Row], Any]:
    """What one list would say without the incidents."""
    return lambda row: next((one for one in row.cost.lists if one.kind == name), None)


def gymnasts(results: Results) -> Iterator[CsvTable]:
    """Every row of the roster, by name."""
    years = results.meet.settings.privacy.birth_year
    columns = {n: one for n, one in _columns("gymnasts").items() if years or n != "birth_year"}
    yield _of_the_meet("gymnasts", to_say("Gymnasts"), columns, results.gymnasts.values())


def all_routines(results: Results) -> Iterator[CsvTable]:
    """Every routine of the meet, one row each."""
    rows = (
        Row(one=one, gymnast=gymnast, routine=routine)
        for one in results.competitions
        for gymnast, routine in one.own_routines
    )
    yield _of_the_meet("routines", to_say("Routines"), _columns("routines"), rows)


def corrections(results: Results) -> Iterator[CsvTable]:
    """Everything that was published and is otherwise now, the first correction first."""
    rows = told_corrections(results)
    yield _of_the_meet("corrections", to_say("Corrections"), _columns("corrections"), rows)


EXPORTS: tuple[Callable[[Results], Iterator[CsvTable]], ...] = (
    all_around_lists,
    apparatus_lists,
    team_lists,
    team_marks,
    qualifications,
    start_lists,
    standings,
    needs,
    incidents,
    gymnasts,
    all_routines,
    corrections,
)
"""The kinds of CSV tables there are, in the order in which they are offered."""


def _if_score(score: str) -> Value:
    """The least such score that is enough, where a tie hangs on it."""
    hangs_on, at_least = of_tie("score"), of_tie("at_least")
    return lambda row, by: at_least(row, by) if hangs_on(row, by) == score else None


def _not_ranked(row: Row, _: object) -> str:
    where = (row.gymnast.key, row.routine.apparatus, row.routine.vault)
    why = row.one.not_ranked.get(where)
    return why_words(why, ENGLISH) if why else ""


def _joined(of: str, what: str, *, once: bool = False) -> Value:
    """Texts of several things that a row leads to, with semicolons."""
    several, text = attrgetter(of), attrgetter(what)

    def joined(row: Any, _: object) -> str:
        texts = [text(thing) for thing in several(row) if text(thing)]
        return "; ".join(dict.fromkeys(texts) if once else texts)

    return joined


VALUES: dict[str, Value] = {
    "person.family_name": lambda who, _: who.family if who.published else "",
    "person.given_name": lambda who, _: who.given if who.published else "",
    **dict.fromkeys(("term.carried", "term.final", "term.day_{id}"), lambda total, _: total),
    "tie.tie": lambda line, around: around.listing.tie_sentences.get(line.key, ""),
    "qualification.team": lambda row, _: row.line.name if row.ranking.of_teams else "",
    "qualification.code": lambda row, _: cut_mark(row.means.verdict),
    "qualification.reason": lambda row, _: cut_sentence(
        row.result, row.means, row.names.__getitem__, ENGLISH
    ),
    "needs.bib": lambda row, around: around.results.gymnasts[row.gymnast.key].bib,
    "needs.name": lambda row, _: row.words.names(row.gymnast.key),
    "needs.tie": of_tie("outcome"),
    "needs.if_e": _if_score("E"),
    "needs.if_d": _if_score("D"),
    "needs.average": lambda row, _: row.need.average if row.words.several else None,
    "incidents.incidents": _joined("cost.incidents", "what"),
    "incidents.deduction": lambda row, _: sum(each.deduction for each in row.cost.incidents),
    "incidents.note": _joined("cost.incidents", "note"),
    "incidents.source": _joined("cost.incidents", "source", once=True),
    "gymnasts.name_withheld": lambda who, _: not who.published,
    "routines.competition": lambda row, _: row.one.competition.id,
    "routines.not_ranked": _not_ranked,
    "corrections.vault": lambda row, _: row.one.vault if row.one.apparatus else None,
    "corrections.why": _joined("one.reasons", "why", once=True),
    "corrections.decided": lambda row, _: "; ".join(decided(reason) for reason in row.one.reasons),
}
"""What is no plain field of what a row is about, by table and column."""


@lru_cache(maxsize=1)
def _format() -> dict[str, DataObject]:
    return read_fields("tables.fields", VALUES)


def _columns(table: str) -> Fields:
    return _format()[table].fields


def _table(
    one: CompetitionResults,
    name: str,
    title: str,
    columns: Fields,
    rows: Iterable[Any],
    around: Around | None = None,
) -> CsvTable:
    """A table of one competition; no code that a meet declares can choose another path."""
    file, whole = file_names([name])[name], Title(title, one.competition.title)
    told = rows_of(columns, rows, around)
    return CsvTable(f"{one.competition.id}/{file}.csv", whole, columns, told)


def _of_the_meet(name: str, title: str, columns: Fields, rows: Iterable[Any]) -> CsvTable:
    return CsvTable(f"{name}.csv", Title(title), columns, rows_of(columns, rows, None))
