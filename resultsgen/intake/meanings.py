"""What words on a sheet mean: headings, the name of a sheet, a line across the table."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import NamedTuple

from resultsgen.meet.columns import MARKS, ROSTER
from resultsgen.meet.names import DISCIPLINES
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.words import Words, abbreviations, column_words, columns_meant, heard, words

BEFORE: tuple[str, ...] = ("division", "session", "squad")
"""Kinds of which the heading may stand before the value: Level 3, Durchgang 2."""

COLUMNS = frozenset(one.name for one in (*ROSTER, *MARKS)) | {"name", "total", "place"}


class Meaning(NamedTuple):
    """What a column holds: one of ours, a stated total or place, or a part of an apparatus."""

    column: str
    apparatus: str = ""
    vault: int = 1


@cache
def _word_lists() -> dict[str, list[str]]:
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


@cache
def of_sheets(name: str) -> frozenset[str]:
    """The words that `words.toml` beside this module lists under a name."""
    return frozenset(map(heard, _word_lists()[name]))


@cache
def abbreviated() -> frozenset[str]:
    """Short words for apparatus, which other headings have to settle."""
    return frozenset(word for _, codes in abbreviations() for word in codes)


@cache
def known_words(*disciplines: str) -> Words:
    """The words for apparatus as a meet of these disciplines has them."""
    held = [{"id": one, "title": one, "discipline": one} for one in disciplines or DISCIPLINES]
    return words(MeetSettings.model_validate({"title": "All", "competition": held}))


def meant(headings: Mapping[int, str], *disciplines: str) -> dict[int, Meaning]:
    """What the headings of a table mean, by column; those that are not known are not in it.

    "Vault" is an apparatus, unless the table has a column with the name of the apparatus.
    """
    places = list(headings)
    ours = columns_meant([*headings.values()], COLUMNS)
    found = {places[at]: Meaning(name) for at, name in ours.items()}
    if "apparatus" in ours.values():
        return found
    known = known_words(*(disciplines or ("women",))).among(headings.values())
    for at, heading in headings.items():
        if part := known.part(heading):
            found[at] = Meaning(part.name, part.apparatus, part.vault)
    return dict(sorted(found.items()))


@lru_cache(maxsize=2**16)
def may_be_a_heading(text: str) -> bool:
    """Whether a text by itself means a column, or with one above it, as "D" does."""
    word = heard(text)
    if word in column_words() or is_of_one_judge(text):
        return True
    return known_words("women").part(text) is not None or word in abbreviated()


VALUE = re.compile(r"\d+\w{0,2}(?:[/+–-]\d+)*\+?|[IVX]+|[A-Z]\d?")
"""What stands behind the word for a level: 3, 8-9, II, A."""

JUDGE = re.compile(r"(?:.* )?e ?(?:judge )?\d")


def is_of_one_judge(heading: str) -> bool:
    """Whether a heading says what a single judge gave: E1, Vault E 2."""
    return bool(JUDGE.fullmatch(heard(heading)))


def said_by(text: str) -> dict[str, str]:
    """What the name of a sheet or a line across the table says of the gymnasts below.

    >>> said_by("Level 3 - Vault"), said_by("2. Durchgang"), said_by("Sheet1")
    ({'division': 'Level 3', 'apparatus': 'VT'}, {'session': '2. Durchgang'}, {})
    >>> said_by("Level 4 (Age 11+)"), said_by("Level 4 (Vault)")
    ({'division': 'Level 4 (Age 11+)'}, {'division': 'Level 4', 'apparatus': 'VT'})
    """
    return _said(text)[0]


def rest_of(text: str) -> str:
    """A line without the level or session that it says; empty where it says nothing else.

    >>> rest_of("Level 3 - club championships"), rest_of("UNEVEN BARS"), rest_of("Cup on Beam")
    ('club championships', '', 'Cup on Beam')
    """
    said, others = _said(text)
    for kind in BEFORE:
        text = text.replace(said.get(kind, ""), "")
    return text.strip(" -–—:;,|/") if re.search(r"[^\W\d_]{2}", others) else ""


def _said(text: str) -> tuple[dict[str, str], str]:
    """What a text says, and the other words of it."""
    found: dict[str, str] = {}
    others = []
    tokens = list(re.finditer(r"[^\s,;:|()–—-]+(?:-[^\s,;:|()]+)?", text))
    words_of = [one[0] for one in tokens]
    spans: list[tuple[int, int]] = []
    at, number = 0, ""
    while at < len(words_of):
        length, kind, value = _next(words_of[at:])
        if kind:
            found.setdefault(kind, f"{number} {value}".strip() if kind in BEFORE else value)
        else:
            others.append(value)
        if kind == "division":
            first = tokens[at - 1 if number else at].start()
            spans.append((first, tokens[at + length - 1].end()))
        number = value if re.fullmatch(r"\d+(?:\.|st|nd|rd|th|e|er|ère|ème|a|ª|º)?", value) else ""
        at += length
    if spans:
        found["division"] = _whole_level(text, spans)
    return found, " ".join(others)


def _whole_level(text: str, spans: list[tuple[int, int]]) -> str:
    """A level with what follows and parts it from others: Level 4 (Age 9-10), Level 4 - Junior."""
    begin, end = spans[0]
    for first, last in spans[1:]:
        if re.fullmatch(r"[\s,;:|(–—-]*", text[end:first]):
            end = last
    if "(" in text[begin:end] and text[end : end + 1] == ")":
        end += 1
    beside = re.match(r"\s*\(([^()]+)\)", text[end:])
    if beside and not said_by(beside[1]):
        end += beside.end()
    return text[begin:end]


def _next(rest: list[str]) -> tuple[int, str, str]:
    """How many of the next words belong together, what they say and their value."""
    for length in (3, 2, 1):
        if code := _apparatus(rest[:length]):
            return length, "apparatus", code
    word = heard(rest[0])
    numbered = len(rest) > 1 and (VALUE.fullmatch(rest[1]) or heard(rest[1]) in of_sheets("ages"))
    short = re.fullmatch(r"([a-z]+)(?:\d{1,2}|\d{4})", word)
    stem = short[1] if short else ""
    kind = column_words().get(word, "")
    if (
        word in of_sheets("ages")
        or stem in of_sheets("divisions")
        or (numbered and word in of_sheets("divisions"))
    ):
        kind = "division"
    elif column_words().get(stem) in BEFORE:
        return 1, column_words()[stem], rest[0]
    if kind in BEFORE:
        length = 2 if numbered else 1
        return length, kind, " ".join(rest[:length])
    discipline = known_words().disciplines.get(re.sub("['’]s?$", "", word), "")
    return (1, "discipline", discipline) if discipline and len(word) > 1 else (1, "", rest[0])


def _apparatus(words_of: list[str]) -> str:
    """The code of an apparatus, where the words are its name and no heading of ours."""
    phrase = heard(" ".join(words_of))
    if column_words().get(phrase, "vault") != "vault":
        return ""
    both = (known_words(one).apparatus.get(phrase) for one in ("women", "men"))
    return next(filter(None, both), "")


def says_nothing(name: str) -> bool:
    """Whether the name of a sheet is one that a program gives, or says only that here are marks.

    >>> says_nothing("Tabelle1"), says_nothing("Results 2031"), says_nothing("Ulmen")
    (True, True, False)
    """
    held = re.findall(r"[^\W\d_]+", heard(name))
    return all(word in of_sheets("nothing") | of_sheets("entries") for word in held)


def is_number(text: str) -> bool:
    """Whether a cell holds a number or a date, which no heading does."""
    return bool(re.fullmatch(r"[+-]?\d+(?:[.,]\d+)*|\d+[./-]\d+[./-]\d+.*", text))


def like_marks(values: list[str], *, whole: bool) -> bool:
    """Whether most of what stands in a column are numbers as marks are; *whole*: all may be whole.

    >>> like_marks(["9.25", "9", "w/d"], whole=False), like_marks(["9", "8"], whole=False)
    (True, False)
    """
    numbers = [one for one in values if re.fullmatch(r"\d{1,2}(?:[.,]\d{1,3})?", one)]
    return 2 * len(numbers) > len(values) and (whole or not all(map(str.isdigit, numbers)))


def sums_up(texts: list[str]) -> bool:
    """Whether a row adds up those above: a word for it, and nothing but numbers after."""
    first = re.sub(r"[\s:=.]+$", "", heard(texts[0]))
    known = any(first == word or first.startswith(f"{word} ") for word in of_sheets("sums"))
    return known and all(is_number(text) for text in texts[1:])


def like_a_name(text: str) -> bool:
    """Whether a cell looks like the whole name of a person: words of letters, no word of clubs.

    >>> like_a_name("Vale, Ada"), like_a_name("TV Quellheim"), like_a_name("Level 3")
    (True, False, False)
    """
    held = re.split(r"[\s,]+", text.strip())
    letters = all(re.fullmatch(r"[^\W\d_]+(?:['’.-][^\W\d_]*)*", word) for word in held)
    return 2 <= len(held) <= 5 and letters and not {*map(heard, held)} & of_sheets("clubs")
