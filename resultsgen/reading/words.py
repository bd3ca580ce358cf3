"""What the words in a table mean: headings, apparatus, disciplines, yes and no.

The words themselves are in `words.toml`.
"""

from __future__ import annotations

import difflib
import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from resultsgen.meet.columns import PARTS
from resultsgen.meet.names import APPARATUS_NAMES, DISCIPLINES
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.abbreviations import (
    AbbreviationList,
    abbreviation_lists,
    any_meaning,
    may_stand_for,
)

LINKING = {"de", "con", "au", "d'arcons", "d’arcons"}
"""Parts of names of apparatus by which none is known."""

NUMBERED = re.compile(r"([12])(?:st|nd|er|re|e|o)? (?P<first>.+)|(?P<last>.+?) ?([12])")


@lru_cache(maxsize=4096)
def plain(word: str) -> str:
    """A word or a heading as it is compared: small letters, blanks, underscores, hyphens alike.

    >>> plain("  Family_Name "), plain("VT 2")
    ('family name', 'vt 2')
    """
    return re.sub(r"[\s_\-]+", " ", word).strip().casefold()


@lru_cache(maxsize=4096)
def heard(word: str) -> str:
    """A word as it is looked up: plain, and without accents, dots, brackets.

    >>> heard("Start-Nr."), heard("Équipe"), heard("Sprung (D)")
    ('start nr', 'equipe', 'sprung d')
    """
    bare = "".join(
        sign for sign in unicodedata.normalize("NFKD", word) if not unicodedata.combining(sign)
    )
    return plain(re.sub(r"[.,:;()\[\]]", " ", bare))


