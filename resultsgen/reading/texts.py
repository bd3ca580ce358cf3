"""A column as its different texts and, for each row, which of them stands there.

100,000 marks hold a few thousand different texts, and only those have to be read.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
import numpy.typing as npt

from resultsgen.reading.workbooks.limits import CONTROLS

if TYPE_CHECKING:
    import pandas as pd

Positions: TypeAlias = npt.NDArray[np.int64]
HIDDEN = re.compile(rf"{CONTROLS.pattern}|[\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
"""Control signs, those that override the direction of writing, halves of letters and no letters."""

CONTROL = re.compile(rf"{HIDDEN.pattern}|[\x0b\x0c\x1c-\x1f]")
"""The same in a text whose blanks stay as they are."""

Strings: TypeAlias = Any
"""A pandas array of text (its own type says less than it can)."""


@dataclass(frozen=True)
class Texts:
    """One column: `different[which[row]]` is the text of a row, without surrounding blanks."""

    which: npt.NDArray[np.intp]
    different: list[str]

    def text(self) -> Strings:
        """The text of each row."""
        import pandas as pd

        return pd.array(self.different, dtype="str").take(self.which)

    def read(self, reading: Callable[[str], str]) -> Texts:
        """The column with what *reading* makes of each text; it sees each different text once."""
        return Texts(self.which, [reading(text) for text in self.different])

    def rows(self, condition: Callable[[str], bool]) -> npt.NDArray[np.bool_]:
        """True for each row whose text meets the condition."""
        met = np.fromiter(map(condition, self.different), dtype=bool, count=len(self.different))
        return met.take(self.which)

    def given(self) -> npt.NDArray[np.bool_]:
        """True for each row in which something stands."""
        if "" in self.different:
            return self.rows(bool)
        return np.ones(len(self.which), dtype=bool)

    def is_blank(self) -> bool:
        """Nothing stands in any row."""
        return not any(self.different)

    def chosen(self, rows: Positions) -> Texts:
        """The same column with only the rows at these positions."""
        return Texts(self.which.take(rows), self.different)


def texts_of(cells: pd.Series[str]) -> Texts:
    """Cells as their different texts and which of them stands where."""
    import pandas as pd

    which, different = pd.factorize(cells.to_numpy())
    texts = different.tolist()
    if not _all_tidy(texts):
        texts = [tidy(text) for text in texts]
    return Texts(which, texts)


def _all_tidy(texts: list[str]) -> bool:
    """Nearly always all of them are, which is quickly seen of all at once."""
    held = f"|{'|'.join(texts)}|"
    plain_signs = held.isascii() and held.isprintable()
    return plain_signs and not any(blanks in held for blanks in ("  ", "| ", " |"))


def tidy(text: str) -> str:
    """A text with single blanks, composed letters and no sign that is hidden or turns others round.

    >>> tidy("  Ada   Bell ")
    'Ada Bell'
    """
    return " ".join(unicodedata.normalize("NFC", HIDDEN.sub("", text)).split())
