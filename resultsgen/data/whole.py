"""`results.json`: the whole results, dumped field by field as `results.fields` says; its schema.

Nothing is left out and nothing is worked out anew. Here stands only what is no plain field of the
results: sentences, what is told of whom, and where a list of things is found.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from types import SimpleNamespace as Row
from typing import Any

from pydantic_core import to_json

from resultsgen.data.format import DataObject, Value, read_fields, schema_of
from resultsgen.language import ENGLISH
from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.costs import costs
from resultsgen.live.lists import LiveList
from resultsgen.live.team_needs import team_needs
from resultsgen.live.worth import safe
from resultsgen.meet.marks import show_mark
from resultsgen.rules.criteria import criteria
from resultsgen.rules.ties import Step
from resultsgen.scoring.ranking import CutResult, Line, Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.corrections.correction_words import decided, published_names
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.listing import Listing
from resultsgen.views.lists.rule_changes import override_sentences
from resultsgen.views.lists.rules import cut_rule_sentence
from resultsgen.views.lists.standings import listed_sessions
from resultsgen.views.live.costs import cost_sentences
from resultsgen.views.live.needs import NeedWords
from resultsgen.views.words.reasons import (
    criterion_words,
    tie_sentence,
    why_words,
)
from resultsgen.views.words.wording import Wording, wording

SCHEMA = "results.schema.json"
FORMAT = "resultsgen results"
VERSION = "1.11"
"""Of the format. The second number grows when something is added, the first when it must be
read otherwise."""


@dataclass(frozen=True)
class Around:
    """What stands around a part of the results, where more than the part must be known of it."""

    results: Results = field(compare=False)
    judged: CompetitionResults
    ranking: Ranking | None = None
    cut: CutResult | None = None

    @cached_property
    def words(self) -> Wording:
        """English, with the meet's own names of apparatus."""
        return wording(self.results.meet.settings)

    @cached_property
    def listing(self) -> Listing:
        assert self.ranking
        return Listing(self.ranking, self.judged, self.words)

    @cached_property
    def number(self) -> int:
        """Which cut of the list it is."""
        assert self.ranking
        return next(n for n, cut in enumerate(self.ranking.cuts) if cut is self.cut)

    @cached_property
    def live(self) -> LiveCompetition:
        return live(self.results)[self.judged.competition.id]


def told_needs(results: Results, judged: CompetitionResults) -> Iterator[Row]:
    """Everything that is needed in a competition with marks to come, in order of start."""
    now, words = live(results)[judged.competition.id], wording(results.meet.settings)
    cells = lines_of(judged, "apparatus", words)
    for gymnast in now.needs if judged.in_progress else ():
        for need in gymnast.needs:
            said = NeedWords(need, now, lambda key: cells[key].text, words)
            yield Row(gymnast=gymnast, need=need, words=said)


def told_team_needs(results: Results, judged: CompetitionResults) -> Iterator[Row]:
    """What every team with marks to come needs."""
    now = live(results)[judged.competition.id]
    for team in team_needs(now) if judged.in_progress else ():
        needs = [Row(need=need, safe=safe(need, now.highest)) for need in team.needs]
        yield Row(key=team.key, needs=needs, to_go=team.to_go)


def of_tie(what: str) -> Value:
    """Something of the tie that a mark gives; None where none does."""
    return lambda row, _: getattr(row.need.tie, what, None)


def told_corrections(results: Results) -> list[Row]:
    """Everything that was published and is otherwise now, the first correction first."""
    names = published_names(results, wording(results.meet.settings))
    return [
        Row(publication=issue.publication.number, corrected=corrected, old=old, new=new)
        for issue in results.history.issues
        for corrected in issue.corrected
        for old, new in [names.old_and_new(corrected)]
    ]


def on_each_apparatus(ranking: Ranking, line: Line) -> list[Row]:
    """What a team made on each apparatus."""
    team = line.team
    each = zip(ranking.parts, team.apparatus, team.apparatus_places, team.short, strict=True)
    return [
        Row(apparatus=code, total=total, place=place, short=short)
        for code, total, place, short in each
    ]


def _tie_rules(judged: CompetitionResults, _: Around) -> Iterator[Row]:
    for kind, number in judged.tie_parts.items():
        steps = criteria(judged.rule_set.tie_rule(kind, judged.competition.phase).criteria, number)
        yield Row(of=kind, criteria=[criterion_words(step) for step in steps])


def _overrides(judged: CompetitionResults, _: Around) -> list[Row]:
    each = zip(judged.rule_overrides, override_sentences(judged, Wording()), strict=True)
    return [Row(entry=".".join(override.path), words=words) for override, words in each]


def _compared(step: Step, _: Around) -> Iterator[Row]:
    """A year of birth that settled a tie is a person's; that it did is told, the year is not."""
    for key, value in zip(step.keys, step.values, strict=True):
        told = value is not None and step.criterion.is_mark and value >= 0
        yield Row(key=key, value=show_mark(value) if told else None)


def _total_is(ranking: Ranking, around: Around) -> str:
    """The vault list where two are needed takes their average; every other list adds up."""
    rules = around.judged.rule_set
    if ranking.kind == "all-around":
        return "sum" if rules.totals.incomplete == "no place" else "sum of what there is"
    if len(ranking.parts) <= 1:
        return "sum"
    return "average, cut" if rules.vault.averaging == "cut" else "average, rounded"


def _open(judged: CompetitionResults, around: Around) -> list[LiveList]:
    """Every list of which something can be said, while marks are to come.

    Before the first mark that is where a cut is nothing for somebody, who belongs to no body that
    has places, or cannot come to the minimum.
    """
    lists = () if judged.complete else around.live.lists.values()
    return [
        listed
        for listed in lists
        if listed.prospects
        and (judged.in_progress or any({*cut.values()} - {"open"} for cut in listed.cuts.values()))
    ]


