"""A season folder read: its settings, people.csv, and the results of every meet, checked first."""

from __future__ import annotations

import json
import pickle
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import starmap
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from pydantic import ValidationError

from resultsgen.files.cache import Cache, cache_folder, code_digest, key_of
from resultsgen.files.manifest import MANIFEST, ManifestError, as_it_stands, verified
from resultsgen.files.opening import UnreadableError, file_bytes, is_there
from resultsgen.files.staging import default_output
from resultsgen.files.toml_keys import key_lines, line_of
from resultsgen.meet.pages import Page
from resultsgen.meet.problems import (
    MeetProblems,
    Note,
    NotPublishedError,
    Problem,
    most,
    parted,
)
from resultsgen.privacy.withheld import withheld
from resultsgen.publishing.season_folders import SEASON_FILE, meet_folders
from resultsgen.publishing.season_results import RESULTS, results_told, same_meets
from resultsgen.publishing.unchanged import judged_from
from resultsgen.reading.pages import read_assets, read_pages
from resultsgen.reading.texts import read_text
from resultsgen.reading.validating import address_amiss, validated
from resultsgen.season.facts import Appearance, Made, SeasonMeet, appearances, made_at
from resultsgen.season.settings import SeasonSettings
from resultsgen.season.settling import PEOPLE_FILE, PeopleRow
from resultsgen.season.told import ToldResults, packed, read_told, without_lines
from resultsgen.views.site.attachments import RenderedPage
from resultsgen.website.season_texts import season_texts

if TYPE_CHECKING:
    from resultsgen.meet.folder import Meet

LARGEST = 200_000_000
"""The most bytes that are read of the results of a meet: some twenty thousand gymnasts."""


class MeetSource(NamedTuple):
    """A meet of the season as it was found."""

    id: str
    folder: Path
    told: ToldResults
    roster: str
    """Packed; of a meet folder with the names that it withholds, to know them."""
    judged: bool
    """It is a meet folder: it tells whose names it withholds."""
    namesakes: tuple[str, ...] = ()
    search_engines: bool = True
    """They may list its pages."""
    base_url: str = ""
    """Where the meet folder says that its site is published."""
    built: bool = True
    """What was published of it tells the same results."""
    language: str = "en"
    """The main one of a meet folder."""
    digest: str = ""
    """Of all that it was read from."""
    made: Made | None = None
    """Every mark that counts, once it is read."""
    packed: bytes = b""
    """All of it; then what is told has no lines."""

    @property
    def rows(self) -> Iterator[Appearance]:
        """The roster."""
        return starmap(Appearance, json.loads(self.roster))


@dataclass(frozen=True)
class ReadSeason:
    """All that a season folder holds."""

    settings: SeasonSettings
    sources: tuple[MeetSource, ...]
    people: tuple[PeopleRow, ...]
    notes: tuple[Note, ...]
    lines: dict[str, int]
    """Of each setting."""
    pages: tuple[Page, ...] = ()
    texts: tuple[RenderedPage, ...] = ()
    pictures: tuple[Path, ...] = ()
    columns: tuple[str, ...] = ()
    """Of people.csv in its order, empty for one that is left alone; none without such a file."""
    separator: str = ""
    """Of people.csv."""


def read_season(folder: Path, out: Path) -> ReadSeason:
    """Read it all; MeetProblems with everything that is wrong. *out* is never taken for a meet."""
    text = read_text(folder, SEASON_FILE)
    if isinstance(text, Problem):
        raise MeetProblems([text])
    settings, problems = validated(SeasonSettings, text, SEASON_FILE)
    if settings is None:
        raise MeetProblems(problems)
    problems += address_amiss(settings.base_url, SEASON_FILE)
    found = meet_folders(folder, settings, out, problems)
    sources = [meet_source(id, place, problems) for id, place in found.items()]
    read = ((one.folder.relative_to(folder), season_meet(one)) for one in sources if one)
    problems += same_meets(SEASON_FILE, read)
    rows, columns, separator = _people(folder, problems)
    pages, of_pages = read_pages(folder, settings, ())
    pictures, _, of_pictures = read_assets(folder)
    texts, of_texts = season_texts(pages, pictures, settings.languages)
    problems += (*of_pages, *of_pictures, *of_texts)
    lines = key_lines(text)
    wrong, notes = parted(in_lines(problems, lines))
    if wrong:
        raise MeetProblems(wrong)
    found_sources = tuple(filter(None, sources))
    return ReadSeason(
        settings, found_sources, rows, notes, lines, tuple(pages), texts, (*pictures.values(),),
        columns, separator,
    )  # fmt: skip


def in_lines(problems: Iterable[Problem], lines: dict[str, int]) -> list[Problem]:
    """The same problems with the lines of the settings that they are of."""
    return [
        replace(one, row=line_of(lines, one.column))
        if one.file == SEASON_FILE and not one.row
        else one
        for one in problems
    ]


