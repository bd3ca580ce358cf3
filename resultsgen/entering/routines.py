"""Whose mark a slip is: the gymnast, the competition, the routine."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from resultsgen.entering.slips import Given, Slip, SlipError, given
from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.upcoming import upcoming
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.parts import SECOND_VAULT, apparatus_of
from resultsgen.meet.problems import did_you_mean
from resultsgen.reading.words import words
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class RoutineMeant:
    """One routine of one gymnast, in one competition."""

    running: LiveCompetition
    gymnast: Gymnast
    part: str
    not_in: tuple[str, ...] = ()
    """The other competitions of which a slip that names none can be."""

    @property
    def judged(self) -> CompetitionResults:
        return self.running.entries.competition

    @property
    def competition(self) -> str:
        return self.judged.competition.id

    @property
    def apparatus(self) -> str:
        return apparatus_of(self.part)

    @property
    def vault(self) -> int:
        return 2 if self.part == SECOND_VAULT else 1

    @property
    def rotation(self) -> int | None:
        """The rotation that the marks of her squad on this apparatus name, where nothing else
        tells it: they go together."""
        entries, own = self.running.entries, self.gymnast
        if entries.rotation(own.key, self.part) is not None or not own.squad:
            return None
        named = {
            made.rotation
            for (key, part), made in entries.routines.items()
            if part == self.apparatus
            and (who := entries.people[key]).squad == own.squad
            and who.session == own.session
        }
        return named.pop() if len(named) == 1 else None


Key = tuple[str, int | None, str, int]
"""A routine: competition, gymnast, apparatus, vault."""


def key_of(row: MarkRow) -> Key:
    return row.competition, row.gymnast, row.apparatus, row.vault or 1


@dataclass(frozen=True)
class Up:
    """A routine that is up now, and who comes next there."""

    routine: RoutineMeant
    squad: str
    then: Gymnast | None


@dataclass(frozen=True)
class MarkEntry:
    """A routine and the mark that is written for it."""

    routine: RoutineMeant
    made: Given
    before: MarkRow | None
    """The row that the routine has already."""
    rotation: int | None

    def row(self, file: str, line: int) -> MarkRow:
        """As the reader will read it."""
        one, made = self.routine, self.made
        return MarkRow(
            file, line, one.gymnast.bib, one.gymnast.key, one.competition, one.apparatus, one.vault,
            made.mark, made.d, made.e, made.penalty, made.bonus, self.rotation, made.status, "mark",
        )  # fmt: skip


def bib_and_name(gymnast: Gymnast, words: Wording) -> str:
    """Bib and name; the bib alone where the name is withheld."""
    name = words.name(gymnast.family, gymnast.given) if gymnast.published else ""
    return f"{gymnast.bib} {name}".strip()


def with_marks(judged: Results, id: str = "") -> list[LiveCompetition]:
    """The competitions that marks are entered for, or the one of that id."""
    return [
        live(judged)[one.competition.id]
        for one in judged.competitions
        if one.competition.has_own_marks and id in ("", one.competition.id)
    ]


def _waits(judged: Results, one: CompetitionResults) -> bool:
    """Marks are to come in what fills a competition, so that a slip may be of that: also once the
    cuts are decided, or people have named who starts, where `waits_for` of a competition ends."""
    return not all(judged.competition(id).complete for id in one.competition.fed_by)


def all_up(judged: Results) -> list[Up]:
    """Who is up on each apparatus of each competition that has marks to come."""
    found = []
    for running in with_marks(judged):
        own = running.entries.competition
        for one in upcoming(running) if own.started or not _waits(judged, own) else ():
            first, *then = (judged.gymnasts[key] for key in one.keys)
            part = _part_to_come(running, first.key, one.apparatus)
            routine = RoutineMeant(running, first, part)
            found.append(Up(routine, one.squad, then[0] if then else None))
    return found


def understood(
    judged: Results, slip: Slip, last: tuple[str, str], rows: Iterable[MarkRow]
) -> MarkEntry:
    """What a slip is of, and its mark by the rules; SlipError where none can be.

    *last* are the competition and the apparatus of the mark that was entered last, *rows* all that
    stand in the files.
    """
    routine = _named(judged, slip, last) if slip.bib else who_is_up(judged, slip, last)
    made = given(slip, routine.judged.rule_set.marks)
    key = (routine.competition, routine.gymnast.key, routine.apparatus, routine.vault)
    before = next((row for row in rows if key_of(row) == key), None)
    return MarkEntry(routine, made, before, slip.rotation)


def _named(judged: Results, slip: Slip, last: tuple[str, str]) -> RoutineMeant:
    """The routine of the bib that a slip names; of several, the only one that is to come."""
    if slip.status and not slip.apparatus:
        raise SlipError(f"{slip.status} on which apparatus? Write {slip.bib} fx {slip.status}")
    found = [
        RoutineMeant(running, gymnast, _part(running, gymnast.key, code, slip.vault or vault))
        for running in with_marks(judged, slip.competition)
        for gymnast in running.entries.people.values()
        if gymnast.bib.casefold() == slip.bib.casefold()
        for code, vault in [_meant(judged.meet, running, slip.apparatus, last)]
        if code in running.entries.competition.apparatus
    ]
    if not found:
        raise SlipError(_nobody(judged, slip))
    return found[0] if len(found) == 1 else _of_several(judged, slip.bib, found)


def _of_several(judged: Results, bib: str, found: list[RoutineMeant]) -> RoutineMeant:
    """The routine that is meant where no competition is named: that of the competition that runs.

    A final that waits for others is not begun by a slip that is sent twice, or that corrects them.
    """
    over = [one for one in found if (one.gymnast.key, one.part) in one.running.entries.routines]
    there = [one for one in found if one in over
             or one.part in one.running.entries.entered[one.gymnast.key]] or found  # fmt: skip
    waiting = {one.competition for one in found if _waits(judged, one.judged)}
    begun = [one for one in there
             if one.judged.started or one.competition not in waiting]  # fmt: skip
    to_come = [one for one in begun if one not in over]
    # What is to come in a qualification is no routine of the final that it fills.
    coming = {one.competition for one in to_come}
    to_come = [one for one in to_come if not coming & {*one.judged.competition.fed_by}]
    sure = [] if any(one.competition in waiting for one in to_come) else to_come
    left = sure or begun or found
    if len(left) > 1:
        each = [one.competition for one in left]
        raise SlipError(f"{bib} is in {' and '.join(each)}: say which, with @{each[0]}")
    others = there if left[0] in over else begun
    ids = {one.competition: None for one in others if one is not left[0]}
    return replace(left[0], not_in=tuple(ids))


def who_is_up(judged: Results, slip: Slip, last: tuple[str, str]) -> RoutineMeant:
    """The one who is up where a slip says; else on the last apparatus, or the only one."""
    found = [
        up.routine
        for up in all_up(judged)
        if slip.competition in ("", up.routine.competition)
        if not slip.apparatus
        or _meant(judged.meet, up.routine.running, slip.apparatus, last)[0] == up.routine.apparatus
    ]
    here = [one for one in found if last == (one.competition, one.apparatus)] or found
    firsts = {(one.competition, one.apparatus): one for one in reversed(here)}
    if len(firsts) != 1:
        each = ", ".join(f"{one.gymnast.bib} {one.part}" for one in found)
        up = f"up are {each}" if found else "nobody is up there"
        raise SlipError(f"whose mark is it? Write bib and apparatus before it; {up}")
    return next(iter(firsts.values()))


def _meant(
    meet: Meet, running: LiveCompetition, word: str, last: tuple[str, str]
) -> tuple[str, int | None]:
    """The code of an apparatus, and which vault if the word says it; without a word the last."""
    one = running.entries.competition.competition
    if not word:
        return (last[1] if last[0] == one.id else ""), None
    known = words(meet.settings).narrowed([one.discipline])
    code, vault = known.apparatus_and_vault(word) or ("", 1)
    return code, 2 if vault == 2 else None


def _part(running: LiveCompetition, key: int, code: str, vault: int | None) -> str:
    """The part of a routine: the second vault where that is said, or where only that is to come."""
    if code != "VT" or vault == 1:
        return code
    return SECOND_VAULT if vault == 2 else _part_to_come(running, key, code)


def _part_to_come(running: LiveCompetition, key: int, code: str) -> str:
    """What somebody has to come on an apparatus; the apparatus itself where nothing is."""
    parts = [part for part, _ in running.entries.to_come(key)] if code else []
    return next((part for part in parts if apparatus_of(part) == code), code)


def _nobody(judged: Results, slip: Slip) -> str:
    """That nobody with that bib is there, and who may be meant."""
    wearing = {entry.bib for entry in judged.meet.entries}
    if slip.bib not in wearing:
        near = did_you_mean(slip.bib, sorted(wearing), 0.5)
        return f"nobody wears {slip.bib}; {near or 'look at the slip again'}"
    if not slip.apparatus:
        return f"on which apparatus was {slip.bib}? Write it behind the bib: {slip.bib} fx ..."
    where = slip.competition or " or ".join(one.entries.competition.competition.id
                                            for one in with_marks(judged))  # fmt: skip
    return f"{slip.bib} is not in {where} on {slip.apparatus}; look at the slip again"
