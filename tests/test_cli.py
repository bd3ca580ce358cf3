"""The commands as a person or a script meets them: what they say, and with which code they end."""

from __future__ import annotations

import io
import os
import pty
import re
import signal
import subprocess
import sys
import threading
from pathlib import Path
from types import SimpleNamespace

import pytest
from new_meets import ended

from resultsgen import __version__, cli
from resultsgen.books import making
from resultsgen.books.press import PressError, RendererMissingError
from resultsgen.files.manifest import MARKER, verified
from resultsgen.files.staging import made_files, working_folder
from resultsgen.meet.problems import NotPublishedError
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.publishing.starter import new_meet

ROOT = Path(__file__).parent.parent
RUN = "import sys; from resultsgen.cli import main; sys.exit(main())"
HEAVY = {"pandas", "numpy", "weasyprint", "jinja2", "pydantic", "markdown", "nh3", "rich", "shtab"}


def resultsgen(*arguments: object, **more: str) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", RUN, *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        env=environment(**more),
    )


@pytest.fixture
def run(capsys):
    """Run the command in this process, which takes a tenth of the time and says the same."""

    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        capsys.readouterr()
        code = ended(*arguments)
        said = capsys.readouterr()
        return subprocess.CompletedProcess(arguments, code, said.out, said.err)

    return run


