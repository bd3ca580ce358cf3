"""The way in: a meet folder becomes one checked `Meet` and the list of all that is to mend."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from resultsgen.checks.every import checked
from resultsgen.checks.keys import FILE, with_line
from resultsgen.files.opening import why_closed
from resultsgen.files.spreadsheets import one_opener
from resultsgen.files.toml_keys import key_path, line_of
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem, parted
from resultsgen.meet.settings import MeetSettings
from resultsgen.meet.values import as_list
from resultsgen.reading.belonging import BibsWorn
from resultsgen.reading.bests import read_bests
from resultsgen.reading.corrections import read_corrections
from resultsgen.reading.entered import notes_of_lost_marks
from resultsgen.reading.grids import parted_source
from resultsgen.reading.holding import NOTHING_HELD, Holding
from resultsgen.reading.incidents import read_incidents
from resultsgen.reading.marks import read_marks
from resultsgen.reading.pages import read_assets, read_pages
from resultsgen.reading.roster import read_roster
from resultsgen.reading.rulesets import read_rule_sets, with_what_is_usual
from resultsgen.reading.settings import read_settings
from resultsgen.reading.words import words


def read_meet(folder: Path, holding: Holding = NOTHING_HELD) -> tuple[Meet | None, list[Problem]]:
    """Read and check the whole folder; what is wrong is listed, not raised.

    The meet is None where `meet.toml` cannot be used. Where there are problems, the meet is good
    for nothing but to be checked further. What is held back is as it was published.
    """
    with one_opener(), _no_search_for_cycles():
        return _read_meet(folder, holding)


@contextmanager
def _no_search_for_cycles() -> Iterator[None]:
    """Rows that are read are kept: to look them all through for cycles meanwhile is dear."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _read_meet(folder: Path, holding: Holding) -> tuple[Meet | None, list[Problem]]:
    settings, lines, problems = read_settings(folder)
    if settings is None:
        return None, sorted(set(problems))
    known = words(settings)
    rule_sets, rule_overrides, of_rules = read_rule_sets(folder, settings)
    settings = with_what_is_usual(settings, rule_sets)
    entries, of_roster = read_roster(folder, settings, known)
    bibs = BibsWorn(settings, entries)
    marks, stated, of_marks = read_marks(folder, settings, known, bibs)
    clubs = sorted({entry.club for entry in entries}) if entries else None
    pages, of_pages = read_pages(folder, settings, clubs)
    assets, sizes, of_assets = read_assets(folder)
    incidents, of_incidents = read_incidents(folder, settings, known, bibs, rule_sets)
    bests, of_bests = read_bests(folder, settings, known, entries)
    corrections, of_corrections = read_corrections(folder, settings, known, bibs)
    meet = Meet(
        settings, rule_sets, entries, marks, pages, stated=stated, rule_overrides=rule_overrides,
        incidents=incidents, bests=bests, corrections=corrections, assets=assets, lines=lines,
        sizes=sizes,
    )  # fmt: skip
    meet, found = holding.held(meet, [
        *_closed(folder), *of_rules, *of_roster, *of_marks, *of_pages, *of_assets, *of_incidents,
        *of_bests, *of_corrections, *notes_of_lost_marks(folder, settings, marks, entries),
    ])  # fmt: skip
    if set(parted(of_marks)[0]).intersection(found):  # An incident may be of what is not read.
        meet = replace(meet, incidents=())
    found += checked(meet)
    named = {
        parted_source(folder, source)[0]: line_of(lines, key)
        for key, sources in _sources(settings)
        for source in sources
    }
    to_mend, notes = parted(_with_its_line(with_line(one, lines), named) for one in found)
    return replace(meet, notes=notes), to_mend


def _sources(settings: MeetSettings) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The keys of the settings that name tables, each with what it names."""
    for name in settings.files.model_fields_set:
        yield f"files.{name}", as_list(getattr(settings.files, name))
    for number, competition in enumerate(settings.competitions):
        yield key_path("competition", number, "marks"), competition.marks


def _with_its_line(problem: Problem, named: Mapping[str, int]) -> Problem:
    """The same problem with the line that names a file which is not there, or is none."""
    if problem.code not in ("no-such-file", "outside-the-folder", "not-a-file"):
        return problem
    line = named.get(problem.file)
    return (
        replace(problem, message=f"{problem.message} ({FILE}:{line} names it)") if line else problem
    )


def _closed(folder: Path) -> Iterator[Problem]:
    """A folder that cannot be looked through would seem empty."""
    for inner in ("pages", "assets", "publications"):
        if why := why_closed(folder, inner):
            message = f"is no folder that can be opened ({why}); put a folder in its place"
            yield Problem(inner, 0, "", "not-a-folder", message)
