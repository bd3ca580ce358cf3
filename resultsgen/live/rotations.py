"""Who is where in which rotation: each squad keeps the order of the apparatus and wraps round.

A squad that starts on beam goes on to floor, vault and bars. Where there are more squads than
apparatus, the circuit holds byes: rotations at rest, at the places that the meet gives them.
Source: Olympic order and wrapping round, a broadcaster's explainer of 2024; byes are common
practice. Where everybody does the same apparatus at a time, all squads start on the same one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from resultsgen.live.old_tables import of_cells, parts_of, table

BYE = "bye"
"""A station of the circuit that begins with this word is a rotation at rest: bye, bye 2 ..."""


def rotations(circuit: Sequence[str], start: str) -> dict[str, int]:
    """The rotation, from 1, in which a squad that starts there is on each apparatus.

    >>> rotations(("VT", "UB", "BB", "FX"), "BB")
    {'VT': 3, 'UB': 4, 'BB': 1, 'FX': 2}
    >>> rotations(("VT", "UB", "bye", "BB", "FX", "bye 2"), "bye")
    {'VT': 5, 'UB': 6, 'BB': 2, 'FX': 3}
    """
    first = list(circuit).index(start)
    return {
        station: (position - first) % len(circuit) + 1
        for position, station in enumerate(circuit)
        if not station.startswith(BYE)
    }


def rotation_table(
    given: pd.DataFrame, squads: pd.Series[str], starts: Mapping[str, str], circuit: Sequence[str]
) -> pd.DataFrame:
    """The rotation of every routine (Int64): as *given* with the marks, else as the squad goes.

    *given* has a row per gymnast and a column per apparatus; a squad that *starts* does not
    name, and a start or an apparatus that is no part of the circuit, stay as they are.
    """
    by_squad = {
        squad: rotations(circuit, start) for squad, start in starts.items() if start in circuit
    }
    numbers, lacking = parts_of(given)
    turns = [[by_squad.get(squad, {}).get(part) for part in given.columns] for squad in squads]
    derived, unknown = parts_of(of_cells(turns, given.index, list(given.columns)))
    whole = np.where(lacking, derived, numbers)
    return table(whole, lacking & unknown, given.index, given.columns)
