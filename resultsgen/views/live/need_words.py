"""What somebody needs in sentences: the mark that ties, what comes of it, and what is safe."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from resultsgen.language import to_say
from resultsgen.live.needs import Need, TieOutcome
from resultsgen.views.words.wording import Wording

Names = Callable[[int], str]

ONLY_IF = {
    "E": to_say("{ties} ties with {others}, {total}, and is enough only if E is {score} or more."),
    "D": to_say("{ties} ties with {others}, {total}, and is enough only if D is {score} or more."),
}
IF = {
    "E": to_say("{ties} ties with {others}, {total}, and is enough if E is {score} or more."),
    "D": to_say("{ties} ties with {others}, {total}, and is enough if D is {score} or more."),
}
EVEN = {
    "E": to_say("If E is {even}, what the rules compare next decides, or the place is shared."),
    "D": to_say("If D is {even}, what the rules compare next decides, or the place is shared."),
}

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
    def safe(self) -> int | None:
        """The least that is enough whatever the others do; None where none is, or nobody knows."""
        known, most = self.need.safe, self.highest
        out = known is None or (most is not None and known > most * len(self.need.apparatus))
        return None if out else known

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
        """The whole of it: as it stands, and then what is safe; both are one at the end."""
        if not self.need.others_to_come:
            return self._as_it_stands()
        if not self.possible:
            return self.say("Out of reach as it stands: {mark} would be needed.")
        now = self.wording.language.headed(self.wording.say("As it stands"), self._as_it_stands())
        return " ".join(filter(None, (now, self._safe())))

    def _safe(self) -> str:
        """The mark that is enough whatever the others do; nothing where nobody knows."""
        if self.need.safe is None:
            return ""
        if self.safe is None:
            return self.say("No mark is safe from what the others can still make.")
        if not self.safe:
            return self.say("Any mark is safe, whatever the others do.")
        if self.several:
            return self.say("{safe} in all is safe, whatever the others do.")
        return self.say("{safe} is safe, whatever the others do.")

    def _as_it_stands(self) -> str:
        """What is enough if the others stay as they are."""
        if not self.need.wins:
            return self.say("Any mark is enough.")
        if not self.possible:
            return self.say("Out of reach: {mark} would be needed.")
        if self.several and not self.at_most_ties:
            return self._sum()
        if not self.need.level_with:
            return self.say("{mark} is enough.")
        if self.need.ties is None or self.need.tie is None:
            return self.say("{mark} passes {others}, {total}; no mark ties.")
        if self.need.tie.outcome == "open":
            return self._open(self.need.tie)
        return self._tie_only() if self.at_most_ties else self._tie(self.need.tie)

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

    def _tie(self, tie: TieOutcome) -> str:
        """What happens at the mark that ties, and the mark that is enough whatever the scores."""
        if tie.outcome == "reached":
            return self.say("{ties} ties with {others}, {total}, and is enough.")
        if tie.outcome == "missed":
            return self.say("{ties} ties with {others}, {total}, and loses the tie; {mark} passes.")
        if self.need.aim == "lead":
            return self.say("{ties} ties with {others}, {total}; {mark} wins.")
        return self.say("{ties} ties with {others}, {total}, one too many; {mark} is enough.")

    def _tie_only(self) -> str:
        """No more than a shared lead is in reach."""
        if self.several:
            return self.say("{ties} in all ties with {others}, {total}; more is out of reach.")
        return self.say(
            "{ties} ties with {others}, {total}, and shares the lead; more is out of reach."
        )

    def _open(self, tie: TieOutcome) -> str:
        """The tie hangs on a score of the routine to come, or on one that was never given."""
        sure = (
            self.say("More is out of reach.")
            if self.at_most_ties
            else self.say("{mark} is enough whatever the scores.")
        )
        return " ".join(filter(None, (self._condition(tie), self._even(tie), sure)))

    def _condition(self, tie: TieOutcome) -> str:
        """The score with which the mark that ties is enough, and without which it is not."""
        if self.several:
            return self.say("{ties} in all ties with {others}, {total}, which is still open.")
        if tie.at_least is None:
            return self.say("{ties} ties with {others}, {total}, which is still open.")
        if tie.even is None:
            return self.say(ONLY_IF[tie.score])
        return self.say(IF[tie.score])

    def _even(self, tie: TieOutcome) -> str:
        """The score with which it hangs on what the rules ask for next."""
        return self.say(EVEN[tie.score]) if tie.even is not None and not self.several else ""

    def say(self, message: str) -> str:
        """The sentence with all that it may ask for put in."""
        show, need = self.wording.language.mark, self.need
        return self.wording.say(
            message,
            mark=self._wins,
            average=show(need.average),
            ties=show(need.ties),
            total=show(need.level_total),
            safe=show(need.safe),
            even=show(need.tie.even if need.tie else None),
            others=self._others(),
            score=show(need.tie.at_least if need.tie else None),
        )

    def _others(self) -> str:
        """Those who have to be matched or passed."""
        level = self.need.level_with
        if len(level) > FEW:
            return self.wording.language.count("{n} gymnast", "{n} gymnasts", len(level))
        return self.wording.language.listed([self.names(key) for key in level])
