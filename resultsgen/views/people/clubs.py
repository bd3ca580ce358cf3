"""A club's page, its recap of the meet: best places, finals, best marks, and all its results."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby, islice

from resultsgen.scoring.medals import medals_of_clubs
from resultsgen.scoring.ranking import CutResult, Line, Ranking
from resultsgen.scoring.results import CompetitionResults, Results, made_once
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.codes import legend
from resultsgen.views.lists.competitions import overview_link, when
from resultsgen.views.lists.page_parts import ONLY, PagePart, by_content, parts_of_page
from resultsgen.views.lists.qualification import qualification_title
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.table import Row, Table, TableNote, called, letter
from resultsgen.views.people.people import clubs
from resultsgen.views.people.titles import MEDAL_NAMES, Placing, placings
from resultsgen.views.press.notable import FactInWords, notable_facts
from resultsgen.views.site.addresses import Link, club_target, gymnast_target, list_target
from resultsgen.views.site.attachments import RenderedPage
from resultsgen.views.site.site_map import OVERVIEW, QUALIFICATION
from resultsgen.views.words.wording import Wording

SHARED = 420
"""A text to share has at most so many characters; the address of the page comes after it."""

TOLD = ("record", "everywhere", "sweep", "tie", "best-of-day", "climb", "lead")
"""The kinds of facts a club is told; who won stands among its places."""

NAMED = 24
"""Of more than so many of a large club who qualify the number is told, and no names."""


@dataclass(frozen=True)
class Members:
    """A club and the roster rows of its gymnasts."""

    club: str
    keys: frozenset[int]

    def has(self, line: Line) -> bool:
        """Is somebody of the club in this line of a list?"""
        return self._is_called(line) or any(who.key in self.keys for who in line.of.gymnasts)

    def own(self, line: Line) -> bool:
        """Is this line the club's own: a gymnast of it, or a team of nobody else?"""
        who = line.of
        if who.kind == "gymnast":
            return who.key in self.keys
        keys = {gymnast.key for gymnast in who.gymnasts}
        return self._is_called(line) or (bool(keys) and keys <= self.keys)

    def _is_called(self, line: Line) -> bool:
        """A team bears the name of the club, and is not a federation that is called alike."""
        who = line.of
        return who.kind == "team" and who.name == self.club and who.by != "federation"


@dataclass(frozen=True)
class Final:
    """Who of the club starts in a final, and who is in reserve."""

    title: Link
    starting: tuple[str, ...]
    waiting: tuple[str, ...]


@dataclass(frozen=True)
class BestMark:
    """The club's best mark on an apparatus."""

    apparatus: str
    mark: str
    names: str
    competition: str


@dataclass(frozen=True)
class ClubEntry:
    """What a club did in one competition."""

    title: Link
    when: str
    tables: tuple[Table, ...]


@dataclass(frozen=True)
class ClubView:
    """One club in the whole meet."""

    name: str
    target: str
    gymnasts: str
    introductions: tuple[RenderedPage, ...] = ()
    """The Markdown pages that introduce it."""
    medals: tuple[tuple[str, int], ...] = ()
    """How many of gold, silver and bronze, those of which there is one."""
    placings: tuple[Placing, ...] = ()
    finals: tuple[Final, ...] = ()
    best_marks: tuple[BestMark, ...] = ()
    telling: tuple[FactInWords, ...] = ()
    """What is worth telling of it."""
    shared: str = ""
    """A text to paste elsewhere."""
    entries: tuple[ClubEntry, ...] = ()


def club_views(
    results: Results, wording: Wording, pages: tuple[RenderedPage, ...] = ()
) -> Iterator[ClubView]:
    """The page of each club, by name."""
    meet = MeetByClub(results, wording)
    keys: dict[str, set[int]] = {}
    for gymnast in results.gymnasts.values():
        keys.setdefault(gymnast.club, set()).add(gymnast.key)
    for club in clubs(results):
        members = Members(club, frozenset(keys[club]))
        persons = {gymnast_target(results.gymnasts[key]) for key in members.keys}
        gymnasts = wording.language.count("{n} gymnast", "{n} gymnasts", len(persons))
        first = tuple(meet.placings(members))
        introducing = (page for page in pages if page.club == club)
        yield ClubView(
            club,
            club_target(club),
            gymnasts,
            tuple(sorted(introducing, key=lambda page: page.order)),
            tuple(meet.medals(club)),
            first,
            tuple(sorted(meet.finals(members), key=lambda final: not final.starting)),
            tuple(meet.best_marks(members)),
            meet.facts(members),
            meet.shared_text(club, gymnasts, first),
            tuple(meet.entries(members)),
        )