def environment(**more: str) -> dict[str, str]:
    return os.environ | {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"} | more


@pytest.fixture(scope="module")
def published(tmp_path_factory):
    """A starting folder, made and built with books in other processes, and what was said of it."""
    folder = tmp_path_factory.mktemp("starting") / "spring-cup"
    cache = tmp_path_factory.mktemp("cache")
    assert resultsgen("new", folder).returncode == 0
    settled = {"PYTHONHASHSEED": "2", "RESULTSGEN_CACHE": str(cache)}
    told = resultsgen("build", folder, "--jobs", "2", **settled)
    assert told.returncode == 0, told.stderr
    return folder, told


@pytest.fixture
def meet(tmp_path):
    """The starting folder: a small meet that builds."""
    new_meet(tmp_path / "meet")
    return tmp_path / "meet"


def content(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def spoil(meet: Path) -> None:
    """Two mistakes: a bib that nobody has, and a mark that is none."""
    marks = meet / "marks.csv"
    lines = marks.read_text("utf-8").splitlines()
    cells = lines[1].split(",")
    lines[1] = ",".join(["nobody", *cells[1:]])
    lines[2] = re.sub(r",\d+\.\d+", ",12.x", lines[2], count=1)
    marks.write_text("\n".join(lines) + "\n", encoding="utf-8")


@pytest.mark.parametrize("stream", [1, 2])
@pytest.mark.parametrize("into", ["&-", "/dev/full", " >(exit)"])
def test_a_stream_that_nobody_hears_changes_no_exit_code(meet, stream, into):
    """Closed, full, or a pipe whose reader has gone."""
    spoil(meet)
    begin = "sleep 0.1; " if "exit" in into else ""
    script = f"{begin}'{sys.executable}' -c '{RUN}' check '{meet}' {stream}>{into}"
    told = subprocess.run(
        ["bash", "-c", script], capture_output=True, check=False, env=environment()
    )
    assert told.returncode == 1, told.stderr
    assert b"Traceback" not in told.stderr
    assert b"Exception ignored" not in told.stderr


def test_a_build_that_nobody_hears_publishes_whole(meet):
    command = f"'{sys.executable}' -c '{RUN}' build --without-books '{meet}' >&- 2>&- <&-"
    assert subprocess.run(["sh", "-c", command], check=False, env=environment()).returncode == 0
    assert verified(meet / "output").intact


def test_nothing_of_the_input_steers_the_terminal(meet, tmp_path, run):
    """Cells, file names, settings, the folder itself: signs that steer it are written out."""
    (meet / "assets").mkdir(exist_ok=True)
    (meet / "assets" / "\x1b[2J.png").write_text("no picture")
    with (meet / "roster.csv").open("a", encoding="utf-8") as roster:
        roster.write('"1\x1b[1A\u202e\x9b31m\n2",maybe\n')
    named = tmp_path / os.fsdecode(b"\xff\x1b[31m")
    meet.rename(named)
    # The folder's name, then cells and a picture's, then a setting's.
    told = [run("check", named / "\x07"), resultsgen("check", named)]
    with (named / "meet.toml").open("a", encoding="utf-8") as settings:
        settings.write('\n"\\u001b]0;owned\\u0007" = 1\n')
    told.append(run("build", named))
    assert [one.returncode for one in told] == [2, 1, 1]
    for one in told:
        assert "\\x1b" in one.stdout + one.stderr
        assert re.fullmatch(r"[\n -~]+", one.stdout + one.stderr)


def test_what_a_stream_cannot_write_is_written_out(meet):
    told = resultsgen("check", meet / "Mädchen", PYTHONIOENCODING="ascii")
    assert told.returncode == 2
    assert "M\\xe4dchen" in told.stderr


@pytest.mark.parametrize("output", ["a file", "of somebody else", "a circle", "a link beside"])
def test_check_says_what_keeps_a_build_from_its_output(meet, output, capsys):
    out = meet / "output"
    if output == "a file":
        out.write_text("mine")
    elif output == "a circle":
        out.symlink_to("output")
    elif output == "a link beside":
        working_folder(out.resolve()).symlink_to("/")
    else:
        out.mkdir()
        (out / "letter.txt").write_text("mine")
    assert cli.main(["check", str(meet)]) == 3
    said = capsys.readouterr().err.partition(", or build with -o")[0]
    with pytest.raises(NotPublishedError) as refused:
        publish(meet, out, BuildOptions(books=False), lambda *_: None)
    assert said == f"resultsgen: {refused.value}"


def test_a_meet_folder_does_not_choose_what_is_published_over(meet, tmp_path, capsys):
    """Its output may be a link only within it; who means another folder says so."""
    site = tmp_path / "site"
    publish(meet, site, BuildOptions(books=False), lambda *_: None)
    before = content(site)
    (meet / "output").symlink_to(site)
    for command in (["check", str(meet)], ["build", "--without-books", str(meet)]):
        assert cli.main(command) == 3
        assert f"say so: -o {site}" in capsys.readouterr().err
    assert content(site) == before


def test_help_teaches_the_commands_and_the_exit_codes(run):
    told = run("--help")
    assert told.returncode == 0
    for word in ("build", "check", "new", "completion", "exit codes", "130", "resultsgen check"):
        assert word in told.stdout
    for command in ("build", "check", "new", "completion"):
        assert "resultsgen" in run(command, "--help").stdout
    assert "--without-books" in run("build", "--help").stdout


def test_python_runs_it_as_a_module_too():
    told = subprocess.run(
        [sys.executable, "-m", "resultsgen", "--version"],
        capture_output=True,
        text=True,
        check=False,
        env=environment(),
    )
    assert (told.returncode, told.stdout) == (0, f"resultsgen {__version__}\n"), told.stderr


def test_as_a_module_it_takes_nothing_from_the_folder_it_is_started_in(meet):
    for name in ("jinja2", "pandas", "argparse", "gc", "tomllib", "nh3"):
        (meet / f"{name}.py").write_text("import os\nos._exit(77)\n")
    told = subprocess.run(
        [sys.executable, "-m", "resultsgen", "check", "."],
        cwd=meet,
        capture_output=True,
        text=True,
        check=False,
        env=environment(),
    )
    assert told.returncode == 0, told.stdout + told.stderr


@pytest.mark.parametrize("arguments", [["--help"], ["build", "--help"], ["--version"]])
def test_help_imports_nothing_heavy(arguments):
    told = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", RUN, *arguments],
        capture_output=True,
        text=True,
        check=True,
        env=environment(),
    )
    imported = {line.rpartition("|")[2].strip() for line in told.stderr.splitlines()}
    assert "argparse" in imported
    assert not {name.partition(".")[0] for name in imported} & HEAVY


def test_the_version_is_told(run):
    assert run("--version").stdout == f"resultsgen {__version__}\n"


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["publish"],
        ["build"],
        ["build", "nowhere"],
        ["check", "nowhere"],
        ["build", "nowhere", "--jobs", "0"],
        ["completion", "tcsh"],
    ],
)
def test_a_wrong_command_ends_with_2_and_one_line_about_it(arguments, run):
    told = run(*arguments)
    assert told.returncode == 2
    assert "Traceback" not in told.stderr
    assert told.stderr.splitlines()[-1].startswith("resultsgen")


