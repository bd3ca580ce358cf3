"""CSV text as RFC 4180 has it, with no cell that a spreadsheet would run as a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from resultsgen.files.formulas import harmless


def csv_text(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A whole file: commas, CRLF, quotes only where they are needed."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    for row in (head, *rows):
        writer.writerow([harmless(cell) for cell in row])
    return text.getvalue()
