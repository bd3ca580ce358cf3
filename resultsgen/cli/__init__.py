"""The command line: what each command does, what it says, and with which code it ends.

Nothing heavy is imported before a command is known to need it, so that help comes at once.
"""

from __future__ import annotations

import argparse
import gc
import signal
import time
from collections.abc import Callable, Iterable
from contextlib import nullcontext, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from resultsgen.cli.arguments import SAID, completion, parser
from resultsgen.cli.terminal import have_streams, let_go, print_error, print_line, progress
from resultsgen.meet.problems import counted

if TYPE_CHECKING:
    from resultsgen.publishing.build_options import Published

DONE, PROBLEMS, WRONG_USAGE, NOT_WRITTEN, INTERRUPTED = 0, 1, 2, 3, 130
WHOLE = "Interrupted; the published folder is whole."

NOTHING_PUBLISHED = ("; nothing published.", ". Nothing published.")
ENDS = {
    "check": (".", ", or build with -o. Nothing to mend else."),
    "themes": ("; no gallery made.", ". No gallery made."),
}
"""How the number of problems goes on, and why nothing was written; else: NOTHING_PUBLISHED."""


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the answer is the exit code, whether anybody hears what is said or not."""
    have_streams()
    try:
        return _run(parser().parse_args(arguments))
    finally:
        let_go()


def _run(asked: argparse.Namespace) -> int:
    """Do what is asked."""
    commands: dict[str, Callable[[argparse.Namespace], int]] = {
        "build": build,
        "check": check,
        "verify": verify,
        "watch": watch,
        "mark": mark,
        "season": season,
        "themes": themes,
        "machine": machine,
        "new": new,
        "completion": print_completion,
    }
    if "meet" in asked and not asked.meet.is_dir():
        return _complain(f"there is no meet folder {asked.meet}", WRONG_USAGE)
    try:
        signal.signal(signal.SIGTERM, _interrupt)
        return commands[asked.command](asked)
    except KeyboardInterrupt:
        return _complain(WHOLE, INTERRUPTED)
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        return _complain(f"{where}{error.strerror or error}", NOT_WRITTEN)
    except Exception as error:
        code = _refused(asked.command, error)
        if code is None and "KeyboardInterrupt" in str(error):
            # pydantic tells so what interrupts it while it makes what it checks settings with.
            return _complain(WHOLE, INTERRUPTED)
        if code is None:
            raise
        return code


def _refused(command: str, error: Exception) -> int | None:
    """With which code a command ends that was refused, once it is said why; None: it broke down."""
    from resultsgen.meet.problems import MeetProblems, NotPublishedError
    from resultsgen.theme.theme import ThemeError

    after_problems, after_refusal = ENDS.get(command, NOTHING_PUBLISHED)
    if isinstance(error, MeetProblems):
        for problem in error.problems:
            print_line(str(problem))
        print_line(f"{len(error.problems)} to mend{after_problems}")
        return PROBLEMS
    if isinstance(error, ThemeError):
        return _complain(str(error.args[0]), WRONG_USAGE)
    if not isinstance(error, NotPublishedError):
        return None
    from resultsgen.books.press import RendererMissingError

    if not isinstance(error, RendererMissingError):
        return _complain(f"{error}{after_refusal}", NOT_WRITTEN)
    first, *advice = str(error).splitlines()
    code = _complain(first, NOT_WRITTEN)
    for line in (*advice, "Nothing published. To publish without books: --without-books"):
        print_error(line)
    return code


def _interrupt(*_: object) -> None:
    """A build that is told to end cleans up as after Ctrl-C."""
    raise KeyboardInterrupt


def build(asked: argparse.Namespace) -> int:
    """Publish a meet folder."""
    from resultsgen.files.staging import default_output
    from resultsgen.publishing.build_options import BuildOptions
    from resultsgen.publishing.unchanged import published_before

    begun = time.monotonic()
    out = asked.output or default_output(asked.meet)
    gc.disable()  # Hardly anything is left lying about, and looking for it takes a tenth.
    options = BuildOptions(
        asked.theme,
        not asked.without_books,
        asked.jobs,
        asked.plain_books,
        asked.allow_removal,
        asked.seal,
        trust_theme=asked.trust_theme,
    )
    published = published_before(asked.meet, out, options)
    if not published:
        from resultsgen.publishing.publish import publish

        with progress() as told:
            published = publish(asked.meet, out, options, told)
    _say_what_was_written(published, options.books, time.monotonic() - begun)
    return DONE


def _say_what_was_written(published: Published, books: bool, seconds: float) -> None:
    _tell_notes(published.notes)
    if not books:
        print_line("Without books, as asked: no PDF was made.")
    notes = f", {counted(len(published.notes), 'note')}" if published.notes else ""
    whole = f" ({published.in_one_piece})" if published.in_one_piece else ""
    print_line(
        f"Published {published.folder}: publication {published.number}, "
        f"{counted(published.files, 'file')} "
        f"({published.changed} new or changed), {counted(published.books, 'book')}{whole}, "
        f"in {seconds:.1f} s; no problems{notes}."
    )


def check(asked: argparse.Namespace) -> int:
    """Say what is to mend, and nothing else."""
    from resultsgen.files.staging import default_output
    from resultsgen.publishing.build_options import BuildOptions
    from resultsgen.publishing.notes import letters_without_a_font, not_decided, old_copies
    from resultsgen.publishing.publish import checked, nothing_to_mend, refuse_output, theme_of

    options = BuildOptions(trust_theme=asked.trust_theme)
    out = asked.output or default_output(asked.meet)
    judged, texts = checked(asked.meet, out, options)
    refuse_output(judged, out, asked.meet, options)
    copies = old_copies(judged, asked.meet / "publications", out / "data" / "publications")
    letters = letters_without_a_font(judged, theme_of(judged, asked.meet, options))
    _tell_notes([*judged.meet.notes, *not_decided(texts), *letters, *copies])
    print_line(nothing_to_mend(judged))
    return DONE


def verify(asked: argparse.Namespace) -> int:
    """Say whether a folder is still what was published, file by file."""
    if not asked.folder.is_dir():
        return _complain(f"there is no folder {asked.folder}", WRONG_USAGE)
    from resultsgen.files.manifest import ManifestError, verified

    try:
        found = verified(asked.folder)
    except ManifestError as problem:
        return _complain(str(problem), WRONG_USAGE)
    for word in ("changed", "missing", "added"):
        for name in getattr(found, word):
            print_line(f"{word}: {name}")
    same = f"{counted(len(found.same), 'file')} and their list as published"
    print_line(f"{same}, {len(found.changed)} changed, "
        f"{len(found.missing)} missing, {len(found.added)} added.")  # fmt: skip
    return DONE if found.intact else PROBLEMS


def watch(asked: argparse.Namespace) -> int:
    """Show a meet folder in a browser while it is written, or publish it while it runs."""
    from resultsgen.entering.form import mark_routes
    from resultsgen.files.staging import default_output
    from resultsgen.publishing import watching
    from resultsgen.publishing.build_options import BuildOptions

    if asked.output and not asked.publish:
        return _complain("-o names where --publish publishes; add it", WRONG_USAGE)
    out = (asked.output or default_output(asked.meet)) if asked.publish else None
    with suppress(KeyboardInterrupt):  # How it is meant to end.
        # In a preview, what changed is told since the last publication, not since the last look.
        options = BuildOptions(
            asked.theme,
            asked.with_books,
            follows=None if out else asked.meet / "output",
            trust_theme=asked.trust_theme,
            hold_back=True,
        )
        watching.watch(asked.meet, options, asked.port, print_line, out, mark_routes(asked.meet))
    return DONE


def mark(asked: argparse.Namespace) -> int:
    """Enter marks, one as a command or many at a prompt."""
    from resultsgen.cli.marking import mark_many, mark_once
    from resultsgen.entering.desk import Desk

    desk = Desk(asked.meet, asked.into)
    said = {name: text for name in SAID if (text := getattr(asked, name))}
    if not asked.slip and said:
        return _complain("write the bib and the apparatus, too: mark MEET 103 FX", WRONG_USAGE)
    if not asked.slip:
        return DONE if mark_many(desk) else PROBLEMS
    return DONE if mark_once(desk, asked.slip, said, yes=asked.yes) else PROBLEMS


def season(asked: argparse.Namespace) -> int:
    """Publish what many meets are together, and ask who is who where that is doubtful."""
    gc.disable()  # Before anything is imported, which is looked through again and again else.
    from resultsgen.files.staging import default_output
    from resultsgen.publishing.season import publish_season

    if not asked.folder.is_dir():
        return _complain(f"there is no season folder {asked.folder}", WRONG_USAGE)
    if asked.bests:
        return _bests(asked)
    out = asked.output or default_output(asked.folder)
    with nullcontext() if asked.without_books else progress() as told:
        published = publish_season(asked.folder, out, told)
    _tell_notes(published.notes)
    for one in published.questions:
        print_line(f"question: {one}")
    if published.since:
        print_line(f"Since the last time: {published.since}.")
    made = published.season
    print_line(
        f"Published {out}: {counted(len(made.facts.meets), 'meet')}, "
        f"{counted(made.many(made.whose), 'gymnast')}, {counted(made.facts.many, 'mark')}, "
        f"{counted(published.files, 'file')} ({published.changed} new or changed); "
        f"{counted(len(published.questions), 'question')}."
    )
    gc.freeze()  # Nor is all that there is looked through at the end, which takes half a second.
    return DONE


def _bests(asked: argparse.Namespace) -> int:
    """Write what a meet is compared with."""
    from resultsgen.publishing.season_bests import write_bests

    if not asked.bests.is_dir():
        return _complain(f"there is no meet folder {asked.bests}", WRONG_USAGE)
    written = write_bests(asked.folder, asked.bests)
    _tell_notes(written.notes)
    for one in written.asked:
        print_line(f"question: {one}")
    print_line(
        f"Wrote {written.file}: {counted(written.rows, 'row')}, of "
        f"{counted(written.gymnasts, 'gymnast')} on the roster. In meet.toml, under [files]: "
        f'bests = "{written.file.name}"'
    )
    return DONE


def themes(asked: argparse.Namespace) -> int:
    """Show a meet in every theme, side by side."""
    from resultsgen.publishing.gallery import write_gallery

    with progress() as told:
        shown = write_gallery(asked.meet, asked.output, told)
    print_line(
        f"Made {asked.output}: {counted(shown, 'theme')}; open {asked.output / 'index.html'}"
    )
    return DONE


def machine(asked: argparse.Namespace) -> int:
    """Say what this machine has and lacks for making books."""
    from resultsgen.publishing.machine import findings

    missing = False
    for one in findings():
        missing = missing or one.state == "missing"
        print_line(f"{one.state:8} {one.what}")
        for line in one.advice.splitlines():
            print_line(f"{'':8} {line}")
    if missing:
        print_line("Books cannot be made here; website and tables can: --without-books.")
    return NOT_WRITTEN if missing else DONE


def new(asked: argparse.Namespace) -> int:
    """Write a starting folder."""
    from resultsgen.publishing.starter import new_meet

    if asked.files and asked.format:
        return _complain("--format is of a folder without --from; leave one out", WRONG_USAGE)
    if asked.files:
        return _new_from(asked.folder, asked.files, asked.discipline or "", dry_run=asked.dry_run)
    if asked.dry_run:
        return _complain("--dry-run tells what --from would make; name files", WRONG_USAGE)
    try:
        new_meet(asked.folder, asked.discipline or "women", asked.format or "teams")
    except FileExistsError as there:
        return _complain(str(there), NOT_WRITTEN)
    print_line(f"Made {asked.folder}. Now: resultsgen build {asked.folder}")
    return DONE


def _new_from(folder: Path, files: list[Path], discipline: str, *, dry_run: bool) -> int:
    """Write a meet folder from somebody's own files, and say all that was seen in them."""
    from resultsgen.intake.writing import begun, lines_of, waiting

    if missing := next((file for file in files if not file.is_file()), None):
        return _complain(f"there is no file {missing}", WRONG_USAGE)
    try:
        with begun(folder, files, discipline, dry_run=dry_run) as made:
            for line in lines_of(made):
                print_line(line)
    except FileExistsError as there:
        return _complain(str(there), NOT_WRITTEN)
    if not made.seen.contests:
        print_line("No table of gymnasts was found; nothing was written.")
        return PROBLEMS
    if dry_run:
        print_line("Nothing was written, as asked.")
    else:
        print_line(f"Made {folder}. {waiting(made.seen)}Now: resultsgen watch {folder}")
    return DONE


def print_completion(asked: argparse.Namespace) -> int:
    for line in completion(asked.shell).splitlines():
        print_line(line)
    return DONE


def _tell_notes(notes: Iterable[object]) -> None:
    """What is told and need not be mended, one line each."""
    for note in notes:
        print_line(f"note: {note}")


def _complain(message: str, code: int) -> int:
    print_error(f"resultsgen: {message}")
    return code
