"""The rules applied to a meet, competition by competition, in the order they feed each other."""

from __future__ import annotations

from dataclasses import replace

from resultsgen.meet.competition import Competition
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.problems import Problem
from resultsgen.scoring.field import Field, performed
from resultsgen.scoring.filling import field
from resultsgen.scoring.finals import not_in_the_final, stand_ins, starters, waits_for
from resultsgen.scoring.lists import all_around, by_apparatus
from resultsgen.scoring.people import gymnasts
from resultsgen.scoring.ranking import Gymnast, Line, Routine
from resultsgen.scoring.results import CompetitionResults, MarksBeside, Results, Why
from resultsgen.scoring.starting import draws_that_do_not_fit, start_list, start_lists
from resultsgen.scoring.teams import team_ranking
from resultsgen.scoring.unsettled import (
    equals_not_decided,
    marks_to_come,
    nothing_to_carry,
    unsettled_ties,
)


def results(meet: Meet, before: Results | None = None) -> tuple[Results, list[Problem]]:
    """Everything that is placed in the meet, and what kept a placing from being certain.

    A competition that is equal to what it was *before* is the very same: what was made of it holds.
    It is not judged again where all that it was judged by is as it was.
    """
    known = before.by_id if before else {}
    everybody = gymnasts(meet)
    rules = meet.settings, meet.rule_sets, meet.entries, meet.rule_overrides, everybody
    last = (each.made[JUDGED_BY][0][1] for each in known.values())
    rules = next((then for *_, then in last if then == rules), rules)  # The same is soon compared.
    rows: dict[str, list[MarkRow]] = {}
    for row in meet.mark_rows:
        rows.setdefault(row.competition, []).append(row)
    fields: dict[str, Field] = {}
    judged: dict[str, CompetitionResults] = {}
    numbers = {each.id: number for number, each in enumerate(meet.settings.competitions)}
    problems: list[Problem] = []
    for competition in in_feeding_order(meet.settings.competitions):
        source = judged.get(competition.entered_from)
        chosen = starters(meet, competition, source, everybody)
        if chosen:
            problems += not_in_the_final(meet, competition, chosen)
        was, of = known.get(competition.id), (competition.id, *competition.fed_by)
        filled_by = chosen, [(rows.get(id), fields.get(id)) for id in of], rules
        if was is not None and was.made[FILLED_BY][0][1] == filled_by:
            these = replace(was.made[JUDGED_BY][0][1][0], meet=meet, competition=competition)
        else:
            these = field(meet, competition, everybody, chosen, fields)
        fields[competition.id] = these
        problems += nothing_to_carry(these)
        named = tuple(competition.starters)  # By apparatus: equal in whatever order they stand.
        by = these, named, source, rules
        if was is not None and was.made[JUDGED_BY][0][1] == by:
            made = was
        else:
            made = _judged(these, source)
            made = was if was is not None and was == made else made
        made.made[FILLED_BY], made.made[JUDGED_BY] = [((), filled_by)], [((), by)]
        problems += draws_that_do_not_fit(these, made.start_lists, numbers[competition.id])
        judged[competition.id] = made
    competitions = tuple(judged[each.id] for each in meet.settings.competitions)
    whole = Results(meet, competitions, everybody)
    unsettled = unsettled_ties(whole) + equals_not_decided(whole) + marks_to_come(whole)
    return whole, problems + unsettled


JUDGED_BY = "judged by"
"""Under this a competition has the field, whom people named in which order, what filled it, and the
rules that it was judged by."""

FILLED_BY = "filled by"
"""Under this what its field was made of: who was chosen, rows of marks, fields before it, rules."""


def _judged(these: Field, source: CompetitionResults | None) -> CompetitionResults:
    competition = these.competition
    ranks = competition.ranks
    starts = start_list(these)
    judged = CompetitionResults(
        competition=competition,
        rule_set=these.rule_set,
        apparatus=these.apparatus,
        starts=starts,
        all_around=all_around(these) if "all-around" in ranks else None,
        by_apparatus=by_apparatus(these) if "apparatus" in ranks else {},
        team=team_ranking(these, competition.team) if competition.team else None,
        routines=performed(these),
        rule_overrides=these.meet.rule_overrides.get(competition.id, ()),
        equals=these.meet.settings.equals,
        start_lists=start_lists(these, starts, source),
        all_around_totals=these.all_around_totals,
        years={
            each.gymnast.key: these.meet.entries[each.gymnast.key].birth_year for each in starts
        },
        stand_ins=tuple(stand_ins(these, source, starts)) if source else (),
        nobody_left=source is not None and source.complete and not starts,
        waits_for=waits_for(competition, source) if source and starts else "",
    )
    return replace(judged, beside=beside(judged))


def in_feeding_order(competitions: tuple[Competition, ...]) -> tuple[Competition, ...]:
    """A competition stands after those that fill it or that it takes marks from.

    Otherwise the meet's own order holds.
    """
    ordered: list[Competition] = []
    waiting = list(competitions)
    while waiting:
        known = {each.id for each in ordered}
        ready = [each for each in waiting if known.issuperset(each.fed_by)]
        ordered += ready or waiting
        waiting = [each for each in waiting if each not in ordered]
    return tuple(ordered)


def beside(judged: CompetitionResults) -> tuple[MarksBeside, ...]:
    """The marks that no list takes: a line for each gymnast, in order of name; a second vault has
    its own. Where the marks are those of other competitions, they show there.
    """
    home = judged.home
    if home is None or not judged.competition.has_own_marks:
        return ()
    performed = (each for ranking in judged.rankings for line in ranking.lines
                 for each in line.performed)  # fmt: skip
    shown = {(who.key, each.part) for who, routines in performed for each in routines if each}
    found: dict[tuple[int, Why], list[Routine]] = {}
    for who, routine in judged.routines:
        if (who.key, routine.part) not in shown:
            found.setdefault((who.key, _why(judged, who, routine)), []).append(routine)
    lines = []
    for start in judged.starts:
        for (key, why), routines in found.items():
            if key == start.gymnast.key:
                lines.append(MarksBeside(_beside_line(start.gymnast, home.parts, routines), why))
    return tuple(lines)


def _beside_line(who: Gymnast, parts: tuple[str, ...], routines: list[Routine]) -> Line:
    marks = [routine.mark for routine in routines if routine.mark is not None]
    by_apparatus = {routine.apparatus: routine for routine in routines}
    return Line(
        of=who,
        place=None,
        total=None,
        so_far=sum(marks) if marks else None,
        done=len(marks),
        status="",
        needed=len(parts),
        routines=tuple(by_apparatus.get(part) for part in parts),
    )


def _why(judged: CompetitionResults, who: Gymnast, routine: Routine) -> Why:
    if routine.vault == 2:
        return "second vault"
    if judged.by_apparatus:
        return "one vault"
    if judged.all_around:
        return "not in the all-around"
    return "guest" if who.guest else "no team"
