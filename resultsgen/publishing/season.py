"""A season folder published: read, who is who, worked out, and put in place whole or not at all."""

from __future__ import annotations

import json
import pickle
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from resultsgen.data.season import write_season
from resultsgen.files.cache import KEPT_BYTES, Cache, cache_folder, code_digest, key_of
from resultsgen.files.pictures import published
from resultsgen.files.staging import OF_A_SEASON, Staging, staged, write
from resultsgen.files.standing import ChangedMeanwhile, LeftStanding
from resultsgen.language import LANGUAGES
from resultsgen.meet.problems import MeetProblems, Note, Problem, counted, parted
from resultsgen.privacy.forms import Name, as_written
from resultsgen.publishing.season_folders import SEASON_FILE
from resultsgen.publishing.season_reading import (
    MeetSource,
    ReadSeason,
    in_lines,
    read_season,
    season_meet,
)
from resultsgen.publishing.season_sites import OwnSite, lay_below, own_sites
from resultsgen.season.facts import Facts, facts
from resultsgen.season.rounds import with_tables
from resultsgen.season.season import (
    Careers,
    RowsWritten,
    Season,
    careers_of,
    look_alikes,
    question,
    unknown_rules,
    withheld_names,
)
from resultsgen.season.settings import PEOPLE
from resultsgen.season.settling import PEOPLE_FILE, People, against, settle
from resultsgen.season.who import KnownPeople, Settled, identity, who_is_who
from resultsgen.theme.checking import wrongs_of_theme
from resultsgen.theme.theme import Theme, ThemeError, find_theme
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.website.season_pages import SeasonSite
from resultsgen.website.season_writing import write_season_site

if TYPE_CHECKING:
    from resultsgen.publishing.extras import Progress


KEPT_OF_A_MEET = 2**18
"""So many bytes are kept of each, however many there are: one of 120 gymnasts takes 160 kB."""


@dataclass(frozen=True)
class PublishedSeason:
    """What was published of a season, and what is to be said of it."""

    season: Season
    files: int
    changed: int
    questions: tuple[str, ...]
    notes: tuple[str, ...]
    since: str = ""
    """Which meets are otherwise than in what was published before, where that is known."""


def publish_season(folder: Path, out: Path, books: Progress | None = None) -> PublishedSeason:
    """Publish a season folder; MeetProblems where it has any, and then nothing is touched.

    *books* is told how far its yearbooks are; None: none are made.
    """
    try:
        return _published(folder, out, books)
    except ChangedMeanwhile:
        return _published(folder, out, books)


def _published(folder: Path, out: Path, books: Progress | None) -> PublishedSeason:
    read = read_season(folder, out)
    made, names, questions, notes = worked_out(read)
    if names:
        from resultsgen.publishing.season_withheld import look_at, sought_nowhere
    looked = sought_nowhere(made, names, read) if names else None
    theme = _theme(read, folder)
    below, untold = own_sites(read.sources, looked)
    inputs = (folder, *(source.folder for source in read.sources), *theme.folders)
    cache = Cache(cache_folder())

    def look(new: Path, digests: Mapping[str, str]) -> None:
        standing.look(digests)
        if looked:
            look_at(looked, new, digests)

    with staged(out, inputs, look, OF_A_SEASON) as staging:
        standing = LeftStanding(out, staging, cache)
        lay_below(below.values(), staging.folder)
        if books:
            _write_books(made, theme, standing, cache, books)
        pages = _pages(made, read, theme, below, books is not None)
        write_season_site(pages, standing, cache, partial(write_season, made, standing))
        for path in read.pictures:
            (data,) = published(path, cache, [(0, 0)])
            write(staging.folder, f"assets/{path.name}", data, out)
    since = _since(made, standing)
    standing.keep()
    cache.prune(max(KEPT_BYTES, KEPT_OF_A_MEET * len(read.sources)))
    said = *untold, *_unknown(read.sources), *_of_folder(staging)
    told = (*map(str, (*read.notes, *notes)), *said)
    return PublishedSeason(made, staging.files, staging.changed, questions, told, since)


def _of_folder(staging: Staging) -> Iterator[str]:
    """What there is to say of the folder that was put in place, as of that of a meet."""
    if staging.carried:
        from resultsgen.publishing.notes import carried_over

        yield from carried_over(staging.carried)
    if staging.note:
        yield staging.note


SHOWN = 3
"""So many meets are named that changed, say."""


def _since(made: Season, standing: LeftStanding) -> str:
    """The meets that are new, changed or gone."""
    now = {meet.id: key_of(meet.packed) for meet in made.facts.meets}
    before = json.loads(standing.told("meets of before") or json.dumps(now))
    standing.made("meets of before", "", (), json.dumps(now))
    each = {
        "new": [id for id in now if id not in before],
        "changed": [id for id in now if before.get(id, now[id]) != now[id]],
        "gone": [id for id in before if id not in now],
    }
    told = []
    for what, ids in each.items():
        named = ", ".join([*ids[:SHOWN], *["…"] * (len(ids) > SHOWN)])
        told += [f"{counted(len(ids), 'meet')} {what} ({named})"] if ids else []
    return "; ".join(told)


