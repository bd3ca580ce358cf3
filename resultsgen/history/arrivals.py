"""The marks that each publication brought, corrected or took out, and where they put a gymnast;
and a status that ended a list: from the records alone.

So what is told of an earlier publication is the same for ever, whatever is published later. An
all-around that runs is in `live/arrived.py`, as who starts when is not in the records.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from resultsgen.files.once import Once
from resultsgen.history import Corrected, Issue
from resultsgen.history.publication import (
    PublishedCompetition,
    PublishedList,
    PublishedMark,
    PublishedVerdict,
)

ALL_AROUND = "all-around"


@dataclass(frozen=True, slots=True)
class Stand:
    """Where somebody stands in a list as a publication has it; marks in whole thousandths."""

    list: str
    place: int
    total: int
    level: tuple[str, ...]
    """The others with the same total, by person."""
    shared: tuple[str, ...]
    """Those of them who have the same place."""
    others: tuple[str, ...]
    """The first: who comes next; else those on the next better place."""
    margin: int
    """Ahead of them, or behind."""
    done: int
    """So many apparatus are in it, and it is among those with as many; 0: the total is whole."""
    passed: tuple[str, ...] = ()
    """Who led before, where the lead was taken from them."""
    complete: bool = False
    """No mark of the list is to come."""
    verdicts: tuple[tuple[str, PublishedVerdict], ...] = ()
    """What the cuts of the list mean for it, by their names."""


@dataclass(frozen=True, slots=True)
class Arrival:
    """A mark that a publication brought, or what it left of one; of who was taken out no more."""

    number: int
    competition: PublishedCompetition
    """As that publication has it, by person."""
    person: str
    mark: PublishedMark
    before: PublishedCompetition | None
    corrected: Corrected | None = None
    """What it was before, and why it is another; None: the routine had not been published."""

    @property
    def key(self) -> tuple[str, str, str, int]:
        """Whose routine it is, and which."""
        return self.competition.id, self.person, self.mark.apparatus, self.mark.vault

    @property
    def on_apparatus(self) -> Stand | None:
        """The place in the list of the apparatus; None without such a list, or a place in it."""
        return self.stand_in(self.mark.apparatus)

    def stand_in(self, id: str) -> Stand | None:
        """The place in a list that gives one."""
        return _stands(self.competition, self.before, self.person, id)

    @property
    def ended(self) -> tuple[tuple[str, Stand], ...]:
        """Of the lists that a status ended, where no mark tells who is first: who, and how."""
        if self.mark.mark is not None or self.corrected or not self.before:
            return ()
        found = []
        for id in (self.mark.apparatus, ALL_AROUND):
            held, then = _list(self.competition, id), _list(self.before, id)
            if held and held.complete and then and not then.complete:
                first = next((line.who for line in held.lines if line.place == 1), "")
                stand = _stands(self.competition, self.before, first, id)
                found += [(first, stand)] if stand else []
        return tuple(found)


def _read(
    competition: PublishedCompetition, before: PublishedCompetition | None, person: str, id: str
) -> Stand | None:
    held = _list(competition, id)
    if held is None:
        return None
    rows = [(line.who, line.place, line.total) for line in held.lines if line.place]
    then = _list(before, id) if before else None
    led = [line.who for line in then.lines if line.place == 1] if then else []
    return stand_among(
        id, person, rows, led,
        complete=held.complete,
        verdicts=tuple(
            (cut.name, verdict)
            for cut in held.cuts
            for verdict in cut.lines
            if verdict.who == person
        ),
    )  # fmt: skip


_stands = Once(_read, most=2**11)
"""Asked for the same marks with each publication, and by several pages."""


def arrivals(issues: Sequence[Issue]) -> Iterator[tuple[Issue, tuple[Arrival, ...]]]:
    """Each publication with the marks that it brought or corrected; of the first, all it has."""
    then: Mapping[str, PublishedCompetition] = {}
    for issue in issues:
        now = {held.id: held for held in issue.by_person.competitions}
        why = {each.change: each for each in issue.corrected if each.change and each.change.old}
        made = (*issue.changes.added, *why)
        new = [(one.competition, one.new or _none(*one.key), why.get(one)) for one in made]
        new += _taken_out(issue, then)
        if issue is issues[0]:
            new = [(held.id, mark, None) for held in now.values() for mark in held.marks]
        number = issue.publication.number
        came = (
            Arrival(number, now[id], mark.bib, mark, then.get(id), corrected)
            for id, mark, corrected in new
            if id in now
        )
        yield (
            issue,
            tuple(one for one in came if one.mark.mark is not None or one.corrected or one.ended),
        )
        then = now


def _none(who: str, apparatus: str = "", vault: int = 1) -> PublishedMark:
    """What is left of a mark that is gone: no mark, and no status."""
    return PublishedMark(who, apparatus, vault, None, None, None, None, None, "")


def _taken_out(
    issue: Issue, then: Mapping[str, PublishedCompetition]
) -> Iterator[tuple[str, PublishedMark, Corrected]]:
    """Who is gone since, in each competition that had a mark of theirs."""
    for one in issue.corrected:
        if one.person and one.gone and not one.apparatus:
            for id, held in then.items():
                if any(mark.bib == one.person for mark in held.marks):
                    yield id, _none(one.person), one


def _list(competition: PublishedCompetition, id: str) -> PublishedList | None:
    return next((held for held in competition.lists if held.id == id), None)


def stand_among(
    id: str,
    person: str,
    rows: Sequence[tuple[str, int | None, int | None]],
    led: Sequence[str],
    *,
    done: int = 0,
    complete: bool = False,
    verdicts: tuple[tuple[str, PublishedVerdict], ...] = (),
) -> Stand | None:
    """Where *person* stands among rows of (who, place, total); None: nowhere."""
    placed: Mapping[str, tuple[int, int]] = {
        who: (place, total) for who, place, total in rows if place and total is not None
    }
    if person not in placed:
        return None
    place, total = placed[person]
    shared = tuple(who for who, (at, _) in placed.items() if at == place and who != person)
    others = {who: at for who, (at, _) in placed.items() if at != place}
    if place == 1:
        nearest = min(others.values(), default=0)
    else:
        nearest = max((at for at in others.values() if at < place), default=0)
    beside = tuple(who for who, at in others.items() if at == nearest)
    return Stand(
        id, place, total,
        level=tuple(who for who, (_, its) in placed.items() if its == total and who != person),
        shared=shared,
        others=beside,
        margin=abs(total - placed[beside[0]][1]) if beside else 0,
        done=done,
        passed=tuple(led) if place == 1 and led and person not in led else (),
        complete=complete,
        verdicts=verdicts,
    )  # fmt: skip
