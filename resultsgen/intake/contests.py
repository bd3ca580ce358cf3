"""What is placed: a competition for each level or age group, with its apparatus and its rules."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from resultsgen.intake.columns import Question, SettingsPart, lines_of_teams
from resultsgen.intake.people import Entrant, TableRow, persons
from resultsgen.language import LANGUAGES, Language
from resultsgen.meet.marks import parse_mark
from resultsgen.meet.names import DISCIPLINES
from resultsgen.reading.words import heard

TEN = 10_000


@dataclass
class NewCompetition:
    discipline: str
    division: str
    id: str = ""
    title: str = ""
    rows: list[TableRow] = field(default_factory=list)
    several: bool = False
    """Whether somebody has marks on several apparatus."""

    @property
    def marks(self) -> Iterator[int]:
        texts = (text for row in self.rows for _, text in (*row.marks, *row.unsettled))
        read = map(parse_mark, texts)
        return (mark for mark in read if mark is not None)

    @property
    def apparatus(self) -> tuple[str, ...]:
        """In the order of the discipline."""
        held = {code for row in self.rows for code, _ in row.marks}
        held |= {code for row in self.rows for code in row.table.codes}
        return tuple(code for code in DISCIPLINES[self.discipline] if code in held)

    @property
    def unsettled(self) -> list[str]:
        """Headings of which somebody has to decide the apparatus."""
        return list(dict.fromkeys(text for row in self.rows for text, _ in row.unsettled))

    @property
    def has_parts(self) -> bool:
        return any(row.table.has_parts for row in self.rows if row.marks)

    @property
    def rules(self) -> str:
        if self.has_parts or any(mark > TEN for mark in self.marks):
            return "international"
        return "club-ten"

    @property
    def why(self) -> str:
        if not any(True for _ in self.marks):
            return "no marks are there yet"
        if self.rules == "club-ten":
            return "all marks are 10 at most, and none has a D score"
        return "D or E scores are given" if self.has_parts else "there are marks above 10"


def contests(
    rows: list[TableRow], code: str = "en", discipline: str = ""
) -> tuple[list[NewCompetition], list[Question]]:
    """The competitions in order of appearance, and what is not sure of them; who is of no
    discipline by the tables is of this one.

    Where some have a level, who has none is in no competition, and `check` tells it.
    """
    everybody = persons(rows)
    only, questions = _only_discipline(everybody, discipline)
    found: dict[tuple[str, str], NewCompetition] = {}
    for one in everybody:
        one.entries = {(entry[0] or only, entry[1]): held for entry, held in one.entries.items()}
        for kind, division in one.entries:
            key = kind, heard(division)
            found.setdefault(key, NewCompetition(kind, division))
    for row in rows:
        for key in row.person.entries:
            said = row.value("division")
            if not said or heard(said) == heard(key[1]):
                found[key[0], heard(key[1])].rows.append(row)
    levels = {discipline for discipline, division in found if division}
    held = [one for one in found.values() if one.division or one.discipline not in levels]
    _name(held, LANGUAGES[code])
    # Of tables with marks of who is in several, which one each row is of.
    several = {
        row.table
        for one in held
        for row in one.rows
        if len(row.person.entries) > 1 and (row.marks or row.unsettled)
    }
    for contest in held:
        codes: dict[Entrant, set[str]] = {}
        for row in contest.rows:
            held_here = (*row.marks, *row.unsettled)
            codes.setdefault(row.person, set()).update(code for code, _ in held_here)
            if row.table in several:
                table = row.table
                whole = "division" in table.fixed
                (table.fixed if whole else table.table.said[row.row])["competition"] = contest.id
        contest.several = any(len(one) > 1 for one in codes.values())
        questions += _of_its_marks(contest)
    return held, questions


def _only_discipline(everybody: list[Entrant], asked_for: str) -> tuple[str, list[Question]]:
    """The discipline of those of whom nothing says it."""
    said = {discipline for one in everybody for discipline, _ in one.entries if discipline}
    if len(said) == 1:
        return said.pop(), []
    unsaid = [one.name for one in everybody if any(not entry[0] for entry in one.entries)]
    if asked_for or not unsaid:
        return asked_for or "women", []
    whom = "everybody" if len(unsaid) == len(everybody) else ", ".join(unsaid[:5])
    asked = f"nothing says whether these are women or men, and all were taken for women: {whom}"
    return "women", [Question(f"{asked}; if they are men, begin again with --discipline men")]


def _name(held: list[NewCompetition], language: Language) -> None:
    """Ids, and titles as the language has them: of what is left out where all have it in common."""
    disciplines = {one.discipline for one in held}
    taken: set[str] = set()
    for one in held:
        own = one.discipline if len(disciplines) > 1 or not one.division.strip() else ""
        said = language.say(own).capitalize()
        division = _spoken(one)
        one.title = ", ".join(part for part in (said, division) if part.strip())
        stem = slug(" ".join(filter(None, (own, division))))
        one.id = free_name(stem, taken)
        taken.add(one.id)


def _spoken(one: NewCompetition) -> str:
    """Its division; where that is a number or a letter, with the heading of its column: Level 3."""
    if re.fullmatch(r"\d+(?:[/+-]\d+)?|[A-Z]|[IVX]+", one.division):
        for table in (row.table for row in one.rows):
            if (at := table.at("division")) is not None:
                return f"{table.table.heading.texts[at]} {one.division}"
    return one.division


def slug(text: str) -> str:
    """Small letters, digits and single hyphens.

    >>> slug("Schüler, AK 8/9"), slug("../x")
    ('schuler-ak-8-9', 'x')
    """
    return re.sub(r"[^a-z0-9]+", "-", heard(text))[:60].strip("-") or "all"


def free_name(stem: str, taken: Collection[str], ending: str = "") -> str:
    """A name that is not taken, whatever the letter case: the stem, or with the next number."""
    held = {name.casefold() for name in taken}
    numbered = (f"{stem}-{number}{ending}" for number in range(2, len(held) + 3))
    return next(name for name in (stem + ending, *numbered) if name.casefold() not in held)


def _of_its_marks(one: NewCompetition) -> Iterator[Question]:
    """What the marks do not tell of the rules."""
    some = any(row.table.has_parts for row in one.rows)
    bare = any(row.marks and not row.table.has_parts for row in one.rows)
    if some and bare:
        asked = (
            f"{one.title}: some marks have D or E scores and some have none; "
            f'the rule set is "{one.rules}"'
        )
        yield Question(asked, ('rules = "club-ten"',), SettingsPart("competition", one.id))
    if any(
        meaning.vault == 2 and row.table.sheet.text(row.row, at)
        for row in one.rows
        for at, meaning in row.table.marks.items()
    ):
        asked = f"{one.title}: some have two vaults; does the vault list take their average?"
        yield Question(asked, ("vaults = 2",), SettingsPart("competition", one.id))
    if any(row.value("team") for row in one.rows):
        asked = (
            f"{one.title}: the table names teams; how many are in one, up and counting? "
            "Without that there is no list of teams"
        )
        yield Question(asked, lines_of_teams("team"), SettingsPart("competition", one.id))