def _write_books(
    made: Season, theme: Theme, standing: LeftStanding, cache: Cache, progress: Progress
) -> None:
    from resultsgen.books.yearbooks import write_yearbooks

    told = partial(progress, "Making the yearbooks")
    write_yearbooks(made, theme, standing, cache, lambda done, of, _: told(done, of))


def _theme(read: ReadSeason, folder: Path) -> Theme:
    """The theme of the season; MeetProblems where it is not there, or does what it must not."""
    try:
        theme = find_theme(read.settings.theme, folder)
    except ThemeError as problem:
        message = str(problem.args[0])
        name = read.settings.theme
        wrong = [Problem(SEASON_FILE, 0, "theme", "unknown-theme", message, name)]
        raise MeetProblems(in_lines(wrong, read.lines)) from None
    if wrong := [*wrongs_of_theme(theme)]:
        raise MeetProblems(wrong)
    return theme


def _pages(
    made: Season, read: ReadSeason, theme: Theme, below: Mapping[str, OwnSite], books: bool
) -> tuple[SeasonSite, ...]:
    """The site in each language of the season, the main one first."""
    listed = read.settings.search_engines and all(source.search_engines for source in read.sources)
    sites = {id: one.site for id, one in below.items()}
    return tuple(
        SeasonSite(
            SeasonSubject(made, LANGUAGES[code], sites, books), theme, not listed,
            tuple(text for text in read.texts if text.site == code),
        )
        for code in read.settings.languages
    )  # fmt: skip


def worked_out(
    read: ReadSeason,
) -> tuple[Season, dict[Name, str], tuple[str, ...], tuple[object, ...]]:
    """The season, the names that are withheld in all of it, what is asked, and notes."""
    held = facts(season_meet(source) for source in read.sources)
    careers, names, questions, notes = _people_of(read, held)
    made, problems = with_tables(Season(read.settings, held, *careers))
    wrong, further = parted(in_lines(problems, read.lines))
    if wrong:
        raise MeetProblems(wrong)
    return made, names, questions, (*notes, *further)


def _people_of(
    read: ReadSeason, held: Facts
) -> tuple[Careers, dict[Name, str], tuple[str, ...], tuple[Note, ...]]:
    """Everybody, the names that are withheld, what is asked, and notes.

    As it was found before, while no roster is otherwise, nor people.csv and who is in which list.
    """
    rosters = {source.id: source.roster for source in read.sources}
    lists = [held.made[meet.id].lists for meet in held.meets] if read.people else ()
    asked = repr(
        (read.people, read.columns, read.separator, lists, unknown_rules(read.settings, held))
    )
    key = key_of(code_digest(), asked, *(rosters[meet.id] for meet in held.meets))

    def found() -> bytes:
        known, people, questions, notes = known_people(read, read.sources, held)
        names = withheld_names(known, people)
        return pickle.dumps((careers_of(known, people), names, questions, notes), 5)

    told: tuple[Careers, dict[Name, str], tuple[str, ...], tuple[Note, ...]] = pickle.loads(
        Cache(cache_folder()).kept_or_made(key, found)
    )
    return told


def known_people(
    read: ReadSeason, sources: Iterable[MeetSource], held: Facts
) -> tuple[KnownPeople, People, tuple[str, ...], tuple[Note, ...]]:
    """Who is who at these meets, what people.csv says of them, what is asked, and notes."""
    by_id = {source.id: source for source in sources}
    rows = [row for meet in held.meets for row in by_id[meet.id].rows]
    printed = {identity(row): f"{row.family} {row.given}".strip() for row in reversed(rows)}
    columns = read.columns or tuple(one.name for one in PEOPLE)
    written = RowsWritten(columns, read.separator or ",")
    there = tuple(sorted(printed, key=lambda one: one.order))
    people, problems = settle(read.people, there, printed)
    settled = people.settled if not problems else Settled()
    known = who_is_who(rows, settled, dict(people.called))
    problems += against(read.people, known, settled, held, printed)
    problems += unknown_rules(read.settings, held)
    problems += look_alikes(known, people, printed, written)
    wrong, notes = parted(in_lines(problems, read.lines))
    if wrong:
        raise MeetProblems(wrong)
    hidden = {as_written(*name) for name in withheld_names(known, people)}
    questions = tuple(
        question(one, printed, written) for one in known.doubts
        if not hidden & {one.one.name, one.other.name}
    )  # fmt: skip
    if questions and not read.columns:
        message = f"it begins with this line: {','.join(columns)}"
        notes = (*notes, Note(PEOPLE_FILE, 1, "", "people-to-begin", message))
    return known, people, questions, notes


def _unknown(sources: Iterable[MeetSource]) -> Iterable[str]:
    """A note on published meets that withhold names, of which nobody can know whose they are."""
    for source in sources:
        many = sum(one.name_withheld for one in source.told.gymnasts)
        if many and not source.judged:
            yield (
                f"{source.id}: it withholds {many} of its names, and does not say whose: if they "
                "are in other meets, withhold them there or in people.csv"
            )
