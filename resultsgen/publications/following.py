"""The next publication after those that were kept, and the history that they make together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from resultsgen.history import (
    Became,
    Changes,
    Corrected,
    History,
    Issue,
    LineChange,
    MarkChange,
    Moved,
)
from resultsgen.meet import Correction
from resultsgen.publication import Publication
from resultsgen.publications.changes import bib_of, changes
from resultsgen.publications.moving import all_sources, marks_added, moved
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
    found = [_issue(old, new, reasons) for old, new in pairwise((None, *publications)) if new]
    told: set[Correction] = set()
    issues = []
    for issue in found:
        fresh = [one for one in dict.fromkeys(issue.publication.corrections) if one not in told]
        told.update(fresh)
        only_told = tuple(_told(one) for one in fresh if one not in reasons.used)
        issues.append(replace(issue, corrected=(*issue.corrected, *only_told)))
    return History(tuple(issues))


def _issue(old: Publication | None, new: Publication, reasons: Reasons) -> Issue:
    """A publication compared with the one before."""
    if old is None:
        return Issue(new, Changes(), ())
    made = changes(old, new)
    by_corrections = moved(old, new, made)
    corrected = tuple(_corrected(old, new, made, by_corrections, reasons))
    return Issue(new, made, corrected, by_corrections if corrected else Moved(), _became(old, new))


def _became(old: Publication, new: Publication) -> Became:
    """What the results are since this publication."""
    if new.sealed and not old.sealed:
        return "sealed"
    return new.state if new.state != old.state else ""


def _corrected(
    old: Publication, new: Publication, made: Changes, moved: Moved, reasons: Reasons
) -> Iterator[Corrected]:
    """What is otherwise than it was published, each with its reasons."""
    for change in made.corrected:
        bib, apparatus, vault = change.key
        given = reasons.of_mark(change)
        yield Corrected(
            change.competition, bib, apparatus, vault, *change.texts, given, change,
            _own(change, moved), not change.texts[1],
        )  # fmt: skip
    for person in made.gymnasts_gone:
        bib = bib_of(person)
        yield Corrected("", bib, "", 1, "", "", reasons.of_gone(bib=bib), gone=True)
    for id in made.competitions_gone:
        yield Corrected(id, "", "", 1, "", "", reasons.of_gone(competition=id), gone=True)
    for id in _moved_by_no_mark(old, new, made):
        yield Corrected(id, "", "", 1, "", "", reasons.of_competition(id))


def _own(change: MarkChange, moved: Moved) -> tuple[LineChange, ...]:
    """The lines of the gymnast whose mark was corrected."""
    return tuple(
        line
        for line in moved.lines
        if line.competition == change.competition
        and line.who == change.key[0]
        and line.list != "team"
    )


def _moved_by_no_mark(old: Publication, new: Publication, made: Changes) -> Iterator[str]:
    """Competitions with other places, totals or qualifiers although no mark of theirs is another.

    A rule, a cut or a team penalty was changed. A final is moved by the marks of the competition
    that fills it as well, and a list by those whose marks count in it. Who withdraws moves nobody.
    """
    if made.gymnasts_gone or made.gymnasts_added:
        return
    added = marks_added(new, made)
    sources = {one.id: {one.entered_from, *one.marks_from} for one in new.competitions}
    corrected = {one.competition for one in made.corrected}
    lines = (one.competition for one in made.lines if one.old and one.old.total is not None)
    for id in dict.fromkeys((*lines, *_cut_otherwise(old, made))):
        if not added.get(id) and not all_sources(id, sources) & corrected:
            yield id


def _cut_otherwise(old: Publication, made: Changes) -> Iterator[str]:
    """Competitions in which a cut that was published means something else for somebody."""
    known = {
        (one.id, held.id, cut.name)
        for one in old.competitions
        for held in one.lists
        for cut in held.cuts
    }
    for one in made.cuts:
        if not one.is_withdrawal and (one.competition, one.list, one.cut) in known:
            yield one.competition


def _told(one: Correction) -> Corrected:
    """A correction that only the meet folder tells of."""
    return Corrected(
        one.competition, one.bib, one.apparatus, one.vault, one.old, one.new, (one,), gone=one.gone
    )
