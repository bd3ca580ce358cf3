"""The forms of a name, and where a text has one of them.

Words are compared without what stands between them, so that a hyphen, a line end, emphasis or
another way of dividing a name makes no difference; a form begins and ends with a word.
"""

from __future__ import annotations

import codecs
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from itertools import accumulate
from typing import NamedTuple

WORD = re.compile(
    r"[a-z]{2,}"
    r"|[a-z](?![.\s])|(?<=\S)[a-z]"  # Not the initial of a second name.
    r"|[0-9]+"
    r"|(?:(?<=[a-z][a-z])|(?<![a-z]))[.!?](?=\s)"
)
CAPITAL_IN_A_WORD = re.compile(r"(?<=[^\W\d_A-Z])(?=[A-Z])")
"""Where a word begins in #AdaVale; names of other alphabets are hardly written so."""

UMLAUTS = (("ae", "a"), ("oe", "o"), ("ue", "u"), ("aa", "a"))
"""Written for ä, ö, ü and å; both ways of writing are compared as the letter without its dots."""


def words(text: str) -> list[str]:
    """The words of a text; numbers and ends of sentences, over which no name goes on, are kept.

    >>> words("Zoë Müller-Strauß, 2 née O’Neil. Was O. Neil")
    ['zo', 'muller', 'strauss', '2', 'nee', 'o', 'neil', '.', 'was', 'neil']
    >>> words("Zoe Mueller") == words("ZOË Mu\u00adller") == words("Зоэ Muller")
    True
    """
    return WORD.findall(folded(CAPITAL_IN_A_WORD.sub("-", text)))


def folded(text: str) -> str:
    """Small letters without accents, written in Latin letters if they are others."""
    plain = text.encode("ascii", IN_LATIN).decode("ascii").lower()
    for written, meant in UMLAUTS:
        plain = plain.replace(written, meant)
    return plain


def as_written(*names: str) -> str:
    """A name as it is written, whatever its letter case and blanks.

    >>> as_written("Vale ", "Ada  Marie") == as_written("VALE ada marie")
    True
    """
    return " ".join(" ".join(names).casefold().split())


UNSEEN = ("Mn", "Me", "Cf")
NO_ARROWS = str.maketrans("<>", "--")
"""So that what an arrow is written as is taken for no tag."""


@lru_cache(maxsize=2**14)
def _latin(sign: str) -> str:
    return "".join(each if each.isascii() else _without_accent(each) for each in sign.casefold())


def _in_latin(error: UnicodeError) -> tuple[str, int]:
    """What stands for signs that are not ASCII, and where the text goes on after them."""
    assert isinstance(error, UnicodeEncodeError)
    return "".join(map(_latin, error.object[error.start : error.end])), error.end


IN_LATIN = "resultsgen-in-latin"
codecs.register_error(IN_LATIN, _in_latin)


def _without_accent(sign: str) -> str:
    """A sign in Latin letters; nothing for an accent, a soft hyphen and other unseen signs.

    A picture is no word, though it has a name; one that shows a letter is that letter.
    """
    parts = unicodedata.normalize("NFKD", sign)
    plain = "".join(part for part in parts if unicodedata.category(part) not in UNSEEN).casefold()
    if not plain.isascii():
        from anyascii import anyascii

        plain = anyascii(plain).lower()
    plain = plain.translate(NO_ARROWS)
    if unicodedata.category(sign) == "So" and len(plain.strip("()")) != 1:
        return " "
    return f" {plain} " if "CJK" in unicodedata.name(sign, "") else plain


PARTICLES = frozenset((
    "von", "van", "vom", "de", "der", "den", "del", "della", "di", "da", "dos", "das", "du", "la",
    "le", "las", "los", "al", "el", "bin", "ibn", "af", "av", "zu", "zum", "zur", "ten", "ter",
))  # fmt: skip
"""Stand in many names, and tell nobody's by themselves."""

LONGEST_RUN = 3
"""Words of a part of a name that are put together: Anna Lena may be written Annalena."""

MOST_WORDS = 12
"""Of a part of a name that are looked for."""

SHORT = 8
"""Letters; a form with fewer is often a part of another word, and has a word for each part."""

FEW = 40
"""Names that are looked for letter by letter first."""

TAGS = re.compile(rb"<[a-z]*>")
NO_LETTERS = bytes({*range(128)} - {*b"<>abcdfghijklmnopqrstuvwxyz"})
"""And no e: where one follows a vowel it may stand for two dots."""

Form = tuple[str, str]
"""Words of one part of a name, and of the other; nothing for a name that is one word."""


