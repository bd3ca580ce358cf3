"""The lists in the format of `results.json`: lines, ties, cuts and teams."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from resultsgen.data import format as told
from resultsgen.language import ENGLISH
from resultsgen.meet.marks import show_mark
from resultsgen.rules.criteria import Criterion
from resultsgen.rules.ties import Tie
from resultsgen.scoring import results as judged
from resultsgen.views.words.reasons import (
    criterion_words,
    cut_mark,
    cut_rule_sentence,
    cut_sentence,
    tie_sentence,
    why_words,
)

NameOf = Callable[[int], str]


def decimal(thousandths: int | None) -> str | None:
    """A mark as a decimal; None where there is none."""
    return None if thousandths is None else show_mark(thousandths)


def ranking_told(
    ranking: judged.Ranking, one: judged.CompetitionResults, name_of: NameOf
) -> told.Ranking:
    return told.Ranking(
        kind=ranking.kind,
        apparatus=ranking.apparatus,
        parts=ranking.parts,
        total_is=_total_is(ranking, one),
        terms=_terms(ranking.terms),
        to_come=ranking.to_come,
        lines=tuple(_line(line) for line in ranking.lines),
        ties=tuple(_tie(tie, name_of) for tie in ranking.ties),
        cuts=tuple(_cut(cut, name_of) for cut in ranking.cuts),
    )


def not_ranked_told(one: judged.CompetitionResults) -> tuple[told.NotRanked, ...]:
    home = one.home
    return tuple(
        told.NotRanked(
            entry=each.line.gymnast.key,
            list=home.id if home else "",
            why=each.why,
            reason=why_words(each.why, ENGLISH),
            routines=tuple(made for made in map(_routine, each.line.routines) if made),
        )
        for each in one.beside
    )


def _total_is(
    ranking: judged.Ranking, one: judged.CompetitionResults
) -> Literal["sum", "sum of what there is", "average, cut", "average, rounded"]:
    """The vault list where two are needed takes their average; every other list adds up."""
    if ranking.kind == "all-around" and one.rule_set.totals.incomplete != "no place":
        return "sum of what there is"
    if ranking.kind == "all-around" or len(ranking.parts) <= 1:
        return "sum"
    return "average, cut" if one.rule_set.vault.averaging == "cut" else "average, rounded"


def _terms(terms: tuple[judged.Term, ...]) -> tuple[told.Term, ...]:
    return tuple(told.Term(kind=one.kind, competitions=one.competitions) for one in terms)


def _line(line: judged.Line) -> told.Line:
    return told.Line(
        entry=line.gymnast.key,
        place=line.place,
        total=decimal(line.total),
        so_far=decimal(line.so_far),
        done=line.done,
        needed=line.needed,
        terms=tuple(decimal(term) for term in line.terms),
        below=line.below,
        status=line.status,
        routines=tuple(_routine(routine) for routine in line.routines),
    )


def _routine(routine: judged.Routine | None) -> told.Routine | None:
    if routine is None:
        return None
    return told.Routine(
        apparatus=routine.apparatus,
        vault=1 if routine.vault == 1 else 2,
        mark=decimal(routine.mark),
        d=decimal(routine.d),
        e=decimal(routine.e),
        penalty=decimal(routine.penalty),
        bonus=decimal(routine.bonus),
        status=routine.status,
        rotation=routine.rotation,
        place=routine.place,
        parts_give=decimal(routine.parts_give),
    )


def _tie(tie: Tie, name_of: NameOf) -> told.Tie:
    return told.Tie(
        total=show_mark(tie.total),
        keys=tie.keys,
        places=tie.places,
        shared=tie.shared,
        criteria=tuple(
            told.Criterion(
                name=step.criterion.name,
                words=criterion_words(step.criterion),
                values=tuple(
                    told.Compared(key=key, value=_compared(step.criterion, value))
                    for key, value in zip(step.keys, step.values, strict=True)
                ),
            )
            for step in tie.steps
        ),
        reason=tie_sentence(tie, name_of, ENGLISH),
    )


def _compared(criterion: Criterion, value: int | None) -> str | None:
    """A year of birth that settled a tie is a person's; that it did is told, the year is not."""
    if value is None or not criterion.is_mark or value < 0:
        return None
    return show_mark(value)


def _cut(result: judged.CutResult, name_of: NameOf) -> told.Cut:
    cut = result.cut
    return told.Cut(
        name=cut.name,
        to=cut.to,
        places=result.quota.places,
        percent=cut.percent,
        of_each=result.quota.of_each,
        reserves=result.quota.reserves,
        cap=result.quota.cap,
        cap_counts=cut.cap_counts,
        per=cut.per,
        usual=result.usual,
        minimum=decimal(cut.minimum),
        rule=cut_rule_sentence(result, ENGLISH),
        decided=result.final,
        lines=tuple(_cut_line(result, line, name_of) for line in result.lines),
    )


def _cut_line(result: judged.CutResult, line: judged.CutLine, name_of: NameOf) -> told.CutLine:
    verdict = line.verdict
    return told.CutLine(
        key=line.key,
        outcome=verdict.outcome,
        code=cut_mark(verdict),
        number=verdict.number,
        ahead=verdict.ahead,
        by_order=verdict.by_order,
        by_jury=verdict.by_jury,
        level=verdict.level,
        by_tie=verdict.by_tie,
        withdrawn=line.withdrawn,
        called_up=line.called_up,
        in_place_of=line.in_place_of,
        held_back=line.held_back,
        unfilled=line.unfilled or "",
        reason=cut_sentence(result, line, name_of, ENGLISH),
    )


def team_ranking_told(ranking: judged.Ranking, format: str, by: str) -> told.TeamRanking:
    names = {line.key: line.id for line in ranking.lines}
    return told.TeamRanking(
        format=format,
        by=by,
        to_come=ranking.to_come,
        lines=tuple(_team_line(line, ranking.parts) for line in ranking.lines),
        ties=tuple(_tie(tie, names.__getitem__) for tie in ranking.ties),
        cuts=tuple(_cut(cut, names.__getitem__) for cut in ranking.cuts),
        terms=_terms(ranking.terms),
        apparatus_ties=tuple(
            told.ApparatusTies(
                apparatus=code, ties=tuple(_tie(tie, names.__getitem__) for tie in ties)
            )
            for code, ties in ranking.apparatus_ties.items()
            if ties
        ),
    )


def _team_line(line: judged.Line, parts: tuple[str, ...]) -> told.TeamLine:
    team = line.team
    each = zip(parts, team.apparatus, team.apparatus_places, team.short, strict=True)
    return told.TeamLine(
        key=line.key,
        name=team.name,
        place=line.place,
        total=decimal(line.total),
        penalty=show_mark(team.penalty),
        penalty_reason=team.penalty_reason,
        status=line.status,
        terms=tuple(decimal(term) for term in line.terms),
        apparatus=tuple(
            told.TeamApparatus(apparatus=code, total=decimal(total), place=place, short=short)
            for code, total, place, short in each
        ),
        members=tuple(
            told.TeamMember(
                entry=member.gymnast.key,
                routines=tuple(_routine(routine) for routine in member.routines),
                counts=member.counts,
                day=member.day,
            )
            for member in team.members
        ),
    )
