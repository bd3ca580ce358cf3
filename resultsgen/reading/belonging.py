"""Which competition and which gymnast a row of marks belongs to.

The row may name its competition. Otherwise it is the one that the file is for, or the only one
that has the bib among its gymnasts by discipline and division.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from resultsgen.checks.roster import belongs
from resultsgen.meet.folder import Entry
from resultsgen.meet.settings import Competition, MeetSettings
from resultsgen.reading.tables import Table


@dataclass(frozen=True, slots=True)
class Belonging:
    """The competition's id that a row belongs to, empty if none, and the key of the entry."""

    competition: str
    gymnast: int | None


def belonging(
    table: Table, settings: MeetSettings, entries: Sequence[Entry], here: Sequence[int]
) -> list[Belonging]:
    """Whose each row of a file is, which holds those *here*; where that cannot be told, why is.

    Competitions go by their number: two may have one id, which is told elsewhere.
    """
    competitions = settings.competitions
    keys = [_keys_by_bib(competition, entries) for competition in competitions]
    ids = {competition.id.casefold(): n for n, competition in enumerate(competitions)}
    table.tell(
        "competition",
        "unknown-competition",
        f"there is no competition {{text}}; write one of {', '.join(ids)}",
        lambda name: bool(name) and name.casefold() not in ids,
    )
    bibs, names = table.column("bib"), table.column("competition")
    candidates = {bib: [n for n in here if bib in keys[n]] for bib in {*bibs}}
    found: dict[tuple[str, str], Belonging] = {}
    for row, whose in enumerate(zip(bibs, names, strict=True)):
        bib, name = whose
        if whose not in found:
            possible = here if len(here) == 1 else candidates[bib]
            unnamed = possible[0] if len(possible) == 1 else None
            number = ids.get(name.casefold()) if name else unnamed
            found[whose] = (
                Belonging("", None)
                if number is None
                else Belonging(competitions[number].id, keys[number].get(bib))
            )
        if not name and not found[whose].competition and any(bib in known for known in keys):
            ids_here = " and ".join(competitions[n].id for n in candidates[bib])
            where = f"is in {ids_here}" if ids_here else f"is in no competition of {table.file}"
            message = f"bib {bib} {where}; write the competition's id in the column 'competition'"
            told = table.problem(row, "competition", "which-competition", message)
            table.problems.append(told)
    return [found[whose] for whose in zip(bibs, names, strict=True)]


def _keys_by_bib(competition: Competition, entries: Sequence[Entry]) -> dict[str, int]:
    """The key of the first entry with each bib."""
    return {entry.bib: entry.key for entry in reversed(entries) if belongs(competition, entry)}


def competitions_in(file: str, settings: MeetSettings) -> list[int]:
    """The numbers of the competitions whose marks stand in a file; shared ones stand once."""
    return [
        number
        for number, one in enumerate(settings.competitions)
        if one.has_own_marks and (one.marks or settings.files.marks) == file
    ]


def tell_nobodys(table: Table, whose: Sequence[Belonging], entries: Sequence[Entry]) -> None:
    """Tell of a row whose bib nobody has on the roster, or in the competition that it names."""
    known = {entry.bib for entry in entries} - {""}
    if not known:
        return  # That the roster cannot be read is told already.
    alike: dict[str, list[str]] = {}
    for bib in sorted(known):
        alike.setdefault(bib.lstrip("0"), []).append(bib)
    for row, (bib, one) in enumerate(zip(table.column("bib"), whose, strict=True)):
        if one.gymnast is not None or not bib:
            continue
        if bib in known and not one.competition:
            continue  # That its competition cannot be told is told already.
        these = ", ".join(alike.get(bib.lstrip("0"), ()))
        message = (
            f"bib {bib} is on the roster, but not in the discipline and divisions of "
            f"{one.competition}, or taken out there ([competition.entered]); correct the bib, the "
            "competition, or the roster"
            if bib in known
            else f"bib {bib} is not on the roster; "
            + (f"the roster has {these}" if these else "correct it, or add the gymnast")
        )
        table.problems.append(table.problem(row, "bib", "unknown-bib", message, bib))
