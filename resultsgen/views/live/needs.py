"""What somebody with a mark to come needs, in whole sentences, and all of it in one line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from resultsgen.language import to_say
from resultsgen.live.competition import live
from resultsgen.live.needs import Need, TieOutcome
from resultsgen.live.worth import safe, says_something, worth_telling
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.words.places import place_words
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
"""So many names are told of equals to be passed; more are counted."""
GOALS = 2
"""So many things to reach are told in one line."""


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
        return safe(self.need, self.highest)

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
        if self.need.safe is None:
            return now
        safe = to_say("{safe} is safe, whatever the others do.")
        if self.safe is None:
            safe = to_say("No mark is safe from what the others can still make.")
        elif not self.safe:
            safe = to_say("Any mark is safe, whatever the others do.")
        elif self.several:
            safe = to_say("{safe} in all is safe, whatever the others do.")
        return f"{now} {self.say(safe)}"

    def _as_it_stands(self) -> str:
        need, tie = self.need, self.need.tie
        if not need.wins:
            return self.say("Any mark is enough.")
        if not self.possible:
            return self.say("Out of reach: {mark} would be needed.")
        if self.several and not self.at_most_ties:
            if not need.level_with:
                return self.say("{mark} in all, which is {average} on average.")
            if need.ties == need.wins:
                return self.say(
                    "{mark} in all ties with {others}, {total}, and is enough: {average} on "
                    "average."
                )
            return self.say("{mark} in all passes {others}, {total}: {average} on average.")
        if not need.level_with:
            return self.say("{mark} is enough.")
        if need.ties is None or tie is None:
            return self.say("{mark} passes {others}, {total}; no mark ties.")
        return self._open(tie) if tie.outcome == "open" else self._tie(tie)

    def _tie(self, tie: TieOutcome) -> str:
        """What happens at the mark that ties, and the mark that is enough whatever the scores.

        At most ties: no more than a shared lead is in reach.
        """
        if self.at_most_ties and self.several:
            return self.say("{ties} in all ties with {others}, {total}; more is out of reach.")
        if self.at_most_ties:
            return self.say(
                "{ties} ties with {others}, {total}, and shares the lead; more is out of reach."
            )
        if tie.outcome == "reached":
            return self.say("{ties} ties with {others}, {total}, and is enough.")
        if tie.outcome == "missed":
            return self.say("{ties} ties with {others}, {total}, and loses the tie; {mark} passes.")
        if self.need.aim == "lead":
            return self.say("{ties} ties with {others}, {total}; {mark} wins.")
        return self.say("{ties} ties with {others}, {total}, one too many; {mark} is enough.")

    def _open(self, tie: TieOutcome) -> str:
        """The tie hangs on a score of the routine to come, or on one that was never given.

        The score with which the mark that ties is enough, or not without; the one with which it
        hangs on what the rules ask for next; and what is enough in any case.
        """
        even = tie.even is not None and not self.several
        if self.several:
            told = to_say("{ties} in all ties with {others}, {total}, which is still open.")
        elif tie.at_least is None:
            told = to_say("{ties} ties with {others}, {total}, which is still open.")
        else:
            told = IF[tie.score] if even else ONLY_IF[tie.score]
        sure = to_say("{mark} is enough whatever the scores.")
        if self.at_most_ties:
            sure = to_say("More is out of reach.")
        return " ".join(map(self.say, filter(None, (told, EVEN[tie.score] if even else "", sure))))

    def say(self, message: str) -> str:
        """The sentence with all that it may ask for put in."""
        show, need = self.wording.language.mark, self.need
        others = self.wording.language.listed([self.names(key) for key in need.level_with])
        if len(need.level_with) > FEW:
            count = self.wording.language.count
            others = count("{n} gymnast", "{n} gymnasts", len(need.level_with))
        return self.wording.say(
            message,
            mark=show(need.wins), average=show(need.average), ties=show(need.ties),
            total=show(need.level_total), safe=show(need.safe), others=others,
            even=show(need.tie.even if need.tie else None),
            score=show(need.tie.at_least if need.tie else None),
        )  # fmt: skip

    @property
    def short(self) -> str:
        """As it stands, and safe, in one breath; one of them where the other says nothing."""
        is_cut, safe = self.need.aim == "cut", self.safe
        least = self.need.ties if self.at_most_ties else self.need.wins
        if not says_something(self.need):
            least = safe
        if not self.need.others_to_come:
            text = QUALIFIES if is_cut else GOOD_FOR
        elif least == safe:
            text = QUALIFIES_SURELY if is_cut else SURELY_GOOD_FOR
        elif self.need.safe is None:
            text = QUALIFIES_SO_FAR if is_cut else GOOD_SO_FAR
        elif safe is None:
            text = QUALIFIES_UNSAFE if is_cut else GOOD_UNSAFE
        else:
            text = QUALIFIES_AND_SAFE if is_cut else GOOD_AND_SAFE
        return self.wording.say(
            text, mark=self._shown(least), safe=self._shown(safe), cut=self.need.cut,
            place=self._place,
        )  # fmt: skip

    @property
    def _place(self) -> str:
        """What is reached that is no cut: the place as it stands, else a medal place."""
        need, at_most = self.need, self.at_most_ties
        if not need.last:
            part = self.wording.apparatus(need.apparatus[-1])
            return self.wording.say("the lead after {apparatus}", apparatus=part)
        if need.aim == "lead":
            return place_words(1, at_most, self.wording)
        if need.place is None or at_most or not says_something(need):
            return self.wording.say("a medal place")
        return place_words(need.place, need.shared, self.wording)

    def _shown(self, mark: int | None) -> str:
        """A mark, or the sum of several with the average that it asks for."""
        if not mark:
            return "" if mark is None else self.wording.say("Any mark")
        if not self.several:
            return self.wording.language.mark(mark)
        show = self.wording.language.mark
        average = show(self.need.average_of(mark))
        return self.wording.say(
            "{mark} in all ({average} on average)", mark=show(mark), average=average
        )


GOOD_FOR = to_say("{mark} is good for {place}.")
SURELY_GOOD_FOR = to_say("{mark} is good for {place} whatever the others do.")
GOOD_SO_FAR = to_say("{mark} is good for {place} as it stands.")
GOOD_UNSAFE = to_say("{mark} is good for {place} as it stands; no mark is safe.")
GOOD_AND_SAFE = to_say(
    "{mark} is good for {place} as it stands; {safe} is safe whatever the others do."
)
QUALIFIES = to_say("{mark} qualifies ({cut}).")
QUALIFIES_SURELY = to_say("{mark} qualifies whatever the others do ({cut}).")
QUALIFIES_SO_FAR = to_say("{mark} qualifies as it stands ({cut}).")
QUALIFIES_UNSAFE = to_say("{mark} qualifies as it stands ({cut}); no mark is safe.")
QUALIFIES_AND_SAFE = to_say(
    "{mark} qualifies as it stands ({cut}); {safe} is safe whatever the others do."
)


def need_line(results: Results, judged: CompetitionResults, key: int, wording: Wording) -> str:
    """What a gymnast with marks to come needs, in one line; empty where nothing is in reach.

    At most two things, the most valuable first, each with its list where there are several: "13.050
    is good for 3rd place as it stands; 13.550 is safe whatever the others do."
    """
    now = live(results)[judged.competition.id]
    own = next((gymnast.needs for gymnast in now.needs if gymnast.key == key), ())
    highest, final = now.bound.mark if now.bound else None, judged.competition.phase == "final"
    told = worth_telling(own, highest, final=final)[:GOALS]

    def name(key: int) -> str:
        return shown_name(results.gymnasts[key], wording)

    lines = []
    for listed, needs in groupby(told, lambda need: need.list):
        words = " ".join(NeedWords(need, name, wording, highest).short for need in needs)
        head = wording.list_name(listed) if len(now.contests) > 1 else ""
        lines.append(wording.language.headed(head, words))
    return " ".join(lines)
