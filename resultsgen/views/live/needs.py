"""What somebody with a mark to come needs, in whole sentences, and all of it in one line."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from resultsgen.language import to_say
from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.needs import Need
from resultsgen.live.worth import safe, safe_shared, says_something, worth_telling
from resultsgen.meet.parts import apparatus_of
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.words.reasons import NameOf, named_criterion
from resultsgen.views.words.wording import Wording, place_words

FEW = 3
"""So many names are told of equals; more are counted."""
GOALS = 2
"""So many things to reach are told in one line."""

WINS = to_say("{mark} wins.")
SURELY_WINS = to_say("{mark} wins whatever the others do.")
GOOD_FOR = to_say("{mark} is good for {place}.")
SURELY_GOOD_FOR = to_say("{mark} is good for {place} whatever the others do.")
GOOD_SO_FAR = to_say("{mark} is good for {place} as it stands.")
GOOD_UNSAFE = to_say("{mark} is good for {place} as it stands; even {most} depends on the others.")
GOOD_AND_AT_WORST_SHARED = to_say(
    "{mark} is good for {place} as it stands; {safe} is safe, at worst shared."
)
GOOD_AND_SAFE = to_say(
    "{mark} is good for {place} as it stands; {safe} is safe whatever the others do."
)
QUALIFIES = to_say("{mark} qualifies ({cut}).")
QUALIFIES_SURELY = to_say("{mark} qualifies whatever the others do ({cut}).")
QUALIFIES_SO_FAR = to_say("{mark} qualifies as it stands ({cut}).")
QUALIFIES_UNSAFE = to_say(
    "{mark} qualifies as it stands ({cut}); even {most} depends on the others."
)
QUALIFIES_AND_SAFE = to_say(
    "{mark} qualifies as it stands ({cut}); {safe} is safe whatever the others do."
)
AT_BEST = to_say("{mark} is level at best ({goal}).")

# What becomes of the mark that ties.
WON = to_say("{ties} brings level with {others}, and the tie is won by {criteria}.")
ENOUGH = to_say("{ties} brings level with {others}, and is enough.")
LOST = to_say("{ties} brings level with {others}, and the tie is lost by {criteria}.")
SHARED = to_say("{ties} brings level with {others} and shares the place.")
ONE_TOO_MANY = to_say("{ties} brings level with {others}, one too many.")
HANGS = to_say("{ties} brings level with {others}; then it goes by {criteria}.")
OPEN = to_say("{ties} brings level with {others}; how the tie falls is open.")
PASSES = to_say("{mark} passes {others}; no mark ties.")
PASSES_IN_ALL = to_say("{mark} passes {others}.")
IF = {
    "E": to_say("{ties} brings level with {others}, and is enough with E {score} or more."),
    "D": to_say("{ties} brings level with {others}, and is enough with D {score} or more."),
}
IF_EVEN = {
    "E": to_say(
        "{ties} brings level with {others}, and is enough with E {score} or more, or with E "
        "{even} and D {then} or more."
    ),
    "D": to_say(
        "{ties} brings level with {others}, and is enough with D {score} or more, or with D "
        "{even} and E {then} or more."
    ),
}
IF_OPEN = {
    "E": to_say(
        "{ties} brings level with {others}, and is enough with E {score} or more; with E {even} it "
        "is open."
    ),
    "D": to_say(
        "{ties} brings level with {others}, and is enough with D {score} or more; with D {even} it "
        "is open."
    ),
}
ONLY_EVEN = to_say(
    "{ties} brings level with {others}, and is enough only with E {even} and D {then} or more."
)


def few_names(names: list[str], wording: Wording) -> str:
    """A few by name, and of more how many they are."""
    if len(names) > FEW:
        return wording.language.count("{n} gymnast", "{n} gymnasts", len(names))
    return wording.language.listed(names)


@dataclass(frozen=True)
class NeedWords:
    """One need on its way into a sentence."""

    need: Need
    now: LiveCompetition
    names: NameOf
    wording: Wording

    @property
    def highest(self) -> int | None:
        """No mark is taken to surpass it; None: nobody knows."""
        return self.now.highest

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
        """It is about the sum of several marks."""
        return self.need.count > 1

    @property
    def safe(self) -> int | None:
        """The least that is enough whatever the others do; None where none is, or nobody knows."""
        return safe(self.need, self.highest)

    @property
    def sentence(self) -> str:
        """The whole of it: what is enough and what is safe, of several marks even one of them, the
        tie, and why a cap asks more."""
        if not self.possible:
            text = to_say("{mark} would be needed, more than can still come.")
            return self.wording.say(text, mark=self._shown(self.need.wins))
        return " ".join(filter(None, (self.short, self._alone, self._tie, self._cap)))

    @property
    def short(self) -> str:
        """As it stands, and safe, in one breath; one of them where the other says nothing."""
        is_cut, safe, least, tie = self.need.aim == "cut", self.safe, self._least, self.need.tie
        shared = safe_shared(self.need, self.highest)
        if self.at_most_ties and tie and tie.outcome == "open":
            text = AT_BEST
        elif not self.need.others_to_come:
            text = QUALIFIES if is_cut else WINS if self._is_victory else GOOD_FOR
        elif least == safe:
            text = SURELY_WINS if self._is_victory else SURELY_GOOD_FOR
            text = QUALIFIES_SURELY if is_cut else text
        elif shared is not None:
            text = GOOD_AND_AT_WORST_SHARED
        elif self.need.safe is None or (safe is None and least == self._bound):
            text = QUALIFIES_SO_FAR if is_cut else GOOD_SO_FAR
        elif safe is None:
            text = QUALIFIES_UNSAFE if is_cut else GOOD_UNSAFE
        else:
            text = QUALIFIES_AND_SAFE if is_cut else GOOD_AND_SAFE
        cut = self.wording.called(self.need.cut)
        return self.wording.say(
            text, mark=self._shown(least), safe=self._shown(safe or shared), cut=cut,
            place=self._place, goal=cut or self._place, most=self._most,
        )  # fmt: skip

    @property
    def _bound(self) -> int:
        """The highest that can be reached, and..."""
        return (self.highest or 0) * self.need.count

    @property
    def _most(self) -> str:
        """...in words."""
        most = self.wording.language.mark(self._bound)
        return self.wording.say("{mark} in all", mark=most) if self.several else most

    @property
    def goal(self) -> str:
        """What stands above the mark that is needed, so that nobody takes it for one that is in."""
        text = to_say("needs for {place}")
        if self.need.aim == "cut":
            text = to_say("needs to qualify")
        elif self._is_victory and (not self.need.others_to_come or self._least == self.safe):
            text = to_say("needs to win")
        told = self.wording.say(text, place=self._place)
        return self.wording.language.headed(self.wording.list_name(self.need.list), told)

    @property
    def _is_victory(self) -> bool:
        """It is about the first place of a final, alone."""
        need = self.need
        return need.aim == "lead" and need.last and self.now.is_final and not self.at_most_ties

    @property
    def large(self) -> str:
        """What is read first of it: the mark, of several the average that they ask for.

        Where any mark will do as it stands, the one that is safe.
        """
        least = self._least or self.safe or 0
        return self.wording.language.mark(self.need.average_of(least)) if least else ""

    @property
    def unit(self) -> str:
        """That it is an average."""
        return self.wording.say("on average") if self.several and self.large else ""

    @property
    def _least(self) -> int | None:
        """The least that is enough, be it by a tie, as it stands if that says something."""
        if not says_something(self.need, self.now.lowest) and self.safe is not None:
            return self.safe
        return self.need.ties if self.at_most_ties else self.need.wins

    @property
    def _place(self) -> str:
        """What is reached that is no cut: the place as it stands, else a medal place."""
        need, at_most = self.need, self.at_most_ties
        if not need.last:
            part = self.wording.apparatus(need.apparatus[-1])
            return self.wording.say("the lead after {apparatus}", apparatus=part)
        if need.aim == "lead":
            is_shared = at_most and need.tie is not None and need.tie.outcome == "shared"
            return place_words(1, is_shared, self.wording)
        if need.place is None or at_most or not says_something(need, self.now.lowest):
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

    @property
    def _alone(self) -> str:
        """The mark that would do for a team without the others, where it is in reach."""
        need, least = self.need, self._least or 0
        mark, on = need.alone if least == need.wins else need.alone_safe
        # Where every mark counts, one of them has to be as much as all.
        asked = least in (need.wins, need.safe) and 0 < mark < least
        if not asked or mark > (self.highest or 0):
            return ""
        return self.wording.say(
            "{mark} on {apparatus} alone is enough too.",
            mark=self.wording.language.mark(mark), apparatus=self.wording.apparatus(on),
        )  # fmt: skip

    @property
    def _tie(self) -> str:
        """Whom the least mark passes, or is level with, and what becomes of the tie."""
        need, tie = self.need, self.need.tie
        if not need.level_with or not need.wins or not says_something(need, self.now.lowest):
            return ""
        if need.ties is None or tie is None:
            text = PASSES_IN_ALL if self.several else PASSES
        elif tie.outcome == "reached":
            text = WON if tie.by else ENOUGH
        elif tie.outcome == "missed":
            text = LOST
        elif tie.outcome == "shared":
            text = SHARED if need.aim == "lead" else ONE_TOO_MANY
        elif not tie.score:
            text = HANGS if tie.by else OPEN
        elif tie.at_least is None:
            text = HANGS if tie.then is None else ONLY_EVEN
        elif not tie.at_least:
            text = WON
        elif tie.even is None:
            text = IF[tie.score]
        else:
            text = (IF_OPEN if tie.then is None else IF_EVEN)[tie.score]
        return self._told_of_tie(text)

    def _told_of_tie(self, text: str) -> str:
        """The sentence with those who are level, their total, and what the tie hangs on."""
        show, need, tie = self.wording.language.mark, self.need, self.need.tie
        listed = self.wording.language.listed
        others = few_names([self.names(key) for key in need.level_with], self.wording)
        if need.level_total != need.ties:
            others = self.wording.say(
                "{names} at {total}", names=others, total=show(need.level_total)
            )
        criteria = [named_criterion(one, self.wording.language) for one in tie.by] if tie else []
        ties = show(need.ties)
        if self.several:
            ties = self.wording.say("{mark} in all", mark=ties)
        return self.wording.say(
            text, ties=ties, mark=self._shown(need.wins), others=others, criteria=listed(criteria),
            score=show(tie.at_least if tie else None), even=show(tie.even if tie else None),
            then=show(tie.then if tie else None),
        )  # fmt: skip

    @property
    def _cap(self) -> str:
        """Why a cut asks for more of somebody whose body has its places filled."""
        ahead, body = self.need.capped, self.need.body
        if not ahead or not self.need.wins:
            return ""
        return self.wording.language.count(
            "{names} is ahead, and {body} has only one place.",
            "{names} are ahead, and {body} has only {n} places.",
            len(ahead), names=self.wording.language.listed([*map(self.names, ahead)]), body=body,
        )  # fmt: skip


@dataclass(frozen=True)
class NeedTold:
    """One thing that somebody needs: the list (empty: there is but one), the mark, the sentence."""

    list: str
    mark: str
    sentence: str
    goal: str
    """What stands above the mark: "Vault: needs to win"."""
    unit: str = ""
    """That the mark is an average, where several are to come."""


def needs_told(
    results: Results, judged: CompetitionResults, key: int, wording: Wording, on: str = ""
) -> tuple[NeedTold, ...]:
    """What a gymnast with marks to come needs, at most two things, the most valuable first.

    *on*: only of lists that the next mark on this apparatus counts for.
    """
    now = live(results)[judged.competition.id]
    own = [need for need in now.needs_of(key) if not on or on in map(apparatus_of, need.apparatus)]

    def name(key: int) -> str:
        return shown_name(results.gymnasts[key], wording)

    found = []
    for need in worth_telling(own, now)[:GOALS]:
        words = NeedWords(need, now, name, wording)
        head = wording.list_name(need.list) if len(now.contests) > 1 else ""
        found.append(NeedTold(head, words.large, words.short, words.goal, words.unit))
    return tuple(found)


def need_line(
    results: Results, judged: CompetitionResults, key: int, wording: Wording, on: str = ""
) -> str:
    """The same in one line; empty where nothing is in reach.

    "13.050 is good for 3rd place as it stands; 13.550 is safe whatever the others do."
    """
    lines = []
    told = needs_told(results, judged, key, wording, on)
    for head, needs in groupby(told, lambda each: each.list):
        lines.append(wording.language.headed(head, " ".join(each.sentence for each in needs)))
    return " ".join(lines)
