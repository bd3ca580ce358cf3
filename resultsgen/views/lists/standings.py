"""How a competition stood after each rotation: order, movement, margins, and the story of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby

from resultsgen.live.competition import live_competition
from resultsgen.live.lists import LiveList
from resultsgen.live.standings import LiveSession, Standing, Standings
from resultsgen.scoring.results import CompetitionResults, Results, made_once
from resultsgen.views.lists.cells import lines_of, name_column
from resultsgen.views.lists.charts import Course, OrderChart, scale_of
from resultsgen.views.lists.competitions import PageHead, page_head
from resultsgen.views.lists.page_parts import PagePart, TablePart, by_content, parted
from resultsgen.views.lists.places import moved_cell, place_cell, place_column
from resultsgen.views.lists.start_lists import squad_title
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.live.leads import leaders_so_far, story
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
class RotationView:
    """The standing after one rotation."""

    title: str
    about: str
    """How many marks of it are still missing, if any."""
    groups: tuple[Group, ...]


@dataclass(frozen=True)
class SessionStory:
    """One list in one session in sentences and as a picture."""

    id: str
    title: str
    sentences: tuple[str, ...]
    behind: OrderChart | None
    """The picture of the points behind the leader after each rotation."""
    order: OrderChart | None
    """The picture of the order after each rotation; None where there is nothing to see."""


@dataclass(frozen=True)
class SessionView(SessionStory):
    """The same with the standing after each rotation, the last one first."""

    rotations: tuple[RotationView, ...]


@dataclass(frozen=True)
class StandingsView(PageHead):
    """The page of a competition with its standings by rotation."""

    sessions: tuple[SessionView, ...]
    leaders: tuple[str, ...]
    """Who leads each apparatus and who has still to go, while marks are to come."""


def standings_view(results: Results, judged: CompetitionResults, wording: Wording) -> StandingsView:
    """The whole page of a competition of which rotations are known."""
    sessions = session_views(judged, wording)
    leaders = () if judged.complete else tuple(leaders_so_far(results, judged, wording))
    head = page_head(judged, STANDINGS, wording)
    return StandingsView(**vars(head), sessions=sessions, leaders=leaders)


Place = tuple[int, int, int]
"""Which session of a page, which of its rotations, which of its groups."""

STORIES = 6
"""So many bytes for each row do the pictures and sentences of a session take, compressed."""


def standings_parts(
    view: StandingsView, wording: Wording
) -> Iterator[tuple[PagePart, StandingsView]]:
    """The page part by part; one where all of it fits.

    A session is told and drawn where it begins, who leads each apparatus on the first.
    """
    places: dict[Place, Table] = {
        (session, rotation, number): group.table
        for session, one in enumerate(view.sessions)
        for rotation, after in enumerate(one.rotations)
        for number, group in enumerate(after.groups)
    }

    def part(pieces: tuple[TablePart, ...], number: int) -> StandingsView:
        here = {list(places)[piece.number]: piece.table for piece in pieces}
        leaders = view.leaders if number == 1 else ()
        return replace(view, sessions=tuple(_sessions(view, here)), leaders=leaders)

    return parted(view, tuple(places.values()), part, by_content, wording, STORIES)


def _sessions(view: StandingsView, here: dict[Place, Table]) -> Iterator[SessionView]:
    for session, places in groupby(here, key=lambda place: place[0]):
        shown, rotations = view.sessions[session], []
        begins = False
        for rotation, groups in groupby(places, key=lambda place: place[1]):
            after = shown.rotations[rotation]
            own = tuple(replace(after.groups[each[2]], table=here[each]) for each in groups)
            begins = begins or (rotation == 0 and own[0].table.first == 1)
            rotations.append(replace(after, groups=own))
        if not begins:
            shown = replace(shown, sentences=(), behind=None, order=None)
        yield replace(shown, rotations=tuple(rotations))


@made_once
def session_views(judged: CompetitionResults, wording: Wording) -> tuple[SessionView, ...]:
    """The all-around and the teams, session by session."""
    return tuple(
        SessionView(
            **vars(session_story(own)),
            rotations=tuple(_after(after, own) for after in reversed(session.standings)),
        )
        for listed, session in listed_sessions(judged)
        for own in [ListedSession(judged, listed, session, wording)]
    )


def listed_sessions(judged: CompetitionResults) -> Iterator[tuple[LiveList, LiveSession]]:
    """Every list and session of a competition with a rotation that is over."""
    now = live_competition(judged)
    for listed in now.lists.values() if judged.rotations_known else ():
        yield from ((listed, session) for session in listed.sessions if session.standings)


@dataclass(frozen=True)
class ListedSession:
    """One list in one session, on its way into tables and sentences."""

    judged: CompetitionResults
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
        if len(self.listed.sessions) > 1 and session:
            return self.wording.say("{list}: {part}", list=words, part=session)
        return words

    @cached_property
    def lines(self) -> dict[int, Cell]:
        """The name cell of each gymnast or team."""
        return lines_of(self.judged, self.listed.kind, self.wording)

    def name(self, key: int) -> str:
        """What a gymnast or team is called."""
        return self.lines[key].text


def session_story(own: ListedSession) -> SessionStory:
    """One list in one session in sentences and as a picture."""
    several = len(own.listed.sessions) > 1
    told: Iterable[str] = story(own.session, own.name, own.wording, several=several)
    if own.listed.kind == "team":
        told = (*(told if own.session.contested else ()), *_left_out(own))
    sentences = (*told, *_passed_already(own))
    return SessionStory(own.id, own.title, sentences, *_charts(own))


def _left_out(own: ListedSession) -> Iterator[str]:
    """Which teams are in no session, as their gymnasts are in several."""
    lines = own.judged.team.lines if own.session.session and own.judged.team else ()
    names = [
        own.name(line.key) for line in lines if len({who.session for who in line.of.gymnasts}) > 1
    ]
    if names:
        yield own.wording.say(
            "Left out: {names}, with gymnasts in several sessions.",
            names=own.wording.language.listed(names),
        )


def _passed_already(own: ListedSession) -> Iterator[str]:
    """Who has more than the leader with less done; in one session of several, of its own."""
    here = {line.key for group in own.session.standings[-1].groups for line in group}
    for line in own.listed.passed_already[:MOST_PASSED]:
        if len(own.listed.sessions) == 1 or line.key in here:
            name, total = own.name(line.key), own.wording.language.mark(line.total)
            if own.listed.kind == "team" and own.judged.team:
                yield own.wording.language.count(
                    "{name} already has {total}, with {n} mark to come.",
                    "{name} already has {total}, with {n} marks to come.",
                    own.judged.team.by_key[line.key].to_come, name=name, total=total,
                )  # fmt: skip
                continue
            yield own.wording.language.count(
                "{name} already has {total}, with {n} apparatus done.",
                "{name} already has {total}, with {n} apparatus done.",
                line.done, name=name, total=total,
            )  # fmt: skip


def _charts(own: ListedSession) -> tuple[OrderChart | None, OrderChart | None]:
    """After each rotation that left all level, the margins and the places of who then stand first.

    None where there are fewer than two such rotations.
    """
    after = [standings for standings in own.session.standings if standings.level]
    last = after[-1].leading[:CHARTED] if after else ()
    if len(after) < 2 or len(last) < 2:
        return None, None
    say, language = own.wording.say, own.wording.language
    lines = [{line.key: line for line in standings.leading} for standings in after]
    steps = tuple(str(each.rotation) for each in after)
    margins, places = [], []
    for end in last:
        name, there = own.name(end.key), [at.get(end.key) for at in lines]
        behind = tuple(line and line.behind_first for line in there)
        margins.append(Course(name, behind, language.mark(end.behind_first)))
        places.append(Course(name, tuple(line and line.place for line in there)))
    order = ", ".join(f"{line.place} {own.name(line.key)}" for line in last)
    told = ", ".join(f"{own.name(line.key)} {language.mark(line.behind_first)}" for line in last)
    scale = scale_of([0, *(each or 0 for one in margins for each in one.places)])
    return (
        OrderChart(
            say("Points behind the first after each rotation. At the end: {order}.", order=told),
            steps, tuple(margins), tuple((mark, language.short(mark)) for mark in scale),
        ),
        OrderChart(
            say("The places after each rotation. At the end: {order}.", order=order),
            steps, tuple(places),
        ),
    )  # fmt: skip


def _after(after: Standings, own: ListedSession) -> RotationView:
    """The tables after one rotation, a group for those with equally many apparatus done."""
    language, several = own.wording.language, len(after.groups) > 1
    missing = language.count(
        "{n} mark of this rotation is still to come.",
        "{n} marks of this rotation are still to come.",
        after.to_come,
    )
    title = language.say("After rotation {rotation}", rotation=after.rotation)
    groups = []
    for group in after.groups:
        done = language.count(
            "{n} apparatus done of {all}", "{n} apparatus done of {all}",
            group[0].done, all=len(own.judged.apparatus),
        )  # fmt: skip
        # The caption is like no other on the page.
        caption = " · ".join((own.title, title, *((done,) if several else ())))
        id = f"{own.id}-{after.rotation}-{group[0].done}"
        groups.append(Group(done if several else "", _group_table(id, caption, group, own)))
    return RotationView(title, missing if after.to_come else "", tuple(groups))


def _group_table(id: str, caption: str, group: Sequence[Standing], own: ListedSession) -> Table:
    say, show = own.wording.say, own.wording.language.mark
    columns = (
        place_column(own.wording),
        name_column(own.listed.kind == "team", own.wording),
        Column(say("Moved"), "number", width=0.6),
        Column(say("Behind the first"), "number", say("Behind")),
        Column(say("Behind the next"), "number", say("Behind next")),
        Column(say("Total so far"), "total", say("Total"), width=1.1),
    )
    rows = []
    for line in group:
        behind_first = show(line.behind_first) if line.behind_next is not None else ""
        margins = (Cell(behind_first), Cell(show(line.behind_next)))
        moved, total = moved_cell(line.moved, own.wording), Cell(show(line.total))
        cells = (Cell(str(line.place)), own.lines[line.key], moved, *margins, total)
        rows.append(Row(cells, id=f"{id}-{line.key}"))
    return Table(id, caption, columns, tuple(rows))


def rotation_table(own: ListedSession) -> Table:
    """One list in one session on paper: total and place after each rotation, in the last order."""
    say, after = own.wording.say, own.session.standings
    columns = (
        place_column(own.wording),
        name_column(own.listed.kind == "team", own.wording),
        *(
            Column(
                say("After rotation {rotation}", rotation=each.rotation), "mark",
                say("Rotation {rotation}", rotation=each.rotation), width=1.1,
            )
            for each in after
        ),
    )  # fmt: skip
    standings = [{line.key: line for group in each.groups for line in group} for each in after]
    most = [each.leading[0].done for each in after]
    rows = []
    for key, last in standings[-1].items():
        leading = last.done == most[-1]
        place = place_cell(last.place if leading else None, False, "", own.wording)
        lines = ((at.get(key), done) for at, done in zip(standings, most, strict=True))
        cells = (place, own.lines[key], *(_cell(line, done, own.wording) for line, done in lines))
        rows.append(Row(cells, "ranked" if leading else "unranked", f"{own.id}-{key}"))
    legend = (
        (say("beside a mark"), say("place after the rotation")),
        ("+1", say("places gained since the rotation before")),
        (own.wording.language.mark(-300), say("behind the first")),
    )
    return Table(own.id, own.title, columns, tuple(rows), legend=legend)


def _cell(line: Standing | None, most: int, wording: Wording) -> Cell:
    """The total so far with its place, the places gained or lost, and how far behind the first."""
    if line is None:
        return Cell("")
    total = wording.language.mark(line.total)
    if line.done != most:
        return Cell(total, wording.say("after {done}", done=line.done))
    moved = f"{line.moved:+d}" if line.moved else ""
    behind = wording.language.mark(-line.behind_first) if line.behind_first else ""
    return Cell(total, " · ".join(filter(None, (moved, behind))), str(line.place))
