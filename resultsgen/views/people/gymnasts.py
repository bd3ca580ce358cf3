"""A gymnast's page: every mark with its parts and place, ties, cuts, and what counts for a team."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from resultsgen.files.once import Once
from resultsgen.scoring.ranking import Line, Routine, TeamMember
from resultsgen.scoring.results import CompetitionResults, Results, Start, made_once
from resultsgen.views.lists.cells import (
    EMPTY,
    mark_cell,
    part_cell,
    part_columns,
    shown_name,
    total_cell,
)
from resultsgen.views.lists.charts import SpreadChart
from resultsgen.views.lists.codes import legend
from resultsgen.views.lists.competitions import overview_link, when
from resultsgen.views.lists.listing import Listing
from resultsgen.views.lists.rankings import term_title
from resultsgen.views.lists.spreads import Marks, among_all_marks, marks_of, strips
from resultsgen.views.lists.table import Cell, Column, Digested, Notes, Row, Table, TableNote
from resultsgen.views.live.costs import Explanation, explanations, of_routines
from resultsgen.views.live.turns import Coming, coming
from resultsgen.views.people.people import Person, people
from resultsgen.views.people.titles import Placing, placings
from resultsgen.views.press.notable import FactInWords, notable_facts
from resultsgen.views.site.addresses import Link, club_target, list_target
from resultsgen.views.words.reasons import cut_title, cut_words, why_words
from resultsgen.views.words.wording import Wording

TOLD = ("record", "everywhere", "best-of-day", "climb")
"""The kinds of facts that a gymnast is told; the others stand beside the marks."""


@dataclass(frozen=True)
class GymnastEntry(Digested):
    """What a gymnast did in one competition."""

    key: int
    """The gymnast, as the lists of this competition know them."""
    title: Link
    when: str
    table: Table
    cuts: tuple[tuple[str, str], ...]
    """Each cut that the gymnast was considered for, and what it means for the gymnast."""
    spread: SpreadChart | None
    """The gymnast's marks among those of everybody."""
    explained: tuple[Explanation, ...] = ()
    """What incidents cost here."""


@dataclass(frozen=True)
class GymnastView:
    """One gymnast in the whole meet."""

    name: str
    target: str
    facts: tuple[tuple[str, str], ...]
    clubs: tuple[Link, ...]
    entries: tuple[GymnastEntry, ...]
    coming: tuple[tuple[Link, Coming], ...]
    """When she is up in each competition that runs, and what she needs."""
    telling: tuple[FactInWords, ...]
    """What is worth telling of the gymnast alone."""
    titles: tuple[Placing, ...]
    """The first three places of what was won, alone or with a team."""
    matrix: MarksMatrix


@dataclass(frozen=True)
class MatrixRow:
    """An apparatus or a total, with its cell in each competition."""

    label: str
    cells: tuple[Cell, ...]
    kind: str
    strip: SpreadChart | None
    """The mark among those of everybody, where it was made first."""


@dataclass(frozen=True)
class MarksMatrix(Digested):
    """Every mark with its place: what was performed by where."""

    rows: tuple[MatrixRow, ...]
    notes: tuple[TableNote, ...]
    legend: tuple[tuple[str, str], ...]


def _matrix(*entries: GymnastEntry) -> MarksMatrix:
    """The tables of all competitions in one, without the parts of the marks.

    The only vault of one and the first of two of another stand in one row, called Vault 1.
    """
    notes, order, found = Notes(), list[str](), dict[str, tuple[list[Cell], str]]()
    labels: dict[str, str] = {}
    lie: dict[str, SpreadChart] = {}
    for number, entry in enumerate(entries):
        kinds = [column.kind for column in entry.table.columns]
        mark, place = kinds.index("total"), kinds.index("place")
        texts = {note.mark: note.text for note in entry.table.notes}
        strip_of = strips(entry.spread) if entry.spread else {}
        at = 0
        for row in entry.table.rows:
            name, what = row.cells[0], row.id.removeprefix(entry.table.id.removeprefix("marks-"))
            if what not in found:
                found[what] = ([EMPTY] * len(entries), row.kind)
                order.insert(at, what)
            at = order.index(what) + 1
            labels[what] = max(labels.get(what, ""), name.text, key=len)
            if strip := strip_of.get(name.text):
                lie.setdefault(what, strip)
            called = f"{row.cells[mark].note} {row.cells[place].note}".split()
            found[what][0][number] = row.cells[mark]._replace(
                place=row.cells[place].text,
                target=name.target,
                note=" ".join(dict.fromkeys(notes.mark_of(texts[one]) for one in called)),
            )
    rows = tuple(
        MatrixRow(labels[what], tuple(found[what][0]), found[what][1], lie.get(what))
        for what in order
    )
    shown = {cell.text for row in rows for cell in row.cells}
    codes = dict(pair for entry in entries for pair in entry.table.legend if pair[0] in shown)
    return MarksMatrix(rows, notes.all(), tuple(codes.items()))


