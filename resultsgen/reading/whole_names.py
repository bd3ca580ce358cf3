"""A whole name in one cell, parted into family name and given name by a stated rule."""

from __future__ import annotations

import re
from typing import NamedTuple

from resultsgen.meet.problems import MOST, Note
from resultsgen.meet.sources import Columns
from resultsgen.meet.values import NameOrder
from resultsgen.privacy.forms import PARTICLES, as_written
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.words import name_order, says_no

BEFORE_FAMILY_NAMES = PARTICLES | {
    "do", "dei", "degli", "dello", "delle", "op", "te", "san", "santa", "st", "st.",
    "'t", "’t", "'s", "’s",
}  # fmt: skip
SMALL_BEFORE_CAPITALS = {"mc", "mac", "fitz", "o", "d", "l", "de", "di", "da", "le", "van", "von"}
"""McDONALD and d'ARC are in capitals; LaTOYA is not."""

BETWEEN_WORDS = re.compile(r"(?<![-–])\s+(?![-–])")
COMMA = re.compile(r"\s*[,，،]\s*")
FOLLOWING = re.compile(r"(?i:jr|sr|jun|sen|ii|iii|iv)\.?|[^\w'’].*|[0-9].*")
"""What follows a name without being one: Jr., III, (guest)."""

NO_PART_OF_A_NAME = re.compile(r"[^\w\s.'’‘`´·ʼ‐‑–-]|[\d_]")


class WholeName(NamedTuple):
    """A name as it was parted; where that is not certain, somebody should look at it."""

    family: str
    given: str
    certain: bool


def parted_name(text: str, order: NameOrder = "given first") -> WholeName:
    """Family and given name: by a comma, else by capitals, else by the order of the words.

    >>> parted_name("Vale, Ada") == parted_name("Ada VALE")._replace(family="Vale")
    True
    >>> parted_name("Ada Marie de la Vale")
    WholeName(family='de la Vale', given='Ada Marie', certain=False)
    """
    parts = [part for part in COMMA.split(text.strip()) if part]
    following = len(parts) == 2 and FOLLOWING.fullmatch(parts[1])
    plain = not (following or NO_PART_OF_A_NAME.search("".join(parts)))
    if len(parts) > 1 and not following:
        return WholeName(parts[0], ", ".join(parts[1:]), plain and len(parts) == 2)
    words = BETWEEN_WORDS.split(" ".join(parts))
    family, sure = _by_capitals(words) or (_by_order(words, order), len(words) < 3)
    given = " ".join(word for at, word in enumerate(words) if at not in family)
    return WholeName(" ".join(words[at] for at in family), given, plain and sure)


def _by_capitals(words: list[str]) -> tuple[list[int], bool] | None:
    """Which words are the family name as those in capitals, and surely? None: none tells it.

    Two letters may as well be a given name (AJ Vale), a word before them that is a particle too
    (Al VALE); and words in capitals stand together, at one end.
    """
    great = [at for at, word in enumerate(words) if _is_in_capitals(word)]
    if not great or len(great) == len(words):
        return None
    first, end = _around(words, great[0], great[-1])
    taken = [*range(first, great[0]), *great, *range(great[-1] + 1, end)]
    together = len(taken) == taken[-1] - taken[0] + 1 and (first == 0 or end == len(words))
    letters = sum(sign.isalpha() for at in great for sign in words[at])
    doubtful = first == 1 and end == len(words) and _is_particle(words[0])
    return taken, together and letters > 2 and not doubtful


def _by_order(words: list[str], order: NameOrder) -> list[int]:
    """The last word with the particles before it, or the first that is no particle."""
    named = [at for at, word in enumerate(words) if not FOLLOWING.fullmatch(word)] or [0]
    core = named[-1]
    if order == "family first":
        core = next((at for at in named if not _is_particle(words[at])), core)
        if core == named[-1] and not words[0].islower():
            core = 0
        return [*range(_around(words, core, core)[1])]
    return [*range(*_around(words, core, core))]


