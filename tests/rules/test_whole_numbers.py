"""Tables of whole numbers: what lacks stays lacking, 0 stays 0, and every row keeps its name."""

from __future__ import annotations

import numpy as np
import pandas as pd

from resultsgen.live.old_tables import cells, emptied, of_cells, only


def test_cells_become_a_table_and_a_table_cells() -> None:
    made = of_cells([[0, None], [13700, 14000]], [31, 12], ["VT", "UB"])
    assert made.index.to_list() == [31, 12]
    assert set(made.dtypes) == {pd.Int64Dtype()}
    assert [cells(made[part]) for part in ("VT", "UB")] == [[0, 13700], [None, 14000]]


def test_a_table_of_nobody_holds_whole_numbers_too() -> None:
    assert of_cells([], [], ["VT"]).dtypes.to_list() == [pd.Int64Dtype()]


def test_a_column_without_some_of_its_cells() -> None:
    column = pd.Series([0, None, 14000], index=[31, 12, 5], dtype="Int64")
    found = emptied(column, np.array([False, False, True]))
    assert found.index.to_list() == [31, 12, 5]
    assert cells(found) == [0, None, None]
    assert cells(column) == [0, None, 14000]


def test_a_table_of_some_of_its_columns() -> None:
    made = of_cells([[0, None], [13700, 14000]], [31, 12], ["VT", "UB"])
    found = only(made, ["UB"])
    assert found.columns.to_list() == ["UB"]
    assert found.index.to_list() == [31, 12]
    assert cells(found["UB"]) == [None, 14000]
