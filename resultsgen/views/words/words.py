"""Reasons in plain words: how a tie was settled, what a code stands for.

The judging gives reasons as numbers; here, and nowhere else, they become sentences.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from resultsgen.language import Language, to_say
from resultsgen.rules.criteria import Criterion
from resultsgen.rules.ties import Step, Tie
from resultsgen.scoring.results import Why

WHY_NOT_RANKED = {
    "second vault": to_say("A second vault where one counts: not ranked."),
    "one vault": to_say("One vault where two are asked: not ranked."),
    "not in the all-around": to_say("Not in the all-around: not ranked."),
    "guest": to_say("A guest, who is in no team: not ranked."),
    "no team": to_say("In no team that is ranked: not ranked."),
}


def why_words(why: Why, language: Language) -> str:
    """Why no list takes a mark, in a sentence."""
    return language.say(WHY_NOT_RANKED[why])


NameOf = Callable[[int], str]
"""The name of a gymnast or team by its key."""

STATUS_WORDS = {
    "DNS": to_say("did not start"),
    "DNF": to_say("did not finish"),
    "DSQ": to_say("disqualified"),
    "WDR": to_say("withdrew"),
}


def tie_sentence(tie: Tie, name_of: NameOf, language: Language) -> str:
    """How a tie was settled, in one sentence with the numbers.

    "13.400 each, placed by the E score: Adams 8.100, Bell 8.000." A place that is still shared
    says so: "Cole and Dean share place 3, equal on every criterion."
    """
    clauses = [_step_clause(step, name_of, language) for step in tie.steps if not step.unknown]
    clauses += [_shared_clause(tie, keys, name_of, language) for keys in _sharing(tie)]
    if tie.worked_out:
        clauses.append(
            language.say(
                "the E score of {names} was not given and is worked out from the mark, the D score "
                "and the penalty",
                names=language.listed([name_of(key) for key in tie.worked_out]),
            )
        )
    lead = language.say("{total} each", total=language.mark(tie.total))
    return language.say("{lead}, {story}.", lead=lead, story="; ".join(clauses))


def _step_clause(step: Step, name_of: NameOf, language: Language) -> str:
    criterion = step.criterion
    if criterion.is_mark:
        values = [
            f"{name_of(key)} {_value(criterion, value, language)}"
            for key, value in zip(step.keys, step.values, strict=True)
        ]
    else:
        values = [name_of(key) for key in step.keys]
    placed = language.say(
        "placed by {criterion}: {values}",
        criterion=named_criterion(criterion, language),
        values=", ".join(values),
    )
    return ", ".join(filter(None, (_equal_clause(step, language), placed)))


def _equal_clause(step: Step, language: Language) -> str:
    """What was compared before and found equal, so that nobody need look up the order."""
    if not step.equal_on:
        return ""
    words = [named_criterion(one, language) for one in step.equal_on]
    if len(words) > 2:
        words[1:] = [language.say("the {n} criteria after it", n=len(words) - 1)]
    return language.say("equal on {criteria}", criteria=language.listed(words))


def _value(criterion: Criterion, value: int | None, language: Language) -> str:
    """A compared value; an all-around total that nobody has is told as none."""
    return language.say("none") if value is None or value < 0 else language.mark(value)


def criterion_words(criterion: Criterion) -> str:
    """What a criterion compares: E score, best 3 apparatus."""
    return criterion.words.format(count=criterion.count)


def named_criterion(criterion: Criterion, language: Language) -> str:
    """What a criterion compares, as it stands in a sentence: the E score, the best 3 apparatus."""
    return language.say(f"the {criterion.words}", count=criterion.count)


def _named_value(criterion: Criterion, language: Language) -> str:
    """What is not given where a criterion cannot be asked: the E score, the year of birth."""
    if not criterion.called:
        return named_criterion(criterion, language)
    return language.say(f"the {criterion.called}")


def _sharing(tie: Tie) -> list[tuple[int, ...]]:
    """Those who share a place, place by place."""
    pairs = zip(tie.places, tie.keys, strict=True)
    groups = [tuple(key for _, key in group) for _, group in groupby(pairs, lambda pair: pair[0])]
    return [keys for keys in groups if len(keys) > 1]


def _shared_clause(tie: Tie, keys: tuple[int, ...], name_of: NameOf, language: Language) -> str:
    place = tie.places[tie.keys.index(keys[0])]
    lacking = next(
        (step for step in tie.steps if step.unknown and set(keys) <= set(step.keys)), None
    )
    names = language.listed([name_of(key) for key in keys])
    if not tie.asked:
        return language.say(
            "{names} share place {place}, as equal totals do by the rules", names=names, place=place
        )
    if lacking is None:
        return language.say(
            "{names} share place {place}, equal on every criterion", names=names, place=place
        )
    return language.say(
        "{names} share place {place}: {criterion} that would settle it was not given",
        names=names,
        place=place,
        criterion=_named_value(lacking.criterion, language),
    )
