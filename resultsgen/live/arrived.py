"""Where a mark that came puts a gymnast in an all-around that runs, as the standings say it.

Marks are those of the publication that brought it; who starts when is as the meet has it now.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from resultsgen.files.once import Once
from resultsgen.history.arrivals import ALL_AROUND, Arrival, Stand, stand_among
from resultsgen.history.publication import PublishedCompetition, PublishedMark
from resultsgen.live.competition import live_competition
from resultsgen.live.contests import Contest
from resultsgen.live.progress import LiveLine, LivePart
from resultsgen.live.standings import Standing, standing
from resultsgen.meet.parts import part_of
from resultsgen.scoring.results import CompetitionResults, made_once


def standing_after(
    contest: Contest, lines: Iterable[LiveLine], key: int, apparatus: str
) -> tuple[Standing, ...]:
    """Those of a session as they stood after the rotation of a mark, who had done as much as who
    made it; nobody where others there are further, or where one mark is all."""
    progress = contest.progress.of(lines)
    turn = progress.lines[key].parts[progress.parts.index(apparatus)].rotation
    progress = progress.after(turn) if turn else progress
    done = max((progress.done[key] for key in progress.totals), default=0)
    if done < 2 or progress.done[key] < done:
        return ()
    group = [progress.in_it[key] for key in progress.totals if progress.done[key] == done]
    return standing(progress.of(group), contest.steps).leading


def all_around(arrival: Arrival, judged: CompetitionResults) -> Stand | None:
    """The place in the all-around; while marks are to come, among those with as many."""
    return arrival.stand_in(ALL_AROUND) or _as_published(arrival.competition, _now(judged)).stand(
        arrival
    )


@dataclass(frozen=True)
class _Now:
    """The all-around as it runs now, with the session and the line of each person."""

    contest: Contest
    lines: dict[str, tuple[str, LiveLine]]


@made_once
def _now(judged: CompetitionResults) -> _Now | None:
    now = live_competition(judged)
    for contest in now.contests:
        if contest.kind == ALL_AROUND:
            whose = (
                (now.entries.people[key], line) for key, line in contest.progress.lines.items()
            )
            return _Now(contest, {who.person: (now.session(who), line) for who, line in whose})
    return None


@dataclass(frozen=True, eq=False)
class _AsPublished:
    """The all-around of a competition as a publication has it."""

    held: PublishedCompetition
    now: _Now | None

    @cached_property
    def found(self) -> dict[tuple[str, str], Stand | None]:
        """What was asked before."""
        return {}

    def stand(self, arrival: Arrival) -> Stand | None:
        """After the rotation of the mark, in its session; None where others there are further,
        since what they had after as many is not known, or where other marks count as well."""
        asked = arrival.person, arrival.mark.apparatus
        if asked not in self.found:
            now = None if self.held.marks_from else self.now
            self.found[asked] = self._stand(now, *asked) if now else None
        return self.found[asked]

    def _stand(self, now: _Now, person: str, apparatus: str) -> Stand | None:
        lines, progress = self._lines(now, person), now.contest.progress
        if person not in lines or apparatus not in progress.parts:
            return None
        rows = standing_after(now.contest, lines.values(), lines[person].key, apparatus)
        whose = {line.key: who for who, line in lines.items()}
        each = [(whose[row.key], row.place, row.total) for row in sorted(rows)]
        return stand_among(ALL_AROUND, person, each, (), done=rows[0].done) if rows else None

    def _lines(self, now: _Now, person: str) -> dict[str, LiveLine]:
        """What those of a session had done; who is gone since is in that of nobody, and no
        rotation of hers is known."""
        parts = now.contest.progress.parts
        gone, found = ("", LiveLine(0, (LivePart(),) * len(parts))), {}
        session, _ = now.lines.get(person, gone)
        of_list = (held.lines for held in self.held.lists if held.id == ALL_AROUND)
        for number, line in enumerate(next(of_list, ())):
            its, own = now.lines.get(line.who, gone)
            if its == session:
                pairs = zip(parts, own.parts, strict=True)
                made = tuple(_then(part, self.marks.get((line.who, code))) for code, part in pairs)
                found[line.who] = own._replace(key=number, parts=made)
        return found

    @cached_property
    def marks(self) -> dict[tuple[str, str], PublishedMark]:
        """Every mark by its person and part."""
        return {(one.bib, part_of(one.apparatus, one.vault)): one for one in self.held.marks}


def _then(part: LivePart, mark: PublishedMark | None) -> LivePart:
    """What was done there by then; who is not entered there is over with it from the start."""
    if mark is None:
        passed = part.passed and part.rotation == 0
        return LivePart(rotation=part.rotation, passed=passed)
    e = mark.e
    if e is None and (part.mark, part.d) == (mark.mark, mark.d):
        e = part.e  # One that is worked out is not in the records.
    return LivePart(mark.mark, e, mark.d, part.rotation, mark.mark is None)


_as_published = Once(_AsPublished, most=2**6)
"""Asked in several languages, and for each mark of a publication."""
