"""What keeps results from being certain, told as problems: a tie whose E was not given, a mark
that is still to come in a meet that is called official.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from resultsgen.judging.people import gymnasts
from resultsgen.marks import show_mark
from resultsgen.meet import Meet
from resultsgen.problems import Problem
from resultsgen.results import CompetitionResults, Ranking, Results, TeamRanking, Tie
from resultsgen.rules.criteria import UNKNOWN

SOME = 5
"""So many are named in a problem; who is still missing then is soon seen in the list."""


def unsettled_ties(results: Results) -> list[Problem]:
    """A problem for each tie that the rules settle by a number that was not given.

    Where no E score is given in a competition at all, that is the one cause of all its ties.
    """
    found = []
    for one in results.competitions:
        if one.competition.missing_scores == "stop":
            told = [_unsettled(results, one, *tie) for tie in _open_ties(one)]
            found += told if _has_e_scores(results.meet, one) else _as_one(told)
    return found


def _open_ties(one: CompetitionResults) -> Iterator[tuple[Ranking | TeamRanking, Tie]]:
    for ranking in one.rankings:
        for tie in _ties(ranking):
            if any(step.unknown for step in tie.steps):
                yield ranking, tie


def _has_e_scores(meet: Meet, one: CompetitionResults) -> bool:
    ids = meet.settings.entered_under(one.competition)
    return bool(meet.marks.loc[meet.marks["competition"].isin(ids), "e"].notna().any())


def _as_one(told: list[Problem]) -> list[Problem]:
    """The first of several problems, which says how many there are like it."""
    if len(told) < 2:
        return told
    more = f"; {len(told) - 1} more ties of this competition want E or D scores too"
    return [replace(told[0], message=told[0].message + more)]


def _unsettled(
    results: Results, one: CompetitionResults, ranking: Ranking | TeamRanking, tie: Tie
) -> Problem:
    step = next(step for step in tie.steps if step.unknown)
    names = names_of(ranking)
    lacking = [
        names[key] for key, value in zip(step.rows, step.values, strict=True) if value == UNKNOWN
    ]
    words = step.criterion.value or step.criterion.words.format(count=step.criterion.count)
    file, row = _where(results.meet, one, ranking, step.rows)
    return Problem(
        file,
        row,
        "",
        "tie-not-settled",
        f"{' and '.join(names[key] for key in step.rows)} are tied on {show_mark(tie.total)} in "
        f"{one.competition.id!r} ({list_name(ranking)}); the rules settle it by the {words}, "
        f"which is not given for {', '.join(lacking)}: fill it in, or set "
        'missing_scores = "share" for the competition in meet.toml to publish it as a shared place',
    )


def names_of(ranking: Ranking | TeamRanking) -> dict[int, str]:
    """What those of a list are called in a problem: by bib, or by the team's name."""
    if isinstance(ranking, TeamRanking):
        return {line.key: line.name for line in ranking.lines}
    return {line.gymnast.key: f"bib {line.gymnast.bib}" for line in ranking.lines}


def _ties(ranking: Ranking | TeamRanking) -> Iterator[Tie]:
    """The ties of a list, those of teams on one apparatus among them."""
    yield from ranking.ties
    if isinstance(ranking, TeamRanking):
        yield from chain.from_iterable(ranking.apparatus_ties.values())


def _gymnasts(ranking: Ranking | TeamRanking, keys: tuple[int, ...]) -> set[str]:
    """The persons behind those lines of a list."""
    if isinstance(ranking, TeamRanking):
        teams = (line for line in ranking.lines if line.key in keys)
        return {member.gymnast.person for line in teams for member in line.members}
    return {line.gymnast.person for line in ranking.lines if line.gymnast.key in keys}


def _where(
    meet: Meet, one: CompetitionResults, ranking: Ranking | TeamRanking, keys: tuple[int, ...]
) -> tuple[str, int]:
    """The file and line of the first mark that is part of the tie."""
    persons = _gymnasts(ranking, keys)
    rows = {key for key, who in gymnasts(meet).items() if who.person in persons}
    ids = meet.settings.entered_under(one.competition)
    marks = meet.marks
    own = marks[marks["competition"].isin(ids) & marks["gymnast"].isin(rows)]
    if isinstance(ranking, Ranking) and ranking.apparatus:
        own = own[own["apparatus"].eq(ranking.apparatus)]
    for row in own.itertuples():
        return str(row.file), int(str(row.line))
    return "meet.toml", 0


def marks_to_come(results: Results) -> list[Problem]:
    """A problem where marks are to come in any list of a meet that is called official."""
    open_lists = {
        one.competition.id: lists
        for one in results.competitions
        if (lists := [ranking for ranking in one.rankings if ranking.to_come])
    }
    if results.meet.settings.status.state != "official" or not open_lists:
        return []
    where = "; ".join(
        f"in {id!r} ({', '.join(list_name(one) + _of_whom(one) for one in lists)})"
        for id, lists in open_lists.items()
    )
    message = (
        f"the meet is called official, but marks are still to come {where}: enter them or DNS, say "
        "on the roster (column 'entered') who does not do every apparatus, or set the state to "
        "provisional"
    )
    code = "official-but-not-finished"
    return [Problem("meet.toml", 0, "status.state", code, message, "official")]


def _of_whom(ranking: Ranking | TeamRanking) -> str:
    """Whose marks are to come: the first few of a list of gymnasts, by bib."""
    if isinstance(ranking, TeamRanking):
        return ""
    bibs = [one.gymnast.bib for one in ranking.lines if one.total is None and not one.status]
    more = f" and {len(bibs) - SOME} more" if len(bibs) > SOME else ""
    return f" of bib {', '.join(bibs[:SOME])}{more}" if bibs else ""


def list_name(ranking: Ranking | TeamRanking) -> str:
    """What a list is called in a problem."""
    if isinstance(ranking, TeamRanking):
        return "team list"
    return f"{ranking.apparatus} list" if ranking.apparatus else "all-around list"
