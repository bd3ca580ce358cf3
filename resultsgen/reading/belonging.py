"""Which competition and which gymnast a row of marks belongs to.

The row may name its competition. Otherwise it is the one that the file is for, or the only one
that has the bib among its gymnasts by discipline and division.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from resultsgen.checks.roster import belongs
from resultsgen.meet.folder import Entry
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.tables import ReadTable


class Belonging(NamedTuple):
    """The competition's id that a row belongs to, empty if none, and the key of the entry."""

    competition: str
    gymnast: int | None


class BibsWorn:
    """Who wears which bib on the roster, and in each competition.

    Competitions go by their number: two may have one id, which is told elsewhere.
    """

    def __init__(self, settings: MeetSettings, entries: Sequence[Entry]) -> None:
        self.competitions = settings.competitions
        self.keys = [
            {entry.bib: entry.key for entry in reversed(entries) if belongs(competition, entry)}
            for competition in self.competitions
        ]
        self.known = {entry.bib for entry in entries} - {""}
        self.entries = entries

    def possible(self, bib: str, here: Sequence[int]) -> Sequence[int]:
        """Those of *here* to which a row that names none may belong: the only one, or by bib."""
        return here if len(here) == 1 else [n for n in here if bib in self.keys[n]]

    def whose(self, table: ReadTable, here: Sequence[int]) -> list[Belonging]:
        """Whose each row of a file is that holds those *here*; where nobody can tell, why."""
        ids = {competition.id.casefold(): n for n, competition in enumerate(self.competitions)}
        table.tell(
            "competition",
            "unknown-competition",
            f"there is no competition {{text}}; write one of {', '.join(ids)}",
            lambda name: bool(name) and name.casefold() not in ids,
        )
        rows = list(zip(table.column("bib"), table.column("competition"), strict=True))
        possible = {bib: self.possible(bib, here) for bib, _ in rows}
        found = {}
        for bib, name in {*rows}:
            unnamed = possible[bib][0] if len(possible[bib]) == 1 else None
            number = ids.get(name.casefold()) if name else unnamed
            found[bib, name] = (
                Belonging("", None)
                if number is None
                else Belonging(self.competitions[number].id, self.keys[number].get(bib))
            )
        unclear = {
            bib
            for (bib, name), belonging in found.items()
            if not (name or belonging.competition) and any(bib in keys for keys in self.keys)
        }
        for row, (bib, name) in enumerate(rows if unclear else ()):
            if name or bib not in unclear:
                continue
            these = " and ".join(self.competitions[n].id for n in possible[bib])
            where = f"is in {these}" if these else f"is in no competition of {table.file}"
            message = f"bib {bib} {where}; write the competition's id in the column 'competition'"
            table.tell_rows([row], "competition", "which-competition", message)
        whose = [found[pair] for pair in rows]
        self._tell_nobodys(table, whose)
        return whose

    def _tell_nobodys(self, table: ReadTable, whose: list[Belonging]) -> None:
        """Tell of a bib that nobody has on the roster, or in the competition that a row names."""
        if not self.known or all(belonging.gymnast is not None for belonging in whose):
            return  # That the roster cannot be read is told already.
        alike: dict[str, list[str]] = {}
        for bib in sorted(self.known):
            alike.setdefault(bib.lstrip("0"), []).append(bib)
        for row, (bib, belonging) in enumerate(zip(table.column("bib"), whose, strict=True)):
            if belonging.gymnast is not None or not bib:
                continue
            if bib in self.known and not belonging.competition:
                continue  # That its competition cannot be told is told already.
            these = ", ".join(alike.get(bib.lstrip("0"), ()))
            message = (
                f"bib {bib} is on the roster, but not in the discipline and divisions of "
                f"{belonging.competition}, or taken out there ([competition.entered]); correct "
                "the bib, the competition, or the roster"
                if bib in self.known
                else f"bib {bib} is not on the roster; "
                + (f"the roster has {these}" if these else "correct it, or add the gymnast")
            )
            table.tell_rows([row], "bib", "unknown-bib", message, bib)


def competitions_in(source: str, settings: MeetSettings) -> list[int]:
    """The numbers of the competitions whose marks stand in a source; shared ones stand once."""
    return [
        number
        for number, one in enumerate(settings.competitions)
        if one.has_own_marks and source in settings.sources_of(one)
    ]
