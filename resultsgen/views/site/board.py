"""The honours board: a column for each group of gymnasts, a line for each title."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from resultsgen.live.competition import in_front
from resultsgen.live.notable import is_won
from resultsgen.live.standings import Standing
from resultsgen.scoring.medals import finals
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.competitions import when
from resultsgen.views.live.just_in import LEADS, SETTLED
from resultsgen.views.press.notable import notable_facts
from resultsgen.views.site.addresses import Link, gymnast_target, list_target
from resultsgen.views.site.honours import BoardColumn, BoardLine, heading
from resultsgen.views.words.wording import Wording

Group = tuple[str, tuple[str, ...]]
"""Those who compete with each other: a discipline and its divisions."""

RANK = {"all-around": 0, "team": 1, "apparatus": 2}
"""The all-around stands first, then the team, then each apparatus."""


def contested(results: Results) -> dict[Group, list[tuple[CompetitionResults, Ranking]]]:
    """The list of every title: those of finals, and of what has no final of its own."""
    awarded = {(judged.competition.id, ranking.id) for judged, ranking in finals(results)}
    decided = {(group_of(results.competition(id), results), name) for id, name in awarded}
    groups: dict[Group, list[tuple[CompetitionResults, Ranking]]] = {
        group_of(judged, results): [] for judged in results.competitions
    }
    for judged in results.competitions:
        group = group_of(judged, results)
        for ranking in judged.rankings:
            own = (judged.competition.id, ranking.id) in awarded
            if own or (group, ranking.id) not in decided:
                groups[group].append((judged, ranking))
    return groups


def board_name(results: Results, wording: Wording) -> str:
    """What the board shows: winners, or else who came first; nobody before a title has begun."""
    lists = [(one, ranking) for held in contested(results).values() for one, ranking in held]
    won = [is_won(one, ranking) for one, ranking in lists if one.started]
    if not won:
        return wording.say("Overview")
    return wording.say("Winners" if all(won) else "First places")


def group_titles(results: Results, wording: Wording) -> dict[Group, str]:
    """What those who compete with each other are called: what their competitions have in common."""
    titles: dict[Group, list[str]] = {}
    for judged in results.competitions:
        title = wording.called(judged.competition.title)
        titles.setdefault(group_of(judged, results), []).append(title)
    return {group: heading(held) for group, held in titles.items()}


def board(results: Results, wording: Wording) -> tuple[BoardColumn, ...]:
    """Every title of the meet, those who compete with each other in a column."""
    groups, called = contested(results), group_titles(results, wording)
    return tuple(
        BoardColumn(
            called[group],
            tuple(
                title_line(results, judged, ranking, wording, several=several[ranking.id] > 1)
                for judged, ranking in sorted(held, key=_in_order)
            ),
        )
        for group, held in groups.items()
        for several in [Counter(ranking.id for _, ranking in held)]
        if held
    )


def _in_order(held: tuple[CompetitionResults, Ranking]) -> tuple[int, int]:
    judged, ranking = held
    return RANK[ranking.kind], judged.apparatus.index(ranking.apparatus) if ranking.apparatus else 0


def group_of(judged: CompetitionResults, results: Results) -> Group:
    """Whose competition it is; a final is that of the competition that leads to it."""
    feeding = judged.competition.fed_by
    if feeding and not judged.competition.divisions:
        return group_of(results.competition(feeding[0]), results)
    return judged.competition.discipline, judged.competition.divisions


def title_line(
    results: Results,
    judged: CompetitionResults,
    ranking: Ranking,
    wording: Wording,
    *,
    several: bool = False,
) -> BoardLine:
    """One title; of *several* that are called alike, with its competition."""
    told = (
        fact.sentence
        for fact in notable_facts(results, wording, judged.competition.id)
        if fact.kind in ("won", "first") and fact.rests_on.list == ranking.id
    )
    name = wording.list_name(ranking.id)
    front = in_front(results, ranking) if judged.started else ()
    first = [ranking.by_key[line.key] for line in front if line.place == 1]
    return BoardLine(
        Link(
            f"{name}, {wording.called(judged.competition.title)}" if several else name,
            list_target(ranking.competition, ranking.id),
        ),
        ranking.kind == "all-around",
        tuple(
            Link(
                shown_name(line.of, wording),
                gymnast_target(line.gymnast) if line.kind == "gymnast" else "",
            )
            for line in first
        ),
        wording.language.mark(front[0].total) if first else "",
        _open(judged, ranking, wording, somebody=bool(first)),
        _leads(front, ranking, wording) if ranking.to_come else next(told, ""),
        first[0].key if first else None,
    )


def _leads(front: Sequence[Standing], ranking: Ranking, wording: Wording) -> str:
    """Who leads a list in which marks are to come, and by how much; empty where nobody does."""
    by_place: dict[int, list[str]] = {}
    for line in front:
        of = ranking.by_key[line.key].of
        by_place.setdefault(line.place, []).append(shown_name(of, wording))
    if 1 not in by_place:
        return ""
    (name, *equals), margin = by_place.pop(1), front[0].ahead_of_next
    next_best = by_place[min(by_place)] if by_place else []
    form = "shared" if equals else "ahead" if margin else "level" if next_best else "alone"
    language = wording.language
    return language.say(
        LEADS[form],
        name=name, equals=language.listed(equals or next_best), others=language.listed(next_best),
        total=language.mark(front[0].total), margin=language.mark(margin),
        how=language.say(SETTLED[""]),
    )  # fmt: skip


def _open(judged: CompetitionResults, ranking: Ranking, wording: Wording, *, somebody: bool) -> str:
    """What is to be said of a title that is not decided; *somebody* is first."""
    if not judged.started:
        return when(judged, wording) or wording.say("To come")
    if not ranking.to_come:
        return "" if somebody else wording.say("Nobody is placed.")
    return wording.say("as it stands" if somebody else "To come")
