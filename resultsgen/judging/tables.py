"""The rows of marks as tables: a row per gymnast, a column per part, one for each kind of number.

A *part* is what one routine stands for: an apparatus code, or `VT2` for the second vault.
"""

from __future__ import annotations

import pandas as pd

from resultsgen.judging.finals import Starters
from resultsgen.meet import Meet
from resultsgen.results import Gymnast

SECOND_VAULT = "VT2"


def _part(own: pd.DataFrame) -> pd.Series[str]:
    return own["apparatus"].where(own["vault"].ne(2), own["apparatus"] + "2")


def wide(
    own: pd.DataFrame, name: str, here: dict[int, Gymnast], parts: tuple[str, ...]
) -> pd.DataFrame:
    """One kind of number: a row per gymnast, a column per part, `<NA>` where there is none."""
    routines = own[own["apparatus"].ne("")]
    wide = routines.assign(part=_part(routines)).set_index(["gymnast", "part"])[name].unstack()
    return wide.reindex(index=list(here), columns=list(parts)).astype("Int64")


def statuses(
    meet: Meet, own: pd.DataFrame, here: dict[int, Gymnast], parts: tuple[str, ...]
) -> pd.DataFrame:
    """The status of each routine; one for the whole competition or meet fills the empty parts."""
    status = pd.DataFrame("", index=list(here), columns=list(parts), dtype="object")
    marked = wide(own, "mark", here, parts).notna()
    routines = own[own["status"].ne("") & own["apparatus"].ne("")]
    for key, part, word in zip(
        routines["gymnast"], _part(routines), routines["status"], strict=True
    ):
        status.loc[key, part] = word
    whole = dict(meet.roster.loc[list(here), "status"])
    for_all = own[own["status"].ne("") & own["apparatus"].eq("")]
    whole |= dict(zip(for_all["gymnast"], for_all["status"], strict=True))
    for key, word in whole.items():
        if word:
            fill = status.loc[key].eq("") & (~marked.loc[key] | (word == "DSQ"))
            if SECOND_VAULT in parts:  # Nobody is entered for a second vault by a status.
                fill[SECOND_VAULT] = marked.loc[key, SECOND_VAULT] and word == "DSQ"
            status.loc[key, fill] = word
    return status


def entries(
    meet: Meet,
    here: dict[int, Gymnast],
    marked: pd.DataFrame,
    status: pd.DataFrame,
    starters: Starters | None,
) -> pd.DataFrame:
    """Who is entered on which part: as the roster or the cut says, and wherever a mark stands.

    The second vault is entered by a mark or a status of its own on it, by `VT2` on the roster,
    or by being in a vault final.
    """
    parts = list(status.columns)
    usual = set(parts) - {SECOND_VAULT}
    named = meet.roster["entered"].to_dict()
    entered = {}
    for key in here:
        chosen = starters.parts_of(key) if starters else set(named[key].split()) or usual
        entered[key] = [part in chosen for part in parts]
    table = pd.DataFrame.from_dict(entered, orient="index", columns=parts, dtype=bool)
    return table | marked | (status != "")