def _highest(judged: CompetitionResults, around: Around) -> int | None:
    bound = around.live.bound
    return bound.mark if bound and (judged.in_progress or _open(judged, around)) else None


def _chances(verdict: str) -> Value:
    return lambda row, _: [key for key, chance in row.chances.items() if chance == verdict]


def _apparatus(results: Results, _: object) -> list[Row]:
    codes = dict.fromkeys(code for judged in results.competitions for code in judged.apparatus)
    return [Row(code=code, name=results.meet.settings.apparatus_name(code)) for code in codes]


VALUES: dict[str, Value] = {
    "Meet.first_day": lambda meet, _: next(iter(meet.dates), None),
    "Meet.last_day": lambda meet, _: next(reversed(meet.dates), None),
    "Gymnast.family_name": lambda gymnast, _: gymnast.family if gymnast.published else "",
    "Gymnast.given_name": lambda gymnast, _: gymnast.given if gymnast.published else "",
    "Gymnast.name_withheld": lambda gymnast, _: not gymnast.published,
    "Gymnast.birth_year": lambda gymnast, _: gymnast.birth_year if gymnast.published else None,
    "Rules.ties": _tie_rules,
    "Rules.overrides": _overrides,
    "Criterion.words": lambda step, _: criterion_words(step.criterion),
    "Criterion.values": _compared,
    "Tie.reason": lambda tie, by: tie_sentence(tie, by.listing.names.__getitem__, ENGLISH),
    "CutLine.code": lambda line, by: by.listing.cut_code(by.number, line),
    "CutLine.chance": lambda line, by: by.listing.chance(by.number, line.key),
    "CutLine.unfilled": lambda line, _: line.unfilled or "",
    "CutLine.reason": lambda line, by: by.listing.cut_sentence(by.number, line, brief=False),
    "Cut.rule": lambda cut, _: cut_rule_sentence(cut, ENGLISH),
    "Ranking.total_is": _total_is,
    "TeamLine.apparatus": lambda line, by: on_each_apparatus(by.ranking, line),
    "TeamRanking.format": lambda _, by: by.judged.competition.team.format,
    "TeamRanking.by": lambda _, by: by.judged.competition.team.by,
    "TeamRanking.apparatus_ties": lambda ranking, _: [
        Row(apparatus=code, ties=ties) for code, ties in ranking.apparatus_ties.items() if ties
    ],
    "NotRanked.list": lambda _, by: by.judged.home.id,
    "NotRanked.reason": lambda beside, _: why_words(beside.why, ENGLISH),
    "NotRanked.routines": lambda beside, _: filter(None, beside.line.routines),
    "AfterRotation.lines": lambda after, _: [line for group in after.groups for line in group],
    "Need.tie": lambda row, by: of_tie("outcome")(row, by) or "",
    "Need.if_score": lambda row, by: of_tie("score")(row, by) or "",
    "TeamNeed.tie": lambda row, by: of_tie("outcome")(row, by) or "",
    "Need.at_least": of_tie("at_least"),
    "Need.even": of_tie("even"),
    "Open.cuts": lambda listed, _: [
        Row(cut=cut, chances=chances) for cut, chances in listed.cuts.items()
    ],
    "CutChances.sure": _chances("in"),
    "CutChances.out": _chances("out"),
    "Explanation.words": lambda cost, by: list(cost_sentences(cost, by.words.language)),
    "Competition.rules": lambda judged, _: judged,
    "Competition.by_apparatus": lambda judged, _: judged.by_apparatus.values(),
    "Competition.standings": lambda judged, _: [
        Row(list=listed.id, session=session.session, rotations=session.standings)
        for listed, session in listed_sessions(judged)
    ],
    "Competition.highest": _highest,
    "Competition.needs": lambda judged, by: told_needs(by.results, judged),
    "Competition.team_needs": lambda judged, by: told_team_needs(by.results, judged),
    "Competition.open": _open,
    "Competition.explanations": lambda judged, by: [
        cost for cost in costs(by.results) if cost.competition == judged.competition.id
    ],
    "Correction.why": lambda row, _: [reason.why for reason in row.corrected.reasons],
    "Correction.decided": lambda row, _: [decided(reason) for reason in row.corrected.reasons],
    "WholeResults.$schema": lambda *_: SCHEMA,
    "WholeResults.format": lambda *_: FORMAT,
    "WholeResults.version": lambda *_: VERSION,
    "WholeResults.apparatus": _apparatus,
    "WholeResults.gymnasts": lambda results, _: results.gymnasts.values(),
    "WholeResults.corrections": lambda results, _: told_corrections(results),
}
"""What is no plain field of what is told, by thing and field."""

AROUND: dict[str, Value] = {
    "Competition": lambda judged, results: Around(results, judged),
    "Ranking": lambda ranking, by: replace(by, ranking=ranking),
    "TeamRanking": lambda ranking, by: replace(by, ranking=ranking),
    "Cut": lambda cut, by: Around(by.results, by.judged, by.ranking, cut),
}


@lru_cache(maxsize=1)
def _format() -> dict[str, DataObject]:
    return read_fields("results.fields", VALUES, AROUND)


def whole(results: Results) -> dict[str, Any]:
    """Everything, as JSON has it."""
    return _format()["WholeResults"].told(results, results)


def results_text(results: Results) -> str:
    return to_json(whole(results), indent=1).decode() + "\n"


def schema() -> dict[str, Any]:
    return schema_of(_format(), "WholeResults", f"{FORMAT}, format {VERSION}")


def schema_text() -> str:
    """The schema as it is laid beside the results."""
    return to_json(schema(), indent=1).decode() + "\n"
