"""What can be found from any page of a season: in one script, or in pieces by first letters."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from resultsgen.views.season.subject import SeasonSubject
from resultsgen.views.site.addresses import club_target
from resultsgen.website.look import hashed_address
from resultsgen.website.scripts import event, found_club, found_gymnast, latin

WHOLE, PIECE = 1500, 250
"""So many names come in one script, and so many in a piece of more."""

LETTERS = 5
"""By no more letters are pieces told apart."""

SPELT = str.maketrans({
    "ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i",
})  # fmt: skip
"""As find.js spells them."""


class Found(NamedTuple):
    """A page with its name, what stands below that, and the name in Latin letters."""

    address: str
    name: str
    sub: str
    latin: tuple[str, ...]


def words(text: str) -> set[str]:
    """The words of a name as find.js looks for them, without accents and without case."""
    letters = unicodedata.normalize("NFD", text)
    plain = "".join(one for one in letters if not unicodedata.category(one).startswith("M"))
    return set(re.findall(r"[^\W_]+", plain.lower().translate(SPELT)))


NAMES = "static/names.js"
"""Its address stays, as every page has it and each new gymnast changes it."""


def names_shown(subject: SeasonSubject) -> object:
    """What they follow from, but for the pages of the season itself."""
    people = [
        (one.family, one.given, one.clubs[:1], subject.where[f"person:{one.key}"])
        for one in subject.season.careers
        if not one.withheld
    ]
    clubs = [(club, subject.where[club_target(club)]) for club in subject.by_club]
    return people, clubs, [*_meets(subject)]


def season_names(subject: SeasonSubject, pages: Iterable[tuple[str, str]]) -> dict[str, bytes]:
    """The script that a page asks for first, and its pieces, by their addresses."""
    say = subject.wording.say
    people, clubs = tuple(_people(subject)), tuple(subject.by_club)
    meets = tuple(_meets(subject))
    own = tuple(Found(address, name, say("Page"), ()) for address, name in pages)
    if len(people) + len(clubs) + len(meets) <= WHOLE:
        numbers = {club: number for number, club in enumerate(clubs)}
        told = {
            "clubs": [found_club(subject.where[club_target(club)], club) for club in clubs],
            "gymnasts": [
                found_gymnast(one.address, one.name, "", numbers.get(one.sub, -1)) for one in people
            ],
            "pages": [one[:3] for one in (*meets, *own)],
        }
        return {NAMES: event("names", told).encode()}
    named = (
        Found(subject.where[club_target(club)], club, say("Club"), tuple(latin(club)))
        for club in clubs
    )
    files: dict[str, bytes] = {}
    hashes: dict[str, str] = {}
    for key, held in pieces((*named, *people, *meets)).items():
        script = event("names", {"piece": key, "pages": [_listed(one) for one in held]}).encode()
        address = hashed_address("names.js", script)
        files[address] = script
        hashes[key] = address.split(".")[1]
    first = {"clubs": [], "gymnasts": [], "pages": [one[:3] for one in own], "pieces": hashes}
    return {NAMES: event("names", first).encode(), **files}


def _people(subject: SeasonSubject) -> Iterator[Found]:
    for career in subject.season.careers:
        if not career.withheld:
            name = subject.name(career)
            club = next(iter(career.clubs), "")
            yield Found(subject.where[f"person:{career.key}"], name, club, tuple(latin(name)))


def _meets(subject: SeasonSubject) -> Iterator[Found]:
    """The newest first."""
    for id, meet in reversed(subject.meets.items()):
        yield Found(subject.where[f"meet:{id}"], meet.title, str(meet.first.year), ())


def _listed(one: Found) -> list[str]:
    return [*one[:3], *one.latin]


def pieces(found: Iterable[Found]) -> dict[str, list[Found]]:
    """What is found by words that begin with each key; of a long piece only by the key itself."""
    by_word: dict[str, list[Found]] = defaultdict(list)
    for one in found:
        for word in words(" ".join((one.name, *one.latin))):
            by_word[word].append(one)
    return dict(_parted(by_word, ""))


def _parted(by_word: Mapping[str, list[Found]], key: str) -> Iterator[tuple[str, list[Found]]]:
    """The pieces below a key: one where they are few, else those that are a letter longer."""
    held = dict.fromkeys(one for each in by_word.values() for one in each)
    if key and (len(held) <= PIECE or len(key) == LETTERS):
        yield key, list(held)
        return
    longer: dict[str, dict[str, list[Found]]] = defaultdict(dict)
    for word, each in sorted(by_word.items()):
        longer[word[: len(key) + 1]][word] = each
    if key in longer:
        yield key, list(dict.fromkeys(longer.pop(key)[key]))
    for further, words_of in longer.items():
        yield from _parted(words_of, further)