def meet_source(id: str, place: Path, problems: list[Problem]) -> MeetSource | None:
    """A meet as it was read before, if all is as it was then; else read now."""
    judged = is_there(place, "meet.toml")
    read = _judged if judged else _published
    before = judged_from(place, place / "output") if judged else as_it_stands(place)
    cache, key = Cache(cache_folder()), key_of("meet of a season", code_digest(), id, before)
    if kept := cache.get(key):
        known: MeetSource = pickle.loads(kept)
        return known._replace(folder=place, digest=key)
    source = read(id, place, problems)
    if source:
        source = source._replace(
            made=made_at(season_meet(source)), told=without_lines(source.told),
            packed=packed(source.told),
        )  # fmt: skip
        cache.put(key, pickle.dumps(source._replace(folder=Path(id)), 5))
        return source._replace(digest=key)
    return None


def _judged(id: str, place: Path, problems: list[Problem]) -> MeetSource | None:
    """A meet folder, judged; whatever was published of it."""
    from resultsgen.data.whole import results_text
    from resultsgen.publishing.build_options import BuildOptions
    from resultsgen.publishing.publish import checked

    try:
        out = default_output(place)
        results, _ = checked(place, out, BuildOptions(books=False))
    except MeetProblems as found:
        problems += [replace(one, file=f"{id}/{one.file}") for one in found.problems]
        return None
    except NotPublishedError as refusal:
        problems.append(Problem(id, 0, "", "outside-the-folder", str(refusal)))
        return None
    told = results_told(id, results_text(results).encode(), problems)
    if not told:
        return None
    rows = json.dumps([*_known(appearances(id, told), results.meet)])
    settings = results.meet.settings
    privacy = settings.privacy
    return MeetSource(
        id, place, told, rows, True, privacy.namesakes, privacy.search_engines, settings.base_url,
        _is_built(out, told), language=settings.languages[0],
    )  # fmt: skip


def _is_built(out: Path, told: ToldResults) -> bool:
    """What was published of a meet folder tells these results."""
    try:
        return read_told(file_bytes(out, RESULTS, LARGEST)) == told
    except (UnreadableError, ValidationError):
        return False


def _published(id: str, place: Path, problems: list[Problem]) -> MeetSource | None:
    """A published folder, compared with its list of files before anything of it is believed."""
    if not _intact(id, place, problems):
        return None
    try:
        held = file_bytes(place, RESULTS, LARGEST)
    except UnreadableError as refusal:
        problems.append(Problem(f"{id}/{RESULTS}", 0, "", refusal.code, str(refusal)))
        return None
    told = results_told(id, held, problems)
    if not told:
        return None
    listed = not _asks_not_to_be_listed(place)
    rows = json.dumps([*appearances(id, told)])
    return MeetSource(id, place, told, rows, False, search_engines=listed)


def _asks_not_to_be_listed(place: Path) -> bool:
    """The first page of a published meet tells search engines to leave it."""
    try:
        return b'<meta name="robots" content="noindex">' in file_bytes(place, "index.html")
    except UnreadableError:
        return False


def _intact(id: str, place: Path, problems: list[Problem]) -> bool:
    """Whether every file that was published is as it was; what is not is told."""
    try:
        found = verified(place)
    except ManifestError as error:
        message = str(error).removeprefix(f"{place} ")
        problems.append(Problem(f"{id}/{MANIFEST}", 0, "", "not-as-published", message))
        return False
    message = "is not what was published, by the list SHA256SUMS; publish the meet again"
    problems += most(
        Problem(f"{id}/{name}", 0, "", "not-as-published", message)
        for name in (*found.changed, *found.missing)
    )
    if found.added:
        message = f"left out, since it was not published: {', '.join(found.added)}"
        problems.append(Note(id, 0, "", "left-alone", message))
    return not (found.changed or found.missing)


def _people(
    folder: Path, problems: list[Problem]
) -> tuple[tuple[PeopleRow, ...], tuple[str, ...], str]:
    """The rows of people.csv, its columns and separator; none where there is no such file."""
    if not is_there(folder, PEOPLE_FILE):
        return (), (), ""
    from resultsgen.publishing.season_people import read_people

    return read_people(folder, problems)


def season_meet(source: MeetSource) -> SeasonMeet:
    """A source as the season knows it."""
    told = source.told.meet
    assert told.first_day
    assert told.last_day
    complete = all(one.complete for one in source.told.competitions)
    return SeasonMeet(
        source.id, told.title, told.place, told.first_day, told.last_day, told.organiser,
        told.state == "official", complete, source.told, source.digest, source.made,
        source.packed,
    )  # fmt: skip


def _known(rows: Iterable[Appearance], meet: Meet) -> Iterator[Appearance]:
    """The rows with the names that the meet withholds."""
    unnamed = withheld(meet).rows
    entries = {entry.key: entry for entry in meet.entries}
    for row in rows:
        entry = entries.get(row.entry)
        if entry and row.entry in unnamed:
            yield row._replace(
                family=entry.family_name, given=entry.given_name,
                birth_year=entry.birth_year, lasting=entry.person,
            )  # fmt: skip
        else:
            yield row
