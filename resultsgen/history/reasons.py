"""Which rows of the corrections give the reason of a change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from resultsgen.history.changes import Bibs, FactChange, MarkChange
from resultsgen.history.persons import bibs_of
from resultsgen.history.publication import Publication, Told, told
from resultsgen.meet.folder import Correction


@dataclass(frozen=True, eq=False)
class Given:
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

    def __init__(self, given: Iterable[Given]) -> None:
        self._given = tuple(given)
        self.used: set[Given] = set()
        self._told_with_theirs: set[Given] = set()

    def of_mark(self, change: MarkChange, number: int) -> tuple[Correction, ...]:
        """The rows that lead from the old mark to the new one; else what is told of all of them."""
        person, apparatus, vault = change.key
        key = (change.competition, apparatus, vault)
        own = [
            one
            for one in self._known(number)
            if (one.row.competition, one.row.apparatus, one.row.vault) == key
            and person in one.persons
            and one not in self.used
        ]
        return self._take(_chain(own, *change.texts) or self._of_all(change, number), number)

    def _of_all(self, change: MarkChange, number: int) -> list[Given]:
        """Rows about everything that the gymnast, or the competition, has."""
        new = change.texts[1]
        return [
            one
            for one in self._known(number)
            if not one.row.apparatus
            and one.row.competition == change.competition
            and (not one.row.bib or change.key[0] in one.persons)
            and one.row.new in ("", new)
            and (not one.row.gone or not new)
        ]

    def of_gone(
        self, number: int, competition: str = "", person: str = ""
    ) -> tuple[Correction, ...]:
        """The rows that say of a gymnast, or of a competition, that it is gone on purpose.

        Of a gymnast also those that say why bibs are others: without a name nobody is known else.
        """
        gone = [one for one in self._known(number) if one.row.gone and not one.row.apparatus]
        if not person:
            return self._take(
                (one for one in gone if not one.row.bib and one.row.competition == competition),
                number,
            )
        bibs = (one for one in self._of_what("bib", number) if not one.row.bib)
        return self._take([one for one in gone if person in one.persons] or bibs, number)

    def of_competition(self, id: str, number: int) -> tuple[Correction, ...]:
        """The rows about a competition as a whole."""
        rows = [
            one
            for one in self._known(number)
            if one.row.competition == id and not one.row.bib and not one.row.gone
        ]
        return self._take(_own_or_late(rows, number), number)

    def of_fact(self, change: FactChange, number: int) -> tuple[Correction, ...]:
        """The rows about a setting, or about what of a gymnast, or of everybody, is otherwise."""
        if change.competition:
            return self.of_competition(change.competition, number)
        rows = [
            one
            for one in self._of_what(change.what, number)
            if not one.row.bib or change.person in one.persons
        ]
        return self._take(_own_or_late(rows, number), number)

    def _known(self, number: int) -> Iterable[Given]:
        return (one for one in self._open(number) if not one.row.what)

    def _of_what(self, what: str, number: int) -> Iterable[Given]:
        return (one for one in self._open(number) if one.row.what == what)

    def _open(self, number: int) -> Iterable[Given]:
        """The rows that may be about what a publication changed."""
        return (
            one
            for one in self._given
            if one.since == number or (one.since > number and one not in self._told_with_theirs)
        )

    def unused(self, number: int) -> tuple[Correction, ...]:
        """The rows that a publication told first and that are the reason of nothing."""
        return tuple(one.row for one in self._given if one.since == number and one not in self.used)

    def _take(self, rows: Iterable[Given], number: int) -> tuple[Correction, ...]:
        taken = tuple(rows)
        self.used.update(taken)
        self._told_with_theirs.update(one for one in taken if one.since == number)
        return tuple(dict.fromkeys(one.row for one in taken))


def _own_or_late(rows: list[Given], number: int) -> list[Given]:
    """The rows told together with a change; where there are none, those that came later."""
    return [one for one in rows if one.since == number] or rows


def _chain(rows: list[Given], old: str, new: str) -> list[Given]:
    """The last rows in a row that lead from *old* to *new*; none where there are none."""
    for start, first in reversed(list(enumerate(rows))):
        if first.row.old != old:
            continue
        chain = [first]
        for one in rows[start + 1 :]:
            if chain[-1].row.new == new:
                break
            if one.row.old == chain[-1].row.new:
                chain.append(one)
        if chain[-1].row.new == new:
            return chain
    return []


def given(
    rows: Sequence[Correction], publications: Sequence[Publication], bibs: Mapping[str, str]
) -> tuple[list[Given], tuple[Told, ...]]:
    """Every row with the publication that told it first; and those told that are not there now."""
    worn = bibs_of(publications[-1])
    persons = [_persons(row, worn, bibs) for row in rows]
    since: dict[int, int] = {}
    for old, one in pairwise((None, *publications)):
        if one and (old is None or old.corrections != one.corrections):
            found, _ = _matched(one, rows, persons)
            since = dict.fromkeys(found, one.number) | since
    last = publications[-1].number
    these = [
        Given(row, who, since.get(number, last))
        for number, (row, who) in enumerate(zip(rows, persons, strict=True))
    ]
    lost = _matched(publications[-2], rows, persons)[1] if len(publications) > 1 else ()
    return these, tuple(one for one in lost if _is_there(one, *publications[-2:]))


def _is_there(one: Told, old: Publication, new: Publication) -> bool:
    """Is whatever a row was about still published? Of what is gone no row has to stay."""
    who = {each.person for each in old.gymnasts if each.bib == one.bib}
    still = who & {each.person for each in new.gymnasts}
    competitions = {each.id for each in new.competitions} | {""}
    return one.competition in competitions and (not one.bib or bool(still))


def _persons(row: Correction, worn: Bibs, bibs: Mapping[str, str]) -> frozenset[str]:
    """Whom a row is about: who wears the bib in the competition, else whoever wears it or did."""
    if not row.bib:
        return frozenset()
    here = worn.get((row.competition, row.bib))
    if here:
        return frozenset([here])
    return frozenset(person for person, bib in bibs.items() if bib == row.bib)


def _matched(
    one: Publication, rows: Sequence[Correction], persons: Sequence[frozenset[str]]
) -> tuple[list[int], tuple[Told, ...]]:
    """Which rows are those that a publication told, and which of those are none of the rows."""
    worn = bibs_of(one)
    bare = [told(row) for row in rows]
    found: list[int] = []
    lost: list[Told] = []
    for each in one.corrections:
        who = worn.get((each.competition, each.bib), "")
        same = _same(each, who)
        number = next(
            (
                number
                for number, row in enumerate(bare)
                if number not in found and same(row, persons[number])
            ),
            None,
        )
        if number is None:
            lost.append(each)
        else:
            found.append(number)
    return found, tuple(lost)


def _same(each: Told, who: str) -> Callable[[Told, frozenset[str]], bool]:
    """Is a row that one, of the same person, whichever bib is worn now?"""

    def is_that(row: Told, persons: frozenset[str]) -> bool:
        if row._replace(bib="") != each._replace(bib=""):
            return False
        return row.bib == each.bib or (bool(who) and who in persons)

    return is_that
