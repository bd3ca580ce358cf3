"""The years of a season of which there is a yearbook."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from resultsgen.season.facts import SeasonMeet
from resultsgen.season.season import Season
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.views.site.addresses import language_folder


@dataclass(frozen=True)
class SeasonYear:
    """A year of a season that has a book of its own."""

    name: str
    """2031, or 2031-32 where a year begins within one of the calendar."""
    meets: tuple[SeasonMeet, ...]
    """Those of the year with a mark."""
    earlier: frozenset[str]
    """Them, and those of the years before."""

    @property
    def title(self) -> str:
        """As it is read: 2031–32."""
        return self.name.replace("-", "–")

    @property
    def file(self) -> str:
        """What its file is called."""
        return f"yearbook-{self.name}"

    @property
    def state(self) -> Literal["official", "provisional"]:
        """Official once each of its meets is over and signed."""
        over = all(meet.official and meet.complete for meet in self.meets)
        return "official" if over else "provisional"


def years(season: Season) -> tuple[SeasonYear, ...]:
    """Every year with a mark, the newest first."""
    begins, with_marks = season.settings.year_begins, season.facts.with_marks
    found: dict[str, list[SeasonMeet]] = {}
    for meet in season.facts.meets:
        if meet.id in with_marks:
            year = meet.first.year - (meet.first.month < begins)
            name = str(year) if begins == 1 else f"{year}-{(year + 1) % 100:02}"
            found.setdefault(name, []).append(meet)
    made, earlier = [], frozenset[str]()
    for name, held in found.items():
        earlier |= {meet.id for meet in held}
        made.append(SeasonYear(name, tuple(held), earlier))
    return tuple(reversed(made))


def yearbook_title(year: SeasonYear, subject: SeasonSubject) -> str:
    """What the book is called."""
    return subject.wording.say("Yearbook {year}", year=year.title)


def yearbook_address(year: SeasonYear, subject: SeasonSubject) -> str:
    """Where it lies, beside those of other languages."""
    folder = language_folder(subject.language.code, subject.season.settings.languages)
    return f"books/{folder}{year.file}.pdf"