class Name(NamedTuple):
    """A name as the roster has it."""

    family: str
    given: str

    @property
    def whole(self) -> str:
        """As listed: family name first."""
        return f"{self.family} {self.given}".strip()

    @property
    def parts(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The words of the family name and of the given name; in one column, a comma parts them."""
        family, given = self.family, self.given
        if not given.strip():
            family, _, given = family.partition(",")
        letters = name_words(family) or ("".join(filter(str.isalpha, folded(family))),)
        return letters, name_words(given)


@lru_cache(maxsize=2**13)
def name_words(text: str) -> tuple[str, ...]:
    """The words of a part of a name; none where there are initials alone."""
    found = [word for word in words(f"{text},".casefold()) if word.isalpha()][:MOST_WORDS]
    return tuple(found) if any(len(word) > 1 for word in found) else ()


@lru_cache(maxsize=2**13)
def forms(name: Name) -> frozenset[Form]:
    """Each way to tell the name: words of both parts, either part first.

    A whole name that is one word is told by this word alone.

    >>> sorted(map("+".join, forms(Name("von Vale", "Ada"))))
    ['ada+vale', 'ada+vonvale', 'vale+ada', 'vonvale+ada']
    >>> sorted(forms(Name("Vale, Ada", ""))) == sorted(forms(Name("Ada", "Vale")))
    True
    """
    family, given = name.parts
    if given:
        pairs = [(first, other) for first in _joined(family) for other in _joined(given)]
    elif len(family) > 1:
        # Which word is the family name is not said: the first or the last, beside any other.
        ends, places = (0, len(family) - 1), range(len(family))
        pairs = [(family[end], family[place]) for end in ends for place in places if place != end]
    else:
        return frozenset((word, "") for word in family if len(word) > 1)
    return frozenset(form for first, other in pairs for form in ((first, other), (other, first)))


def _joined(part: tuple[str, ...]) -> Iterator[str]:
    """Each word, and those that follow each other put together, if not particles alone."""
    whole = [word for word in part if len(word) > 1] or [*part]
    telling = {word for word in whole if word not in PARTICLES} or {*whole}
    for start in range(len(part)):
        for end in (*range(start + 1, min(start + LONGEST_RUN, len(part)) + 1), len(part)):
            if telling.intersection(part[start:end]):
                yield "".join(part[start:end])


def rotated(text: str) -> frozenset[str]:
    """All words of a text put together, beginning with any of them."""
    held = name_words(text)
    return frozenset("".join(held[at:] + held[:at]) for at in range(len(held)))


class Hit(NamedTuple):
    """Where a text tells a name: whose it is, and from which word to before which."""

    who: str
    first: int
    end: int


class Sought(NamedTuple):
    """The names that are looked for."""

    forms: Mapping[Form, str]
    """Whose each is."""
    others: Mapping[str, frozenset[str]]
    """By whose: the forms of names that may be told, and have a word of it."""
    heads: Mapping[str, tuple[Form, ...]]
    """The forms that begin with the same few letters, by these."""
    head: int
    """How many letters that are."""
    parts: tuple[tuple[tuple[bytes, ...], ...], ...]
    """The words of both parts of each name, with the letters that a quick look compares."""

    @property
    def many(self) -> bool:
        """So many that a quick look would find some in every text."""
        return len(self.parts) > FEW


def sought(
    withheld: Iterable[tuple[Name, str]],
    told: Iterable[Name],
    namesakes: Iterable[str] = (),
    bodies: Iterable[str] = (),
) -> Sought:
    """What to look for: names that are withheld, with whose each is, among those that are *told*.

    A name that somebody else has too, and tells, says nothing; nor does one word that is a part
    of a name that is told. *bodies* are clubs and the like, which have words of names in theirs.
    """
    kept, others = list(withheld), list(told)
    said = {"".join(name_words(text)) for text in namesakes}
    said |= {form for name in others for form in rotated(name.whole)}
    alone = {word for name in others for part in name.parts for word in part}
    found: dict[Form, str] = {}
    for name, who in kept:
        plain = forms(name)
        # An s after the last word is seen through; one after the first is a form of its own.
        for form in sorted({*plain, *((f"{first}s", last) for first, last in plain if last)}):
            whole = "".join(form)
            if said.isdisjoint((whole, f"{whole}s")) and (form[1] or form[0] not in alone):
                found[form] = who
    head = min((len("".join(form)) for form in found), default=1)
    heads: dict[str, tuple[Form, ...]] = {}
    for form in found:
        begins = "".join(form)[:head]
        heads[begins] = (*heads.get(begins, ()), form)
    parts = tuple(
        tuple(
            tuple(_letters(_marked(word)) for word in part)
            for part in (name.parts[0], name.parts[1] or name.parts[0])
        )
        for name, _ in kept
    )
    without = Sought(found, _neighbours(kept, others, []), heads, head, parts)
    naming_nobody = [body for body in bodies if not hits(without, words(body))]
    return without._replace(others=_neighbours(kept, others, naming_nobody))


def _neighbours(
    withheld: list[tuple[Name, str]], told: list[Name], bodies: list[str]
) -> dict[str, frozenset[str]]:
    """What names are when told that share a word with one that is not, by whose that is."""
    having: dict[str, set[str]] = {
        word: set() for name, _ in withheld for part in name.parts for word in part
    }
    for name in told:
        for word in having.keys() & {*name.parts[0], *name.parts[1]}:
            having[word].update("".join(form) for form in forms(name))
    for body in map(name_words, bodies):
        for word in having.keys() & body:
            having[word].add("".join(body))
    near: dict[str, frozenset[str]] = {}
    for name, who in withheld:
        shared = (having[word] for part in name.parts for word in part)
        near[who] = near.get(who, frozenset()).union(*shared)
    return near


def may_tell(names: Sought, text: str) -> bool:
    """Whether a text has both parts of a name at all, with its tags or without them: a quick look,
    which misses none."""
    seen = None if names.many else look(text)
    return seen is None or have_both_parts(names, (seen,))


Look = tuple[bytes, ...]
"""What a quick look compares of a text: its letters with its tags, and without them."""


def look(text: str) -> Look | None:
    """What a quick look sees of a text; None where a tag has no end in it."""
    marked = _marked(text)
    if b"<" not in marked:
        return (_letters(marked),) * 2
    shown = TAGS.sub(b"", marked)
    return None if b"<" in shown else (_letters(marked), _letters(shown))


def have_both_parts(names: Sought, looks: Iterable[Look]) -> bool:
    """Whether texts that follow each other have both parts of a name, also where it goes on from
    one to the next."""
    ways = {*map(_single, {b"".join(way) for way in zip(*looks, strict=True)})}
    return any(
        all(any(word in way for word in part for way in ways) for part in both)
        for both in names.parts
    )


def _marked(text: str) -> bytes:
    """The letters of a text, and where its tags are."""
    return text.encode("ascii", IN_LATIN).lower().translate(None, NO_LETTERS)


def _letters(marked: bytes) -> bytes:
    """The same without tags, and as any folded text has them."""
    return _single(marked.translate(None, b"<>"))


def _single(letters: bytes) -> bytes:
    """With one a where there were more."""
    while b"aa" in letters:
        letters = letters.replace(b"aa", b"a")
    return letters


def hits(names: Sought, held: list[str]) -> list[Hit]:
    """Where *held*, the words of a text, tell a name that is looked for; in the order of the text.

    >>> names = sought([(Name("Vale", "Ada"), "4")], [Name("Adder", "Rose")])
    >>> hits(names, words("We saw Ada-Vale's and vale, AD\u00adA; Canada Vale was Rose Adder"))
    [Hit(who='4', first=2, end=4), Hit(who='4', first=6, end=8)]
    """
    whole = "".join(held)
    starts = [0, *accumulate(map(len, held))]
    head, heads = names.head, names.heads
    begun = [at for at in starts if whole[at : at + head] in heads]
    if not begun:
        return []
    ranks = {at: rank for rank, at in enumerate(starts)}
    text = _Text(whole, ranks)
    return [
        Hit(names.forms[form], ranks[at], ranks[end])
        for at in dict.fromkeys(begun)
        for form in heads[whole[at : at + head]]
        for end in [text.end_of(form, at)]
        if end and not text.of_others(names.others[names.forms[form]], at, end)
    ]


class _Text(NamedTuple):
    """The words of a text put together, and which word begins where."""

    whole: str
    ranks: Mapping[int, int]

    def end_of(self, form: Form, at: int) -> int:
        """Where a form that begins here ends, with a genitive or without; 0 where none does."""
        first, second = form
        after = at + len(first) + len(second)
        if not self.whole.startswith(first + second, at):
            return 0
        if second and after - at < SHORT and at + len(first) not in self.ranks:
            return 0
        if after not in self.ranks and self.whole.startswith("s", after):
            after += 1
        return after if after in self.ranks else 0

    def of_others(self, others: Iterable[str], at: int, end: int) -> bool:
        """Does all of it belong to names beside it that may be told: Bell *May, Adder* Rose?"""
        covered: set[int] = set()
        for other in others:
            place = self.whole.find(other, max(at - len(other), 0), end + len(other))
            while place >= 0:
                after = place + len(other)
                if (place < at or after > end) and {place, after} <= self.ranks.keys():
                    covered.update(range(place, after))
                place = self.whole.find(other, place + 1, end + len(other))
        return covered.issuperset(range(at, end))
