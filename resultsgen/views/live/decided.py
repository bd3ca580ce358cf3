"""What is decided of a running meet and what is open, in sentences, with the bound it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from resultsgen.language import to_say
from resultsgen.live.competition import LiveCompetition
from resultsgen.live.decided import Bound
from resultsgen.live.goals import MEDALS, Aim
from resultsgen.live.lists import LiveList
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.table import Cell
from resultsgen.views.words.so_far import few_of
from resultsgen.views.words.wording import Wording

MANY = 8
"""So many names are told of those of whom something is decided; more are counted."""


@dataclass(frozen=True)
class DecidedList:
    """What is decided of one list that still has marks to come, and who can still come first."""

    id: str
    title: str
    open: str
    decided: tuple[str, ...]
    out: tuple[str, ...]
    """Who can no longer make a cut, unless somebody withdraws or at all."""
    short: tuple[str, ...]
    """What is decided, with the first names alone where there are many."""
    won: bool = False
    """The first of it says who has won."""

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it; of the first place one or the other is told."""
        return (*filter(None, (self.open,)), *self.decided, *self.out)


SURE: dict[Aim, tuple[str, str]] = {
    "lead": (
        to_say("Sure of the first place: {names}."),
        to_say("Sure of the first place, if no mark above {mark} comes: {names}."),
    ),
    "medal": (
        to_say("Sure of a medal place: {names}."),
        to_say("Sure of a medal place, if no mark above {mark} comes: {names}."),
    ),
    "cut": (
        to_say("Sure to qualify ({cut}): {names}."),
        to_say("Sure to qualify ({cut}), if no mark above {mark} comes: {names}."),
    ),
}
"""What is sure by the rules, and what by a bound that the meet gives."""

BOUNDS = {
    "highest mark of the rules": to_say(
        "Taking {mark}, the highest mark of the rules, as the highest that can still come."
    ),
    "given by the meet": to_say(
        "Taking {mark}, which the meet gives, as the highest mark that can still come."
    ),
}
BEST_SO_FAR = to_say(
    "Taking {mark} as the highest mark that can still come: the best so far, {best}, and "
    "{allowance} more."
)


def bound_sentence(bound: Bound | None, wording: Wording) -> str:
    """What is taken as the highest mark that can still come, and what that rests on."""
    show, say = wording.language.mark, wording.say
    if bound is None:
        return say(
            "Nothing is called decided: the rules know no highest mark, and the meet gives none."
        )
    return say(
        BOUNDS.get(bound.basis, BEST_SO_FAR),
        mark=show(bound.mark), best=show(bound.best), allowance=show(bound.allowance),
    )  # fmt: skip


def decided_lists(
    judged: CompetitionResults, now: LiveCompetition, wording: Wording
) -> Iterator[DecidedList]:
    """Every list that still has marks to come and of which something can be said."""
    for listed in now.lists.values():
        if all(prospect.complete for prospect in listed.prospects):
            continue
        known = _Decided(judged, listed, wording)
        told = known.open(), known.decided(), tuple(known.out())
        if any(told):
            short = replace(known, in_short=True).decided()
            yield DecidedList(
                listed.id, wording.list_name(listed.id), *told, short, bool(known.won)
            )


