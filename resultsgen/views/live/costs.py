"""What incidents cost, in sentences: an explanation of the results, and never one itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.language import Language, to_say
from resultsgen.live.costs import Cost, costs
from resultsgen.meet.folder import Incident
from resultsgen.meet.parts import part_of
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
    return tuple(
        Explanation(
            cost.competition,
            cost.gymnast,
            tuple(change.apparatus or change.kind for change in cost.lists),
            shown_name(gymnast, wording),
            gymnast_target(gymnast),
            wording.apparatus(part_of(cost.apparatus, cost.vault)),
            tuple(dict.fromkeys(_happened(row, wording.language) for row in cost.incidents)),
            tuple(cost_sentences(cost, wording.language)),
            tuple(
                dict.fromkeys(
                    wording.say("A common figure; its source: {source}.", source=row.source)
                    if row.source
                    else wording.say("The deduction is as the meet gives it.")
                    for row in cost.incidents
                )
            ),
        )
        for cost in costs(results)
        for gymnast in [results.gymnasts[cost.gymnast]]
    )


def of_routines(
    explained: tuple[Explanation, ...],
    competition: str,
    *,
    gymnast: int | None = None,
    list: str = "",
) -> tuple[Explanation, ...]:
    """Those of one competition, of one gymnast or in one list."""
    return tuple(
        one
        for one in explained
        if one.competition == competition
        and gymnast in (None, one.gymnast)
        and (not list or list in one.lists)
    )


def _happened(row: Incident, language: Language) -> str:
    """What happened and what it cost, with the meet's own remark."""
    text = to_say("{incident}, {deduction}")
    if row.taken_from == "penalty":
        text = to_say("{incident}, penalty {deduction}")
    usual = row.what.casefold()
    incident = language.say(usual) if usual in USUAL else row.what
    told = language.say(text, incident=incident, deduction=language.short(-row.deduction))
    return f"{told} ({row.note})" if row.note else told


def cost_sentences(cost: Cost, language: Language) -> Iterator[str]:
    """The mark without what happened, and what each list would say."""
    yield language.count(
        "Without it, the mark would be {then} instead of {now}.",
        "Without them, the mark would be {then} instead of {now}.",
        len(cost.incidents), then=language.mark(cost.mark_then), now=language.mark(cost.mark),
    )  # fmt: skip
    for change in cost.lists:
        if change.place is None or change.place_then is None:
            continue
        text = (SO_FAR if change.so_far else CHANGES)[
            change.kind, change.place != change.place_then
        ]
        if change.kind == "team" and change.total == change.total_then:
            text = to_say("For the team it changes nothing.")
        total = language.mark(change.total_then)
        yield language.say(text, then=change.place_then, now=change.place, total=total)