def _around(words: list[str], first: int, last: int) -> tuple[int, int]:
    """From where to before where a family name goes, with its particles and with a Jr. after it.

    A particle with a capital is the given name where nothing else is: Al Vale.
    """
    while first and _is_particle(words[first - 1]):
        first -= 1
    end = last + 1
    while end < len(words) and FOLLOWING.fullmatch(words[end]):
        end += 1
    alone = first == 0 and end == len(words) and last > 0
    return (1 if alone and not words[0].islower() else first), end


def _is_particle(word: str) -> bool:
    return word.casefold() in BEFORE_FAMILY_NAMES or word.endswith(("'", "’"))


def _is_in_capitals(word: str) -> bool:
    """Two or more letters in capitals, as in O'NEIL, McDONALD-VALE, STRAUß; no initials, no III."""
    pieces = re.split(r"[-‐‑–.]", "" if FOLLOWING.fullmatch(word) else word.replace("ß", "SS"))
    parts = [part for piece in pieces if (part := "".join(filter(str.isalpha, piece)))]
    tails = [len(part) - len(part.rstrip("".join(filter(str.isupper, part)))) for part in parts]
    heads = [part[: len(part) - tail] for part, tail in zip(parts, tails, strict=True)]
    small = all(head.casefold() in SMALL_BEFORE_CAPITALS for head in heads if head)
    return small and all(tails) and max(tails, default=0) > 1


def part_whole_names(table: ReadTable, said: Columns) -> None:
    """Fill family and given name from a column of whole names, and tell what is to be looked at.

    A heading may say in which order the parts stand; the meet's own word goes before it.
    """
    if "name" not in table.columns:
        return
    heading, order = table.headings["name"], said.whole_names
    if "whole_names" not in said.model_fields_set and name_order(heading) == "family first":
        order = "family first"
    if "given_name" in table.columns and "family_name" not in table.columns:
        message = (
            f"there is a column {table.headings['given_name']!r} beside {heading!r}, and none of "
            f'family names; if that is {heading!r}, write  family_name = "{heading}"  under '
            "[columns.roster] in meet.toml, else delete one of both"
        )
        table.tell_heading(heading, "no-such-column", message)
    wholes, names = table.column("name"), table.read("name", lambda text: parted_name(text, order))
    beside = [*zip(table.column("family_name"), table.column("given_name"), strict=True)]
    doubtful = []
    for row, (whole, own) in enumerate(zip(wholes, beside, strict=True)):
        if not any(own):
            beside[row] = names[row][:2]
            doubtful += [] if names[row].certain else [row]
        elif whole and as_compared(whole) != as_compared(" ".join(own)):
            message = f"{whole} is not {' '.join(filter(None, own))}, which stands beside it; "
            message += "correct one of them, or empty it"
            table.tell_rows([row], "name", "two-names", message, whole)
    for name, column in zip(("family_name", "given_name"), zip(*beside, strict=True), strict=False):
        table.columns[name] = [*column]
        table.headings.setdefault(name, heading)
    _tell_doubtful(table, doubtful)


def as_compared(name: str) -> str:
    """A name as it is compared: its words in any order, whatever their letter case and commas."""
    return " ".join(sorted(as_written(COMMA.sub(" ", name)).split()))


def _tell_doubtful(table: ReadTable, rows: list[int]) -> None:
    """One note of how names were parted of which no comma and no capitals tell the family name."""
    parted = [
        f"line {table.lines[row]}"
        if says_no(table.text("publish", row))
        else f"{table.text('family_name', row)}, {table.text('given_name', row)}"
        for row in rows
    ]
    if len(parted) > MOST:
        parted[MOST:] = [f"and {len(parted) - MOST} more"]
    if parted:
        message = (
            f"so whole names were parted that may be meant otherwise: {'; '.join(parted)}; where "
            "one is wrong, write it so, with a comma after the family name"
        )
        heading = table.headings["name"]
        table.problems.append(Note(table.file, 0, heading, "parted-names", message))