@dataclass(frozen=True)
class _Decided:
    """One list, asked who has won, who is sure of what, and who is out."""

    judged: CompetitionResults
    listed: LiveList
    wording: Wording
    in_short: bool = False

    def decided(self) -> tuple[str, ...]:
        """Who has won, who is sure of a medal, who is in."""
        return tuple(filter(None, (self.first(), *self.medals(), *self.sure())))

    @property
    def won(self) -> list[int]:
        return [prospect.key for prospect in self.listed.prospects if prospect.has_won]

    def open(self) -> str:
        """Who can still come first, where nobody has won and some no longer can."""
        prospects, say = self.listed.prospects, self.wording.say
        can = [prospect.key for prospect in prospects if prospect.can_reach(1)]
        if self.won or len(can) == len(prospects):
            return ""
        if len(can) > MANY:
            return say("{n} of {all} can still come first.", n=len(can), all=len(prospects))
        return say("Only these can still come first: {names}.", names=self._names(can))

    def first(self) -> str:
        """Who has won."""
        prospects, count, won = self.listed.prospects, self.wording.language.count, self.won
        if not won:
            return ""
        names = self._names(won)
        free = (p.key for p in self.listed.by_the_rules.prospects if p.has_won)
        unless = "" if {*won} <= {*free} else self._bound
        leads_on = self.judged.competition.phase == "qualification" and self.listed.cuts
        if leads_on or any(p.can_reach(1) and not p.complete for p in prospects):
            return self._sure("lead", names, unless)
        if unless:
            return count(
                "{names} has won, if no mark above {mark} comes.",
                "{names} have won together, if no mark above {mark} comes.",
                len(won), names=names, mark=unless,
            )  # fmt: skip
        return count(
            "{names} has won and can no longer be caught.",
            "{names} have won together and can no longer be caught.",
            len(won), names=names,
        )  # fmt: skip

    def medals(self) -> Iterator[str]:
        """In a final, who is sure of one of the first three places."""
        if self.judged.competition.phase == "final":
            free, these = (
                [one.key for one in listed.prospects if one.is_sure_of(MEDALS)]
                for listed in (self.listed.by_the_rules, self.listed)
            )
            yield from self._each("medal", these, free)

    def sure(self) -> Iterator[str]:
        """Of each cut, who is in."""
        for cut, chances in self.listed.cuts.items():
            free, these = (
                [key for key, is_so in found.items() if is_so == "in"]
                for found in (self.listed.by_the_rules.cuts[cut], chances)
            )
            yield from self._each("cut", these, free, self.wording.called(cut))

    @property
    def _bound(self) -> str:
        """The mark above which none may come, as the meet says it."""
        return self.wording.language.mark(self.listed.bound.mark if self.listed.bound else None)

    def _each(
        self, of: Aim, these: Sequence[int], free: Sequence[int], cut: str = ""
    ) -> Iterator[str]:
        """Who is sure of something whatever comes, then who is so if no mark above a bound does."""
        for unless in ("", self._bound):
            keys = [key for key in these if (key in free) != bool(unless)]
            if keys:
                yield self._sure(of, self._names(keys), unless, cut)

    def _sure(self, of: Aim, names: str, unless: str, cut: str = "") -> str:
        """Who is sure of something, and on what condition."""
        return self.wording.say(SURE[of][bool(unless)], names=names, cut=cut, mark=unless)

    def out(self) -> Iterator[str]:
        """Of each cut, who is out but for a withdrawal, then who is even with one."""
        count = self.wording.language.count
        for spare in (True, False):
            for cut, keys in self._with(spare=spare):
                many, values = len(keys), {"cut": cut, "names": self._names(keys)}
                yield count(
                    "Qualifies only if somebody withdraws ({cut}): {names}.",
                    "Qualify only if somebody withdraws ({cut}): {names}.", many, **values,
                ) if spare else count(
                    "Can no longer qualify ({cut}): {names}.",
                    "Can no longer qualify ({cut}): {names}.", many, **values,
                )  # fmt: skip

    def _with(self, *, spare: bool) -> Iterator[tuple[str, list[int]]]:
        """Of each cut, who is out, and may yet be called up or not."""
        for cut, chances in self.listed.cuts.items():
            spared = self.listed.standing_by[cut]
            keys = [
                key for key, is_so in chances.items() if is_so == "out" and (key in spared) == spare
            ]
            if keys:
                yield self.wording.called(cut), keys

    def _names(self, keys: Sequence[int]) -> str:
        names = [self._cells[key].text for key in keys]
        if self.in_short:
            return few_of(names, self.wording.language)
        if len(keys) > MANY:
            return self.wording.say("{n} of {all}", n=len(keys), all=len(self.listed.prospects))
        return self.wording.language.listed(names)

    @cached_property
    def _cells(self) -> dict[int, Cell]:
        return lines_of(self.judged, self.listed.kind, self.wording)