def _without_numbers(text: str) -> set[str]:
    """The words of a heading: those of "Sp1", "2. Sp" and "Sp (2)" are the same."""
    return {*re.findall(r"[^\W\d]+", heard(text))}


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that another nearly is, or of which it has the letters; else empty.

    >>> nearest("pblish", ["publish", "guest"]), nearest("Tema", ["team"]), nearest("d", ["e"])
    ('publish', 'team', '')
    """
    word, by_plain = plain(word), {plain(one): one for one in known}
    if len(word) < 3:
        return ""
    same_letters = [one for one in by_plain if sorted(one) == sorted(word)]
    near = difflib.get_close_matches(word, by_plain, n=1, cutoff=0.75)
    return next((by_plain[one] for one in (*same_letters, *near)), "")


@cache
def word_lists() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))


def _meanings(lists: dict[str, list[str]]) -> dict[str, str]:
    return {heard(word): meaning for meaning, listed in lists.items() for word in listed}


@cache
def column_words() -> dict[str, str]:
    """What each common heading means: the name of a column of ours."""
    return _meanings(word_lists()["columns"])


@cache
def status_words() -> dict[str, str]:
    """Words that often stand where a mark would, and the status that each may mean.

    They are offered, and never read unless a meet's settings say so; compared by `casefold`.
    """
    lists = word_lists()["status"].items()
    return {word.casefold(): status for status, listed in lists for word in listed}


def name_order(heading: str) -> str:
    """`family first` or `given first`, where the heading of whole names says so; else empty."""
    return _meanings(word_lists()["name_order"]).get(heard(heading), "")


def columns_meant(
    headings: Sequence[str], ours: Iterable[str], said: dict[int, str] | None = None
) -> dict[int, str]:
    """Which of our columns each heading means, by its position; others are not in it.

    *said* is what the meet itself says of some of them. "Name" beside "Vorname" is the family
    name, and the whole name where it stands alone.
    """
    said, own = said or {}, {heard(name): name for name in ours}
    known = {word: name for word, name in column_words().items() if name in own.values()} | own
    words = [heard(heading) for heading in headings]
    there = {said.get(place, known.get(word, "")) for place, word in enumerate(words)}
    apart = {
        word: part
        for word, (other, part) in _beside().items()
        if other in there and part in own.values() and part not in there
    }
    meant = {place: apart.get(word) or known.get(word, "") for place, word in enumerate(words)}
    return {place: name for place, name in (meant | said).items() if name}


def may_mean(heading: str) -> set[str]:
    """Which columns of ours a heading may mean, whatever stands beside it."""
    word = heard(heading)
    return {column_words().get(word, ""), _beside().get(word, ("", ""))[1]} - {""}


@cache
def _beside() -> dict[str, tuple[str, str]]:
    """Words that mean another part of a name where a column stands: that column, and the part."""
    return {
        heard(word): (other, part)
        for other, lists in word_lists()["beside"].items()
        for part, listed in lists.items()
        for word in listed
    }


YES, NO = (frozenset(map(str.casefold, word_lists()["answers"][one])) for one in ("yes", "no"))
GUEST = frozenset(heard(one).replace(" ", "") for one in word_lists()["answers"]["guest"])


def says_no(text: str) -> bool:
    """Whether a cell says no, in whatever language."""
    return text.casefold() in NO


@cache
def is_guest(text: str) -> bool:
    """Whether a word says of somebody that she is a guest.

    >>> is_guest("a. K."), is_guest("ak"), is_guest("yes")
    (True, True, False)
    """
    return heard(text).replace(" ", "") in GUEST


class Part(NamedTuple):
    """What a column of a table in the wide form holds: `mark`, `d`, `place` of an apparatus."""

    apparatus: str
    vault: int
    name: str


@cache
def _part_words() -> dict[str, str]:
    of_columns = {word: name for word, name in column_words().items() if name in PARTS}
    return of_columns | _meanings(word_lists()["parts"])


@dataclass(frozen=True)
class Words:
    """The words of one meet, as they are looked up."""

    apparatus: dict[str, str]
    disciplines: dict[str, str]
    unclear: dict[str, dict[str, str]]
    """Words for an apparatus of men and another of women: the code by discipline."""
    statuses: Mapping[str, str]
    """The meet's own words for a status, in small letters."""
    declared_parts: Mapping[str, str] = field(default_factory=dict)
    """The meet's own headings for more than an apparatus, "Spr SW" = "VT D"."""
    abbreviations: tuple[AbbreviationList, ...] = ()
    undecided: frozenset[str] = frozenset()
    """Headings of which the settings do not say yet what they mean."""
    open: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Abbreviations among the headings of a table that no other heading settles."""

    def narrowed(self, disciplines: Iterable[str]) -> Words:
        """The words of a table in which these disciplines compete: "Barren" of men is PB."""
        here = set(disciplines)
        clear = {
            word: codes[one]
            for word, codes in self.unclear.items()
            for one in here
            if len(here) == 1 and one in codes
        }
        lists = tuple(one for one in self.abbreviations if one[0] in here)
        return replace(self, apparatus=clear | self.apparatus, abbreviations=lists)

    def among(self, texts: Iterable[str]) -> Words:
        """The words of a table with these headings: abbreviations as all of them settle it.

        "SB" beside "Ba" is the beam, and the bars beside "Balken".
        """
        held = dict.fromkeys(texts)
        short = any_meaning(self.abbreviations)
        trial = replace(self, apparatus=short | self.apparatus)
        new = [text for text in held if trial.part(text) and not self.part(text)]
        spoken = {word for text in new for word in _without_numbers(text)} & short.keys()
        if not spoken:
            return self
        meant = {text: part.apparatus for text in held if (part := self.part(text))}
        named = {code for text, code in meant.items() if heard(code) not in _without_numbers(text)}
        lists = self.abbreviations
        clear, unsettled = may_stand_for(spoken, {*meant.values()}, named, lists)
        return replace(self, apparatus=clear | self.apparatus, open=unsettled)

    def apparatus_and_vault(self, word: str) -> tuple[str, int] | None:
        """The code of an apparatus and which vault (1 otherwise); None for another word.

        "VT2", "VT 2", "Vault 2" and "2. Sprung" are the second vault.
        """
        word = heard(self.declared_parts.get(heard(word), word))
        if word in self.apparatus:
            return self.apparatus[word], 1
        numbered = NUMBERED.fullmatch(word)
        if numbered and self.apparatus.get(numbered["first"] or numbered["last"]) == "VT":
            return "VT", int(numbered[1] or numbered[4])
        return None

    def part(self, heading: str) -> Part | None:
        """The apparatus and the part of its mark that a heading says; None for another heading.

        "Vault", "Vault final" and "Vault total" are the mark, "Sprung 2 D" a D score.
        """
        heading = self.declared_parts.get(heard(heading), heading)
        if whole := self.apparatus_and_vault(heading):
            return Part(*whole, "mark")
        said = heard(heading).split(" ")
        for cut in range(1, len(said)):
            sides = " ".join(said[:cut]), " ".join(said[cut:])
            for apparatus, part in (sides, sides[::-1]):
                meant = self.apparatus_and_vault(apparatus)
                if meant and part in _part_words():
                    return Part(*meant, _part_words()[part])
        return None

    def looks_like(self, heading: str, meant: tuple[str, int]) -> bool:
        """Is a heading nearly a name of an apparatus, or has it a word of one, or its first letter?

        Whoever looks for a second vault has the first already.
        """
        names = [word for word, code in self.apparatus.items() if code == meant[0]]
        names += [word for word, codes in self.unclear.items() if meant[0] in codes.values()]
        names += [word for word, codes in self.open.items() if meant[0] in codes]
        parts = {part for name in names for part in name.split() if part not in LINKING}
        heading = heard(heading)
        same = bool(parts & set(heading.split())) or heading in {name[:1] for name in names}
        return bool(heading) and (same or bool(nearest(heading, (*names, *parts))))

    def short_for(self, word: str) -> str:
        """The codes of all that a word is an abbreviation of: "SB" of "UB or BB"; else empty."""
        lists = (listed.get(word.casefold(), ()) for _, listed in self.abbreviations)
        return " or ".join(dict.fromkeys(code for codes in lists for code in codes))

    def no_apparatus(self, word: str, *others: str) -> str:
        """That a word is none in a table, and what to write: by itself no abbreviation is certain.

        *others* may stand there too.
        """
        codes = self.short_for(word) or f"one of {', '.join((*self.codes(), *others))}"
        return f"{word} is no apparatus here; write {codes}"

    def codes(self) -> list[str]:
        return list(dict.fromkeys(self.apparatus.values()))


@cache
def abbreviations() -> tuple[AbbreviationList, ...]:
    return tuple(abbreviation_lists(word_lists()["abbreviations"]))


def words(settings: MeetSettings) -> Words:
    """The words that a meet may use: ours, and those that its settings declare."""
    codes = [
        *APPARATUS_NAMES,
        *settings.apparatus,
        *(code for one in settings.disciplines.values() for code in one.apparatus),
        *(code for one in settings.competitions for code in one.apparatus),
    ]
    apparatus = {heard(code): code for code in codes}
    named = (APPARATUS_NAMES | settings.apparatus).items()
    apparatus = {heard(name): code for code, name in named} | apparatus
    apparatus = _meanings(word_lists()["apparatus"]) | apparatus
    unclear: dict[str, dict[str, str]] = {}
    for discipline, lists in word_lists()["apparatus_of"].items():
        for word, code in _meanings(lists).items():
            unclear.setdefault(word, {})[discipline] = code
    declared = {heard(word): code for word, code in settings.columns.apparatus.items()}
    undecided = frozenset(word for word, code in declared.items() if not code)
    parts = {word: said for word, said in declared.items() if said and said not in codes}
    declared = {word: code for word, code in declared.items() if code in codes}
    unclear = {word: codes for word, codes in unclear.items() if word not in apparatus | declared}
    own = settings.columns.status.items()
    statuses = {word.strip().casefold(): status for word, status in own if word.strip()}
    known = Words(
        apparatus | declared, _disciplines(settings), unclear, statuses, parts, abbreviations(),
        undecided,
    )  # fmt: skip
    return known.narrowed(one.discipline for one in settings.competitions)


def _disciplines(settings: MeetSettings) -> dict[str, str]:
    known = {heard(key): key for key in (*DISCIPLINES, *settings.disciplines)}
    named = {heard(one.name): key for key, one in settings.disciplines.items()}
    declared = {heard(word): key for word, key in settings.columns.disciplines.items()}
    return _meanings(word_lists()["disciplines"]) | named | known | declared
