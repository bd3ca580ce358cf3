"""What a cut means for a line while marks are to come: nothing is said that an end could belie."""

from __future__ import annotations

from collections.abc import Sequence

from resultsgen.language import Language, to_say
from resultsgen.live.decided import Chance
from resultsgen.scoring.ranking import CutLine, CutResult
from resultsgen.views.words.reasons import NEVER, NameOf, body_word, cut_mark, withdrew_clause

SO_FAR = {"qualified": to_say("in so far"), "reserve": to_say("reserve {n} so far")}
FEW = 3
"""So many are named where that is told in short, and how many more there are."""


def few_of(names: Sequence[str], language: Language) -> str:
    """The names; of many the first, and how many more there are."""
    if len(names) <= FEW + 1:
        return language.listed(names)
    first = ", ".join(names[:FEW])
    return language.say("{names} and {n} more", names=first, n=len(names) - FEW)


def state_so_far(
    line: CutLine, chance: Chance | None, language: Language, *, final: bool
) -> tuple[str, str]:
    """Where somebody stands by a cut while marks are to come: a code, and in words.

    Q is for whom it is decided, and for nobody else. None: the cut is nothing for this one.
    """
    if line.withdrawn:
        return "", language.say("out")
    if chance == "in":
        return "Q", language.say("starts") if final else language.say("qualified")
    outcome = "qualified" if line.called_up else line.verdict.outcome
    if words := SO_FAR.get(outcome):
        code = "Q" if line.called_up else cut_mark(line.verdict)
        return f"({code})", language.say(words, n=line.verdict.number)
    is_open = chance == "open" and outcome not in NEVER
    return ("?", language.say("open")) if is_open else ("", "")


def sentence_so_far(
    result: CutResult,
    line: CutLine,
    chance: Chance | None,
    rivals: Sequence[int],
    name_of: NameOf,
    language: Language,
    *,
    spare: bool,
) -> str:
    """Why somebody is in, in so far, out or neither; *rivals* of the same body can fill its cap.

    *spare*: out, and may yet be called up.
    """
    verdict, quota = line.verdict, result.quota
    outcome, say = verdict.outcome, language.say
    body = body_word(result, language)
    if line.withdrawn:
        return withdrew_clause(result, language)
    if outcome in NEVER:
        return say(NEVER[outcome], mark=language.mark(quota.minimum), body=body)
    if chance == "in":
        return say("whatever the others do")
    if spare and outcome == "capped" and not quota.of_each:
        return language.count(
            "qualifies only if somebody withdraws: at most {cap} per {body}, and {names} stands "
            "before",
            "qualifies only if somebody withdraws: at most {cap} per {body}, and {names} stand "
            "before",
            len(verdict.ahead), cap=quota.cap, body=body,
            names=language.listed([name_of(key) for key in verdict.ahead]),
        )  # fmt: skip
    if chance == "out":
        return say("qualifies only if somebody withdraws" if spare else "can no longer qualify")
    if line.in_place_of is not None:
        text = to_say("as it stands, called up in place of {names}")
        return say(text, names=name_of(line.in_place_of))
    if outcome == "qualified" and rivals:
        who = few_of([name_of(key) for key in rivals], language)
        text = to_say("not yet sure: at most {cap} per {body}, and {names} can end ahead or level")
        return say(text, cap=quota.cap, body=body, names=who)
    if outcome == "qualified":
        return say("shares the last place as it stands") if verdict.by_tie else ""
    if outcome == "capped":
        return language.count(
            "as it stands, the place of the {body} is taken by {names}",
            "as it stands, the places of the {body} are taken by {names}",
            len(verdict.ahead), body=body,
            names=language.listed([name_of(key) for key in verdict.ahead]),
        )  # fmt: skip
    if outcome == "beyond":
        return say("as it stands, all places are taken by those before")
    return say("can still qualify") if chance and outcome == "unranked" else ""
