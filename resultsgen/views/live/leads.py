"""Standings in sentences: who leads, how the lead changed, how close it is, who climbed.

Like is compared with like, as after each rotation.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from resultsgen.language import to_say
from resultsgen.live.competition import compared, in_front, is_running, live
from resultsgen.live.standings import Cluster, LiveSession, Standing, Standings, tightest, within
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of, marks_to_come, shown_name
from resultsgen.views.site.addresses import gymnast_target, list_target
from resultsgen.views.words.reasons import NameOf
from resultsgen.views.words.wording import Wording

CLOSE = 3
"""So many neighbours make a tight group."""

NAMED = 24
"""Of more than a few squads still to go the number is told, and no names."""


def story(
    session: LiveSession, names: NameOf, wording: Wording, *, several: bool = False
) -> Iterator[str]:
    """What is worth telling of one list in one session, as it stands after its last rotation.

    Who leads one of *several* sessions, or climbed in it, is said of that session.
    """
    last, of = session.standings[-1], session.session if several else ""
    yield from (of_session(told, of, wording) for told in _lead(last, names, wording))
    if len(session.leads) > 1:
        yield course_of_the_lead(session, names, wording)
    if session.lead_changes and len(session.longest_reigns) == 1:
        (reign,) = session.longest_reigns
        if reign.rotations > 1:
            yield wording.say(
                "{name} led longest: after rotations {first} to {last}.",
                name=names(reign.key), first=reign.first, last=reign.last,
            )  # fmt: skip
    # The spread of the first three, and where three neighbours are closer still.
    group = last.leading
    first = within(group, group[CLOSE - 1].behind_first) if len(group) > CLOSE else None
    if first is not None:
        yield _spread(first, wording)
        closest = tightest(group, CLOSE)
        if closest and closest.first_place > 1 and closest.spread < first.spread:
            yield _spread(closest, wording)
    yield from (of_session(told, of, wording) for told in _climb(last, names, wording))


def of_session(told: str, session: str, wording: Wording) -> str:
    """What is said of a session, with its name where it has one."""
    if not session:
        return told
    return wording.say("Session {session}: {told}", session=wording.called(session), told=told)


def _lead(last: Standings, names: NameOf, wording: Wording) -> Iterator[str]:
    first = [line for line in last.leading if line.place == 1]
    behind = [line for line in last.leading if line.place == 1 + len(first)]
    if not first:
        return
    count, show = wording.language.count, wording.language.mark
    values = {
        "names": wording.language.listed([names(line.key) for line in first]),
        "rotation": last.rotation,
        "total": show(first[0].total),
        "others": wording.language.listed([names(line.key) for line in behind]),
        "margin": show(behind[0].behind_first) if behind else "",
        "done": first[0].done,
    }
    if not last.level:
        yield count(
            "{names} leads those with {done} apparatus done, with {total}.",
            "{names} lead those with {done} apparatus done, with {total} each.",
            len(first), **values,
        )  # fmt: skip
    elif not behind:
        yield count(
            "{names} leads after rotation {rotation} with {total}.",
            "{names} lead after rotation {rotation} with {total} each.",
            len(first), **values,
        )  # fmt: skip
    elif not behind[0].behind_first:
        yield count(
            "{names} leads after rotation {rotation} with {total}, level with {others}.",
            "{names} lead after rotation {rotation} with {total} each, level with {others}.",
            len(first), **values,
        )  # fmt: skip
    else:
        yield count(
            "{names} leads after rotation {rotation} with {total}, {margin} ahead of {others}.",
            "{names} lead after rotation {rotation} with {total} each, {margin} ahead of {others}.",
            len(first), **values,
        )  # fmt: skip


def course_of_the_lead(session: LiveSession, names: NameOf, wording: Wording) -> str:
    """Who led after which rotation, and how often that changed."""
    say, listed = wording.say, wording.language.listed
    spells = [
        (listed([names(key) for key in keys]), [lead.rotation for lead in these])
        for keys, these in groupby(session.leads, lambda lead: lead.keys)
    ]
    if len(spells) == 1:
        ((led, rotations),) = spells
        if session.always_level:
            return say("{names} led after every rotation.", names=led)
        return say(
            "{names} led each time that all had done as many apparatus: after rotations "
            "{rotations}.",
            names=led, rotations=listed([*map(str, rotations)]),
        )  # fmt: skip
    story = "; ".join(_spell(led, rotations, wording) for led, rotations in spells)
    if not session.lead_changes:
        return say("The lead was shared at first and passed to nobody else: {story}.", story=story)
    return wording.language.count(
        "The lead changed once: {story}.", "The lead changed {n} times: {story}.",
        len(session.lead_changes), story=story,
    )  # fmt: skip


def _spell(led: str, rotations: list[int], wording: Wording) -> str:
    first, last = rotations[0], rotations[-1]
    if first == last:
        return wording.say("{names} after rotation {n}", names=led, n=first)
    if len(rotations) == 2 or last - first >= len(rotations):
        listed = wording.language.listed([*map(str, rotations)])
        return wording.say("{names} after rotations {rotations}", names=led, rotations=listed)
    return wording.say(
        "{names} after rotations {first} to {last}", names=led, first=first, last=last
    )


def _spread(cluster: Cluster, wording: Wording) -> str:
    first, last, say = cluster.first_place, cluster.last_place, wording.say
    if first == last:
        return say("{n} share place {place}.", n=len(cluster.keys), place=first)
    if not cluster.spread:
        return say("Places {first} to {last} have the same total.", first=first, last=last)
    spread = wording.language.mark(cluster.spread)
    return say(
        "Places {first} to {last} lie within {spread}.", first=first, last=last, spread=spread
    )


def _climb(last: Standings, names: NameOf, wording: Wording) -> Iterator[str]:
    """Who gained most places in the last rotation, if it was more than one."""
    lines = [line for group in last.groups for line in group]
    most = max((line.moved or 0 for line in lines), default=0)
    climbed = [names(line.key) for line in lines if line.moved == most]
    if most > 1 and len(climbed) <= CLOSE:
        yield wording.language.count(
            "{names} gained most in rotation {rotation}: {places} places.",
            "{names} gained most in rotation {rotation}: {places} places each.",
            len(climbed), names=wording.language.listed(climbed),
            rotation=last.rotation, places=most,
        )  # fmt: skip


def leaders_so_far(results: Results, judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """Who leads each apparatus with which mark, and who has still to go."""
    cells, say = lines_of(judged, "apparatus", wording), wording.say
    lists = live(results)[judged.competition.id].lists.values()
    for listed in (listed for listed in lists if listed.kind == "apparatus"):
        to_go = [cells[key].text for key in listed.to_go]
        first = [cells[line.key].text for line in listed.first]
        values = {
            "apparatus": wording.apparatus(listed.apparatus),
            "names": wording.language.listed(first),
            "mark": wording.language.mark(listed.first[0].total) if first else "",
            "others": ", ".join(to_go),
            "n": len(to_go),
        }
        if not first:
            yield say("{apparatus}: nobody is done yet.", **values)
        elif not to_go:
            yield say("{apparatus}: {names} with {mark}; all are done.", **values)
        elif len(to_go) > NAMED:
            yield say("{apparatus}: {names} with {mark}; {n} are still to go.", **values)
        else:
            yield say("{apparatus}: {names} with {mark}; still to go: {others}.", **values)


# The first of each list, as they stand on other pages


@dataclass(frozen=True)
class Leader:
    """One of the first of a list."""

    place: str
    name: str
    sub: str
    total: str
    target: str = ""
    behind: str = ""
    """Behind the first."""
    said: str = ""
    """How the name is said."""


@dataclass(frozen=True)
class Leaders:
    """The first of one list, and the way to the whole of it."""

    title: str
    target: str
    decided: bool
    rows: tuple[Leader, ...]


def highlights(
    results: Results, judged: CompetitionResults, places: int, wording: Wording
) -> Iterator[Leaders]:
    """The first of the all-around and of the teams; without both, who leads each apparatus."""
    whole = bool(judged.all_around or judged.team)
    every = all_leaders(results, judged, places if whole else 1, wording)
    for ranking, told in zip(judged.rankings, every, strict=True):
        if told.rows and not (whole and ranking.kind == "apparatus"):
            yield told


def all_leaders(
    results: Results, judged: CompetitionResults, places: int, wording: Wording
) -> Iterator[Leaders]:
    """The first of each list as it stands: while marks are to come, of those with most apparatus.

    Where somebody has more with less done: the highest sums so far, each with what is done.
    """
    lists = live(results)[judged.competition.id].lists
    for ranking in judged.rankings:
        listed, title = lists.get(ranking.id), wording.list_name(ranking.id)
        passed = ranking.of_teams or bool(listed and listed.passed_already)
        mixed = is_running(ranking) and passed
        if mixed:
            title = wording.say("{list}, by what there is so far", list=title)
        else:
            title, _ = next(compared_lists(results, ranking, wording), (title, ()))
        rows = (
            leader_of(ranking, standing, wording, mixed=mixed)
            for standing in in_front(results, ranking)
            if standing.place <= places
        )
        target = list_target(ranking.competition, ranking.id)
        yield Leaders(title, target, ranking.to_come == 0, tuple(rows))


def compared_lists(
    results: Results, ranking: Ranking, wording: Wording
) -> Iterator[tuple[str, tuple[Standing, ...]]]:
    """Those of a list who are compared with each other, and what they are called.

    While marks are to come, by how many apparatus are done; else all who are placed.
    """
    groups, name = compared(results, ranking), wording.list_name(ranking.id)
    if not is_running(ranking):
        yield name, tuple(line for group in groups for line in group)
        return
    if ranking.of_teams:
        for group in groups:
            yield wording.say("{list}, by what there is so far", list=name), group
        return
    for group in groups:
        done, of = group[0].done, ranking.by_key[group[0].key].needed
        text = to_say("{list}, after {done} of {all} apparatus")
        if done == of:
            text = to_say("{list}, of those who have finished")
        yield wording.say(text, list=name, done=done, all=of), group


def leader_of(
    ranking: Ranking, standing: Standing, wording: Wording, *, mixed: bool = False
) -> Leader:
    """One line of a list, as one of its first; where unequal are *mixed*, with what is done."""
    line, show = ranking.by_key[standing.key], wording.language.mark
    who, done = line.of, marks_to_come(line, wording)
    if mixed and who.kind == "gymnast":
        done = wording.language.count(
            "{n} apparatus done of {all}", "{n} apparatus done of {all}",
            standing.done, all=line.needed,
        )  # fmt: skip
    club = target = said = ""
    if who.kind == "gymnast":
        club, target, said = who.club or who.federation, gymnast_target(who), who.pronounced
    behind = show(-standing.behind_first) if standing.behind_first else ""
    return Leader(
        str(standing.place), shown_name(who, wording), ", ".join(filter(None, (club, done))),
        show(standing.total), target, behind, said,
    )  # fmt: skip
