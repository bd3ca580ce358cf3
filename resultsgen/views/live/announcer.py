"""The page of who speaks: what is decided, who is up next and what she needs, who leads.

Names stand as they are said. After the last mark the same page says who won, and who goes through.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.upcoming import whose_turn
from resultsgen.scoring.ranking import CutLine, Gymnast, Ranking, Team
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.corrections.correction_words import (
    aloud,
    correction_sentence,
    published_names,
)
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.competitions import PageHead, page_head
from resultsgen.views.lists.page_parts import PagePart, by_count, packed
from resultsgen.views.lists.start_lists import squad_title, stand_ins_told, turn_title
from resultsgen.views.live.decided import DecidedList, decided_lists
from resultsgen.views.live.just_in import JustIn, as_it_stands
from resultsgen.views.live.leads import Leaders, all_leaders
from resultsgen.views.live.needs import NeedTold, needs_told
from resultsgen.views.live.needs_sheet import NEEDED, NeedsOfOne, NeedsView, needs_view
from resultsgen.views.press.notable import FactInWords, notable_facts
from resultsgen.views.site.addresses import gymnast_target, list_target
from resultsgen.views.site.site_map import ANNOUNCER, QUALIFICATION
from resultsgen.views.words.wording import Wording, reserve_words

PLACES, AT_ONCE, CAME, TEAMS, MANY = 3, 2, 3, 12, 40
"""So many places of each list are told with their margins; so many decisions before all of them;
so many of the last marks; what so many teams need. More than so many who go through are not read
out: their own page has them."""
TOLD = ("won", "first", "tie")
"""The facts that say who won and how."""


@dataclass(frozen=True)
class Spoken:
    """A gymnast or a team, as it is said."""

    name: str
    said: str
    club: str
    target: str


@dataclass(frozen=True)
class Turn:
    """Somebody who is up, and what she needs."""

    who: Spoken
    needs: tuple[NeedTold, ...]


@dataclass(frozen=True)
class UpOn:
    """Who is up on one apparatus, and then; nobody after the last."""

    apparatus: str
    code: str
    where: str
    """The rotation and the squad."""
    first: Turn
    then: Turn | None


@dataclass(frozen=True)
class Through:
    """Who goes through by one cut, each with the place in its list, and who is reserve, with the
    number of it; and in whose place somebody was called up."""

    title: str
    target: str
    gone: str
    """Who withdrew."""
    starting: tuple[tuple[str, Spoken, str], ...]
    reserves: tuple[tuple[str, Spoken, str], ...]


@dataclass(frozen=True)
class ListTold:
    """One list: what is decided of it, what is open, and its first."""

    name: str
    leaders: Leaders
    decided: tuple[str, ...]
    short: tuple[str, ...]
    """The same, with few names."""
    out: tuple[str, ...]
    """Who can no longer make a cut, unless somebody withdraws or at all."""
    open: str
    """Who can still come first."""
    cuts: tuple[Through, ...]
    """Who goes through; nothing before the list is complete."""
    new: bool
    """The last publication brought its last mark, or it is won before that."""


@dataclass(frozen=True)
class AnnouncerView(PageHead):
    """All that is said of one competition, in the order in which it is announced."""

    lists: tuple[ListTold, ...]
    up: tuple[UpOn, ...]
    stand_ins: tuple[tuple[str, str], ...]
    """Who starts in whose place, while somebody is up, each with the list."""
    came: tuple[JustIn, ...]
    """The last marks, while others are to come."""
    corrected: tuple[tuple[str, str], ...]
    """What the last publication corrected and is not the last mark, each with a head."""
    teams: tuple[NeedsOfOne, ...]
    """What they need, and from whom."""
    bound: str
    """What is taken as the highest mark, while marks are to come."""
    needs: tuple[NeedsOfOne, ...]
    """Everybody with marks to come, in order of rotation; on a later part of the page only they."""

    @property
    def decided(self) -> tuple[tuple[str, str, str], ...]:
        """Each decision with its list, in short and whole; who won, what was just decided and then
        the last list first."""
        found = []
        for number, one in enumerate(self.lists):
            both = [*zip(one.short, one.decided, strict=True)]
            for nth, (short, whole) in enumerate(both[:1] if one.leaders.decided else both):
                title = one.leaders.decided or (one.new and not nth)
                order = (not title, title and not one.new, -number if title else number)
                found.append((order, (one.name, short, whole)))
        return tuple(told for _, told in sorted(found, key=lambda each: each[0]))

    @property
    def news(self) -> tuple[tuple[str, str], ...]:
        """The first of them, in short."""
        return tuple((name, short) for name, short, _ in self.decided[:AT_ONCE])

    @property
    def more(self) -> tuple[tuple[str, str], ...]:
        """Whatever else, whole, and who is out."""
        out = ((one.name, sentence) for one in self.lists for sentence in one.out)
        told = {(name, whole): None for name, _, whole in self.decided}
        return (*(one for one in told if one not in self.news), *out)


def announcer_view(results: Results, judged: CompetitionResults, wording: Wording) -> AnnouncerView:
    """The page of a competition that has marks of its own."""
    told = _Announcer(results, judged, wording.spoken)
    sheet = told.sheet
    return AnnouncerView(
        **vars(page_head(judged, ANNOUNCER, wording)),
        lists=tuple(told.lists()),
        up=tuple(told.up()),
        stand_ins=tuple(told.stand_ins()),
        came=tuple(told.came()),
        corrected=tuple(told.corrected()),
        teams=sheet.teams[:TEAMS] if sheet else (),
        bound=sheet.bound if sheet else "",
        needs=sheet.gymnasts if sheet else (),
    )


def announcer_parts(
    view: AnnouncerView, wording: Wording
) -> Iterator[tuple[PagePart, AnnouncerView]]:
    """The page part by part, one where all of it fits; the later ones hold needs alone."""
    of = len(view.needs)
    for held in packed([NEEDED] * of):
        part = replace(view, needs=view.needs[held.start : held.stop])
        if held.start:
            part = replace(
                part, lists=(), up=(), stand_ins=(), came=(), corrected=(), teams=(), bound=""
            )
        yield by_count(held.start + 1, held.stop, of, wording), part


@dataclass(frozen=True)
class _Announcer:
    """One competition, asked what is said of it."""

    results: Results
    judged: CompetitionResults
    wording: Wording

    @cached_property
    def now(self) -> LiveCompetition:
        return live(self.results)[self.judged.competition.id]

    @cached_property
    def facts(self) -> tuple[FactInWords, ...]:
        told = notable_facts(self.results, self.wording, self.judged.competition.id)
        return tuple(fact for fact in told if fact.kind in TOLD)

    @cached_property
    def sheet(self) -> NeedsView | None:
        """What is needed, while marks are to come."""
        if not self.judged.in_progress:
            return None
        return needs_view(self.results, self.judged, self.wording)

    @cached_property
    def teams(self) -> dict[int, str]:
        """The team of each gymnast, where only teams are placed."""
        one = self.judged
        lines = one.team.lines if one.team and not (one.all_around or one.by_apparatus) else ()
        return {who.key: line.id for line in lines for who in line.of.gymnasts}

    def spoken(self, who: Gymnast | Team) -> Spoken:
        """A gymnast or a team as it is said; a team has no page."""
        name = shown_name(who, self.wording)
        if who.kind == "team":
            return Spoken(name, "", "", "")
        of = self.teams.get(who.key) or who.club or who.federation
        return Spoken(name, who.pronounced, of, gymnast_target(who))

    def up(self) -> Iterator[UpOn]:
        """Who is up on each apparatus, those whose turn it is."""
        for one in whose_turn(self.now):
            turns = [self._turn(key, one.apparatus) for key in one.keys[:2]]
            squad = squad_title("", one.squad, self.wording)
            where = turn_title(one.rotation, squad, wording=self.wording)
            then = turns[1] if len(turns) > 1 else None
            apparatus = self.wording.apparatus(one.apparatus)
            yield UpOn(apparatus, one.apparatus, where, turns[0], then)

    def stand_ins(self) -> Iterator[tuple[str, str]]:
        """Who starts in whose place."""
        for ranking in self.judged.rankings if not self.judged.complete else ():
            for told in stand_ins_told(self.judged, ranking.id, self.wording):
                yield self.wording.list_name(ranking.id), told

    def _turn(self, key: int, on: str) -> Turn:
        """Who it is and what she needs there, or her team where only teams are placed."""
        who = self.spoken(self.now.entries.people[key])
        needs = needs_told(self.results, self.judged, key, self.wording, on)
        if key in self.teams and self.sheet:
            of = (team.aims for team in self.sheet.teams if team.name.text == self.teams[key])
            aims = next(of, ())[:1]
            needs = tuple(replace(one, list="") for one in aims)
        return Turn(who, needs)

    def came(self) -> Iterator[JustIn]:
        """The last marks."""
        if self.judged.in_progress:
            here = self.judged.competition.id
            for one in as_it_stands(self.results, self.wording, CAME, here):
                said = (aloud(each, self.wording) for each in one.sentences)
                yield replace(one, sentences=tuple(said))

    def corrected(self) -> Iterator[tuple[str, str]]:
        """What the last publication corrected here, but for what the last mark says."""
        names, here = published_names(self.results, self.wording), self.judged.competition.id
        told = [one.arrival.corrected for one in self.came()][:1]
        for before, last in pairwise(self.results.history.issues[-2:]):
            were = {who.person: who.competitions for who in before.publication.gymnasts}
            head = self.wording.say("Publication {n}", n=last.publication.number)
            for one in last.corrected:
                gone = were.get(one.person, ()) if one.gone and not one.competition else ()
                if here in (one.competition, *gone) and one not in told:
                    yield head, aloud(correction_sentence(one, names), self.wording)

    def lists(self) -> Iterator[ListTold]:
        """Every list, what counts for all before each apparatus."""
        decided = {one.id: one for one in decided_lists(self.judged, self.now, self.wording)}
        first = all_leaders(self.results, self.judged, PLACES, self.wording)
        both = [*zip(self.judged.rankings, first, strict=True)]
        for ranking, told in sorted(both, key=lambda pair: pair[0].kind == "apparatus"):
            known = decided.get(ranking.id, DecidedList(ranking.id, "", "", (), (), ()))
            sentences, short = known.decided, known.short
            if told.decided:
                facts = (fact for fact in self.facts if fact.rests_on.list == ranking.id)
                sentences = short = tuple(fact.sentence for fact in facts)
            yield ListTold(
                self.wording.list_name(ranking.id),
                replace(told, rows=told.rows[:MANY]),
                sentences,
                short,
                known.out,
                known.open,
                tuple(self._through(ranking)) if told.decided else (),
                known.won or (told.decided and self._was_open(ranking)),
            )

    def _was_open(self, ranking: Ranking) -> bool:
        """The publication before the last had marks of a list to come."""
        held = (
            each
            for issue in self.results.history.issues[-2:-1]
            for one in issue.publication.competitions
            for each in one.lists
            if (one.id, each.id) == (ranking.competition, ranking.id)
        )
        return any(not each.complete for each in held)

    def _through(self, ranking: Ranking) -> Iterator[Through]:
        say, target = self.wording.say, list_target(ranking.competition, QUALIFICATION)

        def name(key: int) -> str:
            return shown_name(ranking.by_key[key].of, self.wording)

        def called(number: str, line: CutLine) -> tuple[str, Spoken, str]:
            note, gone = "", line.in_place_of
            if gone is not None:
                note = say("called up in place of {names}", names=name(gone))
            return number, self.spoken(ranking.by_key[line.key].of), note

        for cut in ranking.cuts:
            starting, waiting = (
                lines if len(lines) <= MANY else () for lines in ranking.numbered(cut)
            )
            gone = ", ".join(name(line.key) for line in cut.lines if line.withdrawn)
            yield Through(
                self.wording.called(cut.cut.name),
                target,
                say("Withdrew: {names}.", names=gone) if gone else "",
                tuple(called(str(ranking.by_key[line.key].place), line) for _, line in starting),
                tuple(
                    called(reserve_words(number, self.wording), line) for number, line in waiting
                ),
            )
