"""Which competition and which gymnast a row of marks belongs to.

The row may name its competition. Otherwise it is the one that the file is for, or the only one
that has the bib among its gymnasts by discipline and division. Where a table has no bibs, gymnasts
are found by name, and by club where two have one name.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from typing import NamedTuple

from resultsgen.checks.roster import belongs
from resultsgen.meet.folder import Entry
from resultsgen.meet.problems import Note
from resultsgen.meet.settings import MeetSettings
from resultsgen.privacy.forms import PARTICLES, as_written, words
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.words import heard


class Belonging(NamedTuple):
    """The competition's id that a row belongs to, empty if none, and the key of the entry."""

    competition: str
    gymnast: int | None


OF_NAMES = ("name", "family_name", "given_name", "club")
"""The columns by which a gymnast is found where there is no bib."""

ALIKE = 200
"""Among so many who share a word of a name the one that is meant is looked for."""


class Bibs:
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

    def find_by_name(self, table: ReadTable, here: Sequence[int]) -> bool:
        """Give a table without bibs those of its gymnasts; tell of each who is not found."""
        if "bib" in table.columns:
            return False
        of_name = next(name for name in OF_NAMES if name in table.columns)
        named = {"": list[Entry]()}
        for entry in self.entries:
            named.setdefault(_key(entry.family_name, entry.given_name), []).append(entry)
        texts = _names_in(table)
        mend = "the name is empty; fill it in, or delete the row"
        table.tell_rows(
            (n for n, text in enumerate(texts) if not text), of_name, "empty-cell", mend
        )
        competitions = {self.competitions[n].id.casefold(): n for n in here}
        bibs = []
        for row, text in enumerate(texts):
            own = competitions.get(table.text("competition", row).casefold())
            club = heard(table.text("club", row))
            found = self._called(named.get(_key(text), []), here if own is None else [own], club)
            one = {entry.bib for entry in found}
            bibs.append(found[0].bib if len(one) == 1 else "")
            if text and len(one) != 1 and self.known:
                why = _several(found) if found else self._nobody(text, named)
                table.tell_rows([row], of_name, "unknown-name", why)
            elif len(one) == 1 and club and club not in {heard(entry.club) for entry in found}:
                message = f"taken for bib {bibs[-1]}, whose club on the roster is {found[0].club}"
                where = table.file, table.lines[row], table.headings.get("club", "club")
                table.problems.append(Note(*where, "another-club", message))
        table.columns["bib"], table.headings["bib"] = bibs, table.headings.get(of_name, of_name)
        return True

    def compare_names(self, table: ReadTable) -> None:
        """Tell of each row whose name, or a part of it, is not that of who wears its bib."""
        worn: dict[str, list[Entry]] = {}
        called: dict[frozenset[str], list[Entry]] = {}
        for entry in self.entries:
            worn.setdefault(entry.bib, []).append(entry)
            called.setdefault(_words(_whole(entry)), []).append(entry)
        rows = zip(table.column("bib"), _names_in(table), strict=True)
        for row, (bib, text) in enumerate(rows):
            said, theirs = _words(text), worn.get(bib, [])
            named = called.get(said, theirs)
            if not (said and theirs) or any(
                said & _words(_whole(one)) and one in named for one in theirs
            ):
                continue
            hers = f"is {_whole(theirs[0])} on the roster" if theirs[0].publish else "is another's"
            known = said in called and all(one.publish for one in named)
            other = f"says {text}" if known else "has another name"
            message = f"bib {bib} {hers}, and this row {other}; correct one of them"
            table.tell_rows([row], "bib", "another-name", message, bib)

    def _called(self, found: list[Entry], here: Sequence[int], club: str) -> list[Entry]:
        """Who of those of one name is meant: of several, those who compete here, of that club."""
        if len({entry.bib for entry in found}) < 2:
            return found
        found = [one for one in found if any(one.bib in self.keys[n] for n in here)] or found
        return [one for one in found if heard(one.club) == club] or found

    def _nobody(self, text: str, named: dict[str, list[Entry]]) -> str:
        """That nobody is called so, and who may be meant; a name that is withheld is not said."""
        words = set(_key(text).split())
        alike = [key for key in named if words & set(key.split())][:ALIKE]
        near = difflib.get_close_matches(_key(text), alike, n=1, cutoff=0.6)
        if not near:
            return f"nobody on the roster is called {text}; correct the name, or add the gymnast"
        entry = named[near[0]][0]
        if not entry.publish:
            return f"nobody on the roster is called so; did you mean bib {entry.bib}?"
        meant = f"did you mean {_whole(entry)} (bib {entry.bib})?"
        return f"nobody on the roster is called {text}; {meant}"

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
        bibs = {bib for bib, _ in rows}
        candidates = {bib: [n for n in here if bib in self.keys[n]] for bib in bibs}
        found = {}
        for bib, name in {*rows}:
            possible = here if len(here) == 1 else candidates[bib]
            unnamed = possible[0] if len(possible) == 1 else None
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
            these = " and ".join(self.competitions[n].id for n in candidates[bib])
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


def _names_in(table: ReadTable) -> list[str]:
    """The names of the rows, from one column or from two."""
    return [
        whole or " ".join(filter(None, parts))
        for whole, *parts in zip(*map(table.column, OF_NAMES[:3]), strict=True)
    ]


def _whole(entry: Entry) -> str:
    return " ".join(filter(None, (entry.family_name, entry.given_name)))


def _words(text: str) -> frozenset[str]:
    """What tells a name from others, whatever its order, accents and particles."""
    held = frozenset(words(text))
    return held - PARTICLES or held


def _key(*names: str) -> str:
    """A name as it is compared: its words in any order, whatever their letter case and commas."""
    return " ".join(sorted(as_written(*names).replace(",", " ").split()))


def _several(found: list[Entry]) -> str:
    these = " and ".join(f"bib {one.bib} of {one.club or 'no club'}" for one in found)
    mend = "write the club in a column 'club', or bibs in a column 'bib'"
    return f"several on the roster are called so: {these}; {mend}"


def competitions_in(source: str, settings: MeetSettings) -> list[int]:
    """The numbers of the competitions whose marks stand in a source; shared ones stand once."""
    return [
        number
        for number, one in enumerate(settings.competitions)
        if one.has_own_marks and source in settings.sources_of(one)
    ]
