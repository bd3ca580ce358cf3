"""What everybody with a mark to come needs, and what is decided: in sentences and on a sheet.

What is decided or open always comes with the bound it rests on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from resultsgen.language import to_say
from resultsgen.live.competition import GymnastNeeds, LiveCompetition, LiveList, live
from resultsgen.live.decided import MEDALS, Bound
from resultsgen.live.needs import Need, TieOutcome
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.competitions import PageHead, page_head
from resultsgen.views.lists.page_parts import PagePart, by_count, packed
from resultsgen.views.lists.start_lists import squad_title
from resultsgen.views.lists.table import Cell
from resultsgen.views.site.site_map import NEEDS
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

FEW, MANY = 3, 8
"""So many names are told of equals to be passed, and of those of whom something is decided; more
are counted."""


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


# What is decided and what is open


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


# The sheet: everybody in order of start, what is needed in large


RIVALS = {"lead": 1, "medal": 3, "cut": 1}
"""Against fewer rivals than this there is nothing to need."""

NEEDED, LINES, WIDE = 123, 23, 80
"""So many bytes what one gymnast needs takes on a page, compressed; so many lines of large type fit
on one sheet of paper, and so many letters on a line of it, beside the mark."""


@dataclass(frozen=True)
class Aim:
    """One thing to reach: the mark in large, and the whole of it in a sentence."""

    goal: str
    mark: str
    sentence: str
    possible: bool
    unit: str
    """That the mark is an average, where several apparatus are to come."""


@dataclass(frozen=True)
class NeedsOfOne:
    """One gymnast on the sheet."""

    name: Cell
    next: str
    """Rotation and apparatus of the next routine, and the squad."""
    aims: tuple[Aim, ...]


@dataclass(frozen=True)
class NeedsView(PageHead):
    """The needs sheet of one competition, or what fits on one printed page of it."""

    gymnasts: tuple[NeedsOfOne, ...]
    bound: str
    """What is taken as the highest mark; or that nothing is called decided, and why; empty where
    the page is a later part."""
    decided: tuple[DecidedList, ...]
    later: str = ""
    """Those who go after them and stand on no printed page."""


def needs_view(results: Results, judged: CompetitionResults, wording: Wording) -> NeedsView:
    """The sheet of a competition: all with marks to come, in order of rotation and start."""
    now, cells = live(results)[judged.competition.id], lines_of(judged, "apparatus", wording)
    gymnasts = (
        NeedsOfOne(
            cells[gymnast.key],
            _next(gymnast, judged, wording),
            # What is in reach first.
            tuple(sorted(_aims(gymnast, now, cells, wording), key=lambda aim: not aim.possible)),
        )
        for gymnast in now.needs
    )
    return NeedsView(
        **vars(page_head(judged, NEEDS, wording)),
        gymnasts=tuple(gymnasts),
        bound=bound_sentence(now.bound, wording),
        decided=tuple(decided_lists(judged, now, wording)),
    )


def needs_parts(view: NeedsView, wording: Wording) -> Iterator[tuple[PagePart, NeedsView]]:
    """The page part by part, one where all of it fits; the first says what is decided."""
    of = len(view.gymnasts)
    for held in packed([NEEDED] * of):
        part = replace(view, gymnasts=view.gymnasts[held.start : held.stop])
        if held.start:
            part = replace(part, bound="", decided=())
        yield by_count(held.start + 1, held.stop, of, wording), part


def printed_sheet(results: Results, judged: CompetitionResults, wording: Wording) -> NeedsView:
    """The next to go, as many as one page holds, with what is in reach for them."""
    view = needs_view(results, judged, wording)
    found: list[NeedsOfOne] = []
    used = sum(len(each.sentences) for each in view.decided[:1])
    for gymnast in view.gymnasts:
        aims = tuple(aim for aim in gymnast.aims if aim.possible)
        used += 1 + max(1, sum(1 + len(aim.goal + aim.sentence) // WIDE for aim in aims))
        if used <= LINES or not found:
            found.append(replace(gymnast, aims=aims))
    rest = [gymnast.name.text for gymnast in view.gymnasts[len(found) :]]
    later = wording.say("After them: {names}", names=", ".join(rest)) if rest else ""
    return replace(view, gymnasts=tuple(found), decided=view.decided[:1], later=later)


def _next(gymnast: GymnastNeeds, judged: CompetitionResults, wording: Wording) -> str:
    """When and where the next routine is: "Rotation 4, Floor Exercise, squad 2"."""
    rotation = gymnast.rotation
    turn = wording.say("Rotation {rotation}", rotation=rotation) if rotation else ""
    who = next(start.gymnast for start in judged.starts if start.gymnast.key == gymnast.key)
    place = "" if judged.competition.entered_from else squad_title(who.session, who.squad, wording)
    part = wording.apparatus(gymnast.apparatus) if gymnast.apparatus else ""
    return " · ".join(filter(None, (turn, part, place)))


def _aims(
    gymnast: GymnastNeeds, now: LiveCompetition, cells: dict[int, Cell], wording: Wording
) -> Iterator[Aim]:
    highest = now.bound.mark if now.bound else None
    for need in gymnast.needs:
        if need.rivals >= RIVALS[need.aim]:
            words = NeedWords(need, lambda key: cells[key].text, wording, highest)
            average = words.several and words.possible and need.wins
            unit = wording.say("on average") if average else ""
            goal = _goal(need, gymnast, wording)
            yield Aim(goal, words.mark, words.sentence, words.possible, unit)


def _goal(need: Need, gymnast: GymnastNeeds, wording: Wording) -> str:
    listed, say = wording.list_name(need.list), wording.say
    if need.aim == "cut":
        return say("{list}: to make the cut, {cut}", list=listed, cut=need.cut)
    if need.aim == "medal":
        return say("{list}: for a medal place", list=listed)
    in_list = [len(other.apparatus) for other in gymnast.needs if other.list == need.list]
    if need.list == "all-around" and len(need.apparatus) < max(in_list):
        part = wording.apparatus(need.apparatus[-1])
        return say("{list}: to lead after {apparatus}", list=listed, apparatus=part)
    return say("{list}: to lead", list=listed)
