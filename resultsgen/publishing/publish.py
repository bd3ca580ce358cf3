"""The whole story: a meet folder is read and checked, judged, and published whole or not at all."""

from __future__ import annotations

import datetime as dt
from collections import ChainMap
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from resultsgen.checks.keys import with_line
from resultsgen.data.writing import write_records
from resultsgen.files.cache import cache_folder
from resultsgen.files.lock import AnotherBuildError
from resultsgen.files.manifest import otherwise
from resultsgen.files.staging import OF_A_MEET, check_target, real, staged
from resultsgen.history.publication import Publication, published_time
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import MeetProblems, Note, Problem, counted, parted
from resultsgen.publishing.blockers import publication_blockers
from resultsgen.publishing.build_options import BuildOptions, Published
from resultsgen.publishing.extras import Progress, extras, in_one_piece, offered
from resultsgen.publishing.following import with_history, with_known_persons, without_withheld
from resultsgen.publishing.last_look import look_through
from resultsgen.publishing.notes import (
    carried_over,
    letters_without_a_font,
    not_decided,
    not_handed_out,
    old_copies,
    turned_back,
)
from resultsgen.publishing.recording import next_publication
from resultsgen.publishing.unchanged import inputs, remember
from resultsgen.reading.holding import Holding
from resultsgen.reading.meet import read_meet
from resultsgen.reading.publications import (
    broken,
    read_publications,
    records_digest,
)
from resultsgen.scoring.judging import results
from resultsgen.scoring.results import Results
from resultsgen.scoring.stated import awaited, differences
from resultsgen.scoring.unsettled import totals_below_0
from resultsgen.theme.checking import wrongs_of_theme
from resultsgen.theme.theme import Theme, ThemeError, chosen_theme, find_theme
from resultsgen.views.site.attachments import RenderedPage
from resultsgen.website.meet_pages import rendered_pages
from resultsgen.website.writing import printed_everywhere, problems_of_pages, write_site


def publish(meet_folder: Path, out: Path, options: BuildOptions, progress: Progress) -> Published:
    """Publish a meet folder; MeetProblems where it has any, and then nothing is touched."""
    if options.books:
        from resultsgen.books.press.workers import get_ready

        get_ready(options.workers)
    progress("Reading and judging the meet", 0, 0)
    session = options.session
    read = "" if options.follow_later else inputs(meet_folder, out)
    before = records_digest(*_records(out, meet_folder, options))
    judged, texts = checked(meet_folder, out, options)
    theme = theme_of(judged, meet_folder, options)
    read_from = (meet_folder, *_read_from(meet_folder, theme))
    look = partial(look_through, judged.meet, cache_folder(), times=printed_everywhere(judged))
    with staged(out, read_from, look, OF_A_MEET) as staging:
        if records_digest(*_records(out, meet_folder, options)) != before:
            raise AnotherBuildError("another build has just published there; build again")
        write_records(judged, staging.folder, out)
        number = judged.history.number
        made = extras(judged, theme, staging.folder, out, options, progress)
        progress("Writing the pages", 0, 0)
        tables, books = (offered(these, number) for these in made)
        # New ones first: whatever was not asked for this time is let go of.
        cache, held = cache_folder(), ChainMap({}, session.pages) if session else None
        folder, known = staging.folder, staging.known
        known |= session.known if session else {}
        staging.alike = write_site(
            judged, theme, folder, books, tables, texts, cache, out, held, known
        )
    if session and held is not None:
        session.judged, session.pages = judged, held.maps[0]
        session.known = dict(staging.listed.values())
    notes = (
        *map(str, judged.meet.notes),
        *not_decided(texts),
        *letters_without_a_font(judged, theme),
        *not_handed_out(judged),
        *carried_over(staging.carried),
        *old_copies(judged, meet_folder / "publications"),
        *turned_back(judged),
    )
    files, changed = staging.files, staging.changed
    whole = in_one_piece(books)
    why = tuple(str(one) for each in judged.meet.held for one in each.why)
    published = Published(out, number, files, changed, len(books), notes, whole, made, why)
    if read and not judged.meet.held:
        remember(meet_folder, read, theme.folders, options, published)
    return replace(published, notes=(*notes, staging.note)) if staging.note else published


def checked(
    meet_folder: Path, out: Path, options: BuildOptions
) -> tuple[Results, tuple[RenderedPage, ...]]:
    """The results and the Markdown pages of a meet folder; MeetProblems where anything is wrong.

    *out* is the folder that holds what was published before. What is wrong in the marks of a
    competition may hold back that alone, where that is asked for and marks are to come.
    """
    kept, broken = _kept(out, meet_folder, options)
    holding, told = Holding(_shown(out, kept, options)), list[Problem]()
    while True:
        meet, problems = read_meet(meet_folder, holding)
        if meet and not problems:
            judged, texts, problems = _judged(meet, kept, broken, meet_folder, options)
            runs = not all(one.complete for one in judged.competitions)
            if not problems and (runs or not holding.why):
                return judged, texts
        told += problems
        provisional = meet and meet.settings.status.state == "provisional"
        may_hold = options.hold_back and provisional and problems
        further = holding.further(meet, problems) if meet and may_hold else None
        if not further:
            raise MeetProblems(told)
        holding = further


