"""What must be true of competitions that take marks from others: days, carried marks, sharing."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.competitions import numbered
from resultsgen.checks.keys import key_path
from resultsgen.checks.marks import ROUTINE, mark_problem, whose, wrong_rows
from resultsgen.checks.settings import setting
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.ruleset import TotalRule
from resultsgen.meet.settings import Competition

LINKS = ("entered_from", "marks_of", "days", "carried_from")
"""The settings of a competition that name others which must be known before it."""


def named(one: Competition, link: str) -> tuple[str, ...]:
    """The ids that one of LINKS names."""
    found = getattr(one, link)
    return (found,) if isinstance(found, str) and found else tuple(found)


def linked_competitions_exist(meet: Meet) -> Iterator[Problem]:
    """Whatever a competition takes marks from is a competition of the meet."""
    ids = [one.id for one in meet.settings.competitions]
    for number, one in numbered(meet):
        for link in LINKS[1:]:
            for place, id in enumerate(named(one, link)):
                if id not in ids:
                    path = key_path("competition", number, link, place)
                    message = f"there is no competition {id}; there are {', '.join(ids)}"
                    yield setting(path, "unknown-competition", message, id)


def competitions_feed_no_circle(meet: Meet) -> Iterator[Problem]:
    """No competition is filled or fed, through others, from itself."""
    by_id = {one.id: one for one in meet.settings.competitions}
    for number, one in numbered(meet):
        for link in LINKS:
            for id in named(one, link):
                circle = _way(by_id, id, one.id, (one.id,))
                if circle:
                    message = f"is filled from itself: {' from '.join(circle)}; break the circle"
                    where = key_path("competition", number, link)
                    yield setting(where, "circle-of-competitions", message, id)


def _way(
    by_id: dict[str, Competition], here: str, to: str, path: tuple[str, ...]
) -> tuple[str, ...]:
    """The way from one competition to another through what feeds it; empty if there is none."""
    if here == to:
        return (*path, here)
    if here in path or here not in by_id:
        return ()
    ways = (_way(by_id, id, to, (*path, here)) for id in by_id[here].fed_by)
    return next((way for way in ways if way), ())


def links_fit_the_rules(meet: Meet) -> Iterator[Problem]:
    """Days and carried marks are named where the rule set has them, and nowhere else."""
    for number, one in numbered(meet):
        rules = meet.rule_sets[one.id].totals
        for link, message in _misfits(meet, one, rules):
            value = ", ".join(named(one, link)) if link in LINKS else str(getattr(one, link))
            yield setting(key_path("competition", number, link), "links-do-not-fit", message, value)


def _misfits(meet: Meet, one: Competition, rules: TotalRule) -> Iterator[tuple[str, str]]:
    """The setting that does not fit, and why; the rule set's words first."""
    if one.days and rules.days == "apart":
        mend = f'[rules."{one.rules}".totals]  days = "added"'
        yield "days", f"{one.rules} adds no days; choose another rule set, or change it:  {mend}"
    if rules.days == "added" and not _is_linked(meet, one):
        message = "adds days; name them:  days = [...]  in the competition that adds them"
        yield "rules", f"{one.rules} {message}"
    if one.carried_from and rules.carried == "nothing":
        yield "carried_from", f"{one.rules} carries nothing over; take it out, or change the rules"
    if rules.carried != "nothing" and one.phase == "final" and not (one.carried_from or one.days):
        message = "carries half of two qualification marks; name both:  carried_from = [...]"
        yield "rules", f"{one.rules} {message}"
    yield from _impossible(meet, one)


def _is_linked(meet: Meet, one: Competition) -> bool:
    """It adds days, is one of them, has to do with those that are, or others by its rules add."""
    others = meet.settings.competitions
    if one.days or one.carried_from or one.marks_of:
        return True
    return any(
        one.id in (*other.days, *other.carried_from, *other.marks_of)
        or (other.days and other.rules == one.rules)
        for other in others
    )


def _impossible(meet: Meet, one: Competition) -> Iterator[tuple[str, str]]:
    """Links that cannot be followed, whatever the rules say."""
    if one.days and (one.marks_of or one.carried_from):
        yield "days", "days are added of whole competitions; take marks_of and carried_from out"
    if len(one.days) == 1 or len(set(one.days)) < len(one.days):
        yield "days", "two days or more are added, each once; name all of them"
    if one.carried_from and len(set(one.carried_from)) != 2:
        yield "carried_from", "half of two marks is carried; name two competitions"
    if one.carried_from and "team" in one.ranks:
        yield "carried_from", "nothing is carried into a team total; rank the teams apart"
    if one.marks and not one.has_own_marks:
        yield "marks", "its marks are those of others; take the file out"
    yield from _unfit(meet, one)


def _unfit(meet: Meet, one: Competition) -> Iterator[tuple[str, str]]:
    """Links to competitions whose marks cannot be taken."""
    for other in meet.settings.competitions:
        links = [link for link in LINKS[1:] if other.id in named(one, link)]
        if other is one or not links:
            continue
        if other.days:
            yield links[0], f"{other.id} has no marks, for it adds days; name the days instead"
        if other.marks_of and other.id in one.marks_of:
            yield "marks_of", f"{other.id} has no marks; name {', '.join(other.marks_of)} instead"
        if other.discipline != one.discipline:
            yield links[0], f"{other.id} is of another discipline"
        elif other.id in one.carried_from:
            yield from _not_carried(meet, one, other)


def _not_carried(meet: Meet, one: Competition, other: Competition) -> Iterator[tuple[str, str]]:
    there = meet.settings.apparatus_of(other)
    lacking = [code for code in meet.settings.apparatus_of(one) if code not in there]
    if lacking:
        yield "carried_from", f"{other.id} has no {', '.join(lacking)} to be carried into it"


def marks_are_entered_where_they_are_made(meet: Meet) -> Iterator[Problem]:
    """No mark is entered for a competition whose marks are those of others."""
    for one in meet.settings.competitions:
        if one.has_own_marks:
            continue
        of = ", ".join(meet.settings.entered_under(one))
        for row in wrong_rows(meet.marks, meet.marks["competition"].eq(one.id)):
            message = f"the marks of {one.id} are those of {of}; write one of these"
            yield mark_problem(meet, row, "competition", "marks-of-another", message, one.id)


def marks_are_shared_by_routine(meet: Meet) -> Iterator[Problem]:
    """A competition that takes the marks of others finds each routine in one of them."""
    for one in meet.settings.competitions:
        if len(one.marks_of) < 2:
            continue
        rows = meet.marks[meet.marks["competition"].isin(one.marks_of)]
        rows = rows[rows["gymnast"].notna()]
        for row in wrong_rows(rows, rows.duplicated(ROUTINE[1:])):
            message = (
                f"{whose(row)} has marks in two of {', '.join(one.marks_of)}, and both would "
                f"count in {one.id}; take one of them out of its marks_of"
            )
            yield mark_problem(meet, row, "mark", "second-mark", message)
