"""Tables of whole numbers, put together and taken apart as arrays.

pandas selects, masks and groups small tables slowly; a meet has hundreds of them. What lacks is
kept beside the numbers, so that 0 stays a number and nothing is ever a float.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

Integers = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]


def table(numbers: Integers, lacking: Booleans, rows: Any, columns: Iterable[Any]) -> pd.DataFrame:
    """An Int64 table with these rows and columns, `<NA>` where a number is lacking."""
    # One copy, in which each column lies together, is all that the columns need.
    own, missing = np.array(numbers, order="F"), np.array(lacking, order="F")
    made = {
        name: pd.arrays.IntegerArray(own[:, place], missing[:, place])
        for place, name in enumerate(columns)
    }
    return pd.DataFrame(made, index=rows, copy=False)


def of_cells(
    cells: Sequence[Sequence[int | None]], rows: Any, columns: Sequence[Any]
) -> pd.DataFrame:
    """An Int64 table of these cells, row by row; None is `<NA>`."""
    shape = (len(cells), len(columns))
    numbers = [cell or 0 for row in cells for cell in row]
    lacking = [cell is None for row in cells for cell in row]
    return table(
        np.array(numbers, dtype=np.int64).reshape(shape),
        np.array(lacking, dtype=bool).reshape(shape),
        rows,
        columns,
    )


def parts_of(whole: pd.DataFrame) -> tuple[Integers, Booleans]:
    """The numbers of an Int64 table, 0 where one is lacking, and where one is."""
    numbers: Integers = whole.to_numpy(dtype="int64", na_value=0)
    return numbers, whole.isna().to_numpy()


def without(whole: pd.DataFrame, hidden: Booleans) -> pd.DataFrame:
    """The table with these cells emptied."""
    numbers, lacking = parts_of(whole)
    return table(numbers, lacking | hidden, whole.index, whole.columns)


def cells(column: pd.Series[int]) -> list[int | None]:
    """The numbers of an Int64 column, None where one is lacking."""
    numbers = column.to_numpy(dtype="int64", na_value=0).tolist()
    return [
        None if lacks else number
        for number, lacks in zip(numbers, column.isna().to_numpy().tolist(), strict=True)
    ]


def column(numbers: Sequence[int], rows: Any) -> pd.Series[int]:
    """An Int64 column of these numbers, of which none is lacking."""
    given = np.array(numbers, dtype=np.int64)
    return pd.Series(pd.arrays.IntegerArray(given, np.zeros(len(given), dtype=bool)), index=rows)


def emptied(column: pd.Series[int], hidden: Booleans) -> pd.Series[int]:
    """The column with these cells emptied."""
    numbers = column.to_numpy(dtype="int64", na_value=0)
    lacking = column.isna().to_numpy() | hidden
    return pd.Series(pd.arrays.IntegerArray(numbers, lacking), index=column.index)


def only(whole: pd.DataFrame, columns: Sequence[str]) -> pd.DataFrame:
    """The table with only these columns."""
    chosen = {name: whole[name].array for name in columns}
    return pd.DataFrame(chosen, index=whole.index, copy=False)