matrix = Once(_matrix, 1_000)


@dataclass(frozen=True)
class ByGymnast:
    """A competition, to be looked up by gymnast."""

    judged: CompetitionResults
    wording: Wording

    @cached_property
    def starts(self) -> dict[int, Start]:
        """Who starts, by key."""
        return {start.gymnast.key: start for start in self.judged.starts}

    @cached_property
    def lists(self) -> dict[str, Listing]:
        """The lists of gymnasts, by name."""
        rankings = (ranking for ranking in self.judged.rankings if not ranking.of_teams)
        return {each.id: Listing(each, self.judged, self.wording) for each in rankings}

    @cached_property
    def marks(self) -> Marks:
        """All marks, for the pictures."""
        return marks_of(self.judged, self.wording)

    @cached_property
    def members(self) -> dict[int, tuple[Line, TeamMember]]:
        """The team of each gymnast, on a single day."""
        team = self.judged.team
        lines = team.lines if team and not team.terms else ()
        return {who.gymnast.key: (line, who) for line in lines for who in line.team.members}

    @cached_property
    def entries(self) -> dict[int, GymnastEntry]:
        """What each gymnast did, as far as it was asked for; without incidents."""
        return {}

    def entry(self, key: int, explained: tuple[Explanation, ...]) -> GymnastEntry:
        """What a gymnast did."""
        if key not in self.entries:
            self.entries[key] = self._entry(key)
        told = of_routines(explained, self.judged.competition.id, gymnast=key) if explained else ()
        return replace(self.entries[key], explained=told) if told else self.entries[key]

    def _entry(self, key: int) -> GymnastEntry:
        done = self.judged.by_gymnast.get(key, {}).items()
        own = {
            code: routine.mark
            for (code, vault), routine in done
            if vault == 1 and routine.mark is not None
        }
        return GymnastEntry(
            key,
            overview_link(self.judged, self.wording),
            when(self.judged, self.wording),
            marks_table(self.starts[key], self),
            (*_for_the_team(key, self), *_cuts(key, self)),
            among_all_marks(own, self.marks, self.wording),
        )

    def counting(self, key: int) -> dict[str, bool]:
        """Whether each mark of a gymnast counts for the team, by apparatus."""
        if self.judged.team is None or key not in self.members:
            return {}
        member = self.members[key][1]
        each = zip(self.judged.team.parts, member.routines, member.counts, strict=True)
        return {part: counts for part, made, counts in each if made and made.mark is not None}


by_gymnast = made_once(ByGymnast)


def gymnast_views(results: Results, wording: Wording) -> Iterator[GymnastView]:
    """The page of each person, in the order of the index."""
    competitions = tuple(by_gymnast(judged, wording) for judged in results.competitions)
    told = explanations(results, wording)
    running = [
        (overview_link(judged, wording), found)
        for judged in results.competitions
        if (found := coming(results, judged, wording))
    ]
    facts: dict[int, list[tuple[int, FactInWords]]] = {}
    for number, fact in enumerate(notable_facts(results, wording)):
        if fact.kind in TOLD and fact.gymnasts:
            facts.setdefault(min(fact.gymnasts), []).append((number, fact))
    first: dict[int, list[Placing]] = {}
    for line, placing in placings(results, wording):
        for who in line.of.gymnasts:
            first.setdefault(who.key, []).append(placing)
    for person in people(results):
        near = {number: fact for key in person.keys for number, fact in facts.get(key, ())}
        about = tuple(near[n] for n in sorted(near) if near[n].gymnasts <= person.keys)
        up = tuple(
            (title, found[key])
            for title, found in running
            for key in sorted(person.keys & {*found})
        )
        won = tuple(place for key in sorted(person.keys) for place in first.get(key, ()))
        yield _view(person, competitions, told, up, about, won, wording)