def club_parts(view: ClubView, wording: Wording) -> Iterator[tuple[PagePart, ClubView]]:
    """The recap with all results; of a club with too many the recap, and then they in parts."""
    places = [(entry, table) for entry in view.entries for table in entry.tables]
    held = parts_of_page([table for _, table in places])
    if len(held) == 1:
        yield ONLY, view
        return
    count = wording.language.count
    finals = tuple(
        replace(final, starting=(count("{n} of the club", "{n} of the club", number),))
        if number > NAMED
        else final
        for final in view.finals
        for number in [len(final.starting)]
    )
    yield PagePart(wording.say("Overview"), ""), replace(view, entries=(), finals=finals)
    for number, pieces in enumerate(held, start=2):
        called = by_content([piece.table for piece in pieces], number, len(held) + 1, wording)
        entries = tuple(
            replace(entry, tables=tuple(piece.table for piece in group))
            for entry, group in groupby(pieces, key=lambda piece: places[piece.number][0])
        )
        yield called, ClubView(view.name, view.target, view.gymnasts, entries=entries)


@dataclass(frozen=True)
class ShownList:
    """A list as its own page shows it, and the rows of each line; a team brings its gymnasts."""

    table: Table
    lines: tuple[tuple[Line, tuple[Row, ...]], ...]
    near: dict[int, list[int]]
    """The lines that a gymnast is in."""
    teams: frozenset[int]
    """The lines that are teams."""

    def rows_of(self, members: Members) -> tuple[Row, ...]:
        """The rows of the lines that are the club's, found without reading on."""
        near = {number for key in members.keys for number in self.near.get(key, ())}
        lines = (self.lines[number] for number in sorted(near | self.teams))
        return tuple(row for line, rows in lines if members.has(line) for row in rows)


def shown_list(
    judged: CompetitionResults, ranking: Ranking, wording: Wording, but: Collection[int] = ()
) -> ShownList:
    """A list with the table of its page, and the marks below it that no list takes.

    Of those whom an all-around shows, *but*, only second vaults.
    """
    table = list_table(judged, ranking, wording)
    rows, lines = iter(table.rows), []
    for line in (*ranking.lines, *(beside.line for beside in judged.beside_in(ranking))):
        own = tuple(islice(rows, 1 + (len(line.of.members) if line.of.kind == "team" else 0)))
        is_new = all(who.key not in but for who in line.of.gymnasts)
        if is_new or any(routine.vault == 2 for routine in line.routines if routine):
            lines.append((line, own))
    near: dict[int, list[int]] = {}
    for number, (line, _) in enumerate(lines):
        for who in line.of.gymnasts:
            near.setdefault(who.key, []).append(number)
    teams = frozenset(n for n, (line, _) in enumerate(lines) if line.of.kind == "team")
    return ShownList(table, tuple(lines), near, teams)


@dataclass(frozen=True)
class ByClub:
    """A competition, to be looked up by club."""

    judged: CompetitionResults
    wording: Wording

    @cached_property
    def lists(self) -> tuple[ShownList, ...]:
        """The team list and the all-around; of what these do not show, each apparatus."""
        judged, wording = self.judged, self.wording
        everywhere = {line.key for line in judged.all_around.lines} if judged.all_around else ()
        return (
            *(shown_list(judged, one, wording) for one in (judged.team, judged.all_around) if one),
            *(shown_list(judged, one, wording, everywhere) for one in judged.by_apparatus.values()),
        )

    @cached_property
    def known(self) -> dict[Members, ClubEntry]:
        """What was told of clubs so far."""
        return {}

    def entry(self, members: Members) -> ClubEntry:
        """What a club did, with the rows of each list that are its own."""
        if members not in self.known:
            own = ((one.table, rows) for one in self.lists if (rows := one.rows_of(members)))
            self.known[members] = ClubEntry(
                overview_link(self.judged, self.wording),
                when(self.judged, self.wording),
                tuple(narrowed_table(table, rows, self.wording) for table, rows in own),
            )
        return self.known[members]


by_club = made_once(ByClub)


