"""The rows of marks as tables: a row per gymnast, a column per part, one for each kind of number.

A *part* is what one routine stands for: an apparatus code, or `VT2` for the second vault.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from resultsgen.live.old_tables import Booleans, table
from resultsgen.meet.folder import Meet
from resultsgen.meet.settings import Competition
from resultsgen.scoring.finals import Starters
from resultsgen.scoring.results import Gymnast

SECOND_VAULT = "VT2"


@dataclass(frozen=True)
class Places:
    """The rows of marks of a competition, and the cell of its tables in which each stands."""

    rows: pd.DataFrame
    keys: list[int]
    parts: tuple[str, ...]
    cells: tuple[tuple[int, str], ...]
    """Gymnast and part of each row."""

    @cached_property
    def _at(self) -> tuple[list[int], list[int]]:
        """Row and column of the cells."""
        row_of = {key: row for row, key in enumerate(self.keys)}
        column_of = {part: column for column, part in enumerate(self.parts)}
        return [row_of[key] for key, _ in self.cells], [column_of[part] for _, part in self.cells]

    def wide(self, name: str, annulled: Booleans) -> pd.DataFrame:
        """One kind of number: a row per gymnast, a column per part, `<NA>` where there is none."""
        shape = (len(self.keys), len(self.parts))
        numbers, lacking = np.zeros(shape, dtype=np.int64), np.ones(shape, dtype=bool)
        numbers[self._at] = self.rows[name].to_numpy(dtype="int64", na_value=0)
        lacking[self._at] = self.rows[name].isna().to_numpy()
        return table(numbers, lacking | annulled, self.keys, self.parts)


def places(own: pd.DataFrame, here: dict[int, Gymnast], parts: tuple[str, ...]) -> Places:
    """Where each mark or status on a part stands; on one part nobody has two."""
    columns = (own[name].tolist() for name in ("gymnast", "apparatus", "vault"))
    cells = [
        (int(key), f"{code}2" if vault == 2 else code)
        for key, code, vault in zip(*columns, strict=True)
    ]
    rows = [row for row, (_, part) in enumerate(cells) if part in parts]
    found = tuple(cells[row] for row in rows)
    assert len(set(found)) == len(found)
    return Places(own.iloc[rows], list(here), parts, found)


def statuses(meet: Meet, own: pd.DataFrame, marked: Places) -> pd.DataFrame:
    """The status of each routine; one for the whole competition or meet fills the empty parts."""
    found = {key: dict.fromkeys(marked.parts, "") for key in marked.keys}
    with_mark = set()
    words, given = marked.rows["status"].tolist(), marked.rows["mark"].notna().tolist()
    for (key, part), word, has_mark in zip(marked.cells, words, given, strict=True):
        found[key][part] = word
        if has_mark:
            with_mark.add((key, part))
    for key, word in _for_all(meet, own, marked.keys).items():
        for part, status in found[key].items():
            if _fills(word, part, status, has_mark=(key, part) in with_mark):
                found[key][part] = word
    cells = [list(row.values()) for row in found.values()]
    return pd.DataFrame(cells, index=marked.keys, columns=list(marked.parts), dtype="object")


def _for_all(meet: Meet, own: pd.DataFrame, keys: list[int]) -> dict[int, str]:
    """The status that each has for the whole competition or meet, of those who have one."""
    of_roster = meet.roster["status"].to_dict()
    found = {key: of_roster[key] for key in keys}
    columns = (own[name].tolist() for name in ("gymnast", "apparatus", "status"))
    found |= {key: word for key, code, word in zip(*columns, strict=True) if word and not code}
    return {key: word for key, word in found.items() if word}


def _fills(word: str, part: str, status: str, *, has_mark: bool) -> bool:
    """Does a status for all parts hold on this one?"""
    if part == SECOND_VAULT:  # Nobody is entered for a second vault by a status.
        return has_mark and word == "DSQ"
    return not status and (not has_mark or word == "DSQ")


def entries(
    meet: Meet,
    competition: Competition,
    here: dict[int, Gymnast],
    marks: pd.DataFrame,
    status: pd.DataFrame,
    starters: Starters | None,
) -> pd.DataFrame:
    """Who is entered on which part: as the competition, the roster or the cut says, and where a
    mark stands.

    The second vault is entered by a mark or a status of its own on it, by `VT2` on the roster,
    or by being in a vault final.
    """
    parts = list(status.columns)
    usual = set(parts) - {SECOND_VAULT}
    named = meet.roster["entered"].to_dict()
    entered = np.zeros(status.shape, dtype=bool)
    for row, (key, who) in enumerate(here.items()):
        own = competition.entered.get(who.bib) or named[key].split()
        chosen = starters.parts_of(key) if starters else set(own) or usual
        entered[row] = [part in chosen for part in parts]
    there = marks.notna().to_numpy() | (status.to_numpy() != "")
    return pd.DataFrame(entered | there, index=marks.index, columns=parts)
