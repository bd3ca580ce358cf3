"""Equals whom nobody put in order where it matters, and an order of some who are not equal."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.keys import key_path
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Cut, bibs_on, every_bib
from resultsgen.scoring.results import CompetitionResults, CutResult, Ranking, Results
from resultsgen.scoring.unsettled import names_of

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
            told = [*_open(one, made), *_misfits(cut, made)]
            found += [
                Problem("meet.toml", 0, path, code, words, ", ".join(every_bib(cut.reserve_order)))
                for code, words in told
            ]
    return found


def _open(one: CompetitionResults, made: Cuts) -> Iterator[tuple[str, str]]:
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
