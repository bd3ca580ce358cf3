"""What a view speaks with: a language, and the meet's own way to name apparatus and gymnasts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from resultsgen.files.once import Once
from resultsgen.language import ENGLISH, Language, to_say
from resultsgen.meet.names import APPARATUS_NAMES
from resultsgen.meet.values import NameOrder

if TYPE_CHECKING:
    from resultsgen.meet.settings import MeetSettings


class PersonName(str):
    """A person's whole name, which knows the part of it that is the given name."""

    given: tuple[int, int] | None = None
    """Where that begins and ends; None where one name alone is known."""


@lru_cache(maxsize=2**14)  # Lists, pages and sentences tell the same names again and again.
def _named(family: str, given: str, given_first: bool) -> PersonName:
    names = (given, family) if given_first else (family, given)
    whole = PersonName(" ".join(filter(None, names)))
    if family and given:
        whole.given = (0, len(given)) if given_first else (len(family) + 1, len(whole))
    return whole


@dataclass(frozen=True)
class Wording:
    """A language, the names that `[apparatus]` in meet.toml gives, and how gymnasts are named."""

    language: Language = ENGLISH
    own_names: Mapping[str, str] = field(default_factory=dict)
    names: NameOrder | None = None
    bibs_worn: bool = True
    """Otherwise no bib is shown, but for a name that is withheld."""
    texts: Mapping[str, str] = field(default_factory=dict)
    """What the meet's own texts are in this language, where the meet says it."""

    def called(self, text: str) -> str:
        """A text of the meet in this language; as it stands in `meet.toml`, where it says none."""
        return self.texts.get(text, text)

    def where(self, settings: MeetSettings) -> str:
        """The venue and the place of the meet."""
        named = map(self.called, filter(None, (settings.venue, settings.place)))
        return ", ".join(dict.fromkeys(named))

    def apparatus(self, code: str) -> str:
        """The name of an apparatus, or of one of two vaults: VT1 is Vault 1."""
        if code in self.own_names:
            return self.called(self.own_names[code])
        if code in ("VT1", "VT2"):
            return f"{self.apparatus('VT')} {code[-1]}"
        return self.language.say(APPARATUS_NAMES.get(code, code))

    def list_name(self, id: str) -> str:
        """What a list is called: "All-around", "Team", or the apparatus."""
        if id == "team":
            return self.say("Team")
        return self.say("All-around") if id == "all-around" else self.apparatus(id)

    def name(self, family: str, given: str) -> PersonName:
        """A whole name in the order of the meet; where it says none, the family name first."""
        return _named(family, given, self.names == "given first")

    @cached_property
    def spoken(self) -> Wording:
        """For what is read aloud or hung up: given names first, unless the meet says otherwise."""
        return replace(self, names=self.names or "given first")

    def bib(self, bib: str) -> str:
        """What stands for a name that is not known or not published."""
        return self.say("Bib {bib}" if self.bibs_worn else "Number {bib}", bib=bib)

    @cached_property
    def say(self) -> Callable[..., str]:
        """Says a built-in text with its values put in."""
        return self.language.say


def wording(settings: MeetSettings, language: Language | None = None) -> Wording:
    """The wording of a meet in one of its languages; of its data, in English without one.

    It is the same each time, so that what is told with it is found again.
    """
    return _wording(settings, language)


def _made(settings: MeetSettings, language: Language | None) -> Wording:
    code = language.code if language else ""
    texts = next((texts for each, texts in settings.texts.items() if each == code), {})
    worn = settings.bibs == "worn"
    return Wording(language or ENGLISH, settings.apparatus, settings.names, worn, texts)


_wording = Once(_made, most=32)

PLACES = (
    to_say("1st place"), to_say("{n}th place"),
    to_say("{n}st place"), to_say("{n}nd place"), to_say("{n}rd place"),
)  # fmt: skip
RESERVES = (
    to_say("1st reserve"), to_say("{n}th reserve"),
    to_say("{n}st reserve"), to_say("{n}nd reserve"), to_say("{n}rd reserve"),
)  # fmt: skip
"""English has four endings; other languages have others, and the first its own."""


def place_words(place: int, shared: bool, wording: Wording) -> str:
    """A place as it is read out and stands on a certificate, and whether others have it too.

    >>> [place_words(place, False, Wording()) for place in (1, 2, 11, 23)]
    ['1st place', '2nd place', '11th place', '23rd place']
    >>> place_words(3, True, Wording())
    'shared 3rd place'
    """
    words = _numbered(place, PLACES, wording)
    return wording.say("shared {place}", place=words) if shared else words


def reserve_words(number: int, wording: Wording) -> str:
    """A reserve by her number, which nobody takes for a place: "2nd reserve"."""
    return _numbered(number, RESERVES, wording)


def _numbered(number: int, texts: tuple[str, ...], wording: Wording) -> str:
    first, other, *endings = texts
    last = 0 if number // 10 % 10 == 1 else number % 10
    text = first if number == 1 else endings[last - 1] if 0 < last < 4 else other
    return wording.say(text, n=number)


DISCIPLINES = {"men": to_say("men"), "women": to_say("women")}
