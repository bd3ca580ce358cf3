"""What everybody with a mark to come needs, list by list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from resultsgen.live.contests import Contest
from resultsgen.live.goals import LEAD, MEDAL, Goal
from resultsgen.live.lists import Asked, GymnastNeeds
from resultsgen.live.needs import need
from resultsgen.live.running_tables import Tables
from resultsgen.live.tied_marks import Terms


@dataclass(frozen=True)
class _Coming:
    """The routines that a gymnast has to come, the next one first where rotations are known."""

    key: int
    apparatus: tuple[str, ...]
    rotation: int | None
    """Of the next one."""

    @property
    def next(self) -> str:
        """The next apparatus; empty where several are to come in an unknown order."""
        known = self.rotation is not None or len(self.apparatus) == 1
        return self.apparatus[0] if known else ""


def gymnast_needs(
    tables: Tables, lists: Sequence[Contest], highest: int | None
) -> tuple[GymnastNeeds, ...]:
    """The needs of all who have a mark to come in a list, in order of rotation and start.

    In a final, the start lists say who is up when. No mark to come is above the *highest*.
    """
    coming = [_coming(tables, key) for key, who in tables.people.items() if not who.guest]
    coming = [one for one in coming if one.apparatus]
    coming.sort(
        key=lambda one: (
            one.rotation is None, one.rotation or 0, tables.turn(one.key, one.apparatus[0])
        )
    )  # fmt: skip
    found = (
        GymnastNeeds(one.key, one.rotation, one.next, tuple(_asked(tables, one, lists, highest)))
        for one in coming
    )
    return tuple(one for one in found if one.asked)


def _coming(tables: Tables, key: int) -> _Coming:
    """What is to come for one gymnast, the next first."""
    left = tables.to_come(key)
    return _Coming(key, tuple(part for part, _ in left), left[0][1] if left else None)


def _asked(
    tables: Tables, one: _Coming, lists: Sequence[Contest], highest: int | None
) -> Iterator[Asked]:
    """Every list of gymnasts that the next routine, or all that are to come, count for."""
    rule = tables.one.rule_set.marks
    for contest in lists:
        if contest.kind == "team" or one.key not in contest.progress.in_it:
            continue
        adds_up = rule.composition == "d+e" and not rule.bonus
        terms = Terms(contest.steps, max(rule.step, 1), rule.highest_e, adds_up)
        for parts, is_last in _horizons(contest, one):
            for cut, goal in _goals(tables, contest) if is_last else (("", LEAD),):
                found = need(contest.progress, one.key, parts, goal, terms, highest)
                if found:
                    yield Asked(contest.kind, contest.apparatus, cut, found)


def _horizons(contest: Contest, one: _Coming) -> Iterator[tuple[tuple[str, ...], bool]]:
    """The next routine of this list alone, and all of its routines to come: these are the last.

    A list of one apparatus waits until that is the next, and asks for both vaults in one: after the
    first, nobody leads.
    """
    left = contest.progress.to_come(one.key)
    first = (one.next,) if one.next in left else ()
    if contest.kind == "apparatus" and one.next and not first:
        return
    if first and first != left and contest.kind != "apparatus":
        yield first, False
    if left:
        yield left, True


def _goals(tables: Tables, contest: Contest) -> Iterator[tuple[str, Goal]]:
    """To lead, a medal place where the competition is a final, and each cut.

    A medal place and a cut are reached at the end; before it, only the lead is worth telling.
    """
    yield "", LEAD
    if tables.one.competition.phase == "final":
        yield "", MEDAL
    yield from contest.cuts.items()
