"""The CSV tables, column by column as `tables.fields` says, and what each row of them is about.

Yes and no are `true` and `false`. A withheld name is empty: the bib stands for the gymnast.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import astuple
from functools import lru_cache, partial
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
from resultsgen.scoring.medals import medal_counts
from resultsgen.scoring.ranking import ListKind, Ranking
from resultsgen.scoring.results import CompetitionResults, Results, made_once
from resultsgen.views.corrections.correction_words import decided
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.standings import listed_sessions
from resultsgen.views.site.addresses import file_names, list_target
from resultsgen.views.site.attachments import Title
from resultsgen.views.site.site_map import ANNOUNCER
from resultsgen.views.words.reasons import why_words
from resultsgen.views.words.wording import Wording, wording

Export = Callable[[Results], Iterator[CsvTable]]
Found = Iterable[Row] | None
"""What the rows of a table are about; None: there is no such table."""


def _lists(results: Results, kind: ListKind) -> Iterator[CsvTable]:
    """The lists of one kind: of gymnasts with every part of every routine, or of teams."""
    words = wording(results.meet.settings)
    for judged in results.competitions:
        for ranking in judged.rankings:
            if ranking.kind == kind:
                yield _list(judged, ranking, words, Around(results, judged, ranking))


@made_once
def _list(judged: CompetitionResults, of: Ranking, words: Wording, around: Around) -> CsvTable:
    titles = {"all-around": to_say("all-around"), "team": to_say("teams")}
    title = titles.get(of.kind) or words.apparatus(of.apparatus)
    name = f"apparatus-{of.apparatus}" if of.apparatus else of.kind
    return _table(judged, name, title, _list_columns(of), of.lines, around)


def _list_columns(ranking: Ranking) -> Fields:
    """The columns of a list: those of the terms of its totals and of its parts among them."""
    found = {**_columns("team" if ranking.of_teams else "list")}
    for number, term in enumerate(ranking.terms):
        kind = "day_{id}" if term.kind == "day" else str(term.kind)
        column, outer = {kind: _columns("term")[kind]}, _at(number, attrgetter("terms"))
        found |= fields_within(outer, column, id=term.competitions[0], title=term.title)
    part = _columns("team-part" if ranking.of_teams else "part")
    made = partial(on_each_apparatus, ranking) if ranking.of_teams else attrgetter("routines")
    for number, code in enumerate(ranking.parts):
        found |= fields_within(_at(number, made), part, part=code)
    return {**found, **_columns("tie")}


def _at(number: int, of: Callable[[Any], Any]) -> Callable[[Any], Any]:
    """One of the several things that a row leads to."""
    return lambda row: of(row)[number]


def _team_marks(_: Results, judged: CompetitionResults) -> Found:
    rows = [
        Row(line=line, member=member, routine=routine, counts=counts)
        for line in (judged.team.lines if judged.team else ())
        for member in line.team.members
        for routine, counts in zip(member.routines, member.counts, strict=True)
        if routine
    ]
    return rows if judged.team else None


def _qualification(results: Results, judged: CompetitionResults) -> Found:
    rows = [
        Row(
            ranking=ranking, result=cut, means=means, line=line, listing=listing, cut=number,
            gymnast=None if ranking.of_teams else line.of,
        )
        for ranking in judged.rankings
        for listing in [Around(results, judged, ranking).listing]
        for number, cut in enumerate(ranking.cuts)
        for means in cut.lines
        for line in [ranking.by_key[means.key]]
    ]  # fmt: skip
    return rows if any(ranking.cuts for ranking in judged.rankings) else None


def _start_list(_: Results, judged: CompetitionResults) -> Found:
    """Of a final a row for each start on each list; sessions were those of the qualification."""
    starts = {start.gymnast.key: start for start in judged.starts}
    everywhere = {key: " ".join(start.apparatus) for key, start in starts.items()}
    if not judged.competition.has_own_marks:
        return None
    if not judged.start_lists:
        return [
            Row(gymnast=who, session=who.session, squad=who.squad, order=who.start_order,
                apparatus=everywhere[who.key])
            for who in (start.gymnast for start in judged.starts)
        ]  # fmt: skip
    return [
        Row(gymnast=starts[key].gymnast, session="", squad="", order=order if listed.by else None,
            apparatus=listed.apparatus or everywhere[key])
        for listed in judged.start_lists
        for order, key in enumerate(listed.keys, start=1)
    ]  # fmt: skip


def _standings(results: Results, judged: CompetitionResults) -> Found:
    words = wording(results.meet.settings)
    rows = [
        Row(listed=listed, session=session.session, rotation=after.rotation, line=line,
            bib="" if listed.kind == "team" else results.gymnasts[line.key].bib,
            name=names[line.key].text)
        for listed, session in listed_sessions(judged)
        for names in [lines_of(judged, listed.kind, words)]
        for after in session.standings
        for group in after.groups
        for line in group
    ]  # fmt: skip
    return rows or None


def _needs(results: Results, judged: CompetitionResults) -> Found:
    return told_needs(results, judged) if judged.in_progress else None


def _incidents(results: Results, judged: CompetitionResults) -> Found:
    rows = [
        Row(
            cost=cost,
            gymnast=results.gymnasts[cost.gymnast],
            apparatus=lists.get("apparatus"),
            all_around=lists.get("all-around"),
            team=lists.get("team"),
        )
        for cost in costs(results)
        for lists in [{change.kind: change for change in cost.lists}]
        if cost.competition == judged.competition.id
    ]
    return rows or None


def _gymnasts(results: Results) -> Iterator[CsvTable]:
    years = results.meet.settings.privacy.birth_year
    columns = {n: one for n, one in _columns("gymnasts").items() if years or n != "birth_year"}
    yield _of_the_meet("gymnasts", to_say("Gymnasts"), results.gymnasts.values(), columns)


def _routines(results: Results) -> Iterator[CsvTable]:
    rows = [
        Row(judged=judged, gymnast=gymnast, routine=routine)
        for judged in results.competitions
        for gymnast, routine in judged.own_routines
    ]
    yield _of_the_meet("routines", to_say("Routines"), rows)


def _medals(results: Results) -> Iterator[CsvTable]:
    if "medals" not in results.meet.settings.handouts:
        return
    rows = [
        Row(by=count.by, place=place, body=body, gold=medals[0], silver=medals[1],
            bronze=medals[2], all=sum(medals))
        for count in medal_counts(results)
        for of_none in [(None, "", count.of_none)]
        for place, body, medals in (*map(astuple, count.lines), of_none)
        if any(medals)
    ]  # fmt: skip
    yield _of_the_meet("medals", to_say("Medals"), rows)


def _corrections(results: Results) -> Iterator[CsvTable]:
    yield _of_the_meet("corrections", to_say("Corrections"), told_corrections(results))


Rows = Callable[[Results, CompetitionResults], Found]


def _of_each(name: str, title: str, rows: Rows, *, alone: bool = False) -> Export:
    """A table of each competition that has one; *alone*: it asks for nothing but that."""

    def export(results: Results) -> Iterator[CsvTable]:
        make, words = _made if alone else _one, wording(results.meet.settings)
        for judged in results.competitions:
            if table := make(judged, name, title, rows, words, Around(results, judged)):
                yield table

    return export


def _one(
    judged: CompetitionResults, name: str, title: str, rows: Rows, _: Wording, around: Around
) -> CsvTable | None:
    found = rows(around.results, judged)
    return None if found is None else _table(judged, name, title, _columns(name), found, around)


_made = made_once(_one)


EXPORTS: dict[str, Export] = {
    "all-around": partial(_lists, kind="all-around"),
    "apparatus": partial(_lists, kind="apparatus"),
    "team": partial(_lists, kind="team"),
    "team-marks": _of_each("team-marks", to_say("marks of the teams"), _team_marks, alone=True),
    "qualification": _of_each("qualification", to_say("qualification"), _qualification, alone=True),
    "start-list": _of_each("start-list", to_say("start list"), _start_list, alone=True),
    "standings": _of_each("standings", to_say("standings by rotation"), _standings),
    "needs": _of_each("needs", to_say("what is needed"), _needs),
    "incidents": _of_each(
        "incidents", to_say("what incidents cost (an explanation, not a result)"), _incidents
    ),
    "gymnasts": _gymnasts,
    "routines": _routines,
    "medals": _medals,
    "corrections": _corrections,
}
"""The kinds of CSV tables there are, in the order in which they are offered."""


def _if_score(score: str) -> Value:
    """The least such score that is enough, where a tie hangs on it."""
    hangs_on, at_least = of_tie("score"), of_tie("at_least")
    return lambda row, by: at_least(row, by) if hangs_on(row, by) == score else None


def _not_ranked(row: Row, _: object) -> str:
    where = (row.gymnast.key, row.routine.apparatus, row.routine.vault)
    why = row.judged.not_ranked.get(where)
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
    "qualification.code": lambda row, _: row.listing.cut_code(row.cut, row.means),
    "qualification.chance": lambda row, _: row.listing.chance(row.cut, row.means.key),
    "qualification.reason": lambda row, _: row.listing.cut_sentence(
        row.cut, row.means, brief=False
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
    "routines.competition": lambda row, _: row.judged.competition.id,
    "routines.not_ranked": _not_ranked,
    "corrections.vault": lambda row, _: row.corrected.vault if row.corrected.apparatus else None,
    "corrections.why": _joined("corrected.reasons", "why", once=True),
    "corrections.decided": lambda row, _: "; ".join(
        decided(reason) for reason in row.corrected.reasons
    ),
}
"""What is no plain field of what a row is about, by table and column."""


@lru_cache(maxsize=1)
def _format() -> dict[str, DataObject]:
    return read_fields("tables.fields", VALUES)


def _columns(table: str) -> Fields:
    return _format()[table].fields


PAGES = {"needs": ANNOUNCER}
"""The page that shows what a table holds, where the two are not called alike."""


def _table(
    judged: CompetitionResults,
    name: str,
    title: str,
    columns: Fields,
    rows: Iterable[Any],
    around: Around,
) -> CsvTable:
    """A table of one competition; no code that a meet declares can choose another path."""
    file, whole = file_names([name])[name], Title(title, judged.competition.title)
    told, page = rows_of(columns, rows, around), PAGES.get(name, name.removeprefix("apparatus-"))
    target = list_target(judged.competition.id, page)
    return CsvTable(f"{judged.competition.id}/{file}.csv", whole, columns, told, target)


def _of_the_meet(
    name: str, title: str, rows: Iterable[Any], columns: Fields | None = None
) -> CsvTable:
    columns = columns or _columns(name)
    return CsvTable(f"{name}.csv", Title(title), columns, rows_of(columns, rows, None))
