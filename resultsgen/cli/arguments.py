"""The commands and their arguments, with help that a person can learn from."""

from __future__ import annotations

import argparse
from pathlib import Path

from resultsgen import __version__
from resultsgen.publishing.starter import DISCIPLINES, FORMATS

SHELLS = ("bash", "zsh", "fish")

ABOUT = """\
Final marks, a roster and the rules become a results website and printable result books
for artistic gymnastics.
"""

EXAMPLES = """\
examples:
  resultsgen new spring-cup                 a commented starting folder
  resultsgen new spring-cup --from a.xlsx   the same from your own workbook
  resultsgen check spring-cup               what is to mend, nothing else
  resultsgen watch spring-cup               the website in a browser while you write
  resultsgen watch spring-cup --publish     published again at each change
  resultsgen mark spring-cup                enter marks, slip by slip
  resultsgen build spring-cup               website and books, into spring-cup/output
  resultsgen build spring-cup -o public     the same, into the folder public
  resultsgen verify public                  whether it is still what was published

exit codes:
  0    done
  1    the meet has problems, and nothing was published; or a folder is not as it was published
  2    the command is not right
  3    something could not be written, or a system library is missing
  130  interrupted; the published folder is whole
"""

BUILD = """\
Read a meet folder, check and judge it, and publish the website, the result books and the
tables. What was published before is replaced whole, in one step, and only if all goes well.
Each publication is numbered and compared with the last; why a published mark was changed stands
in corrections.csv.
"""

BUILD_EXAMPLES = """\
examples:
  resultsgen build spring-cup
  resultsgen build spring-cup -o public
  resultsgen build spring-cup --without-books     when only the website is needed now
  resultsgen build spring-cup --seal              official results: no change without a reason
  resultsgen build spring-cup --theme my-theme    a theme's name, or its folder
"""

CHECK = """\
Read, check and judge a meet folder as `build` does, and say what is to mend: one line each,
with the file and its line. Nothing is written. The exit code is 0 or 1, or 3 where nothing could
be published into that folder.
"""

VERIFY = """\
Compare a published folder, file by file, with the list SHA256SUMS that was published in it, and
say which files are changed, missing or added, hidden files and links too. The exit code is 0 if
all is as it was published, else 1. `sha256sum -c SHA256SUMS` in the folder checks the same list.
"""

WATCH = """\
Build a meet folder into a preview, serve that to a browser on this machine, and build it again
whenever a file changes. The open page reloads itself; what is to mend is shown on the page and
here, and the last good build stays. Nothing is published. Ctrl-C ends it.

With --publish each change is published: the pages at once, then the tables, and the books if asked.
"""

WATCH_EXAMPLES = """\
examples:
  resultsgen watch spring-cup
  resultsgen watch spring-cup --publish           while the meet runs, into spring-cup/output
  resultsgen watch spring-cup --publish -o public --with-books
"""

MARK = """\
Enter marks. Each is checked, asked back where it is unusual, and written into the marks file at
once, on the disk before it is said where it puts the gymnast. Without SLIP there is a prompt which
knows who is up. Several people may enter marks into one folder at the same time.
"""

MARK_EXAMPLES = """\
examples:
  resultsgen mark spring-cup                      a prompt; help at it says what can be written
  resultsgen mark spring-cup 103 fx 4.9 7.75 .1   bib, apparatus, D, E, penalty
  resultsgen mark spring-cup 103 FX --d 4.9 --e 7.75 --penalty .1
  resultsgen mark spring-cup 103 fx DNS           a status in the place of a mark
"""

SEASON = """\
Read the meets that season.toml names, meet folders and published folders, find out who is who, and
publish the careers, bests and records of all together as a website, with tables, season.json and a
yearbook of each year, whole or not at all. Who may be one gymnast and may be two is asked;
people.csv answers. The exit code is 0 or 1, and 3 if something cannot be written, or books cannot
be made here: then --without-books makes the rest.
"""

