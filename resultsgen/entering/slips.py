"""A slip of paper in one line: whose routine it is, and what the mark is made of.

`103 fx 4.9 7.75 .1` is bib, apparatus, D, E, penalty; `4.9 7.75` is of the one who is up. What can
be read in two ways is not read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace

from resultsgen.checks.marks import HIGHEST_D
from resultsgen.meet.marks import STATUSES, parse_part, show_mark
from resultsgen.meet.problems import counted
from resultsgen.meet.ruleset import MarkRule
from resultsgen.reading.tables import whole_number

LONGEST = 300
"""Letters of a line, all that is said on a slip in long words."""

HOW = "write bib, apparatus, D, E, penalty: 103 fx 4.9 7.75 .1"


class SlipError(ValueError):
    """A slip that cannot be read; the message says why, and what to write."""


@dataclass(frozen=True)
class Slip:
    """What was written: texts as they are, numbers in thousandths. Empty or None: not said."""

    bib: str = ""
    apparatus: str = ""
    competition: str = ""
    numbers: tuple[int, ...] = ()
    """Without a sign before them: D, E, penalty, or the mark alone."""
    d: int | None = None
    e: int | None = None
    penalty: int | None = None
    bonus: int | None = None
    mark: int | None = None
    status: str = ""
    vault: int | None = None
    rotation: int | None = None


@dataclass(frozen=True)
class Known:
    """The words of the meet that a slip may use."""

    is_apparatus: Callable[[str], bool]
    bibs: Collection[str]
    statuses: Mapping[str, str]
    """The meet's own words for a status, in small letters."""
    short_for: Callable[[str], str]
    """The codes of all that a word is an abbreviation of; empty: of nothing."""
    single: bool = False
    """The rules ask for one mark, and not for its parts."""


SIGNS = {"=": "mark", "+": "bonus", "-": "penalty", "−": "penalty", "–": "penalty"}
"""What a sign before a number makes of it."""


def read_slip(line: str, known: Known) -> Slip:
    """What a line says; SlipError where that is nothing, or not certain.

    >>> known = Known(lambda word: word == "fx", {"103"}, {}, lambda word: "")
    >>> read_slip("103 fx 4,9 7.75 .1", known)
    Slip(bib='103', apparatus='fx', competition='', numbers=(4900, 7750, 100), d=None, e=None, \
penalty=None, bonus=None, mark=None, status='', vault=None, rotation=None)
    """
    if len(line) > LONGEST:
        raise SlipError(f"that is longer than a slip; {HOW}")
    words = [word.rstrip(",;") for word in line.replace(";", " ").split()]
    words = [word for word in words if word]
    bib, apparatus, rest = _whose(words, known)
    for word in () if apparatus else words:
        if word not in known.bibs and (codes := known.short_for(word)):
            raise SlipError(f"{word} is no apparatus here; write {codes}")
    slip = Slip(bib, apparatus)
    for word in rest:
        slip = _with(slip, word, known)
    return slip


def _whose(words: list[str], known: Known) -> tuple[str, str, list[str]]:
    """Bib and apparatus, in either order, each where it is said, and what stands behind them."""
    for first in (0, 1):
        for last in range(len(words), first, -1):
            meant = words[first:last]
            named = known.is_apparatus(" ".join(meant))
            if named and not any(number(word) is not None for word in meant):
                if first:
                    return words[0], " ".join(meant), words[last:]
                bib, rest = _bib_first(words[last:], known)
                return bib, " ".join(meant), rest
    bib, rest = _bib_first(words, known)
    return bib, "", rest


def _bib_first(words: list[str], known: Known) -> tuple[str, list[str]]:
    """The bib before the numbers, if there is one; a whole number up to 10 may be a D score."""
    if not words:
        return "", []
    first, rest = words[0], words[1:]
    value = number(first)
    if value is None:
        is_value = first[0] in {*SIGNS, "@"} or _status(first, known)
        return ("", words) if is_value else (first, rest)
    if whole_number(first) is None:
        return "", words
    values = sum(number(word) is not None for word in rest)
    if not values:
        is_bib = any(word[0] == "=" or _status(word, known) for word in rest)
        return (first, rest) if is_bib else ("", words)
    if known.single or value > HIGHEST_D or values > 2:
        return first, rest
    if first in known.bibs:
        raise SlipError(
            f"{first} may be the bib or the D score: name the apparatus behind a bib "
            f"({first} fx ...), or write D with its decimals ({first}.0)"
        )
    return "", words


