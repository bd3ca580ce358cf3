"""A season: careers from the facts of all meets, and which of them may be named."""

from __future__ import annotations

import csv
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from io import StringIO
from typing import NamedTuple

from resultsgen.files.cache import key_of
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.privacy.forms import Name, forms
from resultsgen.season.facts import Appearance, Facts
from resultsgen.season.qualifying import Qualification
from resultsgen.season.series import SeriesTable
from resultsgen.season.settings import SeasonSettings
from resultsgen.season.settling import PEOPLE_FILE, People
from resultsgen.season.who import Doubt, Identity, KnownPeople, SeasonGymnast, answered


class Career(NamedTuple):
    """A gymnast over all meets; or one row of one meet, where the name is withheld."""

    key: str
    """What tells it from others, lasting: from it follows the address of the page."""
    family: str
    given: str
    bib: str
    """What stands for a name that is withheld, if the roster has it; else empty."""
    discipline: str
    clubs: tuple[str, ...]
    """The newest first."""
    earlier: tuple[tuple[str, str], ...]
    """Other names that meets printed, family name and given name."""
    meets: tuple[str, ...]
    """In order of time."""
    rows: tuple[tuple[str, int], ...]
    """The rows of rosters that are hers, by meet and entry in order of time."""
    withheld: bool = False

    @property
    def row(self) -> tuple[str, int]:
        """The first of them: no other career has it."""
        return self.rows[0]


@dataclass(frozen=True, eq=False)
class Season:
    """What pages and data of a season know, and nothing else; no withheld name is in it."""

    settings: SeasonSettings
    facts: Facts
    careers: tuple[Career, ...]
    """By name; those without one last."""
    first_rows: Mapping[tuple[str, int], tuple[str, int]]
    """For each row of a roster the first of the same gymnast, also where the name is withheld."""
    series: tuple[SeriesTable, ...] = ()
    qualifications: tuple[Qualification, ...] = ()

    @cached_property
    def whose(self) -> Mapping[tuple[str, int], Career]:
        """The career of each row of a roster, by meet and entry."""
        return {row: career for career in self.careers for row in career.rows}

    @cached_property
    def number(self) -> Mapping[str, Mapping[int, int]]:
        """What number the gymnast of each row has, also where the name is withheld, by meet."""
        first = {career.row: at for at, career in enumerate(self.careers)}
        found: dict[str, dict[int, int]] = defaultdict(dict)
        for career in self.careers:
            number = first[self.first_rows[career.row]]
            for meet, entry in career.rows:
                found[meet][entry] = number
        return found

    def many(self, rows: Iterable[tuple[str, int]]) -> int:
        """How many gymnasts these rows are of."""
        number = self.number
        return len({number[meet][entry] for meet, entry in rows})

    @cached_property
    def drawn_on(self) -> Mapping[str, str]:
        """For each meet what tells it, and who was there, from how it was before."""
        there = self.who_was_there
        return {meet.id: key_of(meet.digest, there[meet.id]) for meet in self.facts.meets}

    @cached_property
    def who_was_there(self) -> Mapping[str, str]:
        """For each meet what tells who was there from how it was before."""
        there: dict[str, dict[int, str]] = defaultdict(dict)
        for career in self.careers:
            same = career.withheld and self.first_rows[career.row]
            told = repr((career.key, career.family, career.given, same))
            for meet, entry in career.rows:
                there[meet][entry] = told
        compared = repr(sorted(self.rules.items()))
        told_of = {
            id: "".join(f"{row}{one[row]}" for row in sorted(one)) for id, one in there.items()
        }
        return {
            meet.id: key_of(meet.id, compared, told_of.get(meet.id, ""))
            for meet in self.facts.meets
        }

    @cached_property
    def by_row(self) -> Mapping[tuple[str, int], Career]:
        """The career that a first row of a roster begins."""
        return {career.row: career for career in self.careers}

    @cached_property
    def by_key(self) -> Mapping[str, Career]:
        """Each career by what lines of series have."""
        return {career.key: career for career in self.careers}

    @cached_property
    def rules(self) -> Mapping[str, str]:
        """With which others each rule set compares: those that stand in one list have one name."""
        return {one: " + ".join(sorted(group)) for group in self.settings.compare for one in group}


class RowsWritten(NamedTuple):
    """How people.csv has its rows."""

    columns: tuple[str, ...]
    separator: str

    def line(self, cells: Iterable[str]) -> str:
        """A row to paste."""
        out = StringIO()
        csv.writer(out, delimiter=self.separator, lineterminator="").writerow(cells)
        return out.getvalue()


Careers = tuple[tuple[Career, ...], Mapping[tuple[str, int], tuple[str, int]]]
"""All of a season, and the first row of each row of a roster."""


def careers_of(known: KnownPeople, people: People) -> Careers:
    """What may be published of everybody."""
    careers: list[Career] = []
    for gymnast in known.gymnasts:
        if is_withheld(gymnast, people):
            careers += map(_row, gymnast.appearances)
        else:
            careers.append(_career(gymnast, dict(people.called)))
    many = Counter(career.key for career in careers)
    careers = [
        career if many[career.key] == 1 else career._replace(key=_apart(career))
        for career in careers
    ]
    first_rows = {
        (row.meet, row.entry): (gymnast.appearances[0].meet, gymnast.appearances[0].entry)
        for gymnast in known.gymnasts
        for row in gymnast.appearances
    }
    return tuple(sorted(careers, key=by_name)), first_rows


def _apart(career: Career) -> str:
    """Two of one name are told apart by club and by the first row of each."""
    meet, entry = career.row
    return f"{career.key} {' '.join(career.clubs[-1:])} {meet} {entry}"