def _view(
    person: Person,
    competitions: Sequence[ByGymnast],
    explained: tuple[Explanation, ...],
    up: tuple[tuple[Link, Coming], ...],
    telling: tuple[FactInWords, ...],
    won: tuple[Placing, ...],
    wording: Wording,
) -> GymnastView:
    gymnast, say = person.gymnast, wording.say
    divisions = dict.fromkeys(entry.division for entry in person.entries if entry.division)
    born = str(gymnast.birth_year) if gymnast.birth_year and gymnast.published else ""
    facts = (
        (say("Bib"), gymnast.bib if wording.bibs_worn else ""),
        (say("Federation"), gymnast.federation),
        (say("Division"), ", ".join(map(wording.called, divisions))),
        (say("Born"), born),
        (say("Starts as"), say("guest") if gymnast.guest else ""),
    )
    entries = tuple(
        held.entry(key, explained)
        for held in competitions
        for key in sorted(person.keys & held.starts.keys())
    )
    return GymnastView(
        shown_name(gymnast, wording),
        person.target,
        tuple((label, text) for label, text in facts if text),
        tuple(Link(club, club_target(club)) for club in person.clubs),
        entries,
        up,
        telling,
        won,
        matrix(*entries),
    )


def _for_the_team(key: int, held: ByGymnast) -> Iterator[tuple[str, str]]:
    if key not in held.members:
        return
    line, member = held.members[key]
    pairs = zip(member.routines, member.counts, strict=True)
    done = [(made.mark, counts) for made, counts in pairs if made and made.mark is not None]
    if done and line.total is not None and held.judged.team:
        counting, language = [mark for mark, counts in done if counts], held.wording.language
        words = language.count(
            "{n} of {all} marks counts, {sum} of {total}; place {place}",
            "{n} of {all} marks count, {sum} of {total}; place {place}",
            len(counting), all=len(done), sum=language.mark(sum(counting)),
            total=language.mark(line.total), place=held.judged.team.places[line.key],
        )  # fmt: skip
        yield language.say("Team {name}", name=line.id), words


def _cuts(key: int, held: ByGymnast) -> Iterator[tuple[str, str]]:
    """What each cut means for a gymnast; those far from the line are told nothing."""
    wording = held.wording
    for name, listing in held.lists.items():
        for number, lines in enumerate(listing.cut_lines):
            if key not in lines:
                continue
            line = lines[key]
            if listing.chances[number] is None:
                told = cut_words(line.verdict, wording.language)
            else:
                sign, state = listing.cut_state(number, line)
                told = "" if sign == "?" else state
            words = "; ".join(filter(None, (told, listing.cut_sentence(number, line))))
            if words:
                title = cut_title(listing.ranking.cuts[number], wording)
                if name != "all-around":
                    title = f"{title}, {wording.list_name(name)}"
                yield title, words


def marks_table(start: Start, held: ByGymnast) -> Table:
    """A row per routine, then the average of two vaults and the all-around."""
    say, key = held.wording.say, start.gymnast.key
    done, counts = held.judged.by_gymnast.get(key, {}), held.counting(key)
    given = part_columns(list(done.values()))
    columns = (
        Column(say("Apparatus"), "name", width=2),
        *given,
        Column(say("Mark"), "total"),
        Column(say("Place"), "place", say("Pl."), width=0.6),
        *((Column(say("For the team"), "text", say("Team")),) if counts else ()),
    )
    sheet = MarksSheet(start, held, tuple(part.label for part in given), counts)
    rows, id = tuple(sheet.rows(done)), held.judged.competition.id
    codes = legend(columns, rows, held.wording)
    title = held.wording.called(held.judged.competition.title)
    return Table(f"marks-{id}-{key}", title, columns, rows, sheet.notes.all(), codes)


