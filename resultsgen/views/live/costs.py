"""What incidents cost, in sentences: an explanation of the results, and never one itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.language import Language, to_say
from resultsgen.live.costs import Cost, ListChange, costs
from resultsgen.meet.folder import Incident
from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.site.addresses import gymnast_target
from resultsgen.views.words.wording import Wording

USUAL = (
    to_say("fall"),
    to_say("one foot or hand out of bounds"),
    to_say("out of bounds"),
    to_say("over time"),
    to_say("attire"),
    to_say("extra hand placement"),
)
"""The incidents that have a common figure; whatever else a meet writes is its own text."""

CHANGES = {
    ("apparatus", True): to_say("On the apparatus that would be place {then} instead of {now}."),
    ("apparatus", False): to_say("On the apparatus the place would stay {now}."),
    ("all-around", True): to_say(
        "In the all-around that would be {total} and place {then} instead of {now}."
    ),
    ("all-around", False): to_say(
        "In the all-around that would be {total}; the place would stay {now}."
    ),
    ("team", True): to_say("The team would have {total} and place {then} instead of {now}."),
    ("team", False): to_say("The team would have {total}; its place would stay {now}."),
}
"""What a list would say, by its kind and whether the place would be another."""

SO_FAR = {
    ("apparatus", True): to_say(
        "On the apparatus that would be place {then} so far, instead of {now}."
    ),
    ("apparatus", False): to_say("On the apparatus the place so far would stay {now}."),
    ("all-around", True): to_say(
        "In the all-around that would be {total} so far and, of those with as many apparatus done, "
        "place {then} instead of {now}."
    ),
    ("all-around", False): to_say(
        "In the all-around that would be {total} so far; the place of those with as many apparatus "
        "done would stay {now}."
    ),
    ("team", True): to_say(
        "The team would have {total} so far and, of those with as many apparatus done, "
        "place {then} instead of {now}."
    ),
    ("team", False): to_say(
        "The team would have {total} so far; its place of those with as many apparatus done would "
        "stay {now}."
    ),
}
"""The same while marks are to come."""


@dataclass(frozen=True)
class Explanation:
    """One routine with what happened in it, and how it would have been without."""

    competition: str
    gymnast: int
    lists: tuple[str, ...]
    """The lists of the competition that it is part of: BB, all-around, team."""
    name: str
    target: str
    routine: str
    """The apparatus."""
    happened: tuple[str, ...]
    sentences: tuple[str, ...]
    sources: tuple[str, ...]
    """Where the figures come from."""


def explanations(results: Results, wording: Wording) -> tuple[Explanation, ...]:
    """Every routine in which something happened."""
    return tuple(_explanation(cost, results, wording) for cost in costs(results))


def of_routines(
    told: tuple[Explanation, ...], competition: str, *, gymnast: int | None = None, list: str = ""
) -> tuple[Explanation, ...]:
    """Those of one competition, of one gymnast or in one list."""
    return tuple(
        one
        for one in told
        if one.competition == competition
        and gymnast in (None, one.gymnast)
        and (not list or list in one.lists)
    )


def _explanation(cost: Cost, results: Results, wording: Wording) -> Explanation:
    gymnast = results.gymnasts[cost.gymnast]
    return Explanation(
        cost.competition,
        cost.gymnast,
        tuple(one.apparatus or one.kind for one in cost.lists),
        shown_name(gymnast, wording),
        gymnast_target(gymnast),
        wording.apparatus(f"{cost.apparatus}2" if cost.vault == 2 else cost.apparatus),
        tuple(dict.fromkeys(_happened(one, wording.language) for one in cost.incidents)),
        tuple(cost_sentences(cost, wording.language)),
        tuple(dict.fromkeys(_source(one, wording) for one in cost.incidents)),
    )


def _happened(one: Incident, language: Language) -> str:
    """What happened and what it cost, with the meet's own remark."""
    text = to_say("{incident}, {deduction}")
    if one.taken_from == "penalty":
        text = to_say("{incident}, penalty {deduction}")
    told = language.say(text, incident=words_of(one, language), deduction=minus(one, language))
    return f"{told} ({one.note})" if one.note else told


def words_of(one: Incident, language: Language) -> str:
    """The incident as it is printed."""
    usual = one.what.casefold()
    return language.say(usual) if usual in USUAL else one.what


def minus(one: Incident, language: Language) -> str:
    """The deduction with its sign."""
    return f"−{language.short(one.deduction)}"


def cost_sentences(cost: Cost, language: Language) -> Iterator[str]:
    """The mark without what happened, and what each list would say."""
    yield language.count(
        "Without it, the mark would be {then} instead of {now}.",
        "Without them, the mark would be {then} instead of {now}.",
        len(cost.incidents),
        then=language.mark(cost.mark_then),
        now=language.mark(cost.mark),
    )
    for one in cost.lists:
        if one.place is not None and one.place_then is not None:
            yield _list_sentence(one, language)


def _list_sentence(one: ListChange, language: Language) -> str:
    """What one list would say, with the new total where it is more than the mark itself."""
    text = (SO_FAR if one.so_far else CHANGES)[one.kind, one.place != one.place_then]
    if one.kind == "team" and one.total == one.total_then:
        text = to_say("For the team it changes nothing.")
    total = language.mark(one.total_then)
    return language.say(text, then=one.place_then, now=one.place, total=total)


def _source(one: Incident, wording: Wording) -> str:
    if not one.source:
        return wording.say("The deduction is as the meet gives it.")
    return wording.say("A common figure; its source: {source}.", source=one.source)
