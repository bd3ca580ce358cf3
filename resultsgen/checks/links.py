"""What must be true of competitions that take marks from others: days, carried marks, sharing."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.competitions import numbered
from resultsgen.checks.keys import in_cell, in_settings, unknown
from resultsgen.checks.marks import whose
from resultsgen.meet.competition import Competition
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.ruleset import TotalRule

LINKS = ("entered_from", "marks_of", "days", "carried_from")
"""The settings of a competition that name others which must be known before it."""


def named(here: Competition, link: str) -> tuple[str, ...]:
    """The ids that one of LINKS names."""
    found = getattr(here, link)
    return (found,) if isinstance(found, str) and found else tuple(found)


def linked_competitions_exist(meet: Meet) -> Iterator[Problem]:
    """Whatever a competition takes marks from is a competition of the meet."""
    ids = [competition.id for competition in meet.settings.competitions]
    for at, competition in numbered(meet):
        for link in LINKS[1:]:
            for number, id in enumerate(named(competition, link)):
                if id not in ids:
                    yield unknown((*at, link, number), "competition", id, ids)


def competitions_feed_no_circle(meet: Meet) -> Iterator[Problem]:
    """No competition is filled or fed, through others, from itself."""
    by_id = meet.settings.by_id
    feeding = {id: _feeding(by_id, id) for id in by_id}
    for at, competition in numbered(meet):
        for link in LINKS:
            for id in named(competition, link):
                if competition.id in feeding.get(id, ()):
                    circle = _way(by_id, id, competition.id, (competition.id,), set())
                    message = f"is filled from itself: {' from '.join(circle)}; break the circle"
                    yield in_settings((*at, link), "circle-of-competitions", message, id)


def _feeding(by_id: dict[str, Competition], id: str) -> dict[str, None]:
    """A competition, and all that feed it through others."""
    found, waiting = {id: None}, [id]
    for here in waiting:
        more = [other for other in by_id[here].fed_by if other in by_id and other not in found]
        found.update(dict.fromkeys(more))
        waiting += dict.fromkeys(more)
    return found


def _way(
    by_id: dict[str, Competition], here: str, to: str, path: tuple[str, ...], seen: set[str]
) -> tuple[str, ...]:
    """The way from one competition to another through what feeds it; empty if there is none."""
    if here == to:
        return (*path, here)
    if here in seen or here not in by_id:
        return ()
    seen.add(here)  # What did not lead there from one side does not from another.
    ways = (_way(by_id, id, to, (*path, here), seen) for id in by_id[here].fed_by)
    return next((way for way in ways if way), ())


def links_fit_the_rules(meet: Meet) -> Iterator[Problem]:
    """Days and carried marks are named where the rule set has them, and nowhere else."""
    for at, competition in numbered(meet):
        rules = meet.rule_sets[competition.id].totals
        for link, message in (
            *_misfits(meet, competition, rules),
            *_impossible(competition),
            *_unfit(meet, competition),
        ):
            is_link = link in LINKS
            value = ", ".join(named(competition, link)) if is_link else getattr(competition, link)
            yield in_settings((*at, link), "links-do-not-fit", message, str(value))


def _misfits(meet: Meet, here: Competition, rules: TotalRule) -> Iterator[tuple[str, str]]:
    """The setting that does not fit, and why; the rule set's words first."""
    if here.days and rules.days == "apart":
        mend = f'[rules."{here.rules}".totals]  days = "added"'
        yield "days", f"{here.rules} adds no days; choose another rule set, or change it:  {mend}"
    if rules.days == "added" and not _is_linked(meet, here):
        message = "adds days; name them:  days = [...]  in the competition that adds them"
        yield "rules", f"{here.rules} {message}"
    if here.carried_from and rules.carried == "nothing":
        yield "carried_from", f"{here.rules} carries nothing over; take it out, or change the rules"
    if (
        rules.carried != "nothing"
        and here.phase == "final"
        and not (here.carried_from or here.days)
    ):
        message = "carries half of two qualification marks; name both:  carried_from = [...]"
        yield "rules", f"{here.rules} {message}"


def _is_linked(meet: Meet, here: Competition) -> bool:
    """It adds days, is one of them, has to do with those that are, or others by its rules add."""
    others = meet.settings.competitions
    if here.days or here.carried_from or here.marks_of:
        return True
    return any(
        here.id in (*other.days, *other.carried_from, *other.marks_of)
        or (other.days and other.rules == here.rules)
        for other in others
    )


def _impossible(here: Competition) -> Iterator[tuple[str, str]]:
    """Links that cannot be followed, whatever the rules say."""
    if here.days and (here.marks_of or here.carried_from):
        yield "days", "days are added of whole competitions; take marks_of and carried_from out"
    if len(here.days) == 1 or len(set(here.days)) < len(here.days):
        yield "days", "two days or more are added, each once; name all of them"
    if here.carried_from and len(set(here.carried_from)) != 2:
        yield "carried_from", "half of two marks is carried; name two competitions"
    if here.carried_from and "team" in here.ranks:
        yield "carried_from", "nothing is carried into a team total; rank the teams apart"
    if here.marks and not here.has_own_marks:
        yield "marks", "its marks are those of others; take the file out"


def _unfit(meet: Meet, here: Competition) -> Iterator[tuple[str, str]]:
    for other in meet.settings.competitions:
        links = [link for link in LINKS[1:] if other.id in named(here, link)]
        if other is here or not links:
            continue
        if other.days:
            yield links[0], f"{other.id} has no marks, for it adds days; name the days instead"
        if other.marks_of and other.id in here.marks_of:
            yield "marks_of", f"{other.id} has no marks; name {', '.join(other.marks_of)} instead"
        if other.discipline != here.discipline:
            yield links[0], f"{other.id} is of another discipline"
        elif other.id in here.carried_from:
            there = meet.settings.apparatus_of(other)
            lacking = [code for code in meet.settings.apparatus_of(here) if code not in there]
            if lacking:
                yield (
                    "carried_from",
                    f"{other.id} has no {', '.join(lacking)} to be carried into it",
                )


def marks_are_entered_where_they_are_made(meet: Meet) -> Iterator[Problem]:
    """No mark is entered for a competition whose marks are those of others."""
    for competition in meet.settings.competitions:
        of = ", ".join(meet.settings.entered_under(competition))
        for row in meet.mark_rows if not competition.has_own_marks else ():
            if row.competition == competition.id:
                message = f"the marks of {competition.id} are those of {of}; write one of these"
                yield in_cell(meet, row, "competition", "marks-of-another", message)


def marks_are_shared_by_routine(meet: Meet) -> Iterator[Problem]:
    """A competition that takes the marks of others finds each routine in one of them."""
    for competition in meet.settings.competitions:
        ids = competition.marks_of
        first: dict[tuple[object, ...], MarkRow] = {}
        for row in meet.mark_rows if len(ids) > 1 else ():
            if row.gymnast is None or row.competition not in ids:
                continue
            if first.setdefault((row.gymnast, row.apparatus, row.vault), row) is not row:
                message = (
                    f"{whose(meet, row)} has marks in two of {', '.join(ids)}, and both would "
                    f"count in {competition.id}; take one of them out of its marks_of"
                )
                yield in_cell(meet, row, "mark", "second-mark", message, "")
