"""Which rows of the corrections give the reason of a change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from resultsgen.history.changes import FactChange, MarkChange
from resultsgen.history.publication import (
    PersonOfBib,
    Publication,
    PublishedCorrection,
    without_words,
)
from resultsgen.meet.folder import Correction


@dataclass(frozen=True, eq=False)
class GivenReason:
    """A row of the corrections: whom it is about, and which publication told it first."""

    row: Correction
    persons: frozenset[str]
    """Whoever wears the bib; several only where the row names no competition."""
    since: int


class Reasons:
    """All that is told of corrections; a row about one mark is the reason of one change.

    A row is the reason of nothing that was changed after it was told; and where it was told
    together with a change, of nothing older. So the newest changes ask first.
    """

    def __init__(self, given: Iterable[GivenReason]) -> None:
        self._given = tuple(given)
        self._used: set[GivenReason] = set()
        self._told_with_theirs: set[GivenReason] = set()

    def of_mark(self, change: MarkChange, number: int) -> tuple[Correction, ...]:
        """The rows that lead from the old mark to the new one; else what is told of all of them.

        Those are about everything that the gymnast, or the competition, has.
        """
        person, apparatus, vault = change.key
        old, new = (mark.text if mark else "" for mark in (change.old, change.new))
        here = [r for r in self._open(number) if r.row.competition == change.competition]
        own = [
            reason
            for reason in here
            if (reason.row.apparatus, reason.row.vault) == (apparatus, vault)
            and person in reason.persons
            and reason not in self._used
        ]
        of_all = (
            reason
            for reason in here
            if not reason.row.apparatus
            and (not reason.row.bib or person in reason.persons)
            and reason.row.new in ("", new)
            and not (reason.row.gone and new)
        )
        return self._take(_chain(own, old, new) or of_all, number)

    def of_gone(
        self, number: int, competition: str = "", person: str = ""
    ) -> tuple[Correction, ...]:
        """The rows that say of a gymnast, or of a competition, that it is gone on purpose.

        Of a gymnast also those that say why bibs are others: without a name nobody is known else.
        """
        gone = [
            reason for reason in self._open(number) if reason.row.gone and not reason.row.apparatus
        ]
        if not person:
            rows = (r for r in gone if not r.row.bib and r.row.competition == competition)
            return self._take(rows, number)
        bibs = (reason for reason in self._open(number, "bib") if not reason.row.bib)
        return self._take([reason for reason in gone if person in reason.persons] or bibs, number)

    def of_competition(self, id: str, number: int) -> tuple[Correction, ...]:
        """The rows about a competition as a whole."""
        rows = (
            reason for reason in self._open(number) if not reason.row.bib and not reason.row.gone
        )
        return self._own_or_late(
            (reason for reason in rows if reason.row.competition == id), number
        )

    def of_fact(self, change: FactChange, number: int) -> tuple[Correction, ...]:
        """The rows about a setting, or about what of a gymnast, or of everybody, is otherwise."""
        if change.competition:
            return self.of_competition(change.competition, number)
        person, what = change.key
        rows = self._open(number, what)
        return self._own_or_late(
            (reason for reason in rows if not reason.row.bib or person in reason.persons), number
        )

    def unused(self, number: int) -> tuple[Correction, ...]:
        """The rows that a publication told first and that are the reason of nothing."""
        return tuple(g.row for g in self._given if g.since == number and g not in self._used)

    def _open(self, number: int, what: str = "") -> Iterable[GivenReason]:
        """The rows of this kind that may be about what a publication changed."""
        return (
            reason
            for reason in self._given
            if reason.row.what == what
            and reason.since >= number
            and (reason.since == number or reason not in self._told_with_theirs)
        )

    def _own_or_late(self, rows: Iterable[GivenReason], number: int) -> tuple[Correction, ...]:
        """The rows told together with a change; where there are none, those that came later."""
        every = list(rows)
        return self._take([reason for reason in every if reason.since == number] or every, number)

    def _take(self, rows: Iterable[GivenReason], number: int) -> tuple[Correction, ...]:
        taken = tuple(rows)
        self._used.update(taken)
        self._told_with_theirs.update(reason for reason in taken if reason.since == number)
        return tuple(dict.fromkeys(reason.row for reason in taken))


def _chain(rows: list[GivenReason], old: str, new: str) -> list[GivenReason]:
    """The last rows in a row that lead from *old* to *new*; none where there are none."""
    for start, first in reversed(list(enumerate(rows))):
        if first.row.old != old:
            continue
        chain = [first]
        for reason in rows[start + 1 :]:
            if chain[-1].row.new == new:
                break
            if reason.row.old == chain[-1].row.new:
                chain.append(reason)
        if chain[-1].row.new == new:
            return chain
    return []


def given_reasons(
    rows: Sequence[Correction], publications: Sequence[Publication], bibs: Mapping[str, str]
) -> tuple[list[GivenReason], tuple[PublishedCorrection, ...]]:
    """Every row with the publication that told it first; and those told that are not there now."""
    last = publications[-1]
    worn = last.bibs
    persons = [_persons(row, worn, bibs) for row in rows]
    since: dict[int, int] = {}
    for old, new in pairwise((None, *publications)):
        if new and (old is None or old.corrections != new.corrections):
            since = dict.fromkeys(_matched(new, rows, persons)[0], new.number) | since
    given = [
        GivenReason(row, who, since.get(number, last.number))
        for number, (row, who) in enumerate(zip(rows, persons, strict=True))
    ]
    if len(publications) < 2:
        return given, ()
    before = publications[-2]
    lost = _matched(before, rows, persons)[1]
    return given, tuple(row for row in lost if _is_still_published(row, before, last))


def _is_still_published(row: PublishedCorrection, old: Publication, new: Publication) -> bool:
    """Is whatever a row was about still there? Of what is gone no row has to stay."""
    if row.competition and row.competition not in {each.id for each in new.competitions}:
        return False
    wearers = {each.person for each in old.gymnasts if each.bib == row.bib}
    return not row.bib or not wearers.isdisjoint(each.person for each in new.gymnasts)


def _persons(row: Correction, worn: PersonOfBib, bibs: Mapping[str, str]) -> frozenset[str]:
    """Whom a row is about: who wears the bib in the competition, else whoever wears it or did."""
    if not row.bib:
        return frozenset()
    if here := worn.get((row.competition, row.bib)):
        return frozenset([here])
    return frozenset(person for person, bib in bibs.items() if bib == row.bib)


def _matched(
    publication: Publication, rows: Sequence[Correction], persons: Sequence[frozenset[str]]
) -> tuple[list[int], tuple[PublishedCorrection, ...]]:
    """Which rows are those that a publication told, and which of those are none of the rows.

    A row is the same if it is of the same person, whichever bib is worn now.
    """
    worn, bare = publication.bibs, [without_words(row) for row in rows]
    found: list[int] = []
    lost: list[PublishedCorrection] = []
    for told in publication.corrections:
        who, text = worn.get((told.competition, told.bib), ""), told._replace(bib="")
        same = (
            number
            for number, row in enumerate(bare)
            if number not in found
            and row._replace(bib="") == text
            and (row.bib == told.bib or (who and who in persons[number]))
        )
        number = next(same, None)
        if number is None:
            lost.append(told)
        else:
            found.append(number)
    return found, tuple(lost)
