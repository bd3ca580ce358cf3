"""What a series and a qualification over meets say in sentences: rules, ties, what is decided."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import groupby

from resultsgen.language import Language, to_say
from resultsgen.season.criteria import CRITERIA
from resultsgen.season.qualifying import Qualification, QualifyingLine
from resultsgen.season.series import (
    SeriesLine,
    SeriesTable,
    SeriesTie,
    shown_points,
    shown_sum,
    shown_value,
)
from resultsgen.season.settings import OverMeets, QualificationSettings
from resultsgen.views.words.cuts import (
    BEYOND,
    BODY_WORDS,
    BY_TIE,
    STANDS_BY,
    capped_clause,
    number_clause,
)

Called = Callable[[str], str]
"""The name of a gymnast, team or club by what a line has."""
NAMED = 5
"""So many are named who can still win; more are counted."""


def shown(thousandths: Fraction, settings: OverMeets, language: Language) -> str:
    """What a series adds, as the language writes it."""
    return shown_sum(thousandths, settings, language.point)


def tie_sentence(tie: SeriesTie, held: SeriesTable, called: Called, language: Language) -> str:
    """How equal sums were told apart, with the numbers, and who shares a place."""
    total = next(line.sum for line in held.lines if line.who == tie.who[0])
    clauses = []
    for step in tie.steps:
        values = [
            f"{called(who)} {shown_value(value, step.criterion, held.settings, language.point)}"
            for who, value in zip(step.who, step.values, strict=True)
        ]
        criterion = language.say(step.criterion.words)
        text = to_say("placed by {criterion}: {values}")
        clauses.append(language.say(text, criterion=criterion, values=", ".join(values)))
    for place, group in groupby(zip(tie.places, tie.who, strict=True), lambda pair: pair[0]):
        names = [called(who) for _, who in group]
        if len(names) > 1:
            text = to_say("{names} share place {place}, as equal totals do by the rules")
            if held.settings.ties:
                text = to_say("{names} share place {place}, equal on every criterion")
            clauses.append(language.say(text, names=language.listed(names), place=place))
    lead = language.say("{total} each", total=shown(total, held.settings, language))
    return language.say("{lead}, {story}.", lead=lead, story="; ".join(clauses))


def rules(settings: OverMeets, language: Language) -> Iterator[str]:
    """How it counts, sentence by sentence."""
    if isinstance(settings, QualificationSettings):
        yield from _who_may(settings, language)
    yield from _what_counts(settings, language)
    if settings.of_club:
        yield language.count(
            "Of each club the best one counts in a round.",
            "Of each club the best {n} count in a round.", settings.of_club,
        )  # fmt: skip
    rounds = len(settings.rounds)
    if settings.best and settings.best < rounds:
        yield language.count(
            "The best of {rounds} rounds counts.", "The best {n} of {rounds} rounds count.",
            settings.best, rounds=rounds,
        )  # fmt: skip
    if settings.needed > 1:
        text = to_say("Who is in fewer than {n} rounds has no place.")
        yield language.say(text, n=settings.needed)
    words = {one.name: one.words for one in CRITERIA}
    if settings.ties:
        named = language.listed([language.say(words[name]) for name in settings.ties])
        text = to_say("Equal sums are told apart by {criteria}; who is still equal shares a place.")
        yield language.say(text, criteria=named)
    else:
        yield language.say("Equal sums share a place.")


def _who_may(settings: QualificationSettings, language: Language) -> Iterator[str]:
    """The standard, and how many qualify."""
    asked = []
    if settings.mark is not None:
        asked.append(language.say("{mark} or more", mark=language.mark(settings.mark)))
    if settings.place is not None:
        asked.append(language.say("place {place} or better", place=settings.place))
    if asked:
        yield language.count(
            "The standard: {standard}, in one of the meets.",
            "The standard: {standard}, in {n} of the meets.",
            settings.times, standard=language.say("{one} or {other}", one=asked[0], other=asked[1])
            if asked[1:] else asked[0],
        )  # fmt: skip
    if settings.places is not None:
        yield language.count("One qualifies.", "{n} qualify.", settings.places)
    if settings.reserves:
        yield language.count("One stands by.", "{n} stand by.", settings.reserves)
    if settings.cap:
        body = language.say(BODY_WORDS[settings.body])
        text = to_say("At most {cap} per {body}, those who stand by among them.")
        yield language.say(text, cap=settings.cap, body=body)


def _what_counts(settings: OverMeets, language: Language) -> Iterator[str]:
    def listed(points: tuple[int, ...]) -> str:
        return language.listed([shown_points(Fraction(one), language.point) for one in points])

    if settings.count == "totals":
        yield language.say("The totals of the rounds are added.")
    elif settings.count == "points":
        text = to_say("From the first place on there are {points} points in each round.")
        yield language.say(text, points=listed(settings.points))
        share = settings.tied == "share"
        yield language.say("Equals share the points of their places." if share else
                           "Equals each get the points of their place.")  # fmt: skip
    else:
        text = to_say("By place a match gives {points} points, an apparatus {sets} set points.")
        points, sets = listed(settings.match_points), listed(settings.sets)
        yield language.say(text, points=points, sets=sets)
        if settings.draw is not None:
            drawn = listed((settings.draw,))
            yield language.count(
                "A draw gives each team {points} point.", "A draw gives each team {points} points.",
                1 if drawn == "1" else 2 * (settings.draw >= 2000), points=drawn,
            )  # fmt: skip
        yield language.say("The set points decide a match." if settings.won_by == "sets" else
                           "The totals of the teams decide a match.")  # fmt: skip


def not_counted(held: SeriesTable, language: Language) -> Iterator[str]:
    """The rounds that run."""
    if running := [one.title for one in held.rounds if one.state == "running"]:
        text = to_say("{meets}: marks are still to come, and it does not count yet.")
        yield language.say(text, meets=language.listed(running))


def standing(held: SeriesTable, called: Called, language: Language) -> Iterator[str]:
    """What does not count yet, and what is decided, while rounds are to come."""
    if held.over:
        return
    yield from not_counted(held, language)
    if held.bound is None:
        if held.held:
            yield language.say(
                "Nobody knows how much a round can give at most: nothing is decided."
            )
        return
    can_win = [line for line in held.lines if line.outlook.first in ("sure", "possible")]
    if any(line.outlook.first == "sure" for line in can_win):
        winner = next(line for line in can_win if line.outlook.first == "sure")
        text = to_say("{name} has won, whatever the rounds to come bring.")
        yield language.say(text, name=called(winner.who))
    elif 1 < len(can_win) <= NAMED:
        names = language.listed([called(line.who) for line in can_win])
        yield language.say("{names} can still win.", names=names)
    yield from _lines_drawn(held, called, language)


def _lines_drawn(held: SeriesTable, called: Called, language: Language) -> Iterator[str]:
    up = [called(line.who) for line in held.lines if line.outlook.up == "sure"]
    down = [called(line.who) for line in held.lines if line.outlook.down == "sure"]
    if up:
        yield language.say("Sure of promotion: {names}.", names=language.listed(up))
    if down:
        yield language.say("Relegated for certain: {names}.", names=language.listed(down))


def state(line: SeriesLine, held: SeriesTable, language: Language) -> str:
    """What is decided of a line, in a few words; empty where nothing is."""
    outlook = line.outlook
    if held.over:
        level = to_say("level on the line")
        words = {
            ("sure", "up"): to_say("promoted"), ("possible", "up"): level,
            ("sure", "down"): to_say("relegated"), ("possible", "down"): level,
        }  # fmt: skip
    else:
        words = {
            ("sure", "first"): to_say("has won"), ("sure", "up"): to_say("sure of promotion"),
            ("sure", "down"): to_say("relegated"), ("no", "down"): to_say("cannot be relegated"),
            ("no", "first"): to_say("cannot win any more"),
        }  # fmt: skip
    for (sure, of), text in words.items():
        if getattr(outlook, of) == sure:
            return language.say(text)
    return ""


def qualifying_sentence(
    one: QualifyingLine, held: Qualification, called: Called, language: Language
) -> str:
    """Why somebody qualifies, stands by or not."""
    settings, clauses = held.settings, []
    if len(one.reached) == 1:
        title = next(each.title for each in held.ranking.rounds if each.id in one.reached)
        clauses.append(language.say("standard reached: {meets}", meets=title))
    elif one.reached:
        clauses.append(language.say("standard reached in {n} meets", n=len(one.reached)))
    if one.outcome == "no standard" and settings.times > 1:
        text = to_say("standard to be reached in {n} meets")
        clauses.append(language.say(text, n=settings.times))
    elif one.outcome == "no standard":
        clauses.append(language.say("standard not reached"))
    elif one.outcome == "unranked":
        clauses.append(language.say("was in fewer than {n} rounds", n=settings.needed))
    else:
        clauses.append(_by_list(one, held, called, language))
    return "; ".join(filter(None, clauses))


def _by_list(one: QualifyingLine, held: Qualification, called: Called, language: Language) -> str:
    """What the place in the list means."""
    settings = held.settings
    if one.outcome == "qualified":
        if one.verdict and one.verdict.by_tie:
            return language.say(BY_TIE)
        through = sum(line.outcome == "qualified" for line in held.lines)
        return "" if settings.places is None else number_clause(one.number, through, language)
    if one.outcome == "reserve":
        return language.say(STANDS_BY)
    if one.outcome == "capped":
        names = language.listed([called(who) for who in one.ahead])
        body = language.say(BODY_WORDS[settings.body])
        return capped_clause(names, len(one.ahead), settings.cap, body, language)
    return language.say(BEYOND[bool(settings.reserves)])