def test_a_new_folder_builds_as_it_is(published):
    folder, told = published
    assert (folder / "output" / "index.html").is_file()
    assert list((folder / "output" / "books").glob("*.pdf"))
    assert (folder / "output" / "data" / "datapackage.json").is_file()
    last = told.stdout.splitlines()[-1]
    assert re.fullmatch(
        r"Published .*spring-cup/output: publication 1, \d+ files \(\d+ new or changed\), "
        r"\d+ books, in \d+\.\d s; no problems\.",
        last,
    )
    steps = told.stderr.splitlines()
    assert steps == [
        "Reading and judging the meet ...",
        "Writing the tables ...",
        "Making the books ...",
        "Writing the pages ...",
    ]


def test_new_never_writes_into_a_folder_that_has_something_in_it(tmp_path, run):
    (tmp_path / "mine.txt").write_text("mine")
    told = run("new", tmp_path)
    assert (told.returncode, told.stdout) == (3, "")
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_the_same_meet_gives_the_same_bytes(published, tmp_path):
    # Different hash seeds, processes and caches must leave no trace.
    folder, _ = published
    told = resultsgen(
        "build", folder, "-o", tmp_path / "again", "--jobs", "1",
        PYTHONHASHSEED="1", RESULTSGEN_CACHE=str(tmp_path / "cache"),
    )  # fmt: skip
    assert told.returncode == 0, told.stderr
    assert content(tmp_path / "again") == content(folder / "output")


def test_check_says_that_nothing_is_to_mend(meet, run):
    told = run("check", meet)
    assert (told.returncode, told.stderr) == (0, "")
    assert told.stdout.startswith("Nothing to mend: ")
    assert not (meet / "output").exists()


def test_check_tells_every_problem_by_file_and_row_and_how_many(meet, run):
    spoil(meet)
    told = run("check", meet)
    assert (told.returncode, told.stderr) == (1, "")
    *problems, last = told.stdout.splitlines()
    assert last == f"{len(problems)} to mend."
    assert problems[0].startswith("marks.csv:2 ")
    assert problems[1].startswith("marks.csv:3 ")
    assert problems == sorted(problems, key=lambda line: int(re.search(r":(\d+)", line)[1]))


def test_a_meet_with_problems_leaves_the_published_folder_as_it_was(meet, run):
    assert run("build", meet, "--without-books").returncode == 0
    before = content(meet / "output")
    spoil(meet)
    told = run("build", meet, "--without-books")
    assert told.returncode == 1
    assert re.fullmatch(r"\d+ to mend; nothing published\.", told.stdout.splitlines()[-1])
    assert content(meet / "output") == before
    assert not working_folder(meet / "output").exists()


def test_a_mistake_in_a_markdown_page_is_told_with_its_line(meet, run):
    (meet / "pages" / "press.md").write_text('+++\ntitle = "Press"\n+++\n\n{{ winner("x") }}\n')
    told = run("check", meet)
    assert told.returncode == 1
    assert told.stdout.startswith("pages/press.md:5 there is no competition")