def _with(slip: Slip, word: str, known: Known) -> Slip:
    """A slip and one word more of what was given."""
    if word.startswith("@"):
        return _once(slip, "competition", word[1:], word)
    if re.fullmatch("[rR][0-9]", word):
        return _once(slip, "rotation", int(word[1:]), word)
    if status := _status(word, known):
        return _once(slip, "status", status, word)
    bare = word.lstrip("=+-−–")
    value = number(bare)
    if value is None:
        what = "no number, no apparatus and no status here"
        if re.fullmatch("[0-9]*[.,]?[0-9]+", bare):
            what = "no mark, which has at most three digits and three decimals"
        raise SlipError(f"{word} is {what}; {HOW}")
    if word[0] in SIGNS:
        return _once(slip, SIGNS[word[0]], value, word)
    return replace(slip, numbers=(*slip.numbers, value))


def with_said(slip: Slip, said: Mapping[str, str]) -> Slip:
    """A slip and what was said of it by name, as options and fields of a form do."""
    for name, text in said.items():
        word = text.strip()
        value: object = word
        if name in ("d", "e", "penalty", "bonus", "mark"):
            value = number(word.lstrip("-−–") if name == "penalty" else word)
        elif name in ("vault", "rotation"):
            value = whole_number(word)
        elif name == "status":
            value = word.upper() if word.upper() in ("", *STATUSES) else None
        if word and value is None:
            raise SlipError(f"{word} is no {name}")
        if word:
            slip = _once(slip, name, value, word)
    return slip


def _once(slip: Slip, name: str, value: object, word: str) -> Slip:
    if getattr(slip, name) not in (None, ""):
        raise SlipError(f"{word} is a second {name}; write it once")
    return replace(slip, **{name: value})  # type: ignore[arg-type]


def number(word: str) -> int | None:
    """A number of a slip in thousandths, with a point or a comma; .1 is 0.1, and 9. is 9.0.

    >>> number(".1"), number("7,75"), number("9."), number("fx"), number("-.1"), number(".")
    (100, 7750, 9000, None, None, None)
    """
    if word[:1] in SIGNS:
        return None
    return parse_part(re.sub(r"(?<=\d)\.$", ".0", word))


def _status(word: str, known: Known) -> str:
    """The status that a word means; empty where it means none."""
    own = known.statuses.get(word.casefold(), "")
    return own or (word.upper() if word.upper() in STATUSES else "")


@dataclass(frozen=True)
class Given:
    """The mark of a routine and its parts as they are to be written, or a status."""

    mark: int | None = None
    d: int | None = None
    e: int | None = None
    penalty: int | None = None
    bonus: int | None = None
    status: str = ""

    @property
    def parts(self) -> str:
        """How the mark came about: 4.900 + 7.750 - 0.100; empty where that is not known."""
        if self.d is None or self.e is None:
            return ""
        bonus = f" + {show_mark(self.bonus)}" if self.bonus else ""
        penalty = f" - {show_mark(self.penalty)}" if self.penalty else ""
        return f"{show_mark(self.d)} + {show_mark(self.e)}{bonus}{penalty}"


def given(slip: Slip, rule: MarkRule) -> Given:
    """What a slip gives by the rules for marks; SlipError where something is missing or too much.

    A mark that is not said is the sum of its parts; it is never below 0.
    """
    d, e, penalty, mark = slip.d, slip.e, slip.penalty, slip.mark
    numbers = slip.numbers
    if slip.status:
        if numbers or not (d is e is penalty is mark is slip.bonus is None):
            raise SlipError(f"a mark and {slip.status}: write one of them")
        return Given(status=slip.status)
    if len(numbers) == 1 and mark is d is e is None:
        mark = numbers[0]
    elif numbers and (rule.composition == "single" or not 2 <= len(numbers) <= 3):
        asked = "one mark: 9.450" if rule.composition == "single" else "D, E, penalty, or the mark"
        raise SlipError(f"{counted(len(numbers), 'number')}; these rules ask for {asked}")
    elif numbers:
        if not (d is e is None and (len(numbers) == 2 or penalty is None)):
            raise SlipError("a part of the mark is given twice; write it once")
        d, e, *more = numbers
        penalty = more[0] if more else penalty
    if mark is None and (d is None or e is None):
        alone = d is e is slip.bonus is None and penalty is not None
        why = f"{show_mark(penalty)} is a penalty, and " if alone else ""
        raise SlipError(f"{why}the mark is missing; {HOW}")
    if mark is None:
        if rule.composition == "single":
            raise SlipError("D and E are not added by these rules; write the mark, too: =9.450")
        whole = (d or 0) + (e or 0) + (slip.bonus or 0) - (penalty or 0)
        mark = max(whole, 0)
    return Given(mark, d, e, penalty, slip.bonus)
