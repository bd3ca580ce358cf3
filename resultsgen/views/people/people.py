"""Who is in the meet: each person once, however often the roster names them, and each club."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from resultsgen.scoring.people import natural
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import Results
from resultsgen.views.site.addresses import gymnast_target
from resultsgen.views.words.alphabet import folded


@dataclass(frozen=True)
class Person:
    """A gymnast of the meet; rows of the roster with one bib and name in a discipline are one."""

    entries: tuple[Gymnast, ...]

    @property
    def gymnast(self) -> Gymnast:
        """The first entry, which speaks for the person."""
        return self.entries[0]

    @property
    def target(self) -> str:
        """What leads to the person's page."""
        return gymnast_target(self.gymnast)

    @property
    def keys(self) -> frozenset[int]:
        """The roster rows of the person."""
        return frozenset(entry.key for entry in self.entries)

    @property
    def clubs(self) -> tuple[str, ...]:
        """Usually one; each club that an entry names."""
        return tuple(dict.fromkeys(entry.club for entry in self.entries if entry.club))


@lru_cache(maxsize=1)
def people(results: Results) -> tuple[Person, ...]:
    """Every person, by name; those whose name is withheld last, by bib."""
    entries: dict[str, list[Gymnast]] = {}
    for gymnast in results.gymnasts.values():
        entries.setdefault(gymnast_target(gymnast), []).append(gymnast)
    persons = (Person(tuple(sorted(rows, key=lambda row: row.key))) for rows in entries.values())
    return tuple(sorted(persons, key=_by_name))


def _by_name(person: Person) -> tuple[object, ...]:
    gymnast = person.gymnast
    return (
        not gymnast.published,
        folded(gymnast.family),
        folded(gymnast.given),
        natural(gymnast.bib),
        gymnast.discipline,
    )


def clubs(results: Results) -> tuple[str, ...]:
    """Every club, by name."""
    named = {gymnast.club for gymnast in results.gymnasts.values() if gymnast.club}
    return tuple(sorted(named, key=lambda club: (folded(club), club)))
