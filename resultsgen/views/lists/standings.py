"""How a competition stood after each rotation: order, movement, margins, and the story of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from resultsgen.live.competition import LiveList, live
from resultsgen.live.standings import LiveSession, Standing, Standings
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.charts import Course, OrderChart
from resultsgen.views.lists.competitions import Link, links, state, when
from resultsgen.views.lists.page_parts import ONLY, Stretch, by_content, stretches_of
from resultsgen.views.lists.start_lists import squad_title
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.live.leads import Names, leaders_so_far, story
from resultsgen.views.site.site_map import STANDINGS
from resultsgen.views.words.wording import Wording

MOST_PASSED = 3
"""So many who have more than the leader with less done are named."""

CHARTED = 8
"""So many lines can be followed by eye."""


@dataclass(frozen=True)
class Group:
    """Those with as many apparatus done."""

    title: str
    """How many; empty where all are one group."""
    table: Table


@dataclass(frozen=True)
class AfterRotation:
    """The standing after one rotation."""

    title: str
    about: str
    """How many marks of it are still missing, if any."""
    groups: tuple[Group, ...]


@dataclass(frozen=True)
class BySession:
    """One list in one session in sentences and as a picture."""

    id: str
    title: str
    sentences: tuple[str, ...]
    order: OrderChart | None
    """The picture of the order after each rotation; None where there is nothing to see."""


@dataclass(frozen=True)
class SessionView(BySession):
    """The same with the standing after each rotation, the last one first."""

    rotations: tuple[AfterRotation, ...]


@dataclass(frozen=True)
class StandingsView:
    """The page of a competition with its standings by rotation."""

    title: str
    target: str
    competition: str
    below: tuple[str, ...]
    links: tuple[Link, ...]
    sessions: tuple[SessionView, ...]
    leaders: tuple[str, ...]
    """Who leads each apparatus and who has still to go, while marks are to come."""


def standings_view(results: Results, one: CompetitionResults, wording: Wording) -> StandingsView:
    """The whole page of a competition of which rotations are known."""
    offered = links(one, wording)
    link = next(link for link in offered if link.short == STANDINGS)
    return StandingsView(
        link.text,
        link.target,
        one.competition.title,
        tuple(filter(None, (when(one, wording), state(one, wording)))),
        offered,
        tuple(session_views(results, one, wording)),
        () if one.complete else tuple(leaders_so_far(results, one, wording)),
    )


Place = tuple[int, int, int]
"""Which session of a page, which of its rotations, which of its groups."""


def standings_stretches(
    view: StandingsView, wording: Wording
) -> Iterator[tuple[Stretch, StandingsView]]:
    """The page stretch by stretch; one where all of it fits.

    A session is told and drawn where it begins, who leads each apparatus on the first.
    """
    places = {
        (session, rotation, group): each.table
        for session, one in enumerate(view.sessions)
        for rotation, after in enumerate(one.rotations)
        for group, each in enumerate(after.groups)
    }
    held = stretches_of(tuple(places.values()))
    if len(held) == 1:
        yield ONLY, view
        return
    for number, pieces in enumerate(held, start=1):
        tables = [piece.table for piece in pieces]
        here = {list(places)[piece.number]: piece.table for piece in pieces}
        sessions = tuple(_sessions(view, here))
        leaders = view.leaders if number == 1 else ()
        called = by_content(tables, number, len(held), wording)
        yield called, replace(view, sessions=sessions, leaders=leaders)


def _sessions(view: StandingsView, here: dict[Place, Table]) -> Iterator[SessionView]:
    """The sessions with the tables that are here alone."""
    for session, places in groupby(here, key=lambda place: place[0]):
        one = view.sessions[session]
        rotations = []
        begins = False
        for rotation, groups in groupby(places, key=lambda place: place[1]):
            after = one.rotations[rotation]
            shown = tuple(replace(after.groups[each[2]], table=here[each]) for each in groups)
            begins = begins or (rotation == 0 and shown[0].table.first == 1)
            rotations.append(replace(after, groups=shown))
        told = one if begins else replace(one, sentences=(), order=None)
        yield replace(told, rotations=tuple(rotations))


def session_views(
    results: Results, one: CompetitionResults, wording: Wording
) -> Iterator[SessionView]:
    """The all-around and the teams, session by session."""
    for listed, session in told_sessions(results, one):
        told = Told(one, listed, session, wording)
        rotations = tuple(_after(after, told) for after in reversed(session.standings))
        yield SessionView(**vars(by_session(told)), rotations=rotations)


def by_session(told: Told) -> BySession:
    """One list in one session in sentences and as a picture."""
    sentences = (*story(told.session, told.names, told.wording), *_passed_already(told))
    return BySession(told.id, told.title, sentences, _chart(told))


def _passed_already(told: Told) -> Iterator[str]:
    """Who has more than the leader with less done; in one session of several, of its own."""
    own = {line.key for group in told.session.standings[-1].groups for line in group}
    alone = len(told.listed.sessions) == 1
    for one in told.listed.passed_already[:MOST_PASSED]:
        if alone or one.key in own:
            yield told.wording.language.count(
                "{name} already has {total}, with {n} apparatus done.",
                "{name} already has {total}, with {n} apparatus done.",
                one.done,
                name=told.names(one.key),
                total=told.wording.language.mark(one.total),
            )


def told_sessions(
    results: Results, one: CompetitionResults
) -> Iterator[tuple[LiveList, LiveSession]]:
    """Every list and session of a competition with a rotation that is over."""
    now = live(results)[one.competition.id]
    for listed in (now.all_around, now.team) if one.rotations_known else ():
        if listed:
            yield from ((listed, session) for session in listed.sessions if session.standings)


@dataclass(frozen=True)
class Told:
    """One list in one session, on its way into tables and sentences."""

    one: CompetitionResults
    listed: LiveList
    session: LiveSession
    wording: Wording

    @property
    def id(self) -> str:
        """What leads to it on its page."""
        return "-".join(filter(None, (self.listed.kind, *self.session.session.split())))

    @property
    def title(self) -> str:
        """The list, and the session where there are several."""
        words = self.wording.list_name(self.listed.id)
        session = squad_title(self.session.session, "", self.wording)
        several = len(self.listed.sessions) > 1 and session
        return self.wording.say("{list}: {part}", list=words, part=session) if several else words

    @property
    def lines(self) -> dict[int, Cell]:
        """The name cell of each gymnast or team."""
        return lines_of(self.one, self.listed.kind, self.wording)

    @property
    def names(self) -> Names:
        """What each gymnast or team is called."""
        cells = self.lines
        return lambda key: cells[key].text

    @property
    def parts(self) -> int:
        """How many apparatus the list is made of."""
        return len(self.one.apparatus)


def _after(after: Standings, told: Told) -> AfterRotation:
    language = told.wording.language
    missing = language.count(
        "{n} mark of this rotation is still to come.",
        "{n} marks of this rotation are still to come.",
        after.to_come,
    )
    title = language.say("After rotation {rotation}", rotation=after.rotation)
    groups = tuple(_group(group, after, title, told) for group in after.groups)
    return AfterRotation(title, missing if after.to_come else "", groups)


def _group(group: tuple[Standing, ...], after: Standings, title: str, told: Told) -> Group:
    """Those with equally many apparatus done; the caption is like no other on the page."""
    done = told.wording.language.count(
        "{n} apparatus done of {all}", "{n} apparatus done of {all}", group[0].done, all=told.parts
    )
    several = len(after.groups) > 1
    caption = " · ".join((told.title, title, *((done,) if several else ())))
    return Group(done if several else "", _group_table(group, after, caption, told))


def _group_table(group: tuple[Standing, ...], after: Standings, caption: str, told: Told) -> Table:
    """A group in order of place."""
    say = told.wording.say
    columns = (
        Column(say("Place"), "place", say("Pl."), width=0.5),
        Column(say("Team") if told.listed.kind == "team" else say("Gymnast"), "name", width=2.6),
        Column(say("Moved"), "number", width=0.6),
        Column(say("Behind the first"), "number", say("To 1st")),
        Column(say("Behind the next"), "number", say("To next")),
        Column(say("Total so far"), "total", say("Total"), width=1.1),
    )
    cells, language = told.lines, told.wording.language
    id = f"{told.id}-{after.rotation}-{group[0].done}"
    rows = tuple(
        Row(
            (
                Cell(str(line.place)),
                cells[line.key],
                moved_cell(line, told.wording),
                Cell(language.mark(line.behind_first) if line.behind_next is not None else ""),
                Cell(language.mark(line.behind_next)),
                Cell(language.mark(line.total)),
            ),
            id=f"{id}-{line.key}",
        )
        for line in group
    )
    return Table(id, caption, columns, rows)


def moved_cell(line: Standing, wording: Wording) -> Cell:
    """Places gained or lost since the rotation before, with an arrow and in words."""
    if line.moved is None:
        return Cell("")
    if not line.moved:
        return Cell("=", about=wording.say("no change"))
    count, places = wording.language.count, abs(line.moved)
    if line.moved > 0:
        return Cell(f"↑ {places}", about=count("up {n} place", "up {n} places", places))
    return Cell(f"↓ {places}", about=count("down {n} place", "down {n} places", places))


def _chart(told: Told) -> OrderChart | None:
    """The places after each rotation that left all level, of those who then stand first.

    None where there are fewer than two such rotations.
    """
    after = [one for one in told.session.standings if one.level]
    last = after[-1].leading if after else ()
    if len(after) < 2 or len(last) < 2:
        return None
    courses = tuple(_course(line.key, after, told.names) for line in last[:CHARTED])
    text = told.wording.say(
        "The order after each rotation. At the end: {order}.",
        order=", ".join(f"{line.place} {told.names(line.key)}" for line in last[:CHARTED]),
    )
    return OrderChart(text, tuple(str(one.rotation) for one in after), courses)


def _course(key: int, after: Sequence[Standings], names: Names) -> Course:
    """One line of the picture; no place where somebody was not compared."""
    by_rotation = ({line.key: line.place for line in one.leading} for one in after)
    return Course(names(key), tuple(places.get(key) for places in by_rotation))
