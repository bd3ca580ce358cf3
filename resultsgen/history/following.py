"""The next publication after those that were kept, and the history that they make together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from resultsgen.history.changes import (
    Became,
    Changes,
    Corrected,
    History,
    Issue,
    LineChange,
    MarkChange,
    Moved,
)
from resultsgen.history.comparing import changes
from resultsgen.history.effects import moved, moved_by_no_mark
from resultsgen.history.persons import by_person
from resultsgen.history.publication import Publication, PublishedCompetition
from resultsgen.history.reasons import Reasons, given
from resultsgen.history.recording import record
from resultsgen.history.records import tree
from resultsgen.meet.folder import Correction
from resultsgen.scoring.results import Results


def next_publication(
    results: Results,
    kept: Sequence[Publication],
    published: dt.datetime | None,
    *,
    seal: bool = False,
) -> Publication:
    """The last publication where these results are the same; else one with the next number.

    What is sealed once stays sealed. A record that did not keep everything is filled up.
    """
    if not kept:
        return record(results, 1, published, sealed=seal)
    last = kept[-1]
    new = record(results, last.number + 1, published, sealed=seal or last.sealed)
    again = new.model_copy(update={"number": last.number, "published": last.published})
    return again if tree(_as_far_as(last, again)) == tree(last) else new


def _as_far_as(known: Publication, one: Publication) -> Publication:
    """A publication without what another did not keep."""
    if known.facts is not None:
        return one
    return one.model_copy(
        update={
            "facts": None,
            "gymnasts": tuple(each._replace(competitions=(), facts=None) for each in one.gymnasts),
            "competitions": tuple(_bare(each) for each in one.competitions),
        }
    )


def _bare(one: PublishedCompetition) -> PublishedCompetition:
    lists = tuple(
        held.model_copy(
            update={"lines": tuple(line._replace(penalty=0, members=()) for line in held.lines)}
        )
        for held in one.lists
    )
    return one.model_copy(update={"facts": None, "lists": lists})


def with_history(results: Results, publications: Sequence[Publication]) -> Results:
    """The results that know all their publications."""
    rows = [row.told for row in results.meet.corrections]
    return replace(results, history=history(publications, rows))


def history(publications: Sequence[Publication], rows: Sequence[Correction] = ()) -> History:
    """Each publication with what it changed of the one before, and the reasons that are given.

    A reason may be given later than the change was made. What only the meet folder tells of
    belongs to the first publication after it was told.
    """
    if not publications:
        return History()
    bibs = {each.person: each.bib for one in publications for each in one.gymnasts}
    these, lost = given(rows, publications, bibs)
    reasons, persons = Reasons(these), list(by_person(publications))
    steps = list(zip(pairwise((None, *persons)), publications, strict=True))
    found = [
        replace(_issue(old, new, reasons, bibs), publication=one)
        for (old, new), one in reversed(steps)
        if new
    ]
    issues = []
    unused: tuple[Correction, ...] = ()
    for issue in reversed(found):
        fresh = reasons.unused(issue.publication.number)
        unused = tuple(one for one in fresh if one.what)
        only_told = tuple(_told(one) for one in fresh if not one.what)
        issues.append(replace(issue, corrected=(*issue.corrected, *only_told)))
    return History(tuple(issues), bibs, lost, unused)


def _issue(
    old: Publication | None, new: Publication, reasons: Reasons, bibs: Mapping[str, str]
) -> Issue:
    """A publication compared with the one before."""
    if old is None:
        return Issue(new, new, Changes(), ())
    made = changes(old, new)
    by_corrections = moved(old, new, made)
    corrected = tuple(_corrected(old, new, made, by_corrections, reasons, bibs))
    return Issue(
        new, new, made, corrected, by_corrections if corrected else Moved(), _became(old, new)
    )


def _became(old: Publication, new: Publication) -> Became:
    """What the results are since this publication."""
    if new.sealed and not old.sealed:
        return "sealed"
    return new.state if new.state != old.state else ""


def _corrected(
    old: Publication,
    new: Publication,
    made: Changes,
    moved: Moved,
    reasons: Reasons,
    bibs: Mapping[str, str],
) -> Iterator[Corrected]:
    """What is otherwise than it was published, each with its reasons."""
    number = new.number
    for change in (*made.corrected, *_added_late(old, made)):
        person, apparatus, vault = change.key
        yield Corrected(
            change.competition, bibs.get(person, person), apparatus, vault, *change.texts,
            reasons.of_mark(change, number), change, _own(change, moved), not change.texts[1],
            person,
        )  # fmt: skip
    were = {one.person: one.competitions for one in old.gymnasts}
    for person in made.gymnasts_gone:
        told = reasons.of_gone(number, person=person)
        only = were[person][0] if len(were[person]) == 1 else ""
        yield Corrected(only, bibs[person], "", 1, "", "", told, gone=True, person=person)
    for id in made.competitions_gone:
        told = reasons.of_gone(number, competition=id)
        yield Corrected(id, "", "", 1, "", "", told, gone=True)
    for fact in made.facts:
        yield Corrected(
            fact.competition, bibs.get(fact.person, ""), "", 1, fact.old, fact.new,
            reasons.of_fact(fact, number), person=fact.person, what=fact.what,
        )  # fmt: skip
    for id in moved_by_no_mark(old, new, made):
        yield Corrected(id, "", "", 1, "", "", reasons.of_competition(id, number))


def _added_late(old: Publication, made: Changes) -> Iterator[MarkChange]:
    """Marks that come in once the results are official are corrections too."""
    if old.state == "official":
        yield from (one for one in made.added if one.new and one.new.mark is not None)


def _own(change: MarkChange, moved: Moved) -> tuple[LineChange, ...]:
    """The lines of the gymnast whose mark was corrected."""
    return tuple(
        line
        for line in moved.lines
        if line.competition == change.competition
        and line.who == change.key[0]
        and line.list != "team"
    )


def _told(one: Correction) -> Corrected:
    """A correction that only the meet folder tells of."""
    return Corrected(
        one.competition, one.bib, one.apparatus, one.vault, one.old, one.new, (one,), gone=one.gone
    )
