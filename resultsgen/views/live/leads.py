"""Standings in sentences: who leads, how the lead changed, how close it is, who climbed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from resultsgen.live.competition import live
from resultsgen.live.standings import (
    Cluster,
    LiveSession,
    Standing,
    Standings,
    tightest,
    within,
)
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.words.wording import Wording

Names = Callable[[int], str]
"""The name of a gymnast or team by its key."""

CLOSE = 3
"""So many neighbours make a tight group."""


def story(session: LiveSession, names: Names, wording: Wording) -> Iterator[str]:
    """What is worth telling of one list in one session, as it stands after its last rotation."""
    last = session.standings[-1]
    yield from _lead(last, names, wording)
    yield from _changes(session, names, wording)
    yield from _longest(session, names, wording)
    yield from _close(last.leading, wording)
    yield from _climb(last, names, wording)


def _listed(keys: Sequence[int], names: Names, wording: Wording) -> str:
    return wording.language.listed([names(key) for key in keys])


def _lead(last: Standings, names: Names, wording: Wording) -> Iterator[str]:
    """Who leads, and by how much."""
    first = [line for line in last.leading if line.place == 1]
    behind = [line for line in last.leading if line.place == 1 + len(first)]
    if not first:
        return
    count, show = wording.language.count, wording.language.mark
    values = {
        "names": _listed([line.key for line in first], names, wording),
        "rotation": last.rotation,
        "total": show(first[0].total),
        "others": _listed([line.key for line in behind], names, wording),
        "margin": show(behind[0].behind_first) if behind else "",
    }
    if not last.level:
        yield count(
            "{names} leads those with {done} apparatus done, with {total}.",
            "{names} lead those with {done} apparatus done, with {total} each.",
            len(first), **values, done=first[0].done,
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


def _changes(session: LiveSession, names: Names, wording: Wording) -> Iterator[str]:
    """How often the lead changed hands, and to whom."""
    if len(session.leads) < 2:
        return
    yield course_of_the_lead(session, names, wording)


def course_of_the_lead(session: LiveSession, names: Names, wording: Wording) -> str:
    """Who led after which rotation, and how often that changed."""
    spells = [
        (_listed(keys, names, wording), [one.rotation for one in these])
        for keys, these in groupby(session.leads, lambda one: one.keys)
    ]
    if len(spells) == 1:
        return _never_changed(*spells[0], wording, always=session.always_level)
    story = "; ".join(_spell(led, rotations, wording) for led, rotations in spells)
    if not session.lead_changes:
        return wording.say(
            "The lead was shared at first and passed to nobody else: {story}.", story=story
        )
    return wording.language.count(
        "The lead changed once: {story}.",
        "The lead changed {n} times: {story}.",
        len(session.lead_changes),
        story=story,
    )


def _never_changed(led: str, rotations: list[int], wording: Wording, *, always: bool) -> str:
    """The same in front each time that all could be compared."""
    if always:
        return wording.say("{names} led after every rotation.", names=led)
    return wording.say(
        "{names} led each time that all had done as many apparatus: after rotations {rotations}.",
        names=led,
        rotations=wording.language.listed([str(one) for one in rotations]),
    )


def _spell(led: str, rotations: list[int], wording: Wording) -> str:
    """Who led after one rotation, or from one to another."""
    first, last = rotations[0], rotations[-1]
    if first == last:
        return wording.say("{names} after rotation {n}", names=led, n=first)
    if len(rotations) == 2 or last - first >= len(rotations):
        listed = wording.language.listed([str(one) for one in rotations])
        return wording.say("{names} after rotations {rotations}", names=led, rotations=listed)
    return wording.say(
        "{names} after rotations {first} to {last}", names=led, first=first, last=last
    )


def _longest(session: LiveSession, names: Names, wording: Wording) -> Iterator[str]:
    """Who led after most rotations in a row, where the lead changed at all."""
    if not session.lead_changes:
        return
    for reign in session.longest_reigns:
        if reign.rotations > 1:
            yield wording.say(
                "{name} led longest: after rotations {first} to {last}.",
                name=names(reign.key),
                first=reign.first,
                last=reign.last,
            )


def _close(group: tuple[Standing, ...], wording: Wording) -> Iterator[str]:
    """The spread of the first three, and where three neighbours are closer still."""
    first = within(group, group[CLOSE - 1].behind_first) if len(group) > CLOSE else None
    if first is None:
        return
    yield _spread(first, wording)
    closest = tightest(group, CLOSE)
    if closest and closest.first_place > 1 and closest.spread < first.spread:
        yield _spread(closest, wording)


def _spread(cluster: Cluster, wording: Wording) -> str:
    if cluster.first_place == cluster.last_place:
        n, place = len(cluster.keys), cluster.first_place
        return wording.say("{n} share place {place}.", n=n, place=place)
    if not cluster.spread:
        first, last = cluster.first_place, cluster.last_place
        return wording.say("Places {first} to {last} have the same total.", first=first, last=last)
    return wording.say(
        "Places {first} to {last} lie within {spread}.",
        first=cluster.first_place,
        last=cluster.last_place,
        spread=wording.language.mark(cluster.spread),
    )


def _climb(last: Standings, names: Names, wording: Wording) -> Iterator[str]:
    """Who gained most places in the last rotation, if it was more than one."""
    lines = [line for group in last.groups for line in group]
    most = max((line.moved or 0 for line in lines), default=0)
    climbed = [line.key for line in lines if line.moved == most]
    if most > 1 and len(climbed) <= CLOSE:
        yield wording.language.count(
            "{names} gained most in rotation {rotation}: {places} places.",
            "{names} gained most in rotation {rotation}: {places} places each.",
            len(climbed),
            names=_listed(climbed, names, wording),
            rotation=last.rotation,
            places=most,
        )


NAMED = 24
"""Of more than a few squads still to go the number is told, and no names."""


def leaders_so_far(results: Results, one: CompetitionResults, wording: Wording) -> Iterator[str]:
    """Who leads each apparatus with which mark, and who has still to go."""
    cells = lines_of(one, "apparatus", wording)
    lists = live(results)[one.competition.id].lists.values()
    for found in (listed for listed in lists if listed.kind == "apparatus"):
        first = [cells[line.key].text for line in found.first]
        to_go = [cells[key].text for key in found.to_go]
        values = {
            "apparatus": wording.apparatus(found.apparatus),
            "names": wording.language.listed(first) if first else "",
            "mark": wording.language.mark(found.first[0].total) if first else "",
            "others": ", ".join(to_go),
        }
        if not first:
            yield wording.say("{apparatus}: nobody is done yet.", **values)
        elif not to_go:
            yield wording.say("{apparatus}: {names} with {mark}; all are done.", **values)
        elif len(to_go) > NAMED:
            yield wording.say(
                "{apparatus}: {names} with {mark}; {n} are still to go.", n=len(to_go), **values
            )
        else:
            yield wording.say("{apparatus}: {names} with {mark}; still to go: {others}.", **values)
