"""What the words in a table mean: apparatus, disciplines, yes and no."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from resultsgen.meet.settings import APPARATUS_ALIASES, APPARATUS_NAMES, DISCIPLINES, MeetSettings

YES = frozenset(("yes", "y", "true", "1", "x"))
NO = frozenset(("no", "n", "false", "0"))

OTHER_NAMES = {
    "floor": "FX",
    "rings": "SR",
    "high bar": "HB",
    "asymmetric bars": "UB",
    "beam": "BB",
}
"""English names beside those that are printed."""

OTHER_DISCIPLINES = {
    "mag": "men", "gam": "men", "m": "men", "male": "men",
    "wag": "women", "gaf": "women", "w": "women", "f": "women", "female": "women",
}  # fmt: skip
"""Words for the disciplines that occur in real papers."""


@lru_cache(maxsize=4096)
def plain(word: str) -> str:
    """A word or a heading as it is compared: small letters, blanks, underscores, hyphens alike.

    >>> plain("  Family_Name "), plain("VT 2")
    ('family name', 'vt 2')
    """
    return re.sub(r"[\s_\-]+", " ", word).strip().casefold()


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


@dataclass(frozen=True)
class Words:
    """The words of one meet, each in its plain form."""

    apparatus: dict[str, str]
    disciplines: dict[str, str]

    def apparatus_and_vault(self, word: str) -> tuple[str, int] | None:
        """The code of an apparatus and which vault (1 otherwise); None for another word.

        "VT2", "VT 2" and "Vault 2" are the second vault.
        """
        word = plain(word)
        if word in self.apparatus:
            return self.apparatus[word], 1
        numbered = re.fullmatch(r"(.+?) ?([12])", word)
        if numbered and self.apparatus.get(numbered[1]) == "VT":
            return "VT", int(numbered[2])
        return None

    def looks_like(self, heading: str, meant: tuple[str, int]) -> bool:
        """Is a heading nearly a name of an apparatus, or has it a word of one, or its first letter?

        Whoever looks for a second vault has the first already.
        """
        names = [word for word, code in self.apparatus.items() if code == meant[0]]
        parts = {part for name in names for part in name.split()}
        heading = plain(heading)
        same = bool(parts & set(heading.split())) or heading in {name[0] for name in names}
        return bool(heading) and (same or bool(nearest(heading, (*names, *parts))))

    def codes(self) -> list[str]:
        """The codes of every apparatus there is, for a message."""
        return list(dict.fromkeys(self.apparatus.values()))


def words(settings: MeetSettings) -> Words:
    """The words that a meet may use: ours, and those that its settings declare."""
    codes = [
        *APPARATUS_NAMES,
        *settings.apparatus,
        *(code for one in settings.disciplines.values() for code in one.apparatus),
        *(code for one in settings.competitions for code in one.apparatus),
    ]
    apparatus = {plain(code): code for code in codes}
    names = {name: code for code, name in (APPARATUS_NAMES | settings.apparatus).items()}
    for more in (names, OTHER_NAMES, APPARATUS_ALIASES):
        apparatus = {plain(word): code for word, code in more.items()} | apparatus
    declared = {plain(word): code for word, code in settings.columns.apparatus.items()}
    return Words(apparatus | declared, _disciplines(settings))


def _disciplines(settings: MeetSettings) -> dict[str, str]:
    known = {plain(key): key for key in (*DISCIPLINES, *settings.disciplines)}
    named = {plain(one.name): key for key, one in settings.disciplines.items()}
    declared = {plain(word): key for word, key in settings.columns.disciplines.items()}
    return OTHER_DISCIPLINES | named | known | declared
