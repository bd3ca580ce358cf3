"""What keeps results from being certain, told as problems: a tie whose E was not given, a mark
that is still to come in a meet that is called official.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain

from resultsgen.meet.folder import Meet
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Problem
from resultsgen.rules.ties import Tie
from resultsgen.scoring.people import gymnasts
from resultsgen.scoring.results import CompetitionResults, Ranking, Results

SOME = 5
"""So many are named in a problem; who is still missing then is soon seen in the list."""


def unsettled_ties(results: Results) -> list[Problem]:
    """A problem for each tie that the rules settle by a number that was not given.

    Where no E score is given in a competition at all, that is the one cause of all its ties.
    """
    found = []
    for one in results.competitions:
        if one.competition.missing_scores == "stop":
            told = [
                _unsettled(listed, tie)
                for ranking in one.rankings
                if (ties := [tie for tie in _ties(ranking) if any(s.unknown for s in tie.steps)])
                for listed in [_listed(results.meet, one, ranking)]
                for tie in ties
            ]
            found += told if _has_e_scores(results.meet, one) else _as_one(told)
    return found


def _has_e_scores(meet: Meet, one: CompetitionResults) -> bool:
    ids = meet.settings.entered_under(one.competition)
    return bool(meet.marks.loc[meet.marks["competition"].isin(ids), "e"].notna().any())


def _as_one(told: list[Problem]) -> list[Problem]:
    """The first of several problems, which says how many there are like it."""
    if len(told) < 2:
        return told
    more = f"; {len(told) - 1} more ties of this competition want E or D scores too"
    return [replace(told[0], message=told[0].message + more)]


@dataclass(frozen=True)
class _Listed:
    """A list, and what is said of those who are in it."""

    competition: str
    name: str
    names: dict[int, str]
    first: dict[int, tuple[int, str, int]]
    """By the key of a line: which of the marks comes first, with its file and line."""


def _unsettled(listed: _Listed, tie: Tie) -> Problem:
    step = next(step for step in tie.steps if step.unknown)
    names = listed.names
    lacking = [
        names[key] for key, value in zip(step.keys, step.values, strict=True) if value is None
    ]
    words = step.criterion.called or step.criterion.words.format(count=step.criterion.count)
    first = min((listed.first[key] for key in step.keys if key in listed.first), default=None)
    file, row = first[1:] if first else ("meet.toml", 0)
    return Problem(
        file,
        row,
        "",
        "tie-not-settled",
        f"{' and '.join(names[key] for key in step.keys)} are tied on {show_mark(tie.total)} in "
        f"{listed.competition!r} ({listed.name}); the rules settle it by the {words}, "
        f"which is not given for {', '.join(lacking)}: fill it in, or set "
        'missing_scores = "share" for the competition in meet.toml to publish it as a shared place',
    )


def names_of(ranking: Ranking) -> dict[int, str]:
    """What those of a list are called in a problem: by bib, or by the team's name."""
    before = "" if ranking.of_teams else "bib "
    return {line.key: f"{before}{line.id}" for line in ranking.lines}


def _ties(ranking: Ranking) -> Iterator[Tie]:
    """The ties of a list, those of teams on one apparatus among them."""
    yield from ranking.ties
    yield from chain.from_iterable(ranking.apparatus_ties.values())


def _listed(meet: Meet, one: CompetitionResults, ranking: Ranking) -> _Listed:
    marks = _first_marks(meet, one, ranking)
    first = {
        key: min(there)
        for key, persons in _persons(ranking).items()
        if (there := [marks[person] for person in persons if person in marks])
    }
    return _Listed(one.competition.id, f"{ranking.id} list", names_of(ranking), first)


def _persons(ranking: Ranking) -> dict[int, set[str]]:
    """The persons behind each line of a list."""
    return {line.key: {one.person for one in line.of.gymnasts} for line in ranking.lines}


def _first_marks(
    meet: Meet, one: CompetitionResults, ranking: Ranking
) -> dict[str, tuple[int, str, int]]:
    """The first mark that each person has for a list: which of all it is, its file and its line."""
    people, marks = gymnasts(meet), meet.marks
    own = marks[marks["competition"].isin(meet.settings.entered_under(one.competition))]
    if ranking.apparatus:
        own = own[own["apparatus"].eq(ranking.apparatus)]
    found: dict[str, tuple[int, str, int]] = {}
    for number, row in enumerate(own.dropna(subset="gymnast").itertuples()):
        person = people[int(str(row.gymnast))].person
        found.setdefault(person, (number, str(row.file), int(str(row.line))))
    return found


def marks_to_come(results: Results) -> list[Problem]:
    """A problem where marks are to come in any list of a meet that is called official."""
    open_lists = {
        one.competition.id: lists
        for one in results.competitions
        if (lists := [ranking for ranking in one.rankings if ranking.to_come])
    }
    if results.meet.settings.status.state != "official" or not open_lists:
        return []
    where = ", ".join(
        f"in {id!r} ({'; '.join(f'{one.id} list{_of_whom(one)}' for one in lists)})"
        for id, lists in open_lists.items()
    )
    message = (
        f"the meet is called official, but marks are still to come {where}: enter them or DNS, say "
        "on the roster (column 'entered') who does not do every apparatus, or set the state to "
        "provisional"
    )
    code = "official-but-not-finished"
    return [Problem("meet.toml", 0, "status.state", code, message, "official")]


def _of_whom(ranking: Ranking) -> str:
    """Whose marks are to come: the first few of a list of gymnasts, by bib."""
    if ranking.of_teams:
        return ""
    bibs = [one.gymnast.bib for one in ranking.lines if one.total is None and not one.status]
    more = f" and {len(bibs) - SOME} more" if len(bibs) > SOME else ""
    return f": bib {', '.join(bibs[:SOME])}{more}" if bibs else ""