def test_a_theme_that_is_not_there_is_a_wrong_command_or_a_problem_of_the_meet(meet, run):
    told = run("build", meet, "--theme", "nosuch")
    assert (told.returncode, told.stdout) == (2, "")
    assert "standard" in told.stderr
    settings = meet / "meet.toml"
    settings.write_text(f'theme = "nosuch"\n{settings.read_text("utf-8")}'.replace(
        'theme = "standard"\n', ""
    ), encoding="utf-8")  # fmt: skip
    told = run("check", meet)
    assert told.returncode == 1
    assert "(unknown-theme)" in told.stdout


def test_without_books_is_said_plainly(meet, run):
    told = run("build", meet, "--without-books")
    assert told.returncode == 0
    assert "Without books, as asked: no PDF was made.\n" in told.stdout
    assert not list((meet / "output").rglob("*.pdf"))


@pytest.mark.parametrize("place", ["meet", "meet/pages", "file.txt", "file.txt/out", "others"])
def test_an_output_that_cannot_be_is_refused_with_3_and_nothing_changes(meet, place, run):
    (meet.parent / "file.txt").write_text("mine")
    (meet.parent / "others").mkdir()
    (meet.parent / "others" / "photo.jpg").write_text("mine")
    before = content(meet.parent)
    for command in (["build", "--without-books"], ["check"]):
        told = run(*command, meet, "-o", meet.parent / place)
        assert told.returncode == 3
        assert "Traceback" not in told.stderr
        assert content(meet.parent) == before


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (RendererMissingError("Install Pango like this"), "Install Pango like this"),
        (PressError("beam: it broke"), "beam: it broke. Nothing published."),
        (PermissionError(13, "Permission denied", "output"), "output: Permission denied"),
        (OSError(28, "No space left on device"), "No space left on device"),
    ],
)
def test_what_cannot_be_made_or_written_ends_with_3(meet, monkeypatch, capsys, error, said):
    def fails(*_args: object, **_more: object) -> None:
        raise error

    monkeypatch.setattr(making, "write_books", fails)
    assert cli.main(["build", str(meet)]) == 3
    assert said in capsys.readouterr().err
    assert not (meet / "output").exists()


def test_an_interrupt_that_a_library_tells_as_its_own_is_one(meet, monkeypatch, capsys):
    def interrupted(*_: object) -> None:
        raise RuntimeError("could not be made:\n  KeyboardInterrupt:")

    monkeypatch.setattr("resultsgen.publishing.publish.publish", interrupted)
    assert cli.main(["build", str(meet)]) == 130
    assert capsys.readouterr().err.endswith("Interrupted; the published folder is whole.\n")


def test_a_missing_renderer_names_the_way_without_books(meet, monkeypatch, capsys):
    def fails(*_args: object, **_more: object) -> None:
        raise RendererMissingError("Install Pango")

    monkeypatch.setattr(making, "write_books", fails)
    assert cli.main(["build", str(meet)]) == 3
    assert "--without-books" in capsys.readouterr().err
    assert cli.main(["build", str(meet), "--without-books"]) == 0
    assert (meet / "output" / "index.html").is_file()


