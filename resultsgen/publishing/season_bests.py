"""What a meet is compared with, from a season: bests of who is on its roster, records so far."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from resultsgen.data.packing import csv_text
from resultsgen.files.replacing import replace_file
from resultsgen.files.staging import real
from resultsgen.language import LANGUAGES, Language
from resultsgen.meet.columns import BESTS
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import MeetProblems, Problem, counted, parted
from resultsgen.publishing.season import known_people
from resultsgen.publishing.season_reading import (
    MeetSource,
    meet_source,
    read_season,
    season_meet,
)
from resultsgen.reading.tables import ROWS_OF
from resultsgen.season.bests import Comparable, bests_lists, bests_of_year, told_by_year
from resultsgen.season.facts import Achieved, facts
from resultsgen.season.records import Among, records_among
from resultsgen.season.rounds import with_tables
from resultsgen.season.season import Career, Season, careers_of

SEASON_BESTS = "season_bests.csv"
THIS = "this meet"
"""No meet of a season is called so, as the names of folders have no space there."""

BestRow = tuple[str, ...]


class WrittenBests(NamedTuple):
    """The file that was written, and how much stands in it."""

    file: Path
    gymnasts: int
    rows: int
    asked: tuple[str, ...]
    notes: tuple[str, ...] = ()


def write_bests(folder: Path, meet: Path) -> WrittenBests:
    """Write the table for a meet folder: only what was made before its first day counts."""
    read = read_season(folder, folder / "output")
    problems: list[Problem] = []
    source = meet_source(THIS, meet, problems)
    if source is None:
        raise MeetProblems(parted(problems)[0])
    others = {real(one.folder): one for one in read.sources}
    own = others.pop(real(meet), None)
    sources = (*others.values(), source)
    meets = [season_meet(one) for one in sources]
    known, people, asked, _ = known_people(read, sources, facts(meets))
    first = meets[-1].first
    before = facts(one for one in meets if one.last < first)
    made, _ = with_tables(Season(read.settings, before, *careers_of(known, people)))
    language = LANGUAGES[source.language]
    at = meet.absolute()
    here = own.id if own else (at.parent if at.name == "output" else at).name
    rows, notes = that_are_read(tuple(_rows(made, source, here, first.year, language)))
    text = csv_text([one.name for one in BESTS], rows)
    path = meet / SEASON_BESTS
    replace_file(path, text.encode())
    return WrittenBests(path, len({row[1] for row in rows} - {""}), len(rows), asked, notes)


def that_are_read(rows: tuple[BestRow, ...]) -> tuple[tuple[BestRow, ...], tuple[str, ...]]:
    """No more rows than a meet reads: without season's bests, if need be; and that it is so."""
    limit = ROWS_OF["bests"]
    if len(rows) <= limit:
        return rows, ()
    kept = tuple(row for row in rows if row[0] != "season")
    if len(kept) > limit:
        message = (
            f"{len(kept):,} bests and records would stand there, and a meet reads at most "
            f"{limit:,}; part the meet"
        )
        raise MeetProblems([Problem(SEASON_BESTS, 0, "", "table-too-large", message)])
    left = counted(len(rows) - len(kept), "season's best")
    return kept, (f"{left} left out: a meet reads at most {limit:,} rows",)


def _rows(
    made: Season, source: MeetSource, here: str, year: int, language: Language
) -> Iterator[BestRow]:
    """The records of all meets, then the bests of each gymnast; nothing of who is withheld.

    *here* is what the season calls the meet.
    """
    titles = {meet.id: meet.title for meet in made.facts.meets}
    divisions = {"", *(one.division for one in source.told.gymnasts)}
    bibs: dict[tuple[str, int], list[str]] = {}
    for row in source.rows:
        career = made.whose[THIS, row.entry]
        if not career.withheld:
            bibs.setdefault(career.row, []).append(row.bib)

    def best(record: str, bib: str, of: Comparable, one: Achieved, who: str = "") -> BestRow:
        told = (who, titles[one.meet], language.date(one.day))
        return (
            record, bib, of.discipline, of.division, one.list, show_mark(one.mark),
            ", ".join(filter(None, told)),
        )  # fmt: skip

    for record, of, one, who in _records(made, source, here):
        if of.division in divisions:
            yield best(record, "", of, one, who)
    lists = [held for held in bests_lists(made) if _is_held(held.of, source, made)]
    for held in (one for one in lists if not one.of.division):
        there = year in told_by_year(made)[held.of]
        of_year = bests_of_year(made, held.of, year).lines if there else ()
        of_season = {line.career.row: line.best for line in of_year}
        for line in held.lines:
            now = of_season.get(line.career.row)
            for bib in bibs.get(line.career.row, ()):
                yield best("personal", bib, held.of, line.best)
                if now and now.mark < line.best.mark:
                    yield best("season", bib, held.of, now)


def _records(
    made: Season, source: MeetSource, here: str
) -> Iterator[tuple[str, Comparable, Achieved, str]]:
    """The records of all meets, and of the events and series that the meet is one of."""
    for group, sets in records_among(made).items():
        newest = {each.of: each.marks[0] for each in sets}
        title = group.title if group.kind == "series" else ""
        for of, one in newest.items() if group.kind == "all meets" or here in group.meets else ():
            if _is_held(of, source, made):
                who = ": ".join(filter(None, (title, _name(made.whose[one.meet, one.entry]))))
                for division in _divisions(of, group, source):
                    yield group.kind, of._replace(division=division), one, who


def _divisions(of: Comparable, group: Among, source: MeetSource) -> Iterator[str]:
    """The division of whose marks are compared with a record; none where it is not one of some."""
    there = {one.division for one in source.told.gymnasts if one.discipline == of.discipline}
    if of.division or group.kind != "series" or there <= group.divisions:
        yield of.division
    elif len(there & group.divisions) == 1:
        yield from there & group.divisions


def _is_held(of: Comparable, source: MeetSource, made: Season) -> bool:
    """The meet has a list whose marks compare with these."""
    return any(
        one.discipline == of.discipline
        and made.rules.get(one.rules.identity, one.rules.identity) == of.rules
        and (not of.parts or (one.all_around is not None and one.all_around.parts == of.parts))
        for one in source.told.competitions
    )


def _name(career: Career) -> str:
    return f"{career.given} {career.family}".strip()
