"""The marks of one gymnast in one competition: a row per routine, then the totals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from resultsgen.scoring.results import CompetitionResults, Line, Routine, Start, TeamMember
from resultsgen.views.lists.cells import (
    EMPTY,
    legend,
    mark_cell,
    part_cell,
    part_columns,
    total_cell,
)
from resultsgen.views.lists.charts import Marks, marks_of
from resultsgen.views.lists.rankings import Listing, term_title
from resultsgen.views.lists.table import Cell, Column, Notes, Row, Table
from resultsgen.views.site.addresses import list_target
from resultsgen.views.words.reasons import why_words
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Field:
    """A competition, to be looked up by gymnast."""

    one: CompetitionResults
    wording: Wording

    @cached_property
    def starts(self) -> dict[int, Start]:
        """Who starts, by key."""
        return {start.gymnast.key: start for start in self.one.starts}

    @cached_property
    def lists(self) -> dict[str, Listing]:
        """The lists of gymnasts, by name."""
        rankings = (one for one in self.one.rankings if not one.of_teams)
        return {one.id: Listing(one, self.one, self.wording) for one in rankings}

    @cached_property
    def marks(self) -> Marks:
        """All marks, for the pictures."""
        return marks_of(self.one, self.wording)

    @cached_property
    def counts(self) -> dict[int, dict[str, bool]]:
        """Whether each gymnast's mark on an apparatus counts for the team, on a single day."""
        if self.one.team is None or self.one.team.terms:
            return {}
        members = (member for line in self.one.team.lines for member in line.team.members)
        parts = self.one.team.parts
        return {
            one.gymnast.key: {
                part: counts
                for part, routine, counts in zip(parts, one.routines, one.counts, strict=True)
                if routine and routine.mark is not None
            }
            for one in members
        }

    @cached_property
    def contributions(self) -> dict[int, tuple[Line, TeamMember]]:
        """The team of each gymnast, on a single day."""
        team = self.one.team
        if team is None or team.terms:
            return {}
        return {who.gymnast.key: (line, who) for line in team.lines for who in line.team.members}


def marks_table(start: Start, field: Field, wording: Wording) -> Table:
    """A row per routine, then the average of two vaults and the all-around."""
    key, notes = start.gymnast.key, Notes()
    done = field.one.by_gymnast.get(key, {})
    given = part_columns(list(done.values()))
    columns = (
        Column(wording.say("Apparatus"), "name", width=2),
        *given,
        Column(wording.say("Mark"), "total"),
        Column(wording.say("Place"), "place", wording.say("Pl."), width=0.6),
        *(
            (Column(wording.say("For the team"), "text", wording.say("Team")),)
            if field.counts.get(key)
            else ()
        ),
    )
    sheet = Sheet(start, field, columns, notes, wording)
    rows = tuple(sheet.rows())
    id = f"marks-{field.one.competition.id}-{key}"
    codes = legend(columns, rows, wording)
    return Table(id, field.one.competition.title, columns, rows, notes.all(), codes)


