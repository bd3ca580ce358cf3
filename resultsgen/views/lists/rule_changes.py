"""Where a meet changes its rule set, in words: what holds here, and what usually."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from resultsgen.language import to_say
from resultsgen.meet.ruleset import RuleOverride, TieList
from resultsgen.rules.criteria import criteria
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.words.reasons import named_criterion
from resultsgen.views.words.wording import Wording

LISTS = {
    "all-around": to_say("All-around"),
    "apparatus": to_say("Apparatus"),
    "vault-average": to_say("Average of two vaults"),
    "team": to_say("Team"),
    "team-apparatus": to_say("Team on one apparatus"),
}
"""What each kind of list is called."""

ENTRIES = {
    "apparatus.men": to_say("Men's apparatus"),
    "apparatus.women": to_say("Women's apparatus"),
    "marks.composition": to_say("What a mark is made of"),
    "marks.bonus": to_say("A bonus is added"),
    "marks.highest": to_say("The highest mark possible"),
    "marks.highest-e": to_say("The highest E score possible"),
    "marks.step": to_say("The steps that marks go in"),
    "totals.incomplete": to_say("Who lacks a mark"),
    "totals.carried": to_say("What is carried into a final"),
    "totals.averaging": to_say("Half a thousandth of what is carried"),
    "totals.days": to_say("A competition of two days"),
    "vault.averaging": to_say("Half a thousandth of an average of two vaults"),
    "vault.compare": to_say("Averages of two vaults are compared"),
    "vault.one": to_say("Who did one vault where two are asked"),
    "unranked.order": to_say("Those without a place stand in this order"),
    "unranked.dnf": to_say("Those who did not finish stand"),
    "guests.stand": to_say("Guests stand"),
    "cuts.tie_on_last_place": to_say("A tie for the last place that cannot be broken"),
    "teams.format": to_say("The usual format of teams"),
    "teams.final": to_say("The usual format of teams in finals"),
}
"""Entries of a rule set; those of one kind of list stand in PARTS."""

PARTS = {
    "ties.criteria": to_say("{list}: equal totals are told apart by"),
    "final-ties.criteria": to_say("{list}, in finals: equal totals are told apart by"),
    "cuts.places": to_say("{list}: how many usually qualify"),
    "cuts.reserves": to_say("{list}: how many reserves there usually are"),
    "cuts.cap": to_say("{list}: how many per body usually qualify at most"),
}

VALUES = {
    "d+e": to_say("D score and E score"),
    "single": to_say("one mark"),
    "no place": to_say("takes no place"),
    "placed by what there is": to_say("is ranked on the marks there are"),
    "half of two qualification marks": to_say("half of two qualification marks"),
    "nothing": to_say("nothing"),
    "cut": to_say("is cut off"),
    "round": to_say("is rounded up"),
    "apart": to_say("has two lists"),
    "added": to_say("has one list of both days added"),
    "printed": to_say("as printed"),
    "exact": to_say("exactly"),
    "by mark": to_say("among the others by their mark"),
    "below": to_say("below the others"),
    "below two": to_say("is placed below those with two"),
    "as equals": to_say("as equals do"),
    "sum so far": to_say("in order of the sum of their marks"),
    "all qualify": to_say("lets all of them qualify"),
    "listed order": to_say("is left to the order of the list"),
}
MARKS = ("marks.highest", "marks.highest-e", "marks.step")


def override_sentences(judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """Each entry that the meet changes: what holds here, and what the rule set says."""
    for override in judged.rule_overrides:
        first, *middle, last = override.path
        entry = (
            wording.say(ENTRIES[f"{first}.{last}"])
            if not middle
            else wording.say(PARTS[f"{first}.{last}"], list=wording.say(LISTS[middle[0]]))
        )
        here, usual = (
            _value_words(override, value, judged, wording)
            for value in (override.here, override.usual)
        )
        yield wording.say(
            "{entry}: {here} (the rule set: {usual}).", entry=entry, here=here, usual=usual
        )


def _value_words(
    override: RuleOverride, value: object, judged: CompetitionResults, wording: Wording
) -> str:
    if isinstance(value, tuple):
        first, *middle, last = override.path
        if first == "apparatus":
            return ", ".join(wording.apparatus(code) for code in value)
        if last != "criteria":
            return ", ".join(value)
        steps = criteria(value, judged.tie_parts[cast(TieList, middle[0])])
        words = ", ".join(named_criterion(step, wording.language) for step in steps)
        return words or wording.say("nothing, and the place is shared")
    if value is None:
        return wording.say("nothing is said of it")
    if isinstance(value, bool):
        return wording.say("yes") if value else wording.say("no")
    if isinstance(value, int) and ".".join(override.path) in MARKS:
        return wording.language.mark(value)
    return wording.say(VALUES[value]) if value in VALUES else str(value)
