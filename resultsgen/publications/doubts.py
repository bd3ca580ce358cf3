"""What keeps a publication from following the last one: nothing vanishes, nothing lacks reason."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.corrections import whose
from resultsgen.history import Corrected, History
from resultsgen.meet import CorrectionRow, Meet
from resultsgen.problems import Problem
from resultsgen.publication import Publication


def doubts(meet: Meet, history: History, *, allow_removal: bool, seal: bool) -> list[Problem]:
    """Every reason not to publish the last publication of a history."""
    kept = [issue.publication for issue in history.issues[:-1]]
    sealed = bool(kept) and kept[-1].sealed
    official = meet.settings.status.state == "official"
    found = [*_seal(official=official, seal=seal, sealed=sealed)]
    if kept:
        found += _never_published(meet, kept)
        unexplained = [one for one in history.issues[-1].corrected if not one.reasons]
        found += _unmeant(meet, unexplained, strict=official or sealed, allow_removal=allow_removal)
    return found


def _seal(*, official: bool, seal: bool, sealed: bool) -> Iterator[Problem]:
    """Only official results can be sealed, and sealed ones stay official."""
    if sealed and not official:
        message = (
            "the published results are official and sealed, and the meet calls itself provisional; "
            "set the state back, or publish into another folder"
        )
        yield Problem("meet.toml", 0, "status.state", "sealed-results", message)
    elif seal and not official:
        message = "only official results can be sealed; set the state and say who signed"
        yield Problem("meet.toml", 0, "status.state", "not-official", message, "provisional")


def _never_published(meet: Meet, kept: list[Publication]) -> Iterator[Problem]:
    """A correction that is new begins at a mark that was published."""
    published = [_marks(one) for one in kept]
    seen = {one[:4] for one in kept[-1].corrections}
    for row in _new_rows(meet, kept[-1]):
        key = row.told[:4]
        there = {marks.get(key, "") for marks in published}
        if key not in seen and row.told.old not in there:
            shown = ", ".join(sorted(filter(None, there))) or "nothing"
            message = (
                f"{whose(row.told)}: {row.told.old or 'no mark'} was never published, but {shown}; "
                "correct the old mark"
            )
            heading = meet.settings.columns.corrections.get("old", "old")
            yield Problem(
                row.file, row.line, heading, "old-mark-not-published", message, row.told.old
            )
        seen.add(key)


def _marks(one: Publication) -> dict[tuple[object, ...], str]:
    """Each mark or status as it was published."""
    return {
        (competition.id, *mark.key): mark.text
        for competition in one.competitions
        for mark in competition.marks
    }


def _new_rows(meet: Meet, last: Publication) -> Iterator[CorrectionRow]:
    """The rows about one mark that the last publication did not tell of."""
    told = set(last.corrections)
    for row in meet.corrections:
        if row.told not in told and row.told.bib and row.told.apparatus:
            yield row


def _unmeant(
    meet: Meet, unexplained: list[Corrected], *, strict: bool, allow_removal: bool
) -> Iterator[Problem]:
    """What was published is otherwise or gone, and nobody said why."""
    for one in unexplained:
        if strict:
            message = (
                f"{_was(one)}, and no reason is given; "
                "add a row that says why, or put it back as it was published"
            )
            yield Problem(
                meet.settings.files.corrections, 0, "", "change-without-reason", message, one.new
            )
        elif one.gone and not allow_removal:
            message = (
                f"{_was(one)}; put it back, or add a row with 'yes' under 'gone', "
                "or build with --allow-removal"
            )
            yield Problem(
                meet.settings.files.corrections, 0, "", "published-and-gone", message, one.old
            )


def _was(one: Corrected) -> str:
    """What was published, and what has become of it."""
    if not one.bib:
        if one.gone:
            return f"competition {one.competition} was published and is not in the meet any more"
        return (
            f"places, totals or qualifiers of {one.competition} are not as published, "
            "though no mark changed"
        )
    if not one.apparatus:
        return f"bib {one.bib} was published and is not on the roster any more"
    vault = " (second vault)" if one.vault == 2 else ""
    routine = f"bib {one.bib} on {one.apparatus}{vault} in {one.competition}"
    if one.gone:
        return f"{routine}: {one.old} was published and is not here any more"
    if one.old == one.new:
        return f"{routine}: the parts of the mark {one.old} are not as published"
    return f"{routine}: {one.old} was published and is {one.new} now"