@dataclass(frozen=True)
class Sheet:
    """The rows of one gymnast in one competition."""

    start: Start
    field: Field
    columns: tuple[Column, ...]
    notes: Notes
    wording: Wording

    def rows(self) -> Iterator[Row]:
        """Each apparatus the gymnast is entered on or has a mark on, then the totals."""
        done = self.field.one.by_gymnast.get(self.start.gymnast.key, {})
        added = bool(self.field.one.competition.days)
        for code in self.field.one.apparatus:
            if (code, 1) in done or (code in self.start.apparatus and not added):
                yield self._routine_row(code, done.get((code, 1)), 1)
            if (code, 2) in done:
                yield self._routine_row(code, done[code, 2], 2)
            if self._has_total(code):
                yield from self._term_rows(code, self.wording.apparatus(code))
                yield from self._total_row(code, self._total_name(code))
        whole = self.wording.say("All-around")
        yield from self._term_rows("all-around", whole)
        yield from self._total_row("all-around", whole)

    def _has_total(self, code: str) -> bool:
        """The list of an apparatus is placed by something else than one mark."""
        return self._two_vaults(code) or self._has_terms(code)

    def _has_terms(self, code: str) -> bool:
        ranking = self.field.one.by_apparatus.get(code)
        return ranking is not None and bool(ranking.terms)

    def _total_name(self, code: str) -> str:
        apparatus = self.wording.apparatus(code)
        if self._has_terms(code):
            return self.wording.say("{apparatus}, total", apparatus=apparatus)
        line = self.field.lists[code].ranking.by_key.get(self.start.gymnast.key)
        if line is not None and line.below:
            return apparatus
        return self.wording.say("{vault}, average", vault=apparatus)

    def _term_rows(self, name: str, title: str) -> Iterator[Row]:
        """What a total is made of, where it is not the marks of the list alone."""
        listing = self.field.lists.get(name)
        line = listing.ranking.by_key.get(self.start.gymnast.key) if listing else None
        if listing is None or line is None:
            return
        for term, cell in zip(listing.ranking.terms, listing.term_cells(line), strict=True):
            told = self.wording.language.headed(title, term_title(term, self.wording))
            empty = (EMPTY,) * sum(column.kind == "number" for column in self.columns)
            after = (EMPTY,) * (2 if self.columns[-1].kind == "text" else 1)
            id = f"{self.field.one.competition.id}-{line.gymnast.key}-{name}"
            number = listing.ranking.terms.index(term)
            yield Row((Cell(told), *empty, cell, *after), "ranked", f"{id}-{number}")

    def _two_vaults(self, code: str) -> bool:
        ranking = self.field.one.by_apparatus.get(code)
        return ranking is not None and len(ranking.parts) > 1

    def _routine_row(self, code: str, routine: Routine | None, vault: int) -> Row:
        key = self.start.gymnast.key
        numbered = self._two_vaults(code) or vault == 2
        name = self.wording.apparatus(f"{code}{vault}" if numbered else code)
        id = list_target(self.field.one.competition.id, code)
        mark = mark_cell(routine, self.notes, self.wording)
        if why := self.field.one.not_ranked.get((key, code, vault)):
            note = self.notes.mark_of(why_words(why, self.wording.language))
            mark = replace(mark, note=f"{mark.note} {note}".strip())
        cells = (
            Cell(name, target=id if code in self.field.one.by_apparatus else ""),
            *self._parts(routine),
            Cell(mark.text, note=mark.note, about=mark.about),
            self._place(code, routine) if vault == 1 else EMPTY,
            *self._for_team(code, vault),
        )
        return Row(cells, "ranked", f"{self.field.one.competition.id}-{key}-{code}-{vault}")

    def _parts(self, routine: Routine | None) -> tuple[Cell, ...]:
        given = (column for column in self.columns if column.kind == "number")
        return tuple(part_cell(routine, one.label, Notes(), self.wording) for one in given)

    def _place(self, code: str, routine: Routine | None) -> Cell:
        """The place on the apparatus list; without such a list, among all who performed."""
        listing = self.field.lists.get(code)
        line = listing.ranking.by_key.get(self.start.gymnast.key) if listing else None
        if listing and line and not self._has_total(code):
            return self._place_of(listing)
        if routine is None or routine.place is None or self._has_total(code):
            return EMPTY
        return Cell(str(routine.place))

    def _place_of(self, listing: Listing) -> Cell:
        gymnast = self.start.gymnast
        return listing.place_cell(listing.ranking.by_key[gymnast.key], self.notes)

    def _for_team(self, code: str, vault: int) -> tuple[Cell, ...]:
        """Whether the mark counts for the team, where the gymnast is in one."""
        if self.columns[-1].kind != "text":
            return ()
        counts = self.field.counts[self.start.gymnast.key].get(code) if vault == 1 else None
        words = {True: self.wording.say("counts"), False: self.wording.say("dropped"), None: ""}
        return (Cell(words[counts]),)

    def _total_row(self, name: str, title: str) -> Iterator[Row]:
        listing = self.field.lists.get(name)
        line = listing.ranking.by_key.get(self.start.gymnast.key) if listing else None
        if listing is None or line is None:
            return
        id = self.field.one.competition.id
        empty = (EMPTY,) * sum(column.kind == "number" for column in self.columns)
        cells = (
            Cell(title, target=list_target(id, name)),
            *empty,
            total_cell(line, self.wording),
            self._place_of(listing),
            *((EMPTY,) if self.columns[-1].kind == "text" else ()),
        )
        yield Row(cells, "team", f"{id}-{line.gymnast.key}-{name}", listing.podium(line.place))
