"""The running meet in the format of `results.json`: standings by rotation, and needs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from resultsgen.data import format as told
from resultsgen.data.whole_lists import decimal
from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.decided import Chance, Prospect
from resultsgen.live.standings import Standing
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.standings import listed_sessions
from resultsgen.views.live.need_words import NeedWords
from resultsgen.views.words.wording import wording


def running_told(results: Results, one: CompetitionResults) -> dict[str, Any]:
    """The fields of a competition that change while it runs."""
    under_way = one.in_progress
    now = live(results)[one.competition.id]
    return {
        "standings": tuple(_standings(results, one)),
        "highest": decimal(now.bound.mark) if under_way and now.bound else None,
        "needs": tuple(_needs(results, one, now)) if under_way else (),
        "open": tuple(_open(now)) if under_way else (),
    }


def _standings(results: Results, one: CompetitionResults) -> Iterator[told.SessionStandings]:
    for listed, session in listed_sessions(results, one):
        rotations = tuple(
            told.AfterRotation(
                rotation=after.rotation,
                to_come=after.to_come,
                lines=tuple(_standing(line) for group in after.groups for line in group),
            )
            for after in session.standings
        )
        yield told.SessionStandings(
            list=listed.id,
            session=session.session,
            rotations=rotations,
        )


def _standing(line: Standing) -> told.Standing:
    return told.Standing(
        key=line.key,
        done=line.done,
        place=line.place,
        total=show_mark(line.total),
        behind_first=show_mark(line.behind_first),
        behind_next=decimal(line.behind_next),
        moved=line.moved,
    )


def _needs(results: Results, one: CompetitionResults, now: LiveCompetition) -> Iterator[told.Need]:
    words = wording(results.meet.settings)
    cells = lines_of(one, "apparatus", words)
    highest = now.bound.mark if now.bound else None
    for gymnast in now.needs:
        for need in gymnast.needs:
            yield _need(NeedWords(need, lambda key: cells[key].text, words, highest))


def _need(said: NeedWords) -> told.Need:
    need = said.need
    return told.Need(
        entry=need.key,
        list=need.list,
        aim=need.aim,
        cut=need.cut,
        apparatus=need.apparatus,
        ties=decimal(need.ties),
        tie=need.tie.outcome if need.tie else "",
        if_score=need.tie.score if need.tie else "",
        at_least=decimal(need.tie.at_least if need.tie else None),
        even=decimal(need.tie.even if need.tie else None),
        wins=show_mark(need.wins),
        safe=decimal(said.safe),
        words=said.sentence,
    )


def _open(now: LiveCompetition) -> Iterator[told.Open]:
    """Every list of which something can be said."""
    for listed in now.lists.values():
        if listed.prospects:
            yield told.Open(
                list=listed.id,
                prospects=tuple(_prospect(one) for one in listed.prospects),
                cuts=tuple(_chances(cut, found) for cut, found in listed.cuts.items()),
            )


def _prospect(one: Prospect) -> told.Prospect:
    return told.Prospect(key=one.key, complete=one.complete, best=one.best, worst=one.worst)


def _chances(cut: str, found: dict[int, Chance]) -> told.CutChances:
    sure = tuple(key for key, chance in found.items() if chance == "in")
    out = tuple(key for key, chance in found.items() if chance == "out")
    return told.CutChances(cut=cut, sure=sure, out=out)