@dataclass(frozen=True)
class MarksSheet:
    """The rows of one gymnast in one competition."""

    start: Start
    held: ByGymnast
    parts: tuple[str, ...]
    """The parts of marks that have a column."""
    counts: Mapping[str, bool]
    """Whether the mark on an apparatus counts for the team; empty where there is no team."""
    notes: Notes = field(default_factory=Notes)

    def rows(self, done: Mapping[tuple[str, int], Routine]) -> Iterator[Row]:
        """Each apparatus the gymnast is entered on or has a mark on, then the totals."""
        judged, wording = self.held.judged, self.held.wording
        for code in judged.apparatus:
            entered = code in self.start.apparatus and not judged.competition.days
            if (code, 1) in done or entered:
                yield self._routine_row(code, done.get((code, 1)), 1)
            if (code, 2) in done:
                yield self._routine_row(code, done[code, 2], 2)
            if self._has_total(code):
                yield from self._total_rows(code, wording.apparatus(code))
        yield from self._total_rows("all-around", wording.say("All-around"))

    def _line(self, name: str) -> tuple[Listing, Line] | None:
        listing = self.held.lists.get(name)
        line = listing.ranking.by_key.get(self.start.gymnast.key) if listing else None
        return (listing, line) if listing and line else None

    def _has_total(self, code: str) -> bool:
        """The list of an apparatus is placed by something else than one mark."""
        ranking = self.held.judged.by_apparatus.get(code)
        return ranking is not None and (len(ranking.parts) > 1 or bool(ranking.terms))

    def _total_rows(self, name: str, title: str) -> Iterator[Row]:
        """The place in a list, and what a total is made of that is not of its marks alone."""
        found, wording = self._line(name), self.held.wording
        if found is None:
            return
        listing, line = found
        id = f"{self.held.judged.competition.id}-{line.key}-{name}"
        terms = zip(listing.ranking.terms, listing.term_cells(line), strict=True)
        for number, (term, cell) in enumerate(terms):
            told = wording.language.headed(title, term_title(term, wording))
            yield Row(self._cells(Cell(told), (), cell, EMPTY, ""), id=f"{id}-term-{number}")
        if listing.ranking.kind == "apparatus" and listing.ranking.terms:
            title = wording.say("{apparatus}, total", apparatus=title)
        elif listing.ranking.kind == "apparatus" and not line.below:
            title = wording.say("{vault}, average", vault=title)
        named = Cell(title, target=list_target(self.held.judged.competition.id, name))
        place = listing.place_cell(line, self.notes)
        cells = self._cells(named, (), total_cell(line, wording), place, "")
        yield Row(cells, "team", id, listing.podium(line.place))

    def _routine_row(self, code: str, routine: Routine | None, vault: int) -> Row:
        judged, key, wording = self.held.judged, self.start.gymnast.key, self.held.wording
        ranking = judged.by_apparatus.get(code)
        numbered = vault == 2 or (ranking is not None and len(ranking.parts) > 1)
        name = wording.apparatus(f"{code}{vault}" if numbered else code)
        target = list_target(judged.competition.id, code) if ranking else ""
        mark = mark_cell(routine, self.notes, wording)
        if why := judged.not_ranked.get((key, code, vault)):
            note = self.notes.mark_of(why_words(why, wording.language))
            mark = mark._replace(note=f"{mark.note} {note}".strip())
        parts = tuple(part_cell(routine, part, Notes(), wording) for part in self.parts)
        place, counts = EMPTY, ""
        if vault == 1:
            # Without a list of the apparatus the place is that among all who performed.
            if not self._has_total(code) and (found := self._line(code)):
                place = found[0].place_cell(found[1], self.notes)
            elif not self._has_total(code) and routine and routine.place is not None:
                place = Cell(str(routine.place))
            words = {True: wording.say("counts"), False: wording.say("dropped"), None: ""}
            counts = words[self.counts.get(code)]
        shown = Cell(mark.text, note=mark.note, about=mark.about)
        cells = self._cells(Cell(name, target=target), parts, shown, place, counts)
        return Row(cells, id=f"{judged.competition.id}-{key}-{code}-{vault}")

    def _cells(
        self, name: Cell, parts: tuple[Cell, ...], mark: Cell, place: Cell, team: str
    ) -> tuple[Cell, ...]:
        parts = parts or (EMPTY,) * len(self.parts)
        return (name, *parts, mark, place, *((Cell(team),) if self.counts else ()))