def by_name(career: Career) -> tuple[object, ...]:
    """The order of lists of people."""
    return (career.withheld, career.family.casefold(), career.given.casefold(), career.key)


def is_withheld(gymnast: SeasonGymnast, people: People) -> bool:
    """A row of a meet or of people.csv withholds the name in all meets."""
    return gymnast.withheld or bool(people.withheld.intersection(gymnast.identities))


def _row(row: Appearance) -> Career:
    return Career(
        f"{row.meet}/{row.entry}", "", "", row.bib, row.discipline, (row.club,), (),
        (row.meet,), ((row.meet, row.entry),), True,
    )  # fmt: skip


def _career(gymnast: SeasonGymnast, called: Mapping[Identity, str]) -> Career:
    rows = gymnast.appearances
    names = tuple(dict.fromkeys((row.family, row.given) for row in reversed(rows)))
    now = next((called[one] for one in gymnast.identities if one in called), "")
    parts = now.partition(",")
    name = (parts[0].strip(), parts[2].strip()) if now else names[0]
    clubs = dict.fromkeys(row.club for row in reversed(rows) if row.club)
    return Career(
        " ".join((*name, gymnast.discipline)), *name, "", gymnast.discipline, tuple(clubs),
        tuple(one for one in names if one != name),
        tuple(dict.fromkeys(row.meet for row in rows)),
        tuple((row.meet, row.entry) for row in rows),
    )  # fmt: skip


def withheld_names(known: KnownPeople, people: People) -> dict[Name, str]:
    """Every name that may stand nowhere, with who withholds it."""
    found = {Name(name, ""): PEOPLE_FILE for name in people.names}
    for gymnast in known.gymnasts:
        if is_withheld(gymnast, people):
            saying = (row.meet for row in gymnast.appearances if row.withheld)
            where = next(saying, PEOPLE_FILE)
            for row in gymnast.appearances:
                if row.family or row.given:
                    found[Name(row.family, row.given)] = where
    return found


def look_alikes(
    known: KnownPeople, people: People, printed: Mapping[Identity, str], written: RowsWritten
) -> list[Problem]:
    """A name that is withheld, and one that may be hers and would be published: to be settled."""
    called = dict(people.called)
    held = [(one, _named(one, called)) for one in known.gymnasts if is_withheld(one, people)]
    if not held:
        return []

    def may_be(gymnast: SeasonGymnast) -> SeasonGymnast | None:
        named = _named(gymnast, called)
        return next(
            (
                one for one, theirs in held
                if named & theirs
                and not answered(gymnast.identities, one.identities, people.settled)
            ), None,
        )  # fmt: skip

    return [
        Problem(
            PEOPLE_FILE, 0, "publish", "withheld-or-not",
            f"{_side(here)} would be published, and {_side(there)} is withheld in the season; "
            "write a row with same, or not the same: "
            f"{_settling(there, 'not the same', here, written)}",
        )
        for one in known.gymnasts
        if not is_withheld(one, people) and (other := may_be(one))
        for here, there in [
            [each._replace(name=printed[each]) for each in (one.identities[0], other.identities[0])]
        ]
    ]  # fmt: skip


def _named(gymnast: SeasonGymnast, called: Mapping[Identity, str]) -> set[str]:
    """What may be written of a gymnast's names."""
    names = {name for one in gymnast.identities for name in (one.name, called.get(one)) if name}
    return {"".join(form) for name in names for form in forms(Name(name, ""))}


def unknown_rules(settings: SeasonSettings, facts: Facts) -> list[Problem]:
    """Rule sets that are to compare and that no meet has."""
    there = {one.rules.identity for meet in facts.meets for one in meet.head.competitions}
    listed = ", ".join(sorted(there))
    return [
        Problem(
            "season.toml", 0, "compare", "unknown-rules",
            f"no meet has the rule set {name}; there are {listed}. "
            f"{did_you_mean(name, there)}".strip(), name,
        )
        for group in settings.compare
        for name in group
        if name not in there
    ]  # fmt: skip


def question(doubt: Doubt, printed: Mapping[Identity, str], written: RowsWritten) -> str:
    """A question with both sides as rosters print them, and the row that answers it."""
    one, other = (each._replace(name=printed[each]) for each in doubt[:2])
    now = "count as one, and yet" if doubt.count_as_one else "stay two:"
    row = _settling(one, "not the same" if doubt.count_as_one else "same", other, written)
    return (
        f"is {_side(one)} the same gymnast as {_side(other)}? They {now} {doubt.why}. In "
        f"{PEOPLE_FILE}, same or not the same: {row}"
    )


def _side(one: Identity) -> str:
    told: Iterable[object] = (one.club, one.birth_year, one.lasting, one.discipline)
    return f"{one.name} ({', '.join(str(each) for each in told if each)})"


def _settling(one: Identity, relation: str, other: Identity, written: RowsWritten) -> str:
    """A row of people.csv in these columns of it, and which it must have besides."""
    columns = written.columns
    cells = _cells(one, "") | {"is": relation} | _cells(other, "other_")
    more = [name for name, cell in cells.items() if cell and name not in columns]
    row = written.line(cells.get(name, "") for name in (*columns, *more))
    return f"{row} (once its first line ends with {written.line(('', *more))})" if more else row


def _cells(one: Identity, of: str) -> dict[str, str]:
    told = {"name": one.name, "club": one.club, "birth_year": one.birth_year, "person": one.lasting}
    return {f"{of}{name}": str(cell or "") for name, cell in told.items()}
