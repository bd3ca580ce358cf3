"""A club's recap: its finals, its best marks, what is worth telling, a text to share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from resultsgen.scoring.results import (
    CompetitionResults,
    CutResult,
    Gymnast,
    Line,
    Ranking,
    Results,
)
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.competitions import Link
from resultsgen.views.lists.members import Members
from resultsgen.views.lists.qualification import qualification_title
from resultsgen.views.press.notable import Fact
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW, QUALIFICATION
from resultsgen.views.words.wording import Wording

SHARED = 420
"""A text to share has at most so many characters; the address of the page comes after it."""

TOLD = ("record", "everywhere", "sweep", "tie", "best-of-day", "climb", "lead")
"""The kinds of facts a club is told; who won stands among its places."""


@dataclass(frozen=True)
class Final:
    """Who of the club starts in a final, and who is in reserve."""

    title: Link
    starting: tuple[str, ...]
    waiting: tuple[str, ...]


@dataclass(frozen=True)
class Starters:
    """The lines of all who start in a final, and of the reserves in order."""

    title: Link
    starting: tuple[Line, ...]
    waiting: tuple[Line, ...]


@dataclass(frozen=True)
class BestMark:
    """The club's best mark on an apparatus."""

    apparatus: str
    mark: str
    names: str
    competition: str


def starters(results: Results, wording: Wording) -> Iterator[Starters]:
    """Every final whose cut is decided."""
    for one in results.competitions:
        for ranking in one.rankings:
            for cut in ranking.cuts:
                if cut.final:
                    yield Starters(
                        _final(one, ranking, cut, results, wording),
                        tuple(ranking.by_key[line.key] for line in cut.starting),
                        tuple(ranking.by_key[line.key] for line in cut.waiting),
                    )


def finals(known: Sequence[Starters], members: Members, wording: Wording) -> Iterator[Final]:
    """The finals that somebody of the club reached."""
    for one in known:
        starting, waiting = (
            tuple(shown_name(line.of, wording) for line in lines if members.own(line))
            for lines in (one.starting, one.waiting)
        )
        if starting or waiting:
            yield Final(one.title, starting, waiting)


def _final(
    one: CompetitionResults,
    ranking: Ranking,
    cut: CutResult,
    results: Results,
    wording: Wording,
) -> Link:
    """What a cut leads to: a competition of the meet, or what the cut is called."""
    headed = wording.language.headed
    if not cut.cut.to:
        title = headed(one.competition.title, qualification_title(ranking, cut, wording))
        return Link(title, list_target(one.competition.id, QUALIFICATION))
    title = results.competition(cut.cut.to).competition.title
    title = headed(title, wording.list_name(ranking.id)) if cut.apparatus else title
    return Link(title, list_target(cut.cut.to, OVERVIEW))


@dataclass(frozen=True)
class Made:
    """A mark, who made it and where."""

    discipline: str
    apparatus: str
    mark: int
    gymnast: Gymnast
    competition: str


def made_marks(results: Results) -> dict[int, list[Made]]:
    """Every mark of the meet, by gymnast."""
    found: dict[int, list[Made]] = {}
    for one in results.competitions:
        own = one.competition
        for who, routine in one.routines:
            if routine.mark is not None:
                made = Made(own.discipline, routine.apparatus, routine.mark, who, own.title)
                found.setdefault(who.key, []).append(made)
    return found


def best_marks(
    known: Mapping[int, Sequence[Made]], results: Results, members: Members, wording: Wording
) -> Iterator[BestMark]:
    """The club's best mark on each apparatus of each discipline, of the whole meet."""
    own = [made for key in sorted(members.keys) for made in known.get(key, ())]
    lists = dict.fromkeys(
        (one.competition.discipline, code) for one in results.competitions for code in one.apparatus
    )
    for each in lists:
        here = [made for made in own if (made.discipline, made.apparatus) == each]
        highest = max((made.mark for made in here), default=None)
        best = [made for made in here if made.mark == highest]
        if best:
            names = dict.fromkeys(_maker(made.gymnast, wording) for made in best)
            yield BestMark(
                wording.apparatus(each[1]),
                wording.language.mark(best[0].mark),
                wording.language.listed(list(names)),
                ", ".join(dict.fromkeys(made.competition for made in best)),
            )


def _maker(gymnast: Gymnast, wording: Wording) -> str:
    """Who made a mark, and that it is a guest."""
    name = shown_name(gymnast, wording)
    return f"{name} ({wording.say('guest')})" if gymnast.guest else name


def own_facts(facts: tuple[Fact, ...], members: Members, results: Results) -> tuple[Fact, ...]:
    """The facts that are about somebody of the club, or about a team of its own."""
    teams = {
        (one.competition.id, line.id)
        for one in results.competitions
        if one.team
        for line in one.team.lines
        if members.own(line)
    }
    return tuple(
        fact
        for fact in facts
        if fact.kind in TOLD
        and (
            fact.gymnasts & members.keys
            or any((fact.competition, name) in teams for name in fact.teams)
        )
    )


def shared_text(
    club: str, gymnasts: str, places: list[str], results: Results, wording: Wording
) -> str:
    """A text that the club can paste: who, where, when, and its best places, as far as they fit."""
    settings = results.meet.settings
    text = (
        wording.say(
            "{club} at {meet}, {dates}: {gymnasts}.",
            club=club,
            meet=settings.title,
            dates=wording.language.dates(settings.dates),
            gymnasts=gymnasts,
        )
        if settings.dates
        else wording.say(
            "{club} at {meet}: {gymnasts}.", club=club, meet=settings.title, gymnasts=gymnasts
        )
    )
    for place in places:
        if len(text) + 1 + len(place) > SHARED:
            break
        text = f"{text} {place}"
    return text
