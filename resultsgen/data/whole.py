"""The whole results in the format of `results.json`: nothing left out, nothing worked out anew."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Literal

from resultsgen.data import format as told
from resultsgen.data.whole_lists import not_ranked_told, ranking_told, team_ranking_told
from resultsgen.data.whole_running import running_told
from resultsgen.live.costs import costs
from resultsgen.meet.folder import Incident
from resultsgen.meet.marks import show_mark
from resultsgen.meet.settings import MeetSettings
from resultsgen.rules.criteria import criteria
from resultsgen.scoring import results as judged
from resultsgen.views.corrections.correction_words import decided
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.rules import override_sentences
from resultsgen.views.live.costs import cost_sentences
from resultsgen.views.words.reasons import criterion_words
from resultsgen.views.words.wording import Wording, wording


def results_text(results: judged.Results) -> str:
    """The text of `results.json`."""
    return whole(results).model_dump_json(indent=1, by_alias=True) + "\n"


def whole(results: judged.Results) -> told.WholeResults:
    """Everything."""
    settings = results.meet.settings
    codes = dict.fromkeys(code for one in results.competitions for code in one.apparatus)
    return told.WholeResults(
        format="resultsgen results",
        version=told.VERSION,
        meet=_meet(settings),
        apparatus=tuple(
            told.Apparatus(code=code, name=settings.apparatus_name(code)) for code in codes
        ),
        gymnasts=tuple(_gymnast(one) for one in results.gymnasts.values()),
        competitions=tuple(_competition(one, results) for one in results.competitions),
        publication=results.history.number,
        corrections=tuple(_corrections(results)),
    )


def _day(day: dt.date | None) -> str | None:
    return day.isoformat() if day else None


def _meet(settings: MeetSettings) -> told.Meet:
    days = settings.dates
    return told.Meet(
        title=settings.title,
        place=settings.place,
        venue=settings.venue,
        first_day=_day(days[0] if days else None),
        last_day=_day(days[-1] if days else None),
        organiser=settings.organiser,
        state=settings.status.state,
        signed=tuple(
            told.Signature(name=one.name, role=one.role, time=one.time)
            for one in settings.status.signed
        ),
        equals=settings.equals,
        published=settings.published.isoformat() if settings.published else None,
    )


def _gymnast(one: judged.Gymnast) -> told.Gymnast:
    return told.Gymnast(
        entry=one.key,
        bib=one.bib,
        family_name=one.family if one.published else "",
        given_name=one.given if one.published else "",
        name_withheld=not one.published,
        club=one.club,
        federation=one.federation,
        team=one.team,
        discipline=one.discipline,
        division=one.division,
        session=one.session,
        squad=one.squad,
        start_order=one.start_order,
        birth_year=one.birth_year if one.published else None,
        guest=one.guest,
    )


def _competition(one: judged.CompetitionResults, results: judged.Results) -> told.Competition:
    settings, team = one.competition, one.competition.team
    words = wording(results.meet.settings)

    def name_of(key: int) -> str:
        return shown_name(results.gymnasts[key], words)

    return told.Competition(
        id=settings.id,
        title=settings.title,
        discipline=settings.discipline,
        phase=settings.phase,
        day=_day(settings.day),
        time=settings.time,
        apparatus=one.apparatus,
        complete=one.complete,
        marks_of=settings.marks_of,
        days=settings.days,
        carried_from=settings.carried_from,
        rules=_rules(one),
        starts=tuple(
            told.Start(entry=start.gymnast.key, apparatus=start.apparatus) for start in one.starts
        ),
        start_lists=tuple(
            told.StartList(apparatus=listed.apparatus, entries=listed.keys, by=listed.by)
            for listed in one.start_lists
        ),
        all_around=ranking_told(one.all_around, one, name_of) if one.all_around else None,
        by_apparatus=tuple(
            ranking_told(ranking, one, name_of) for ranking in one.by_apparatus.values()
        ),
        team=team_ranking_told(one.team, team.format, team.by) if one.team and team else None,
        not_ranked=not_ranked_told(one),
        **running_told(results, one),
        explanations=tuple(_explanations(results, one)),
    )


def _explanations(
    results: judged.Results, one: judged.CompetitionResults
) -> Iterator[told.Explanation]:
    """What incidents cost in one competition."""
    language = wording(results.meet.settings).language
    for cost in costs(results):
        if cost.competition == one.competition.id:
            yield told.Explanation(
                entry=cost.gymnast,
                apparatus=cost.apparatus,
                vault=2 if cost.vault == 2 else 1,
                incidents=tuple(_incident(row) for row in cost.incidents),
                mark=show_mark(cost.mark),
                mark_without=show_mark(cost.mark_then),
                words=tuple(cost_sentences(cost, language)),
            )


def _incident(row: Incident) -> told.Incident:
    return told.Incident(
        what=row.what,
        deduction=show_mark(row.deduction),
        taken_from=row.taken_from,
        note=row.note,
        source=row.source,
    )


def _corrections(results: judged.Results) -> Iterator[told.Correction]:
    for issue in results.history.issues:
        for one in issue.corrected:
            yield told.Correction(
                publication=issue.publication.number,
                competition=one.competition,
                bib=one.bib,
                apparatus=one.apparatus,
                vault=2 if one.vault == 2 else 1,
                old=one.old,
                new=one.new,
                what=one.what,
                gone=one.gone,
                why=tuple(row.why for row in one.reasons),
                decided=tuple(decided(row) for row in one.reasons),
            )


def _rules(one: judged.CompetitionResults) -> told.Rules:
    rules, phase, team = one.rule_set, one.competition.phase, one.competition.team
    kinds: tuple[tuple[_TieKind, int], ...] = (
        ("all-around", len(one.apparatus)),
        ("apparatus", 1),
        ("vault-average", 2),
        ("team", len(one.apparatus)),
        ("team-apparatus", team.count * max(len(one.competition.days), 1) if team else 1),
    )
    return told.Rules(
        name=one.competition.rules,
        title=rules.title,
        ties=tuple(
            told.TieRule(
                of=kind,
                criteria=tuple(
                    criterion_words(step)
                    for step in criteria(rules.tie_rule(kind, phase).criteria, parts)
                ),
            )
            for kind, parts in kinds
        ),
        carried=rules.totals.carried,
        carried_average=rules.totals.averaging,
        incomplete=rules.totals.incomplete,
        vault_average=rules.vault.averaging,
        guests=rules.guests.stand,
        tie_on_last_place=rules.cuts.tie_on_last_place,
        departures=tuple(
            told.Departure(entry=".".join(override.path), words=words)
            for override, words in zip(
                one.rule_overrides, override_sentences(one, Wording()), strict=True
            )
        ),
    )


_TieKind = Literal["all-around", "apparatus", "vault-average", "team", "team-apparatus"]
