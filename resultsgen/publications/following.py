"""The next publication after those that were kept, and the history that they make together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from resultsgen.history import Changes, Corrected, History, Issue, Publication
from resultsgen.meet import Correction
from resultsgen.publications.changes import bib_of, changes
from resultsgen.publications.reasons import Reasons
from resultsgen.publications.recording import record
from resultsgen.results import Results


def next_publication(
    results: Results,
    kept: Sequence[Publication],
    published: dt.datetime | None,
    *,
    seal: bool = False,
) -> Publication:
    """The last publication where these results are the same; else one with the next number.

    What is sealed once stays sealed.
    """
    if not kept:
        return record(results, 1, published, sealed=seal)
    last = kept[-1]
    new = record(results, last.number + 1, published, sealed=seal or last.sealed)
    of_its_own = {"number": last.number, "published": last.published, "version": last.version}
    return last if new.model_copy(update=of_its_own) == last else new


def with_history(results: Results, publications: Sequence[Publication]) -> Results:
    """The results that know all their publications."""
    return replace(results, history=history(publications))


def history(publications: Sequence[Publication]) -> History:
    """Each publication with what it changed of the one before, and the reasons that were given.

    A reason may have been given later than the change was made. What only the meet folder tells
    of belongs to the first publication after it was told.
    """
    reasons = Reasons(dict.fromkeys(one for each in publications for one in each.corrections))
    found: list[tuple[Publication, Changes, tuple[Corrected, ...]]] = []
    for old, new in pairwise((None, *publications)):
        assert new is not None
        made = changes(old, new) if old else Changes()
        found.append((new, made, tuple(_corrected(new, made, reasons))))
    told: set[Correction] = set()
    issues = []
    for new, made, corrected in found:
        fresh = [one for one in dict.fromkeys(new.corrections) if one not in told]
        told.update(fresh)
        only_told = tuple(_told(one) for one in fresh if one not in reasons.used)
        issues.append(Issue(new, made, (*corrected, *only_told)))
    return History(tuple(issues))


def _corrected(new: Publication, made: Changes, reasons: Reasons) -> Iterator[Corrected]:
    """What is otherwise than it was published, each with its reasons."""
    for change in made.corrected:
        (bib, apparatus, vault), (old, now) = change.key, change.texts
        moved = tuple(
            line
            for line in made.lines
            if line.competition == change.competition
            and line.who == bib
            and line.places[0] != line.places[1]
        )
        given = reasons.of_mark(change)
        yield Corrected(
            change.competition, bib, apparatus, vault, old, now, given, change, moved, not now
        )
    for person in made.gymnasts_gone:
        bib = bib_of(person)
        yield Corrected("", bib, "", 1, "", "", reasons.of_gone(bib=bib), gone=True)
    for id in made.competitions_gone:
        yield Corrected(id, "", "", 1, "", "", reasons.of_gone(competition=id), gone=True)
    for id in _moved_by_no_mark(new, made):
        yield Corrected(id, "", "", 1, "", "", reasons.of_competition(id))


def _moved_by_no_mark(new: Publication, made: Changes) -> Iterator[str]:
    """Competitions with other places or totals although no mark of theirs is another.

    A rule, a team penalty or a withdrawal was changed. A final is moved by the marks of the
    competition that fills it as well, and a list by those whose marks count in it.
    """
    sources = {one.id: {one.entered_from, *one.marks_from} for one in new.competitions}
    touched = {one.competition for one in (*made.added, *made.corrected)}
    moved = dict.fromkeys(
        one.competition for one in made.lines if one.old and one.old.total is not None
    )
    for id in moved:
        by_marks = bool(_all_sources(id, sources) & touched)
        if not by_marks and not made.gymnasts_gone and not made.gymnasts_added:
            yield id


def _all_sources(id: str, sources: Mapping[str, set[str]]) -> set[str]:
    """A competition with all that feed it, through others too."""
    found, waiting = {id}, [id]
    while waiting:
        further = sources.get(waiting.pop(), set()) - found
        found |= further
        waiting += further
    return found


def _told(one: Correction) -> Corrected:
    """A correction that only the meet folder tells of."""
    return Corrected(
        one.competition, one.bib, one.apparatus, one.vault, one.old, one.new, (one,), gone=one.gone
    )
