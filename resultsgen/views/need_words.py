"""What somebody needs in a sentence: the mark that ties, what comes of the tie, what wins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from resultsgen.rules.needs import Need
from resultsgen.rules.tied_marks import Tie
from resultsgen.views.wording import Wording

Names = Callable[[int], str]

FEW = 3
"""So many names are told; more are counted."""


@dataclass(frozen=True)
class NeedWords:
    """One need on its way into a sentence."""

    need: Need
    names: Names
    wording: Wording
    highest: int | None
    """No mark is taken to surpass it; None: nobody knows."""

    @property
    def possible(self) -> bool:
        """Marks up to the highest can be enough."""
        return self.highest is None or self.need.within(self.highest)

    @property
    def at_most_ties(self) -> bool:
        """A tie is all that is in reach."""
        return self.highest is not None and self.need.at_most_ties(self.highest)

    @property
    def several(self) -> bool:
        """It is about the sum of several apparatus."""
        return len(self.need.apparatus) > 1

    @property
    def mark(self) -> str:
        """What is read first: the mark that is enough (or ties), or the average of several."""
        if not self.need.wins:
            return self.wording.say("any")
        if not self.possible:
            return "–"
        least = self.need.ties if self.at_most_ties and self.need.ties else self.need.wins
        return self.wording.language.mark(self.need.average_of(least) if self.several else least)

    @property
    def sentence(self) -> str:
        """The whole of it."""
        if not self.need.wins:
            return self.wording.say("Any mark is enough, as it stands.")
        if not self.possible:
            return self.wording.say("Out of reach: {mark} would be needed.", mark=self._wins)
        if self.at_most_ties and self.need.tie:
            return self._tie_only(self.need.tie)
        return self._sum() if self.several else self._exact()

    def _exact(self) -> str:
        """One apparatus: the exact mark."""
        if not self.need.level_with:
            return self.say("{mark} gives the least total asked for.")
        if self.need.ties is None or self.need.tie is None:
            return self.say("{mark} passes {others}, {total}; no mark ties.")
        return self._tie(self.need.tie)

    @property
    def _wins(self) -> str:
        return self.wording.language.mark(self.need.wins)

    def _sum(self) -> str:
        """Several apparatus: what is needed in all."""
        if not self.need.level_with:
            return self.say("{mark} in all, which is {average} on average.")
        if self.need.ties == self.need.wins:
            return self.say(
                "{mark} in all ties with {others}, {total}, and is enough: {average} on average."
            )
        return self.say("{mark} in all passes {others}, {total}: {average} on average.")

    def _tie(self, tie: Tie) -> str:
        """What happens at the mark that ties, and the mark that is enough in any case."""
        if tie.outcome == "reached":
            return self.say("{ties} ties with {others}, {total}, and is enough.")
        if tie.outcome == "missed":
            return self.say("{ties} ties with {others}, {total}, and loses the tie; {mark} passes.")
        if tie.outcome == "shared":
            return self._shared()
        return self._open(tie)

    def _shared(self) -> str:
        if self.need.aim == "lead":
            return self.say("{ties} ties with {others}, {total}; {mark} wins.")
        return self.say("{ties} ties with {others}, {total}, one too many; {mark} is enough.")

    def _open(self, tie: Tie) -> str:
        """The tie hangs on a score of the routine to come, or on one that was never given."""
        if tie.at_least is None:
            return self.say(
                "{ties} ties with {others}, {total}, which is still open; "
                "{mark} is enough in any case."
            )
        if tie.score == "D":
            return self.say(
                "{ties} ties with {others}, {total}, and wins on difficulty only if D is {score} "
                "or more; {mark} is enough in any case."
            )
        return self.say(
            "{ties} ties with {others}, {total}, and wins on execution only if E is {score} "
            "or more; {mark} is enough in any case."
        )

    def _tie_only(self, tie: Tie) -> str:
        """No more than a tie is in reach."""
        if self.several:
            return self.say("{ties} in all ties with {others}, {total}; more is out of reach.")
        if tie.outcome == "shared":
            return self.say(
                "{ties} ties with {others}, {total}, and shares the lead; more is out of reach."
            )
        if tie.at_least is None:
            return self.say(
                "{ties} ties with {others}, {total}, which is still open; more is out of reach."
            )
        if tie.score == "D":
            return self.say(
                "{ties} ties with {others}, {total}, and wins on difficulty only if D is {score} "
                "or more; more is out of reach."
            )
        return self.say(
            "{ties} ties with {others}, {total}, and wins on execution only if E is {score} "
            "or more; more is out of reach."
        )

    def say(self, message: str) -> str:
        """The sentence with all that it may ask for put in."""
        show, need = self.wording.language.mark, self.need
        return self.wording.say(
            message,
            mark=self._wins,
            average=show(need.average),
            ties=show(need.ties),
            total=show(need.level_total),
            others=self._others(),
            score=show(need.tie.at_least if need.tie else None),
        )

    def _others(self) -> str:
        """Those who have to be matched or passed."""
        level = self.need.level_with
        if len(level) > FEW:
            return self.wording.language.count("{n} gymnast", "{n} gymnasts", len(level))
        return self.wording.language.listed([self.names(key) for key in level])
