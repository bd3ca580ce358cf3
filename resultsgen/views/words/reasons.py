"""Reasons in plain words: how a tie was settled, what a cut means for whom, what codes stand for.

The judging gives reasons as numbers; here, and nowhere else, they become sentences.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby

from resultsgen.language import Language, to_say
from resultsgen.rules.criteria import Criterion
from resultsgen.rules.cuts import Verdict
from resultsgen.rules.ties import Step, Tie
from resultsgen.scoring.ranking import CutLine, CutResult
from resultsgen.scoring.results import Why
from resultsgen.views.words.cuts import (
    BEYOND,
    BODY_WORDS,
    BY_TIE,
    STANDS_BY,
    capped_clause,
    number_clause,
)
from resultsgen.views.words.wording import Wording

WHY_NOT_RANKED = {
    "second vault": to_say("A second vault where one counts: no place."),
    "one vault": to_say("One vault where two are asked: no place."),
    "not in the all-around": to_say("Not in the all-around: no place."),
    "guest": to_say("A guest, who is in no team: no place."),
    "no team": to_say("In no team that is ranked: no place."),
}
NEVER = {
    "below minimum": to_say("below the minimum of {mark}"),
    "no body": to_say("belongs to no {body}, and each {body} has its own places"),
    "guest": to_say("guest: cannot qualify"),
}
"""Whom a cut leaves out whatever the marks, and why."""
NameOf = Callable[[int], str]
"""The name of a gymnast or team by its key."""


def why_words(why: Why, language: Language) -> str:
    """Why no list takes a mark, in a sentence."""
    return language.say(WHY_NOT_RANKED[why])


def tie_sentence(tie: Tie, name_of: NameOf, language: Language) -> str:
    """How a tie was settled, in one sentence with the numbers.

    "13.400 each, placed by the E score: Adams 8.100, Bell 8.000." A place that is still shared
    says so: "Cole and Dean share place 3, equal on every criterion."
    """
    clauses = [_step_clause(step, name_of, language) for step in tie.steps if not step.unknown]
    placed = groupby(zip(tie.places, tie.keys, strict=True), lambda pair: pair[0])
    for place, group in placed:
        keys = [key for _, key in group]
        if len(keys) > 1:
            clauses.append(_shared_clause(tie, place, keys, name_of, language))
    if tie.worked_out:
        text = to_say(
            "the E score of {names} was not given and is worked out from the mark, the D score "
            "and the penalty"
        )
        names = language.listed([name_of(key) for key in tie.worked_out])
        clauses.append(language.say(text, names=names))
    lead = language.say("{total} each", total=language.mark(tie.total))
    return language.say("{lead}, {story}.", lead=lead, story="; ".join(clauses))


def _step_clause(step: Step, name_of: NameOf, language: Language) -> str:
    """What told equals apart, and what was compared before, so that nobody need look it up."""
    values = [name_of(key) for key in step.keys]
    if step.criterion.is_mark:
        # An all-around total that nobody has is told as none.
        shown = (
            language.say("none") if value is None or value < 0 else language.mark(value)
            for value in step.values
        )
        values = [f"{name} {value}" for name, value in zip(values, shown, strict=True)]
    criterion = named_criterion(step.criterion, language)
    placed = language.say(
        "placed by {criterion}: {values}", criterion=criterion, values=", ".join(values)
    )
    if not step.equal_on:
        return placed
    words = [named_criterion(criterion, language) for criterion in step.equal_on]
    if len(words) > 2:
        words[1:] = [language.say("the {n} criteria after it", n=len(words) - 1)]
    equal = language.say("equal on {criteria}", criteria=language.listed(words))
    return f"{equal}, {placed}"


def _shared_clause(
    tie: Tie, place: int, keys: list[int], name_of: NameOf, language: Language
) -> str:
    names = language.listed([name_of(key) for key in keys])
    if not tie.asked:
        return language.say(
            "{names} share place {place}, as equal totals do by the rules", names=names, place=place
        )
    lacking = next(
        (step.criterion for step in tie.steps if step.unknown and set(keys) <= set(step.keys)), None
    )
    if lacking is None:
        return language.say(
            "{names} share place {place}, equal on every criterion", names=names, place=place
        )
    if lacking.name == "all-around total":
        return language.say(
            "{names} share place {place} until all marks are in: then the all-around total decides",
            names=names,
            place=place,
        )
    value = language.say(f"the {lacking.called}") if lacking.called else ""
    return language.say(
        "{names} share place {place}: {criterion} that would settle it was not given",
        names=names, place=place, criterion=value or named_criterion(lacking, language),
    )  # fmt: skip


def criterion_words(criterion: Criterion) -> str:
    """What a criterion compares: E score, best 3 apparatus."""
    return criterion.words.format(count=criterion.count)


def named_criterion(criterion: Criterion, language: Language) -> str:
    """What a criterion compares, as it stands in a sentence: the E score, the best 3 apparatus."""
    return language.say(f"the {criterion.words}", count=criterion.count)


def cut_state(line: CutLine, language: Language, *, final: bool, passed: bool) -> tuple[str, str]:
    """What stands beside a total: a code, and in words where somebody stands now.

    Who withdrew has no code, and who was called up has that of those who qualified. *final*: the
    cut leads to a competition of the meet; *passed*: somebody placed below starts or stands by.
    Empty for those whom the cut leaves out.
    """
    if line.withdrawn:
        return "", language.say("out")
    if line.called_up:
        return "Q", language.say("called up")
    if line.held_back or (passed and line.verdict.outcome == "capped"):
        return cut_mark(line.verdict), language.say("not eligible")
    if line.verdict.outcome == "qualified" and final:
        return "Q", language.say("starts")
    return cut_mark(line.verdict), cut_words(line.verdict, language)


def cut_mark(verdict: Verdict) -> str:
    """The code of a verdict: Q, R1, R2 ... or nothing."""
    if verdict.outcome == "qualified":
        return "Q"
    return f"R{verdict.number}" if verdict.outcome == "reserve" else ""


def cut_words(verdict: Verdict, language: Language) -> str:
    """The same code in words."""
    if verdict.outcome == "qualified":
        return language.say("qualified")
    return language.say("reserve {n}", n=verdict.number) if verdict.outcome == "reserve" else ""


def cut_title(cut: CutResult, wording: Wording) -> str:
    """The name of a cut; while marks are to come, that it only stands so for now."""
    name = wording.called(cut.cut.name)
    return name if cut.final else wording.say("{cut} (as it stands)", cut=name)


def cut_sentence(
    result: CutResult, line: CutLine, name_of: NameOf, language: Language, *, brief: bool = False
) -> str:
    """Why somebody qualifies, stands by or not; empty for those who were not placed yet.

    *brief*: without their number among those who qualify, and what no longer holds.
    """
    verdict, clauses = line.verdict, []
    is_over = line.called_up or line.withdrawn or bool(line.held_back)
    counted = line.withdrawn and not (verdict.by_tie or result.quota.of_each)
    told_else = (verdict.outcome == "qualified" and counted) or line.called_up
    if (verdict.outcome != "reserve" or not is_over) and not (brief and told_else):
        clauses.append(_verdict_clause(result, verdict, name_of, language))
    if verdict.by_jury:
        clauses.append(language.say("the place is shared: the jury decided the order"))
    if verdict.level and (verdict.outcome != "reserve" or not is_over):
        names = language.listed([name_of(key) for key in verdict.level])
        text = to_say("shares the number with {names}, since nobody decided between them")
        clauses.append(language.say(text, names=names))
    if verdict.by_order:
        text = to_say("the place is shared: the order of the list decides, unless the jury does")
        clauses.append(language.say(text))
    clauses += _replacement_clauses(result, line, name_of, language, brief=brief)
    return "; ".join(filter(None, clauses))


def is_plain(result: CutResult, line: CutLine) -> bool:
    """Among the best, or in reserve, and nothing more to say than that."""
    verdict = line.verdict
    more = verdict.by_tie or verdict.by_jury or verdict.level or verdict.by_order
    moved = line.called_up or line.withdrawn or line.held_back or line.unfilled
    among = verdict.outcome in ("qualified", "reserve") and not result.quota.of_each
    return among and not (more or moved)


def _verdict_clause(
    result: CutResult, verdict: Verdict, name_of: NameOf, language: Language
) -> str:
    if verdict.outcome == "qualified":
        return _qualified_clause(result, verdict, language)
    body, quota = body_word(result, language), result.quota
    if verdict.outcome == "capped":
        names = language.listed([name_of(key) for key in verdict.ahead])
        if quota.of_each:
            text = to_say("not eligible: the places of the {body} are taken by {names}")
            return language.say(text, body=body, names=names)
        return capped_clause(names, len(verdict.ahead), quota.cap, body, language)
    words = {
        **NEVER,
        "reserve": STANDS_BY,
        "beyond": BEYOND[bool(quota.reserves)],
        "unranked": to_say("takes no place on the list") if result.final else "",
    }[verdict.outcome]
    return language.say(words, body=body, mark=language.mark(quota.minimum))


def withdrew_clause(result: CutResult, language: Language) -> str:
    """That somebody withdrew from what a cut leads to."""
    return language.say("withdrew from the final") if result.cut.to else language.say("withdrew")


def body_word(result: CutResult, language: Language) -> str:
    """What a cut counts by: club, federation."""
    return language.say(BODY_WORDS[result.cut.per])


def _qualified_clause(result: CutResult, verdict: Verdict, language: Language) -> str:
    if verdict.by_tie:
        return language.say(BY_TIE)
    if result.quota.of_each:
        return language.count(
            "the best of one {body}", "number {number} of the best {n} of one {body}",
            result.quota.places, number=verdict.number, body=body_word(result, language),
        )  # fmt: skip
    return number_clause(verdict.number, result.through, language)


def _replacement_clauses(
    result: CutResult, line: CutLine, name_of: NameOf, language: Language, *, brief: bool
) -> Iterator[str]:
    """Who withdrew, who was called up for whom, and who was not because of the cap."""
    if line.withdrawn:
        yield withdrew_clause(result, language)
    if line.unfilled == "enough":
        yield language.say("nobody is called up: a tie had let in more than there are places")
    elif line.unfilled:
        yield language.say("nobody is left to be called up")
    if line.in_place_of is not None:
        text = to_say("called up in place of {names}")
        if brief and line.verdict.outcome == "capped" and result.quota.cap:
            text = to_say(
                "called up in place of {names}, until then not eligible: at most {cap} per {body}"
            )
        yield language.say(
            text,
            names=name_of(line.in_place_of),
            cap=result.quota.cap,
            body=body_word(result, language),
        )
    if line.held_back:
        yield language.count(
            "not called up: at most {cap} per {body}, and {names} stands before",
            "not called up: at most {cap} per {body}, and {names} stand before",
            len(line.held_back), cap=result.quota.cap, body=body_word(result, language),
            names=language.listed([name_of(key) for key in line.held_back]),
        )  # fmt: skip
