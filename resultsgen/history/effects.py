"""What corrections moved: places, ties and cuts, told apart from what new marks moved."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from resultsgen.history.changes import (
    NO_LIST,
    Changes,
    CutChange,
    LineChange,
    TieChange,
    different,
    is_withdrawal,
    lists_compared,
    places,
)
from resultsgen.history.publication import Publication, PublishedLine, PublishedList
from resultsgen.meet.folder import NAME


@dataclass(frozen=True, slots=True)
class Effects:
    """What corrections moved, and no mark that was added at the same time."""

    lines: tuple[LineChange, ...] = ()
    """With places among those to whom no mark was added."""
    ties: tuple[TieChange, ...] = ()
    cuts: tuple[CutChange, ...] = ()


EVERYBODY = None
"""Of a list of teams nobody knows whose marks were added."""


def effects(old: Publication, new: Publication, made: Changes) -> Effects:
    """What of these changes corrections can have made, told apart from what new marks moved.

    In a list to which marks were added in the same publication, only those are compared with one
    another to whom none was added: their places are counted among themselves. Who withdrew and who
    moved up for it, no correction moved.
    """
    added = {
        id: [change for change in made.added if change.competition in these]
        for id, these in _sources(new).items()
    }

    def late(competition: str, list: str) -> frozenset[str] | None:
        """The persons whose total in a list has grown."""
        if list == "team":
            return EVERYBODY if added[competition] else frozenset()
        marks = (change.key for change in added[competition])
        return frozenset(who for who, code, _ in marks if list in ("all-around", code))

    lines: list[LineChange] = []
    for id, was, now in lists_compared(old, new):
        these = late(id, now.id)
        if was is not NO_LIST and these is not EVERYBODY:
            both = (_among_themselves(held, these) for held in (was, now))
            found = different(id, now.id, *both)
            lines += (change for change in found if len({*places(change)}) == 2)
    ties = []
    for tie in made.ties:
        these = late(tie.competition, tie.list)
        if these is not EVERYBODY and not these & set(tie.key):
            ties.append(tie)
    cuts = (cut for cut in made.cuts if not (is_withdrawal(cut) or added[cut.competition]))
    return Effects(tuple(lines), tuple(ties), tuple(cuts))


def moved_by_no_mark(old: Publication, new: Publication, made: Changes) -> tuple[str, ...]:
    """Competitions with other places, totals or qualifiers that no mark of theirs explains.

    A rule, a cut or a team penalty was changed. In each list those are compared with one another
    of whom nothing else is told: no mark, no coming or going, no other club. A final is moved by
    the marks of the competition that fills it as well, and a list by those whose marks count.
    """
    # Of each competition, everybody of whom something is told that may move a place; who comes or
    # goes without a mark moves nobody.
    had = {mark.bib for held in old.competitions for mark in held.marks if mark.mark is not None}
    told = {
        *(person for person in made.gymnasts_gone if person in had),
        *(one.key[0] for one in made.facts if one.key[0] and one.key[1] not in ("bib", NAME)),
    }
    marks = [
        change
        for change in (*made.added, *made.corrected)
        if any(mark and mark.mark is not None for mark in (change.old, change.new))
    ]
    touched = {
        id: frozenset(told | {change.key[0] for change in marks if change.competition in these})
        for id, these in _sources(new).items()
    }
    known = {
        (one.id, held.id, cut.name)
        for one in old.competitions
        for held in one.lists
        for cut in held.cuts
    }
    lines = (
        id
        for id, was, now in lists_compared(old, new)
        if was is not NO_LIST and _otherwise(was, now, touched[id])
    )
    cuts = (
        cut.competition
        for cut in made.cuts
        if (cut.competition, cut.list, cut.key[0]) in known
        and not is_withdrawal(cut)
        and not touched.get(cut.competition)
    )
    return tuple(dict.fromkeys((*lines, *cuts)))


def _sources(new: Publication) -> dict[str, set[str]]:
    """Each competition with all that feed it, through others too."""
    fed_by = {one.id: {one.entered_from, *one.marks_from} for one in new.competitions}
    every: dict[str, set[str]] = {}
    for id in fed_by:
        found, waiting = {id}, [id]
        while waiting:
            further = fed_by.get(waiting.pop(), set()) - found
            found |= further
            waiting += further
        every[id] = found
    return every


def _otherwise(was: PublishedList, now: PublishedList, touched: frozenset[str]) -> bool:
    """Are those of whom nothing is told placed otherwise among themselves, or have other totals?

    Does a team lose what it did not lose, or is somebody in another team though nothing is told of
    it (a withheld club is no fact)? Records of version 1.0 kept neither penalties nor members.
    """
    members_known = any(line.members for line in was.lines)
    apart = touched
    if was.id == "team":
        if touched and not members_known:
            return False
        both = (*was.lines, *now.lines)
        apart = frozenset(line.who for line in both if touched & set(line.members))
    before, after = (_among_themselves(held, apart) for held in (was, now))
    return (members_known and _teams_otherwise(was, now, touched)) or any(
        (other := after.get(who)) is None or (line.place, line.total) != (other.place, other.total)
        for who, line in before.items()
        if line.total is not None
    )


def _teams_otherwise(was: PublishedList, now: PublishedList, touched: frozenset[str]) -> bool:
    """Is a penalty another, or the team of somebody of whom nothing is told?"""
    before, after = ({line.who: line.penalty for line in held.lines} for held in (was, now))
    if any(before[who] != after[who] for who in before.keys() & after.keys()):
        return True
    of, now_of = (
        {person: line.who for line in held.lines for person in line.members} for held in (was, now)
    )
    return any(of[person] != now_of[person] for person in (of.keys() & now_of.keys()) - touched)


def _among_themselves(held: PublishedList, apart: frozenset[str]) -> dict[str, PublishedLine]:
    """The lines of those who are compared, with their places among themselves."""
    lines = [line for line in held.lines if line.who not in apart]
    given = sorted(line.place for line in lines if line.place is not None)
    return {
        line.who: line._replace(place=line.place and 1 + bisect_left(given, line.place))
        for line in lines
    }