THEMES = """\
Build the website of a meet in every theme that comes along, and a page that shows them side by
side:

  resultsgen themes spring-cup -o gallery
"""

MACHINE = """\
Say what this machine has and lacks for making books, and what to install. A page is rendered on
trial. The exit code is 0 if books can be made, and 3 if not.
"""

NEW = """\
Write a small meet folder with a remark beside every setting. It builds as it is:

  resultsgen new spring-cup
  resultsgen new spring-cup --discipline men --format finals
  resultsgen build spring-cup

Or look over workbooks and CSV files that you have, copy them as they are, and write the settings by
which they are read. What was found, what is left alone and what you have to decide is said here;
how the files are read and what you have to decide stands in meet.toml, too:

  resultsgen new spring-cup --from scores.xlsx
  resultsgen new spring-cup --from entries.csv vault.xlsx --dry-run
"""

COMPLETION = """\
Print a script that lets a shell complete the commands. To use it:

  bash   resultsgen completion bash > ~/.local/share/bash-completion/completions/resultsgen
  zsh    resultsgen completion zsh > ~/.zfunc/_resultsgen     (a folder in $fpath)
  fish   resultsgen completion fish > ~/.config/fish/completions/resultsgen.fish
"""


def parser() -> argparse.ArgumentParser:
    """Everything that can be written after `resultsgen`."""
    whole = argparse.ArgumentParser(
        prog="resultsgen",
        description=ABOUT,
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument("--version", action="version", version=f"resultsgen {__version__}")
    commands = whole.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _build(commands)
    _watch(commands)
    _mark(commands)
    season = _command(commands, "season", "careers, bests and records of many meets", SEASON)
    season.add_argument("folder", metavar="SEASON", type=Path, help="the season folder")
    season.add_argument(
        "-o", "--output", metavar="OUT", type=Path, help="the folder to publish (SEASON/output)"
    )
    season.add_argument(
        "--bests", metavar="MEET", type=Path,
        help="publish nothing, and write bests and records so far into a meet folder",
    )  # fmt: skip
    season.add_argument(
        "--without-books", action="store_true", help="website and tables only; makes no yearbook"
    )
    check = _command(commands, "check", "say what is to mend in a meet folder", CHECK)
    check.add_argument("meet", metavar="MEET", type=Path, help="the meet folder")
    check.add_argument(
        "-o", "--output", metavar="OUT", type=Path,
        help="the folder that is to be published (MEET/output)",
    )  # fmt: skip
    _trust(check)
    verify = _command(commands, "verify", "compare a folder with what was published", VERIFY)
    verify.add_argument("folder", metavar="OUT", type=Path, help="the published folder")
    themes = _command(commands, "themes", "show a meet in every theme, side by side", THEMES)
    themes.add_argument("meet", metavar="MEET", type=Path, help="the meet folder")
    themes.add_argument(
        "-o", "--output", metavar="OUT", type=Path, required=True, help="the folder to make"
    )
    _command(commands, "machine", "say what this machine lacks for making books", MACHINE)
    new = _command(commands, "new", "write a starting folder that builds", NEW)
    new.add_argument("folder", metavar="DIR", type=Path, help="the folder to make")
    new.add_argument(
        "--discipline",
        choices=DISCIPLINES,
        help="women, if not said, or men; with --from: of those of whom the files do not say it",
    )
    new.add_argument(
        "--format",
        choices=FORMATS,
        help="without --from: teams and all-around; individual: without teams; finals: a "
        "qualification and a final",
    )
    new.add_argument(
        "--from", metavar="FILE", dest="files", type=Path, nargs="+", default=(),
        help="your own workbooks (XLSX, ODS) or CSV files, to make the meet from",
    )  # fmt: skip
    new.add_argument(
        "--dry-run", action="store_true", help="with --from: only say what would be written"
    )
    completion = _command(commands, "completion", "print a script for your shell", COMPLETION)
    completion.add_argument("shell", choices=SHELLS, help="your shell")
    return whole


def _build(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    build = _command(commands, "build", "publish a meet folder", BUILD, BUILD_EXAMPLES)
    build.add_argument("meet", metavar="MEET", type=Path, help="the meet folder")
    build.add_argument(
        "-o",
        "--output",
        metavar="OUT",
        type=Path,
        help="the folder to publish (MEET/output); new, empty, or published by resultsgen before",
    )
    build.add_argument("--theme", default="", help="instead of the theme that the meet names")
    _trust(build)
    build.add_argument(
        "--without-books", action="store_true", help="website and tables only; makes no PDF"
    )
    build.add_argument(
        "--plain-books",
        action="store_true",
        help="render each book in one piece: slower, and without attached tables",
    )
    build.add_argument(
        "--allow-removal",
        action="store_true",
        help="what was published and is not in the meet any more is meant to be gone",
    )
    build.add_argument(
        "--seal",
        action="store_true",
        help="seal official results: from now on nothing changes without a reason",
    )
    build.add_argument(
        "--jobs",
        metavar="N",
        type=_count,
        default=0,
        help="how many processes make books (one for each core)",
    )


def _watch(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    help = "show a meet folder while you write it, or publish it while it runs"
    watch = _command(commands, "watch", help, WATCH, WATCH_EXAMPLES)
    watch.add_argument("meet", metavar="MEET", type=Path, help="the meet folder")
    watch.add_argument("--theme", default="", help="instead of the theme that the meet names")
    _trust(watch)
    watch.add_argument("--publish", action="store_true", help="publish each change")
    watch.add_argument(
        "-o", "--output", metavar="OUT", type=Path,
        help="with --publish: the folder to publish (MEET/output)",
    )  # fmt: skip
    watch.add_argument("--with-books", action="store_true", help="make the books, too")
    watch.add_argument(
        "--port", metavar="N", type=_port, default=8000, help="the port on this machine (8000)"
    )


SAID = ("d", "e", "penalty", "bonus", "mark", "status", "vault", "rotation", "competition")
"""What may be said of a mark by an option of that name."""


def _mark(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    mark = _command(commands, "mark", "enter marks, slip by slip", MARK, MARK_EXAMPLES)
    mark.add_argument("meet", metavar="MEET", type=Path, help="the meet folder")
    mark.add_argument(
        "slip", metavar="SLIP", nargs="*", help="bib, apparatus, D, E, penalty; without: a prompt"
    )
    for name in SAID:
        mark.add_argument(f"--{name}", metavar=name[0].upper(), default="", help=SAID_OF[name])
    mark.add_argument("--into", metavar="FILE", default="", help="of several files of marks")
    mark.add_argument("--yes", action="store_true", help="whatever is unusual is right")


SAID_OF = {
    "d": "D score", "e": "E score", "penalty": "penalty", "bonus": "bonus",
    "mark": "the final mark", "status": "DNS, DNF, DSQ or WDR", "vault": "1 or 2",
    "rotation": "the rotation, where the file has a column for it",
    "competition": "id of the competition, where a bib is in several",
}  # fmt: skip


def _trust(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--trust-theme",
        metavar="THEME",
        default="",
        help="do not hold back the templates, styles and scripts of this theme: it may run code",
    )


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    help: str,
    description: str,
    examples: str = "",
) -> argparse.ArgumentParser:
    return commands.add_parser(
        name,
        help=help,
        description=description,
        epilog=examples,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )


def _count(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 256:
        raise argparse.ArgumentTypeError(f"{text} is not a number from 1 to 256")
    return int(text)


def _port(text: str) -> int:
    if not text.isdecimal() or not 0 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text} is not a port, a number from 0 to 65535")
    return int(text)


def completion(shell: str) -> str:
    """The script that completes the commands in a shell."""
    import shtab

    whole = parser()
    for command in whole._subparsers._group_actions[0].choices.values():  # type: ignore
        for action in command._actions:
            if action.type is Path:
                action.complete = shtab.DIRECTORY
    return str(shtab.complete(whole, shell))
