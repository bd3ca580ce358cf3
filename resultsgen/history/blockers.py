"""What keeps a publication from following the last one: nothing vanishes, nothing lacks reason."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.corrections import whose
from resultsgen.checks.keys import in_cell
from resultsgen.history.changes import Corrected, History
from resultsgen.history.persons import bibs_of
from resultsgen.history.publication import Publication, told
from resultsgen.meet.folder import CorrectionRow, Meet
from resultsgen.meet.problems import Problem


def doubts(
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
        other = list(_another_meet(meet, history))
        if other:
            return other
        found += _never_published(meet, history)
        strict = official or sealed
        if strict or not allow_removal:
            found += _taken_back(meet, history)
        unexplained = [one for one in history.issues[-1].corrected if not one.reasons]
        found += _unmeant(meet, unexplained, strict=strict, allow_removal=allow_removal)
    return found


def _another_meet(meet: Meet, history: History) -> Iterator[Problem]:
    """The last publication is of a meet with another title and other dates, and nobody says why."""
    asked = [one for one in history.issues[-1].corrected if one.what in ("title", "dates")]
    open_to_doubt = {one.what: one for one in asked if not one.person and not one.competition}
    if len(open_to_doubt) < 2 or all(one.reasons for one in open_to_doubt.values()):
        return
    was = ", ".join(one.old for one in open_to_doubt.values())
    message = (
        f"what was published before is of another meet ({was}), whose marks would be corrected by "
        "these; take the published folder and the folder publications away, or build into another "
        "with -o; if it is the same meet, add two rows to the corrections, with title and with "
        "dates under 'what'"
    )
    yield Problem("meet.toml", 0, "title", "another-meet", message, meet.settings.title)


def _taken_back(meet: Meet, history: History) -> Iterator[Problem]:
    """A row of the corrections that was told stays: what was corrected does not lose its reason."""
    for one in history.taken_back:
        about = ", ".join(
            filter(None, (one.competition, one.bib and f"bib {one.bib}", one.apparatus, one.what))
        )
        marks = f", {one.old or 'nothing'} to {one.new or 'nothing'}" if not one.what else ""
        message = (
            f"the row about {about}{marks} was published and is not here any more; put it back, "
            "be it in other words"
        )
        yield Problem(
            meet.settings.files.corrections, 0, "", "published-and-gone", message, one.old
        )


def _unused(meet: Meet, history: History, *, is_first: bool) -> Iterator[Problem]:
    """A row that says what is otherwise names something that is."""
    for row in meet.corrections:
        if row.told in history.unused:
            whom = f"bib {row.told.bib}" if row.told.bib else "the meet"
            what = f"{row.told.what} of {whom}"
            message = f"{what} is as it was published; delete the row, or correct it"
            if is_first:
                message = (
                    f"nothing was published here yet that {what} could be compared with; put what "
                    "was kept of data/publications into a folder 'publications' of the meet "
                    "folder, or delete the row"
                )
            yield in_cell(meet, row, "what", "correction-not-made", message, row.told.what)


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


def _never_published(meet: Meet, history: History) -> Iterator[Problem]:
    """A correction that is new begins at a mark that was published."""
    published = [_marks(issue.by_person) for issue in history.issues[:-1]]
    worn, last = bibs_of(history.issues[-1].publication), history.issues[-2].publication
    seen = {one[:4] for one in last.corrections}
    for row in _new_rows(meet, last):
        competition, bib, apparatus, vault = row.told[:4]
        key = (competition, worn.get((competition, bib), bib), apparatus, vault)
        there = {marks.get(key, "") for marks in published}
        if row.told[:4] not in seen and row.told.old not in there:
            shown = ", ".join(sorted(filter(None, there))) or "nothing"
            message = (
                f"{whose(row.told)}: {row.told.old or 'no mark'} was never published, but {shown}; "
                "correct the old mark"
            )
            heading = meet.settings.columns.corrections.get("old", "old")
            yield Problem(
                row.file, row.line, heading, "old-mark-not-published", message, row.told.old
            )
        seen.add(row.told[:4])


def _marks(one: Publication) -> dict[tuple[object, ...], str]:
    """Each mark or status as it was published."""
    return {
        (competition.id, *mark.key): mark.text
        for competition in one.competitions
        for mark in competition.marks
    }


def _new_rows(meet: Meet, last: Publication) -> Iterator[CorrectionRow]:
    """The rows about one mark that the last publication did not tell of."""
    known = set(last.corrections)
    for row in meet.corrections:
        if told(row.told) not in known and row.told.bib and row.told.apparatus:
            yield row


def _unmeant(
    meet: Meet, unexplained: list[Corrected], *, strict: bool, allow_removal: bool
) -> Iterator[Problem]:
    """What was published is otherwise or gone, and nobody said why."""
    file = meet.settings.files.corrections
    if strict:
        for was, new in _told_together(unexplained):
            message = (
                f"{was}, and no reason is given; "
                "add a row that says why, or put it back as it was published"
            )
            yield Problem(file, 0, "", "change-without-reason", message, new)
        return
    for one in unexplained:
        if one.gone and not allow_removal:
            message = (
                f"{_was(one)}; put it back, or add a row with 'yes' under 'gone', "
                "or build with --allow-removal"
            )
            yield Problem(
                meet.settings.files.corrections, 0, "", "published-and-gone", message, one.old
            )


def _told_together(unexplained: list[Corrected]) -> Iterator[tuple[str, str]]:
    """What was published, and what it is now; what one row explains, in one."""
    of_competitions: dict[str, list[str]] = {}
    for one in unexplained:
        if one.competition and not one.bib and not one.gone:
            of_competitions.setdefault(one.competition, []).append(_was(one))
        elif one.gone and not one.apparatus:
            name = "bib" if one.bib else "competition"
            yield f"{_was(one)} (its row has the {name}, and yes under 'gone')", one.new
        else:
            yield _was(one), one.new
    for id, these in of_competitions.items():
        yield f"{'; '.join(these)} (the row has {id} under 'competition', and no bib)", ""


def _was(one: Corrected) -> str:
    """What was published, and what has become of it."""
    if one.what:
        return _fact(one)
    if not one.bib:
        if one.gone:
            return f"competition {one.competition} was published and is not in the meet any more"
        return (
            f"places, totals or qualifiers of {one.competition} are not as published, "
            "though no mark changed"
        )
    if not one.apparatus:
        where = f" of {one.competition}" if one.competition else ""
        return (
            f"bib {one.bib}{where} was published and is not on the roster any more, or another "
            "wears it (then the row has bib under 'what', and no bib)"
        )
    vault = " (second vault)" if one.vault == 2 else ""
    routine = f"bib {one.bib} on {one.apparatus}{vault} in {one.competition}"
    if one.gone:
        return f"{routine}: {one.old} was published and is not here any more"
    if not one.old:
        return f"{routine}: {one.new} is new, and the results were official"
    if one.old == one.new:
        return f"{routine}: the parts of the mark {one.old} are not as published"
    return f"{routine}: {one.old} was published and is {one.new} now"


def _fact(one: Corrected) -> str:
    """What of a gymnast or of the settings was published, and which row would give the reason."""
    usual = "as usual" if one.competition else "nothing"
    old, new = one.old or usual, one.new or usual
    if one.competition:
        return f"{one.what} of {one.competition}: {old} was published and is {new} now"
    if one.bib:
        return (
            f"bib {one.bib}, {one.what}: {old} was published and is {new} now "
            f"(its row has the bib, and {one.what} under 'what')"
        )
    return f"{one.what}: {old} was published and is {new} now (its row has {one.what} under 'what')"
