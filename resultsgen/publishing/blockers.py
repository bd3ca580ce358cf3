"""What keeps a publication from following the last one: nothing vanishes, nothing lacks reason."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.corrections import whose
from resultsgen.checks.keys import in_cell
from resultsgen.history import Corrected, History
from resultsgen.history.publication import without_words
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem


def publication_blockers(
    meet: Meet, history: History, *, is_new: bool, allow_removal: bool, seal: bool
) -> list[Problem]:
    """Every reason not to publish the last publication of a history.

    Of one that *is not new* all was said when it was published.
    """
    if not history.issues:
        return []
    kept = [issue.publication for issue in history.issues[: -1 if is_new else None]]
    sealed = bool(kept) and kept[-1].sealed
    official = meet.settings.status.state == "official"
    found = [*_seal(official=official, seal=seal, sealed=sealed)]
    if is_new:
        found += _unused(meet, history, is_first=not kept)
    if kept and is_new:
        if other := list(_another_meet(meet, history)):
            return other
        found += _never_published(meet, history)
        strict = official or sealed
        if strict or not allow_removal:
            found += _taken_back(meet, history)
        last = history.issues[-1].corrected
        unexplained = [corrected for corrected in last if not corrected.reasons]
        if strict:
            found += _without_reason(meet, unexplained)
        elif not allow_removal:
            found += _gone(meet, unexplained)
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


def _unused(meet: Meet, history: History, *, is_first: bool) -> Iterator[Problem]:
    """A row that says what is otherwise names something that is."""
    for row in meet.corrections:
        if row.correction in history.unused:
            whom = f"bib {row.correction.bib}" if row.correction.bib else "the meet"
            what = f"{row.correction.what} of {whom}"
            message = f"{what} is as it was published; delete the row, or correct it"
            if is_first:
                message = (
                    f"nothing was published here yet that {what} could be compared with; put what "
                    "was kept of data/publications into a folder 'publications' of the meet "
                    "folder, or delete the row"
                )
            yield in_cell(meet, row, "what", "correction-not-made", message, row.correction.what)


def _another_meet(meet: Meet, history: History) -> Iterator[Problem]:
    """The last publication is of a meet with another title and other dates, and nobody says why."""
    asked = [
        corrected
        for corrected in history.issues[-1].corrected
        if corrected.what in ("title", "dates") and not (corrected.person or corrected.competition)
    ]
    if len(asked) < 2 or all(corrected.reasons for corrected in asked):
        return
    was = ", ".join(corrected.old for corrected in asked)
    message = (
        f"what was published before is of another meet ({was}), whose marks would be corrected by "
        "these; take the published folder and the folder publications away, or build into another "
        "with -o; if it is the same meet, add two rows to the corrections, with title and with "
        "dates under 'what'"
    )
    yield Problem("meet.toml", 0, "title", "another-meet", message, meet.settings.title)


def _never_published(meet: Meet, history: History) -> Iterator[Problem]:
    """A correction of a mark begins at a published one, unless the last publication told it."""
    worn, last = history.issues[-1].publication.bibs, history.issues[-2].publication
    known, seen = set(last.corrections), {correction[:4] for correction in last.corrections}
    asked = [
        row
        for row in meet.corrections
        if row.correction.bib and row.correction.apparatus
        if without_words(row.correction) not in known
    ]
    ids = {row.correction.competition for row in asked}
    published = [
        {
            (competition.id, *mark.key): mark.text
            for competition in issue.by_person.competitions
            if competition.id in ids
            for mark in competition.marks
        }
        for issue in history.issues[:-1]
    ]
    for row in asked:
        correction = row.correction
        competition, bib, apparatus, vault = correction[:4]
        key = (competition, worn.get((competition, bib), bib), apparatus, vault)
        there = {marks.get(key, "") for marks in published}
        if correction[:4] not in seen and correction.old not in there:
            shown = ", ".join(sorted(filter(None, there))) or "nothing"
            message = (
                f"{whose(correction)}: {correction.old or 'no mark'} was never published, but "
                f"{shown}; correct the old mark"
            )
            heading = meet.settings.columns.corrections.get("old", "old")
            yield Problem(
                row.file, row.line, heading, "old-mark-not-published", message, correction.old
            )
        seen.add(correction[:4])


def _taken_back(meet: Meet, history: History) -> Iterator[Problem]:
    """A row of the corrections that was told stays: what was corrected does not lose its reason."""
    for row in history.taken_back:
        bib = row.bib and f"bib {row.bib}"
        about = ", ".join(filter(None, (row.competition, bib, row.apparatus, row.what)))
        marks = f", {row.old or 'nothing'} to {row.new or 'nothing'}" if not row.what else ""
        message = (
            f"the row about {about}{marks} was published and is not here any more; put it back, "
            "be it in other words"
        )
        file = meet.settings.files.corrections
        yield Problem(file, 0, "", "published-and-gone", message, row.old)


def _gone(meet: Meet, unexplained: list[Corrected]) -> Iterator[Problem]:
    """What was published is gone, and nobody said why."""
    for corrected in unexplained:
        if corrected.gone:
            message = (
                f"{_was(corrected)}; put it back, or add a row with 'yes' under 'gone', "
                "or build with --allow-removal"
            )
            file = meet.settings.files.corrections
            yield Problem(file, 0, "", "published-and-gone", message, corrected.old)


def _without_reason(meet: Meet, unexplained: list[Corrected]) -> Iterator[Problem]:
    """What was published is otherwise, and nobody said why; what one row explains, in one."""
    of_competitions: dict[str, list[str]] = {}
    found = []
    for corrected in unexplained:
        if corrected.competition and not corrected.bib and not corrected.gone:
            of_competitions.setdefault(corrected.competition, []).append(_was(corrected))
        elif corrected.gone and not corrected.apparatus:
            row = (
                f"its row has the {'bib' if corrected.bib else 'competition'}, and yes under 'gone'"
            )
            found.append((f"{_was(corrected)} ({row})", corrected.new))
        else:
            found.append((_was(corrected), corrected.new))
    for id, these in of_competitions.items():
        row = f"the row has {id} under 'competition', and no bib"
        found.append((f"{'; '.join(these)} ({row})", ""))
    for was, new in found:
        message = (
            f"{was}, and no reason is given; "
            "add a row that says why, or put it back as it was published"
        )
        file = meet.settings.files.corrections
        yield Problem(file, 0, "", "change-without-reason", message, new)


def _was(corrected: Corrected) -> str:
    if corrected.what:
        usual = "as usual" if corrected.competition else "nothing"
        changed = f"{corrected.old or usual} was published and is {corrected.new or usual} now"
        if corrected.competition:
            return f"{corrected.what} of {corrected.competition}: {changed}"
        if corrected.bib:
            row = f"its row has the bib, and {corrected.what} under 'what'"
            return f"bib {corrected.bib}, {corrected.what}: {changed} ({row})"
        return f"{corrected.what}: {changed} (its row has {corrected.what} under 'what')"
    id, bib = corrected.competition, corrected.bib
    if not bib and corrected.gone:
        return f"competition {id} was published and is not in the meet any more"
    if not bib:
        return f"places, totals or qualifiers of {id} are not as published, though no mark changed"
    if not corrected.apparatus:
        where = f" of {id}" if id else ""
        return (
            f"bib {bib}{where} was published and is not on the roster any more, or another "
            "wears it (then the row has bib under 'what', and no bib)"
        )
    vault = " (second vault)" if corrected.vault == 2 else ""
    routine = f"bib {bib} on {corrected.apparatus}{vault} in {id}"
    old, new = corrected.old, corrected.new
    if corrected.gone:
        return f"{routine}: {old} was published and is not here any more"
    if not old:
        return f"{routine}: {new} is new, and the results were official"
    if old == new:
        return f"{routine}: the parts of the mark {old} are not as published"
    return f"{routine}: {old} was published and is {new} now"
