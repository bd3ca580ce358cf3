"""What corrections moved: places, ties and cuts, told apart from what new marks moved.

In a list to which marks were added in the same publication, only those are compared with one
another to whom none was added: their places are counted among themselves. Who withdrew and who
moved up for it, no correction moved.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping

from resultsgen.history.changes import Changes, LineChange, MarkChange, Moved
from resultsgen.history.publication import NAME, Publication, PublishedLine, PublishedList

EVERYBODY = None
"""Of a list of teams nobody knows whose marks were added."""


def moved(old: Publication, new: Publication, made: Changes) -> Moved:
    """What of these changes corrections can have made; the lines with places as compared."""
    added = marks_added(new, made)
    late = {(id, name): _late(name, these) for id, these in added.items() for name in _names(new)}

    def untouched(competition: str, name: str, *who: str) -> bool:
        these = late.get((competition, name), frozenset())
        return these is not EVERYBODY and not these & set(who)

    return Moved(
        lines=tuple(
            change
            for id, was, now in _lists(old, new)
            if (these := late.get((id, now.id), frozenset())) is not EVERYBODY
            for change in _lines(id, was, now, these)
        ),
        ties=tuple(one for one in made.ties if untouched(one.competition, one.list, *one.who)),
        cuts=tuple(
            one for one in made.cuts if not (one.is_withdrawal or added.get(one.competition))
        ),
    )


def moved_by_no_mark(old: Publication, new: Publication, made: Changes) -> Iterator[str]:
    """Competitions with other places, totals or qualifiers that no mark of theirs explains.

    A rule, a cut or a team penalty was changed. In each list those are compared with one another
    of whom nothing else is told: no mark, no coming or going, no other club. A final is moved by
    the marks of the competition that fills it as well, and a list by those whose marks count.
    """
    touched = _touched(old, new, made)
    known = {
        (one.id, held.id, cut.name)
        for one in old.competitions
        for held in one.lists
        for cut in held.cuts
    }
    lines = (id for id, was, now in _lists(old, new) if _otherwise(was, now, touched[id]))
    cuts = (
        one.competition
        for one in made.cuts
        if (one.competition, one.list, one.cut) in known
        and not one.is_withdrawal
        and not touched.get(one.competition)
    )
    yield from dict.fromkeys((*lines, *cuts))


def _touched(old: Publication, new: Publication, made: Changes) -> dict[str, frozenset[str]]:
    """Of each competition, everybody of whom something is told that may move a place.

    Who comes or goes without a mark moves nobody.
    """
    placed = {one.bib for held in old.competitions for one in held.marks if one.mark is not None}
    told = {
        *(person for person in made.gymnasts_gone if person in placed),
        *(one.person for one in made.facts if one.person and one.what not in ("bib", NAME)),
    }
    marks = [one for one in (*made.added, *made.corrected) if _counts(one)]
    sources = {one.id: {one.entered_from, *one.marks_from} for one in new.competitions}
    return {
        id: frozenset(told | {one.key[0] for one in marks if one.competition in these})
        for id in sources
        for these in [all_sources(id, sources)]
    }


def _counts(one: MarkChange) -> bool:
    """Was there a mark, or is there one?"""
    return any(mark and mark.mark is not None for mark in (one.old, one.new))


def _otherwise(was: PublishedList, now: PublishedList, touched: frozenset[str]) -> bool:
    """Are those of whom nothing is told placed otherwise among themselves, or have other totals?"""
    late = _late_teams(was, now, touched) if was.id == "team" else touched
    if late is EVERYBODY:
        return False
    before, after = (_compared(held, late) for held in (was, now))
    return (
        _penalised(was, now)
        or _in_another_team(was, now, touched)
        or any(
            (other := after.get(who)) is None
            or (line.place, line.total) != (other.place, other.total)
            for who, line in before.items()
            if line.total is not None
        )
    )


def _penalised(was: PublishedList, now: PublishedList) -> bool:
    """Does a team lose what it did not lose? Records of version 1.0 did not keep it."""
    before, after = ({one.who: one.penalty for one in held.lines} for held in (was, now))
    known = any(one.members for one in was.lines)
    return known and any(before[who] != after[who] for who in before.keys() & after.keys())


def _in_another_team(was: PublishedList, now: PublishedList, touched: frozenset[str]) -> bool:
    """Is somebody in another team though nothing is told of it? A withheld club is no fact."""
    before, after = (
        {person: line.who for line in held.lines for person in line.members} for held in (was, now)
    )
    both = (before.keys() & after.keys()) - touched
    return any(before[person] != after[person] for person in both)


def _late_teams(
    was: PublishedList, now: PublishedList, touched: frozenset[str]
) -> frozenset[str] | None:
    """The teams with somebody of whom something is told; EVERYBODY where no members are kept."""
    if touched and not any(one.members for one in was.lines):
        return EVERYBODY
    return frozenset(one.who for one in (*was.lines, *now.lines) if touched & set(one.members))


def marks_added(new: Publication, made: Changes) -> dict[str, list[MarkChange]]:
    """The added marks that count in each competition, be it by another that feeds it."""
    sources = {one.id: {one.entered_from, *one.marks_from} for one in new.competitions}
    feeding = {id: all_sources(id, sources) for id in sources}
    return {
        id: [one for one in made.added if one.competition in these] for id, these in feeding.items()
    }


def all_sources(id: str, sources: Mapping[str, set[str]]) -> set[str]:
    """A competition with all that feed it, through others too."""
    found, waiting = {id}, [id]
    while waiting:
        further = sources.get(waiting.pop(), set()) - found
        found |= further
        waiting += further
    return found


def _names(new: Publication) -> set[str]:
    return {held.id for one in new.competitions for held in one.lists}


def _late(name: str, added: list[MarkChange]) -> frozenset[str] | None:
    """The persons whose total in a list has grown."""
    if name == "team":
        return EVERYBODY if added else frozenset()
    return frozenset(one.key[0] for one in added if name in ("all-around", one.key[1]))


def _lists(
    old: Publication, new: Publication
) -> Iterator[tuple[str, PublishedList, PublishedList]]:
    """Every list that was there, still is, and may be otherwise."""
    before = {(one.id, held.id): held for one in old.competitions for held in one.lists}
    for one in new.competitions:
        for now in one.lists:
            if before.get((one.id, now.id), now) is not now:
                yield one.id, before[one.id, now.id], now


def _lines(
    id: str, was: PublishedList, now: PublishedList, late: frozenset[str]
) -> Iterator[LineChange]:
    """Who has another place than before among those who are compared, the list from the top."""
    before, after = (_compared(held, late) for held in (was, now))
    for who in dict.fromkeys((*after, *before)):
        line, other = before.get(who), after.get(who)
        if (line and line.place) != (other and other.place):
            yield LineChange(id, now.id, line, other)


def _compared(held: PublishedList, late: frozenset[str]) -> dict[str, PublishedLine]:
    """The lines of those who are compared, with their places among themselves."""
    lines = [one for one in held.lines if one.who not in late]
    places = sorted(one.place for one in lines if one.place is not None)
    return {
        one.who: one._replace(place=one.place and 1 + bisect_left(places, one.place))
        for one in lines
    }