@pytest.mark.parametrize(
    ("by", "code"),
    [(signal.SIGINT, 130), (signal.SIGTERM, 130), (signal.SIGKILL, -signal.SIGKILL)],
)
def test_a_build_that_is_interrupted_or_killed_leaves_what_was_published(meet, by, code, run):
    target = meet / "output"
    assert run("build", meet, "--without-books").returncode == 0
    before = content(target)
    # What was started in the background may have been told to ignore Ctrl-C.
    hearing = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    building = subprocess.Popen(
        [sys.executable, "-c", hearing + RUN, "build", str(meet)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=environment(RESULTSGEN_CACHE="none"),
    )
    assert building.stderr is not None
    for line in building.stderr:
        if line.startswith("Making the books"):
            break
    building.send_signal(by)
    said, complaint = building.communicate(timeout=60)
    assert building.returncode == code
    assert "Traceback" not in complaint
    assert said == ""
    assert content(target) == before
    assert working_folder(target).exists() == (by == signal.SIGKILL)
    assert run("build", meet, "--without-books").returncode == 0
    assert content(target) == before
    assert not working_folder(target).exists()


def test_on_a_terminal_a_bar_tells_the_step_and_leaves_nothing_behind(meet):
    ours, theirs = pty.openpty()
    building = subprocess.Popen(
        [sys.executable, "-c", RUN, "build", str(meet), "--without-books"],
        stdout=subprocess.PIPE,
        stderr=theirs,
        text=True,
        env=environment(TERM="xterm", COLUMNS="100"),
    )
    os.close(theirs)
    shown = read_all(ours)
    said, _ = building.communicate(timeout=60)
    assert building.returncode == 0
    assert "\x1b[" in shown
    assert "Reading and judging the meet" in shown
    assert said.splitlines()[-1].startswith("Published ")


def read_all(terminal: int) -> str:
    pieces = []
    try:
        while piece := os.read(terminal, 4096):
            pieces.append(piece)
    except OSError:  # the other end is closed
        pass
    os.close(terminal)
    return b"".join(pieces).decode("utf-8", "replace")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_prints_a_script_that_knows_the_commands(shell, run):
    told = run("completion", shell)
    assert (told.returncode, told.stderr) == (0, "")
    for word in ("build", "check", "new", "without-books"):
        assert word in told.stdout


def test_bash_completes_the_commands_and_options(tmp_path, run):
    script = tmp_path / "resultsgen"
    script.write_text(run("completion", "bash").stdout)
    asked = f"""
        source {script}
        complete_for() {{
            COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); COMPREPLY=()
            _shtab_resultsgen; echo "${{COMPREPLY[@]}}"
        }}
        complete_for resultsgen bu
        complete_for resultsgen build --with
    """
    told = subprocess.run(["bash", "-c", asked], capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["build", "--without-books"]


def test_what_is_left_alone_and_a_letter_that_no_font_has_are_told_as_notes(meet, run):
    roster = meet / "roster.csv"
    heading, first, *others = roster.read_text("utf-8").splitlines()
    cells = first.split(",")
    cells[heading.split(",").index("family_name")] = "漢ADAMS"
    roster.write_text("\n".join([heading, ",".join(cells), *others]) + "\n", encoding="utf-8")
    heading, *marks = (meet / "marks.csv").read_text("utf-8").splitlines()
    marks = [f"{heading},Hair", *(f"{line},1" for line in marks)]
    (meet / "marks.csv").write_text("\n".join(marks) + "\n", encoding="utf-8")
    left = "note: marks.csv:1 columns left alone: Hair (left-alone)"
    told = run("check", meet)
    notes = [line for line in told.stdout.splitlines() if line.startswith("note: ")]
    assert notes[0] == left
    assert notes[1].startswith("note: the theme's fonts have no 漢, as in 漢ADAMS")
    told = run("build", meet, "--without-books")
    assert told.returncode == 0
    assert notes == [line for line in told.stdout.splitlines() if line.startswith("note: ")]
    assert told.stdout.splitlines()[-1].endswith("no problems, 2 notes.")


def test_every_published_file_is_in_the_marker(published):
    folder, _ = published
    assert set(content(folder / "output")) == made_files(folder / "output")
    assert MARKER in content(folder / "output")


def test_no_thread_of_the_bar_goes_on_once_all_is_told(monkeypatch):
    monkeypatch.setattr(cli.terminal, "sys", SimpleNamespace(stderr=Terminal()))
    before = {*threading.enumerate()}
    with cli.progress() as told:
        for _ in range(2):  # It may begin again.
            told("Making", 1, 2)
            (drawing,) = {*threading.enumerate()} - before
            told("Making", 2, 2)
            drawing.join(10)
            assert not drawing.is_alive()


class Terminal(io.StringIO):
    def isatty(self):
        return True
