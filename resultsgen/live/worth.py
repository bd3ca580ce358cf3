"""Which of the things that somebody needs are worth telling: in reach, and saying something.

The most valuable first: what the routine to come decides goes before what hangs on several; in a
final the all-around before the apparatus, and the lead before a medal; in a qualification to make
a cut before anything else. Source: what is announced in halls, from common practice.
"""

from __future__ import annotations

from collections.abc import Iterable

from resultsgen.live.competition import LiveCompetition
from resultsgen.live.needs import Need

FINAL = ("lead", "medal", "cut")
QUALIFICATION = ("cut", "lead", "medal")


def says_something(need: Need, lowest: int) -> bool:
    """As it stands it is not only that few have done as much: they fill the places.

    A sum that asks of each mark for less than the *lowest* so far says no more than that others
    have still to do theirs; so does one mark, where it is about others of the own body.
    """
    trivial = 0 < need.average < lowest
    if need.rivals >= need.places:
        return not (trivial and need.count > 1)
    return bool(need.capped) and not trivial


def safe(need: Need, bound: int | None) -> int | None:
    """The least that is enough whatever the others do; None where none is, or nobody knows."""
    return _within(need.safe, need, bound)


def safe_shared(need: Need, bound: int | None) -> int | None:
    """The least with which nobody can pass, where none keeps the others from drawing level."""
    return _within(need.safe_shared, need, bound) if safe(need, bound) is None else None


def _within(mark: int | None, need: Need, bound: int | None) -> int | None:
    out = mark is None or (bound is not None and mark > bound * need.count)
    return None if out else mark


def worth_telling(needs: Iterable[Need], now: LiveCompetition) -> list[Need]:
    """What is in reach and says something, the most valuable first."""
    found: list[Need] = []
    for need in sorted(needs, key=lambda need: _rank(need, final=now.is_final)):
        in_reach = now.highest is None or need.within(now.highest)
        surely = safe(need, now.highest)
        told = says_something(need, now.lowest) or surely is not None
        if not need.wins and surely == 0 and any(other.list == need.list for other in found):
            continue
        if not says_something(need, now.lowest) and surely == (now.highest or 0) * need.count:
            continue  # The best marks there can be: of anybody so early.
        if need.field >= need.places and in_reach and told and not _is_no_easier(need, found):
            found.append(need)
    return found


def _rank(need: Need, *, final: bool) -> tuple[int, ...]:
    aims = FINAL if final else QUALIFICATION
    aim, list = aims.index(need.aim), need.list not in ("all-around", "team")
    return need.count > 1, not need.last, *((list, aim) if final else (aim, list))


def _is_no_easier(need: Need, better: Iterable[Need]) -> bool:
    """Something better of the same list asks for no more, now and to be safe."""
    return any(
        other.list == need.list
        and other.last >= need.last
        and other.apparatus == need.apparatus
        and other.wins <= need.wins
        and (need.safe is None or (other.safe is not None and other.safe <= need.safe))
        for other in better
    )
