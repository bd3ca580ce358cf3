"""What a cut means in plain words: the line itself, and for everybody why."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.language import Language, to_say
from resultsgen.rules.cuts import Verdict
from resultsgen.scoring.results import CutLine, CutResult
from resultsgen.views.words.words import NameOf

BODY_WORDS = {
    "federation": to_say("federation"),
    "club": to_say("club"),
    "team": to_say("team"),
    "division": to_say("division"),
}


def cut_mark(verdict: Verdict) -> str:
    """What stands beside a total: Q, R1, R2 ... or nothing."""
    if verdict.outcome == "qualified":
        return "Q"
    return f"R{verdict.number}" if verdict.outcome == "reserve" else ""


def cut_sentence(result: CutResult, line: CutLine, name_of: NameOf, language: Language) -> str:
    """Why somebody goes through, stands by or not; empty for those who were not placed yet."""
    clauses = (
        [] if _has_stood_by(line) else [_verdict_clause(result, line.verdict, name_of, language)]
    )
    if line.verdict.by_jury:
        clauses.append(language.say("the place is shared: the jury decided the order"))
    if line.verdict.level and not _has_stood_by(line):
        clauses.append(
            language.say(
                "shares the number with {names}, since nobody decided between them",
                names=language.listed([name_of(key) for key in line.verdict.level]),
            )
        )
    if line.verdict.by_order:
        clauses.append(
            language.say("the place is shared: the order of the list decides, unless the jury does")
        )
    clauses += _replacement_clauses(result, line, name_of, language)
    return "; ".join(clause for clause in clauses if clause)


def _has_stood_by(line: CutLine) -> bool:
    """A reserve of whom there is more to tell than that she stands by."""
    is_over = line.called_up or line.withdrawn or bool(line.held_back)
    return line.verdict.outcome == "reserve" and is_over


def _verdict_clause(
    result: CutResult, verdict: Verdict, name_of: NameOf, language: Language
) -> str:
    if verdict.outcome == "qualified":
        return _qualified_clause(result, verdict, language)
    if verdict.outcome == "capped":
        return _passed_over_clause(result, verdict, name_of, language)
    plain = {
        "reserve": language.say("stands by if somebody withdraws"),
        "below minimum": language.say(
            "below the minimum of {mark}", mark=language.mark(result.quota.minimum)
        ),
        "beyond": _beyond_clause(result, language),
        "no body": language.say(
            "belongs to no {body}, and each {body} has its own places", body=_body(result, language)
        ),
        "guest": language.say("guest: cannot qualify"),
        "unranked": language.say("takes no place on the list") if result.final else "",
    }
    return plain[verdict.outcome]


def _body(result: CutResult, language: Language) -> str:
    """What the cut counts by: federation, club, team or division."""
    return language.say(BODY_WORDS[result.cut.per])


def _qualified_clause(result: CutResult, verdict: Verdict, language: Language) -> str:
    if verdict.by_tie:
        return language.say("goes through as well: the tie for the last place cannot be broken")
    if result.quota.of_each:
        return language.count(
            "the best of one {body}",
            "number {number} of the best {n} of one {body}",
            result.quota.places,
            number=verdict.number,
            body=_body(result, language),
        )
    return language.count(
        "the one who goes through",
        "number {number} of the {n} who go through",
        result.through,
        number=verdict.number,
    )


def _passed_over_clause(
    result: CutResult, verdict: Verdict, name_of: NameOf, language: Language
) -> str:
    names = language.listed([name_of(key) for key in verdict.ahead])
    if result.quota.of_each:
        return language.say(
            "passed over: the places of the {body} are taken by {names}",
            body=_body(result, language),
            names=names,
        )
    return language.count(
        "passed over: at most {cap} of one {body}, and {names} stands before",
        "passed over: at most {cap} of one {body}, and {names} stand before",
        len(verdict.ahead),
        cap=result.quota.cap,
        body=_body(result, language),
        names=names,
    )


def _beyond_clause(result: CutResult, language: Language) -> str:
    """Why it does not reach so far, for those behind everybody who goes through or stands by."""
    if result.quota.reserves:
        return language.say("all places and reserves are taken by those before")
    return language.say("all places are taken by those before")


def _replacement_clauses(
    result: CutResult, line: CutLine, name_of: NameOf, language: Language
) -> Iterator[str]:
    """Who withdrew, who was called up for whom, and who was not because of the cap."""
    if line.withdrawn:
        yield language.say("withdrew from the final") if result.cut.to else language.say("withdrew")
    if line.unfilled == "enough":
        yield language.say("nobody is called up: a tie had let in more than there are places")
    elif line.unfilled:
        yield language.say("nobody is left to be called up")
    if line.in_place_of is not None:
        yield language.say("called up in place of {names}", names=name_of(line.in_place_of))
    if line.held_back:
        yield language.count(
            "not called up: at most {cap} of one {body}, and {names} stands before",
            "not called up: at most {cap} of one {body}, and {names} stand before",
            len(line.held_back),
            cap=result.quota.cap,
            body=_body(result, language),
            names=language.listed([name_of(key) for key in line.held_back]),
        )


def cut_rule_sentence(result: CutResult, language: Language) -> str:
    """The cut itself in plain words: places, cap, reserves, minimum."""
    clauses = [
        _places_clause(result, language),
        _cap_clause(result, language),
        _reserves_clause(result, language),
    ]
    if result.quota.minimum is not None:
        least = language.mark(result.quota.minimum)
        clauses.append(language.say("a minimum of {mark} is needed", mark=least))
    if result.usual:
        clauses.append(language.say("as is usual by the rule set"))
    return ", ".join(filter(None, clauses))


def _places_clause(result: CutResult, language: Language) -> str:
    cut, places = result.cut, result.quota.places
    if cut.each is not None:
        return language.count(
            "the best of each {body} goes through",
            "the best {n} of each {body} go through",
            places,
            body=_body(result, language),
        )
    if cut.percent == 100:
        return language.say("everybody who is placed goes through")
    if cut.percent is None:
        return language.count("{n} goes through", "the best {n} go through", places)
    if cut.rounding == "up":
        return language.say(
            "the best {n} per cent of those placed go through, a fraction of a place counting "
            "as one",
            n=cut.percent,
        )
    return language.say(
        "the best {n} per cent of those placed go through, a fraction of a place counting as none",
        n=cut.percent,
    )


def _cap_clause(result: CutResult, language: Language) -> str:
    quota, body = result.quota, _body(result, language)
    if not quota.cap or quota.of_each:
        return ""
    if quota.reserves_count:
        return language.say(
            "at most {cap} of one {body}, reserves included", cap=quota.cap, body=body
        )
    return language.say(
        "at most {cap} of one {body}, reserves not counted", cap=quota.cap, body=body
    )


def _reserves_clause(result: CutResult, language: Language) -> str:
    reserves = result.quota.reserves
    if not reserves:
        return ""
    if result.quota.of_each:
        return language.count(
            "{n} reserve of each {body}",
            "{n} reserves of each {body}",
            reserves,
            body=_body(result, language),
        )
    return language.count("{n} reserve", "{n} reserves", reserves)
