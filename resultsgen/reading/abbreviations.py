"""Abbreviations of apparatus, which mean something beside each other alone: Sp, Ba, SB, Bo.

They are in `words.toml`, by language and discipline.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from itertools import product

from resultsgen.meet.names import DISCIPLINES

AbbreviationList = tuple[str, dict[str, tuple[str, ...]]]
"""A discipline, and in one language which codes each abbreviation may stand for."""


def abbreviation_lists(
    by_language: dict[str, dict[str, dict[str, list[str]]]],
) -> Iterable[AbbreviationList]:
    """The lists of the file, turned about."""
    for of_language in by_language.values():
        for discipline, lists in of_language.items():
            codes: dict[str, tuple[str, ...]] = {}
            for code, listed in lists.items():
                for word in map(str.casefold, listed):
                    codes[word] = (*codes.get(word, ()), code)
            yield discipline, codes


def any_meaning(lists: Iterable[AbbreviationList]) -> dict[str, str]:
    """Each abbreviation with one of its codes, by which headings are seen to have it."""
    return {word: codes[0] for _, listed in lists for word, codes in listed.items()}


def may_stand_for(
    spoken: Collection[str], taken: set[str], named: set[str], lists: Iterable[AbbreviationList]
) -> tuple[dict[str, str], dict[str, tuple[str, ...]]]:
    """What abbreviations of one table mean, and between which codes nothing decides of the others.

    One language has all of them, each is another apparatus, none is *taken* by another heading, and
    there are three at least with those *named* by a word: beside codes alone "Bo" may be a bonus,
    "Sa" and "So" days.
    """
    ways = [
        way
        for discipline, listed in lists
        if listed.keys() >= {*spoken}
        for way in product(*([(word, code) for code in listed[word]] for word in sorted(spoken)))
        if len(there := {code for _, code in way} | taken) == len(way) + len(taken)
        and len(way) + len(named) > 2
        and there <= {*DISCIPLINES[discipline]}
    ]
    said = [pair for way in ways for pair in way] or [
        (word, code) for _, listed in lists for word in listed for code in listed[word]
    ]
    may = {
        word: tuple(dict.fromkeys(code for one, code in said if one == word))
        for word in sorted(spoken)
    }
    clear = {word: codes[0] for word, codes in may.items() if ways and len(codes) == 1}
    return clear, {word: codes for word, codes in may.items() if word not in clear}
