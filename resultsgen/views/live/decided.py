"""What is decided of a running meet and what is open, in sentences, with the bound it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from resultsgen.language import to_say
from resultsgen.live.competition import LiveCompetition, LiveList
from resultsgen.live.decided import MEDALS, Bound
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.words.wording import Wording

MANY = 8
"""So many names are told of those of whom something is decided; more are counted."""


@dataclass(frozen=True)
class DecidedList:
    """What is decided of one list that still has marks to come."""

    title: str
    sentences: tuple[str, ...]


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
        sentences = tuple(filter(None, (known.first(), known.medals(), *known.cuts())))
        if sentences:
            yield DecidedList(wording.list_name(listed.id), sentences)


@dataclass(frozen=True)
class _Decided:
    """One list, asked who has won, who is sure of what, and who is out."""

    judged: CompetitionResults
    listed: LiveList
    wording: Wording

    def first(self) -> str:
        """Who has won; or else who still can."""
        prospects, say, count = self.listed.prospects, self.wording.say, self.wording.language.count
        won = [prospect.key for prospect in prospects if prospect.has_won]
        can = [prospect.key for prospect in prospects if prospect.can_reach(1)]
        if not won:
            if len(can) == len(prospects):
                return ""
            if len(can) > MANY:
                return say("{n} of {all} can still come first.", n=len(can), all=len(prospects))
            return say("Only these can still come first: {names}.", names=self._names(can))
        names, bound = self._names(won), self.listed.bound
        leads_on = self.judged.competition.phase == "qualification" and self.listed.cuts
        if leads_on or any(p.can_reach(1) and not p.complete for p in prospects):
            return say("Sure of the first place: {names}.", names=names)
        if bound and bound.basis != "highest mark of the rules":
            return count(
                "{names} has won, if no mark above {mark} comes.",
                "{names} have won together, if no mark above {mark} comes.",
                len(won), names=names, mark=self.wording.language.mark(bound.mark),
            )  # fmt: skip
        return count(
            "{names} has won and can no longer be caught.",
            "{names} have won together and can no longer be caught.",
            len(won), names=names,
        )  # fmt: skip

    def medals(self) -> str:
        """In a final, who is sure of one of the first three places."""
        if self.judged.competition.phase != "final":
            return ""
        sure = [prospect.key for prospect in self.listed.prospects if prospect.is_sure_of(MEDALS)]
        names = self._names(sure)
        return self.wording.say("Sure of a medal place: {names}.", names=names) if sure else ""

    def cuts(self) -> Iterator[str]:
        """Of each cut, who is in and who is out."""
        for cut, chances in self.listed.cuts.items():
            for chance, text in (
                ("in", to_say("Sure of {cut}: {names}.")),
                ("out", to_say("Can no longer make {cut}: {names}.")),
            ):
                keys = [key for key, known in chances.items() if known == chance]
                yield self.wording.say(text, cut=cut, names=self._names(keys)) if keys else ""

    def _names(self, keys: Sequence[int]) -> str:
        if len(keys) > MANY:
            return self.wording.say("{n} of {all}", n=len(keys), all=len(self.listed.prospects))
        cells = lines_of(self.judged, self.listed.kind, self.wording)
        return self.wording.language.listed([cells[key].text for key in keys])
