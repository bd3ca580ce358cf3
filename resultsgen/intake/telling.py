"""What is said of a meet folder that was begun from somebody's files, a line each."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.intake.writing import Beginning
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import checked

TOLD_HERE = ("left-alone", "hidden-cells")
"""Notes of the reader that say what was said already."""


def lines_of(made: Beginning) -> Iterator[str]:
    """What was found and left alone, what is to decide, and what is to mend before it builds."""
    seen = made.seen
    yield from made.told
    yield from seen.found
    for word, status in seen.statuses.items():
        yield f'"{word}" stands for {status} where a mark would be: [columns.status] in meet.toml'
    for one in seen.contests:
        marks = ", ".join(one.apparatus) or "no marks yet"
        yield f'competition {one.id}: {one.title}, {marks}; rules = "{one.rules}": {one.why}'
    for left in seen.left_alone:
        yield f"left alone: {left}"
    for asked in seen.questions:
        yield f"to decide, in meet.toml: {asked.asked}"
    if not seen.contests:
        return
    try:
        judged, _ = checked(made.folder, made.folder / "output", BuildOptions())
    except MeetProblems as found:
        yield from map(str, found.problems)
        yield f"{len(found.problems)} to mend, then it builds."
        return
    notes = judged.meet.notes
    yield from (f"note: {one}" for one in notes if one.column or one.code not in TOLD_HERE)
    if stated := len(judged.meet.stated):
        otherwise = sum(one.code == "stated-otherwise" for one in notes)
        end = f"{otherwise} are otherwise, told above" if otherwise else "all equal"
        yield f"totals and places of the files beside the judging: {stated} compared, {end}"
    rows, competitions = len(judged.gymnasts), len(judged.competitions)
    yield f"Nothing to mend: {rows} on the roster, competitions: {competitions}."
