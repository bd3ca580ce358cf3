"""What keeps results from being certain, told as problems: a tie whose E was not given, equals whom
nobody put in order where it matters, a mark to which nothing is carried, and one that is still to
come in a meet that is called official.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import chain

from resultsgen.checks.keys import key_path
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Cut, bibs_on, every_bib
from resultsgen.rules.ties import Tie
from resultsgen.scoring.field import Field
from resultsgen.scoring.results import CompetitionResults, CutResult, Ranking, Results

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
                _unsettled(results, one, ranking, tie)
                for ranking in one.rankings
                for tie in _ties(ranking)
                if tie.unsettled
            ]
            found += told if _has_e_scores(results.meet, one) else _as_one(told)
    return found


def _has_e_scores(meet: Meet, one: CompetitionResults) -> bool:
    ids = meet.settings.entered_under(one.competition)
    return any(row.e is not None for row in meet.mark_rows if row.competition in ids)


def _as_one(told: list[Problem]) -> list[Problem]:
    """The first of several problems, which says how many there are like it."""
    if len(told) < 2:
        return told
    more = f"; {len(told) - 1} more ties of this competition want E or D scores too"
    return [replace(told[0], message=told[0].message + more)]


def _unsettled(results: Results, one: CompetitionResults, ranking: Ranking, tie: Tie) -> Problem:
    step = next(step for step in tie.steps if step.unknown)
    names = names_of(ranking)
    values = zip(step.keys, step.values, strict=True)
    lacking = [names[key] for key, value in values if value is None]
    words = step.criterion.called or step.criterion.words.format(count=step.criterion.count)
    file, line = _first_mark(results, one, ranking, step.keys)
    return Problem(
        file,
        line,
        "",
        "tie-not-settled",
        f"{' and '.join(names[key] for key in step.keys)} are tied on {show_mark(tie.total)} in "
        f"{one.competition.id!r} ({ranking.id} list); the rules settle it by the {words}, "
        f"which is not given for {', '.join(lacking)}: fill it in, or set "
        'missing_scores = "share" for the competition in meet.toml to publish it as a shared place',
    )


def _first_mark(
    results: Results, one: CompetitionResults, ranking: Ranking, keys: Iterable[int]
) -> tuple[str, int]:
    """File and line of the first mark that any of these have for a list."""
    persons = {who.person for key in keys for who in ranking.by_key[key].of.gymnasts}
    ids = results.meet.settings.entered_under(one.competition)
    for row in results.meet.mark_rows:
        here = row.competition in ids and ranking.apparatus in ("", row.apparatus)
        if here and row.gymnast is not None and results.gymnasts[row.gymnast].person in persons:
            return row.file, row.line
    return "meet.toml", 0


def names_of(ranking: Ranking) -> dict[int, str]:
    """What those of a list are called in a problem: by bib, or by the team's name."""
    before = "" if ranking.of_teams else "bib "
    return {line.key: f"{before}{line.id}" for line in ranking.lines}


def _ties(ranking: Ranking) -> Iterator[Tie]:
    """The ties of a list, those of teams on one apparatus among them."""
    yield from ranking.ties
    yield from chain.from_iterable(ranking.apparatus_ties.values())


Cuts = list[tuple[Ranking, CutResult]]
"""What one cut of the settings made of each list that it is taken from."""


def equals_not_decided(results: Results) -> list[Problem]:
    """A problem for each order that is needed and not given, or given of who is not equal."""
    found = []
    for number, one in enumerate(results.competitions):
        for cut_number, cut in enumerate(one.competition.cuts):
            path = key_path("competition", number, "cuts", cut_number, "reserve_order")
            made = [
                (ranking, each) for ranking in one.rankings for each in ranking.cuts
                if each.cut is cut
            ]  # fmt: skip
            told = [*_open_equals(one, made), *_misfits(cut, made)]
            found += [
                Problem("meet.toml", 0, path, code, words, ", ".join(every_bib(cut.reserve_order)))
                for code, words in told
            ]
    return found


def _open_equals(one: CompetitionResults, made: Cuts) -> Iterator[tuple[str, str]]:
    """Equals of whom only some go through or are called up."""
    for ranking, each in made:
        names, places = names_of(ranking), _places(ranking)
        for keys in each.undecided:
            sharing = [key for key, place in places.items() if place == places[keys[0]]]
            bibs = ", ".join(f'"{ranking.by_key[key].id}"' for key in sharing)
            yield (
                "equals-not-decided",
                f"{' and '.join(names[key] for key in keys)} share place {places[keys[0]]} in "
                f"{one.competition.id!r} ({ranking.id} list), not all of them can go through or "
                f"be called up for {each.cut.name!r}, and nobody decided which: write  "
                f"reserve_order = [{bibs}]  in the order that the jury gives them",
            )


def _misfits(cut: Cut, made: Cuts) -> Iterator[tuple[str, str]]:
    """Who is put in order and shares no place with another of them; who is left out of it."""
    if not made or not all(each.final for _, each in made):
        return
    alone = set(every_bib(cut.reserve_order))
    for ranking, each in made:
        named = bibs_on(cut.reserve_order, each.apparatus)
        equals: dict[int, list[str]] = {}
        for key, place in _places(ranking).items():
            equals.setdefault(place, []).append(ranking.by_key[key].id)
        for place, sharing in equals.items():
            ordered = [name for name in sharing if name in named]
            lacking = [name for name in sharing if name not in named]
            if len(ordered) > 1:
                alone -= set(ordered)
            if len(ordered) > 1 and lacking:
                yield (
                    "order-does-not-fit",
                    f"{', '.join(lacking)} shares place {place} with {', '.join(ordered)} "
                    f"({ranking.id} list): name all who do, in order",
                )
    for name in sorted(alone):
        yield (
            "order-does-not-fit",
            f"{name} shares no place with another that is named: it can only put equals in order; "
            "take it out",
        )


def _places(ranking: Ranking) -> dict[int, int]:
    """The place of each who has one, by key."""
    return {line.key: line.place for line in ranking.lines if line.place is not None}


def nothing_to_carry(these: Field) -> Iterator[Problem]:
    """A problem for the marks in a final to which those of one qualification are lacking."""
    if not these.carried:
        return
    lacking: dict[str, list[MarkRow]] = {}
    for row in these.meet.mark_rows:
        if row.competition != these.competition.id or row.mark is None or row.vault != 1:
            continue
        if row.gymnast is None or row.gymnast not in these.gymnasts:
            continue  # That it is nobody's here is told already.
        for one in these.carried:
            routine = one.routines.get((row.gymnast, row.apparatus))
            if routine is None or routine.mark is None:
                lacking.setdefault(one.competition.id, []).append(row)
    for earlier, those in lacking.items():
        yield _not_carried(these, those, earlier)


def _not_carried(these: Field, rows: list[MarkRow], earlier: str) -> Problem:
    first, parts = rows[0], dict[str, list[str]]()
    for row in rows:
        parts.setdefault(row.bib, []).append(row.apparatus)
    whose = "; ".join(f"bib {bib} on {', '.join(own)}" for bib, own in parts.items())
    return Problem(
        first.file,
        first.line,
        "mark",
        "nothing-to-carry",
        f"marks in {these.competition.id!r} to which none in {earlier!r} is given that half of is "
        f"carried into them: {whose}; enter those marks, or correct the bibs here",
        first.bib,
    )


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