def _judged(
    meet: Meet,
    kept: tuple[Publication, ...],
    broken: list[Problem],
    meet_folder: Path,
    options: BuildOptions,
) -> tuple[Results, tuple[RenderedPage, ...], list[Problem]]:
    """The results and pages of a meet that was read, and what is wrong in them."""
    before = options.session.judged if options.session else None
    judged, unsettled = results(with_known_persons(meet, kept), before)
    judged, unmeant = (judged, broken) if broken else _following(judged, kept, options)
    texts, mistakes = rendered_pages(judged)
    told = (*differences(judged), *awaited(judged), *totals_below_0(judged))
    found = [*unsettled, *told, *unmeant, *mistakes]
    found += _theme_is_there(judged, meet_folder, options)
    problems, notes = parted(with_line(one, meet.lines) for one in found)
    problems = problems or problems_of_pages(judged, theme_of(judged, meet_folder, options), texts)
    return _with_notes(judged, notes), texts, problems


def _shown(out: Path, kept: tuple[Publication, ...], options: BuildOptions) -> Publication | None:
    """The last publication, or what a preview shows after it."""
    shown = read_publications(out / "data" / "publications")[0] if options.follows else ()
    return next(reversed((*kept, *shown)), None)


def nothing_to_mend(judged: Results) -> str:
    """That all is well, and how much there is."""
    rows = counted(len(judged.gymnasts), "row")
    competitions = counted(len(judged.competitions), "competition")
    return f"Nothing to mend: {rows} on the roster, {competitions}."


def _with_notes(judged: Results, notes: tuple[Note, ...]) -> Results:
    """The results of a meet of which more is told; what was only left alone comes last."""
    meet = judged.meet
    told = tuple(sorted(meet.notes + notes, key=lambda one: one.code == "left-alone"))
    return replace(judged, meet=replace(meet, notes=told)) if told != meet.notes else judged


def refuse_output(judged: Results, out: Path, meet_folder: Path, options: BuildOptions) -> None:
    """OutputError where a build could not put anything in that place; nothing is written."""
    theme = theme_of(judged, meet_folder, options)
    check_target(real(out), (meet_folder, *_read_from(meet_folder, theme)), OF_A_MEET)


def _following(
    judged: Results, kept: tuple[Publication, ...], options: BuildOptions
) -> tuple[Results, list[Problem]]:
    """The results with their history, and what keeps them from following what was published."""
    when = published_time(judged.meet.settings)
    last = next_publication(judged, kept, when, seal=options.seal)
    is_new = last.number > len(kept)
    before = without_withheld(kept if is_new else kept[:-1], judged)
    told = with_history(_at(last.published, judged), (*before, last))
    found = publication_blockers(
        judged.meet,
        told.history,
        is_new=is_new,
        allow_removal=options.allow_removal,
        seal=options.seal,
    )
    return told, found


def _at(time: dt.datetime | None, judged: Results) -> Results:
    """The results as they are published at a time, where that was to be told by the clock."""
    settings = judged.meet.settings
    if settings.published != "now":
        return judged
    settings = settings.model_copy(update={"published": time})
    return replace(judged, meet=replace(judged.meet, settings=settings))


def _kept(
    out: Path, meet_folder: Path, options: BuildOptions
) -> tuple[tuple[Publication, ...], list[Problem]]:
    """What was published before; into a new folder, what the meet folder holds of it.

    What the published folder has is compared with its list of files first.
    """
    records = _records(out, meet_folder, options)
    changed = otherwise(options.follows or out, "data/publications/")
    if changed:
        what = "this is not what was published, by the list SHA256SUMS"
        return (), [broken(records[0], Path(name).name, what) for name in changed]
    return read_publications(*records)


def _records(out: Path, meet_folder: Path, options: BuildOptions) -> tuple[Path, Path]:
    """Where records of publications are kept: what was published goes first."""
    return (options.follows or out) / "data" / "publications", meet_folder / "publications"


def theme_of(judged: Results, meet_folder: Path, options: BuildOptions) -> Theme:
    """The theme that is wished for, or the meet's own."""
    named = judged.meet.settings.theme
    return chosen_theme(options.theme, options.trust_theme, named, meet_folder)


def _theme_is_there(judged: Results, meet_folder: Path, options: BuildOptions) -> Iterator[Problem]:
    name = judged.meet.settings.theme
    try:
        find_theme(name, meet_folder)
    except ThemeError as problem:
        yield Problem("meet.toml", 0, "theme", "unknown-theme", str(problem.args[0]), name)
    else:
        yield from wrongs_of_theme(theme_of(judged, meet_folder, options))


def _read_from(meet_folder: Path, theme: Theme) -> tuple[Path, ...]:
    """The folders inside the meet folder and elsewhere that nothing may be written into."""
    own = ("pages", "assets", "publications")
    return (*(meet_folder / name for name in own), *theme.folders)
