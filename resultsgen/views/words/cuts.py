"""What a cut means for whom, as meets and seasons say it."""

from __future__ import annotations

from resultsgen.language import Language, to_say

BODY_WORDS = {
    "federation": to_say("federation"),
    "club": to_say("club"),
    "team": to_say("team"),
    "division": to_say("division"),
}

BY_TIE = to_say("qualifies as well: the tie for the last place cannot be broken")

STANDS_BY = to_say("stands by if somebody withdraws")

BEYOND = {
    False: to_say("all places are taken by those before"),
    True: to_say("all places and reserves are taken by those before"),
}
"""Why somebody is not even a reserve, by whether there are any."""


def capped_clause(names: str, many: int, cap: int, body: str, language: Language) -> str:
    """That so many of the same body stand before, who fill its places."""
    return language.count(
        "not eligible: at most {cap} per {body}, and {names} stands before",
        "not eligible: at most {cap} per {body}, and {names} stand before",
        many, cap=cap, body=body, names=names,
    )  # fmt: skip


def number_clause(number: int, through: int, language: Language) -> str:
    """Which of those who qualify somebody is."""
    return language.count(
        "the one who qualifies", "number {number} of the {n} who qualify",
        through, number=number,
    )  # fmt: skip
