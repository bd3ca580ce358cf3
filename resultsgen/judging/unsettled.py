"""What keeps results from being certain, told as problems: a tie whose E was not given, a mark
that is still to come in a meet that is called official.
"""

from __future__ import annotations

from resultsgen.marks import show_mark
from resultsgen.meet import Meet
from resultsgen.problems import Problem
from resultsgen.results import CompetitionResults, Ranking, Results, TeamRanking, Tie
from resultsgen.rules.ties import UNKNOWN


def unsettled_ties(results: Results) -> list[Problem]:
    """A problem for each tie that the rules settle by a number that was not given."""
    return [
        _unsettled(results, one, ranking, tie)
        for one in results.competitions
        if one.competition.missing_scores == "stop"
        for ranking in one.rankings
        for tie in ranking.ties
        if any(step.unknown for step in tie.steps)
    ]


def _unsettled(
    results: Results, one: CompetitionResults, ranking: Ranking | TeamRanking, tie: Tie
) -> Problem:
    step = next(step for step in tie.steps if step.unknown)
    lacking = [
        results.gymnasts[key].bib
        for key, value in zip(step.rows, step.values, strict=True)
        if value == UNKNOWN
    ]
    bibs = " and ".join(results.gymnasts[key].bib for key in step.rows)
    apparatus = ranking.apparatus if isinstance(ranking, Ranking) else ""
    words = step.criterion.words.format(count=step.criterion.count)
    file, row = _where(results.meet, one.competition.id, apparatus, step.rows)
    return Problem(
        file,
        row,
        "",
        "tie-not-settled",
        f"bibs {bibs} are tied on {show_mark(tie.total)} in {one.competition.id!r} "
        f"({apparatus or 'all-around'}); the rules settle it by the {words}, which is not given "
        f'for bib {", ".join(lacking)}: fill it in, or set missing_scores = "share" for the '
        "competition in meet.toml to publish it as a shared place",
    )


def _where(meet: Meet, competition: str, apparatus: str, keys: tuple[int, ...]) -> tuple[str, int]:
    """The file and line of the first mark that is part of the tie."""
    marks = meet.marks
    own = marks[marks["competition"].eq(competition) & marks["gymnast"].isin(keys)]
    if apparatus:
        own = own[own["apparatus"].eq(apparatus)]
    first = own.iloc[0]
    return str(first["file"]), int(first["line"])


def marks_to_come(results: Results) -> list[Problem]:
    """A problem for each list that lacks a mark although the meet is called official."""
    if results.meet.settings.status.state != "official":
        return []
    return [
        Problem(
            "meet.toml",
            0,
            "status.state",
            "official-but-not-finished",
            f"the meet is called official, but {ranking.to_come} in the "
            f"{_list_name(ranking)} of {one.competition.id!r} still have a mark to come: enter "
            "the marks or DNS, or set the state to provisional",
            "official",
        )
        for one in results.competitions
        for ranking in one.rankings
        if ranking.to_come
    ]


def _list_name(ranking: Ranking | TeamRanking) -> str:
    if isinstance(ranking, TeamRanking):
        return "team list"
    return f"{ranking.apparatus} list" if ranking.apparatus else "all-around list"