class MeetByClub:
    """A meet, to be looked up by club: what is worked out once for all of them."""

    def __init__(self, results: Results, wording: Wording) -> None:
        self.results, self.wording = results, wording
        told = notable_facts(results, wording)
        self._facts = [fact for fact in told if fact.kind in TOLD]
        self._teams = {
            (judged.competition.id, line.id): line
            for judged in results.competitions
            for line in (judged.team.lines if judged.team else ())
        }
        self._held = [by_club(judged, wording) for judged in results.competitions]
        self._first, self._medals = placings(results, wording), medals_of_clubs(results)
        self._cuts = [
            (judged, ranking, cut, (cut.starting, cut.waiting))
            for judged in results.competitions
            for ranking in judged.rankings
            for cut in ranking.cuts
            if cut.final
        ]

    def entries(self, members: Members) -> Iterator[ClubEntry]:
        """All results of a club, competition by competition."""
        each = (held.entry(members) for held in self._held)
        return (entry for entry in each if entry.tables)

    def placings(self, members: Members) -> Iterator[Placing]:
        """The first three places of lists that are the club's; won, not qualified in."""
        return (placing for line, placing in self._first if members.own(line))

    def medals(self, club: str) -> Iterator[tuple[str, int]]:
        """How many there are of each medal, by name, as the count of the meet has them."""
        for medal, many in zip(MEDAL_NAMES, self._medals.get(club, (0, 0, 0)), strict=True):
            if many:
                yield self.wording.say(medal), many

    def finals(self, members: Members) -> Iterator[Final]:
        """The finals that somebody of the club reached, of those whose cut is decided."""
        for one, ranking, cut, both in self._cuts:
            starting, waiting = (
                tuple(
                    shown_name(line.of, self.wording)
                    for line in (ranking.by_key[each.key] for each in lines)
                    if members.own(line)
                )
                for lines in both
            )
            if starting or waiting:
                yield Final(self._final(one, ranking, cut), starting, waiting)

    def _final(self, judged: CompetitionResults, ranking: Ranking, cut: CutResult) -> Link:
        headed = self.wording.language.headed
        if not cut.cut.to:
            title = qualification_title(ranking, cut, self.wording)
            target = list_target(judged.competition.id, QUALIFICATION)
            return Link(headed(self.wording.called(judged.competition.title), title), target)
        title = self.wording.called(self.results.competition(cut.cut.to).competition.title)
        title = headed(title, self.wording.list_name(ranking.id)) if cut.apparatus else title
        return Link(title, list_target(cut.cut.to, OVERVIEW))

    def best_marks(self, members: Members) -> Iterator[BestMark]:
        """The club's best mark on each apparatus of each discipline, of the whole meet."""
        wording = self.wording
        found: dict[tuple[str, str], list[tuple[int, str, str]]] = {}
        for judged in self.results.competitions:
            for code in judged.apparatus:
                found.setdefault((judged.competition.discipline, code), [])
        for key in sorted(members.keys):
            gymnast = self.results.gymnasts[key]
            name = shown_name(gymnast, wording)
            # A guest is called one.
            name = f"{name} ({wording.say('guest')})" if gymnast.guest else name
            for judged in self.results.competitions:
                discipline, title = (
                    judged.competition.discipline,
                    wording.called(judged.competition.title),
                )
                for (code, _), routine in judged.by_gymnast.get(key, {}).items():
                    if routine.mark is not None:
                        found[discipline, code].append((routine.mark, name, title))
        for (_, code), made in found.items():
            if made:
                highest = max(mark for mark, *_ in made)
                best = [(name, title) for mark, name, title in made if mark == highest]
                names, titles = (list(dict.fromkeys(texts)) for texts in zip(*best, strict=True))
                mark, listed = wording.language.mark(highest), wording.language.listed(names)
                yield BestMark(wording.apparatus(code), mark, listed, ", ".join(titles))

    def facts(self, members: Members) -> tuple[FactInWords, ...]:
        """The facts that are about somebody of the club, or about a team of its own."""
        return tuple(
            fact
            for fact in self._facts
            if fact.gymnasts & members.keys
            or any(members.own(self._teams[fact.competition, name]) for name in fact.teams)
        )

    def shared_text(self, club: str, gymnasts: str, first: Sequence[Placing]) -> str:
        """A text that the club can paste: who, where, when, and a line for each of its best."""
        settings, say = self.results.meet.settings, self.wording.say
        text = say(
            "{club} at {meet}, {dates}: {gymnasts}."
            if settings.dates
            else "{club} at {meet}: {gymnasts}.",
            club=club, meet=self.wording.called(settings.title), gymnasts=gymnasts,
            dates=self.wording.language.dates(settings.dates),
        )  # fmt: skip
        for placing in first:
            told = say(
                "{place}. {name}, {list}, {competition}: {total}.",
                place=placing.place, name=placing.name, list=placing.list.text,
                competition=placing.competition, total=placing.total,
            )  # fmt: skip
            if len(text) + 1 + len(told) > SHARED:
                break
            text = f"{text}\n{told}"
        return text


def narrowed_table(table: Table, rows: tuple[Row, ...], wording: Wording) -> Table:
    """Some rows of a table, with the notes and codes that these rows call for, lettered anew.

    They have no anchors: those are on the page of the list.
    """
    letters = {mark: letter(number) for number, mark in enumerate(called(rows))}
    texts = {note.mark: note.text for note in table.notes}

    def lettered(row: Row) -> Row:
        cells = (
            cell._replace(note=" ".join(letters[mark] for mark in cell.note.split()))
            if cell.note
            else cell
            for cell in row.cells
        )
        return row._replace(cells=tuple(cells), id="")

    return replace(
        table,
        id=f"{table.id}-{rows[0].id}" if rows else table.id,
        rows=tuple(map(lettered, rows)),
        notes=tuple(TableNote(new, texts[old]) for old, new in letters.items()),
        legend=legend(table.columns, rows, wording),
    )
