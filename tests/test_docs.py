"""What is promised in words is true: READMEs and DEVELOPERS.md against the program, both ways."""

from __future__ import annotations

import argparse
import ast
import doctest
import inspect
import re
from collections.abc import Iterator
from importlib import import_module
from itertools import chain
from pathlib import Path

import pytest
from folders import judged
from spoilt_meets import CODES
from test_architecture import LAYERS, LEVEL

from resultsgen import cli
from resultsgen.cli.arguments import parser
from resultsgen.data.writing import write_exports
from resultsgen.meet.columns import BESTS, CORRECTIONS, INCIDENTS, MARKS, ROSTER, MeetColumn
from resultsgen.meet.competition import (
    Competition,
    Cut,
    Running,
    TeamFormat,
    TeamPenalty,
    Withdrawal,
)
from resultsgen.meet.settings import (
    Discipline,
    MeetSettings,
    Official,
    Press,
    Privacy,
    Screen,
    Signature,
    Status,
)
from resultsgen.meet.sources import Columns, Files
from resultsgen.meet.values import Frozen
from resultsgen.views.press.facts import FACTS, ListEntry
from resultsgen.website.meet_pages import CODES as PAGE_CODES

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "resultsgen"
EXAMPLE = ROOT / "example_meet"
EVENING = ROOT / "tests/example_evening"


def text_of(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def section(name: str, heading: str) -> str:
    """The part of a file below a heading, up to the next of the same rank or above."""
    text = text_of(name)
    found = re.search(rf"^(#+) {re.escape(heading)}$", text, re.MULTILINE)
    assert found, f"{name} has no heading {heading}"
    below = text[found.end() :]
    end = re.search(rf"^#{{1,{len(found[1])}}} ", below, re.MULTILINE)
    return below[: end.start()] if end else below


def said(text: str) -> list[str]:
    """Everything that stands in `code` in a text."""
    return re.findall(r"`([^`\n]+)`", text)


def first_cells(text: str) -> list[str]:
    """What stands in `code` in the first cell of each row of the tables of a text."""
    rows = [line.split("|")[1] for line in text.splitlines() if line.startswith("|")]
    return list(chain.from_iterable(map(said, rows)))


# The first screen of the README


def test_the_first_meet_of_the_readme_has_the_mistake_that_its_picture_shows(tmp_path, capsys):
    blocks = re.findall(r"^```(?:toml|csv)\n(.+?)^```$", text_of("README.md"), re.S | re.M)[:3]
    for name, block in zip(("meet.toml", "roster.csv", "marks.csv"), blocks, strict=True):
        (tmp_path / name).write_text(block, encoding="utf-8")
    assert cli.main(["check", str(tmp_path)]) == cli.PROBLEMS
    shown = re.search(r"!\[(.+)\]\(example_meet/pictures/check.png\)", text_of("README.md"))
    assert shown
    assert " ".join(capsys.readouterr().out.split()) == f"{shown[1]} 1 to mend."


def test_the_readme_is_read_in_ten_minutes():
    assert len(text_of("README.md").splitlines()) <= 260


READMES = [path.relative_to(ROOT) for path in ROOT.glob("[!.]*/**/README.md")]


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", *map(str, READMES)])
def test_every_link_of_a_readme_leads_somewhere(name):
    links = re.findall(r"\]\(([^)\s]+)\)", re.sub(r"`[^`\n]*`", "", text_of(name)))
    for link in links:
        file, _, heading = link.partition("#")
        target = (ROOT / name).parent / file if file else ROOT / name
        assert link.startswith(("https://", "http://")) or target.exists(), link
        if heading:
            titles = re.findall(r"^#+ (.+)$", target.read_text("utf-8"), re.MULTILINE)
            plain = [re.sub(r"[^\w -]", "", title.lower()).replace(" ", "-") for title in titles]
            assert heading in plain, link


# Commands


def commands() -> dict[str, argparse.ArgumentParser]:
    found = [a for a in parser()._actions if isinstance(a, argparse._SubParsersAction)]
    return dict(found[0].choices)


def test_the_readme_names_every_command_and_no_other():
    named = [words.split()[1] for words in first_cells(text_of("resultsgen/cli/README.md"))
             if words.startswith("resultsgen ")]  # fmt: skip
    assert sorted(named) == sorted(commands())


def test_the_readme_names_every_option_and_no_other():
    there = {
        option
        for one in (parser(), *commands().values())
        for action in one._actions
        for option in action.option_strings
    }
    named = [words.split()[0] for words in first_cells(text_of("resultsgen/cli/README.md"))]
    assert {words for words in named if words.startswith("-")} == there


def test_the_readme_names_every_exit_code():
    codes = (cli.DONE, cli.PROBLEMS, cli.WRONG_USAGE, cli.NOT_WRITTEN, cli.INTERRUPTED)
    named = re.findall(r"^\| (\d+) \|", text_of("resultsgen/cli/README.md"), re.MULTILINE)
    assert [int(code) for code in named] == list(codes)


# Problems


def codes_in_the_program() -> Iterator[str]:
    """Every code of a Problem that is written where one is made, or where a table tells one."""
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                named = getattr(node.func, "id", "") or getattr(node.func, "attr", "")
                code = node.args[CODE_AT.get(named, len(node.args)) :][:1]
                yield from (str(one.value) for one in code if isinstance(one, ast.Constant))


CODE_AT = {"Problem": 3, "Note": 3, "kind": 3, "amiss": 1, "tell": 1, "tell_rows": 2}
"""Where the code stands among what is given; `kind` is Problem or Note."""

JUDGED = {
    "not-in-the-final", "draw-does-not-fit", "tie-not-settled", "official-but-not-finished",
    "equals-not-decided", "order-does-not-fit", "stated-otherwise", "total-below-0",
}  # fmt: skip
"""Told by the judging, which has no list of its own."""


def test_the_readme_explains_every_problem_code_and_no_other():
    explained = first_cells(text_of("resultsgen/checks/README.md"))
    codes = [words for words in explained if re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", words)]
    assert len(codes) == len(set(codes))
    assert set(codes) == {*CODES, *PAGE_CODES, *JUDGED, *codes_in_the_program()}


@pytest.mark.parametrize("code", sorted(JUDGED))
def test_what_the_judging_tells_is_in_the_judging(code):
    sources = (path.read_text(encoding="utf-8") for path in (PACKAGE / "scoring").glob("*.py"))
    assert any(f'"{code}"' in source for source in sources)


@pytest.mark.parametrize("code", PAGE_CODES)
def test_the_readme_says_of_a_code_what_the_program_says(code):
    assert f"| `{code}` | {PAGE_CODES[code]} |" in text_of("resultsgen/checks/README.md")


# The meet folder


@pytest.mark.parametrize(
    ("heading", "columns"),
    [
        ("Columns of the roster", ROSTER),
        ("Columns of the marks", MARKS),
        ("Columns of the incidents", INCIDENTS),
        ("Columns of the bests", BESTS),
        ("Columns of the corrections", CORRECTIONS),
    ],
)
def test_the_readme_names_every_column_in_order_and_no_other(heading, columns):
    assert first_cells(section("resultsgen/meet/README.md", heading)) == [
        column.name for column in columns
    ]


@pytest.mark.parametrize(
    ("heading", "columns"),
    [
        ("Columns of the roster", ROSTER),
        ("Columns of the marks", MARKS),
        ("Columns of the incidents", INCIDENTS),
        ("Columns of the bests", BESTS),
        ("Columns of the corrections", CORRECTIONS),
    ],
)
def test_the_starting_folder_names_every_column(heading, columns: tuple[MeetColumn, ...]):
    named = first_cells(section("resultsgen/publishing/starting_folder/README.md", heading))
    assert named == [column.name for column in columns]


def keys(model: type[Frozen]) -> list[str]:
    """The settings of a table as they are written in TOML."""
    return [field.alias or name for name, field in model.model_fields.items()]


def keys_named(heading: str) -> list[str]:
    """The settings in the first cells of a table; `[[competition.cuts]]` is cuts."""
    named = first_cells(section("resultsgen/meet/README.md", heading))
    return [words.strip("[]").rpartition(".")[2] for words in named]


def test_the_readme_names_every_setting_and_no_other():
    assert sorted(keys_named("Settings of `meet.toml`")) == sorted(keys(MeetSettings))
    assert sorted(keys_named("Settings of a `[[competition]]`")) == sorted(keys(Competition))


@pytest.mark.parametrize(
    "model",
    [
        Columns, Cut, Discipline, Files, Official, Press, Privacy, Running, Screen, Signature,
        Status, TeamFormat, TeamPenalty, Withdrawal,
    ],
)  # fmt: skip
def test_the_readme_names_the_settings_inside_settings(model):
    named = said(text_of("resultsgen/meet/README.md"))
    last = {words.strip("[]").rpartition(".")[2] for words in named}
    assert set(keys(model)) <= last


# Facts and data files


def test_the_readme_gives_every_fact_with_what_it_asks_and_no_other():
    asked = []
    for fact in FACTS:
        asks = list(inspect.signature(fact).parameters)[1:]
        asked.append(f"{fact.__name__}({', '.join(asks)})")
    assert sorted(first_cells(text_of("resultsgen/views/README.md"))) == sorted(asked)


def test_the_readme_names_every_field_of_a_row():
    assert set(ListEntry.__slots__) <= set(said(text_of("resultsgen/views/README.md")))


def test_the_readme_names_every_kind_of_data_file_and_no_other(tmp_path):
    meets = [judged(EXAMPLE), judged(EVENING)]
    ids = [one.competition.id for results in meets for one in results.competitions]
    written = {one.address for results in meets for one in write_exports(results, tmp_path)}
    kinds = set()
    for address in written:
        folder, _, file = address.removeprefix("data/").rpartition("/")
        assert folder in ("", *ids)
        file = re.sub(r"^apparatus-\w+", "apparatus-vt", file)
        file = re.sub(f"^{folder}(?=[.])", "COMPETITION", file) if folder else file
        kinds.add(f"COMPETITION/{file}" if folder else file)
    assert set(first_cells(text_of("resultsgen/data/README.md"))) == kinds


# The example meet


def test_the_example_names_every_file_of_its_folder():
    files = [path.relative_to(EXAMPLE) for path in EXAMPLE.rglob("*") if path.is_file()]
    kept = [path for path in files if path.parts[0] != "output" and path.suffix != ".png"]
    named = section("example_meet/README.md", "Files")
    missing = [path for path in kept if f"{path.name}`" not in named and path.name != "README.md"]
    assert not missing


def test_the_running_example_names_every_file_and_column():
    readme = set(said(text_of("tests/example_evening/README.md")))
    for path in EVENING.iterdir():
        assert path.name in readme | {"README.md", "output", "publications"}
    for path in EVENING.glob("*.csv"):
        assert set(path.read_text("utf-8").splitlines()[0].split(",")) <= readme


def test_the_example_names_every_column_of_its_tables():
    readme = set(said(text_of("example_meet/README.md")))
    for table in EXAMPLE.glob("*.csv"):
        heading = table.read_text(encoding="utf-8-sig").splitlines()[0]
        assert set(re.split("[,;\t]", heading)) <= readme, table.name


# DEVELOPERS.md and the README of the tests


def test_the_layers_in_developers_are_those_that_are_tested():
    block = section("DEVELOPERS.md", "Layers").split("```")[1]
    rows = [line.split("#")[0].split() for line in block.splitlines()[1:] if line.strip()]
    assert [tuple(row) for row in rows] == list(LAYERS)


def test_every_part_of_the_package_has_a_layer():
    parts = {path.name.removesuffix(".py") for path in PACKAGE.iterdir()
             if path.suffix == ".py" or (path / "__init__.py").is_file()}  # fmt: skip
    assert parts - {"__init__"} == {one.partition("/")[0] for one in LEVEL}


def paths_named(name: str) -> list[str]:
    """What looks like a path of the project in `code`: a folder or a file with its ending."""
    looks = re.compile(r"[\w.]+(/[\w.]+)*/?")
    words = [word for word in said(text_of(name)) if looks.fullmatch(word)]
    return [word for word in words if "/" in word or word.endswith((".py", ".md", ".toml"))]


def test_every_path_that_developers_names_exists():
    named = paths_named("DEVELOPERS.md")
    assert named
    assert not [word for word in named if not _exists(word)]


def _exists(word: str) -> bool:
    """From the top, or inside the package; what people write themselves (meet.toml), anywhere."""
    if "/" in word or word.endswith(".py"):
        return (ROOT / word).exists() or (PACKAGE / word).exists()
    return any((ROOT / top / word).exists() for top in (".", "example_meet", "themes/standard"))


def test_every_tuple_in_capitals_that_developers_names_exists():
    code = "\n".join(path.read_text(encoding="utf-8") for path in
                     (*PACKAGE.rglob("*.py"), *(ROOT / "tests").rglob("*.py")))  # fmt: skip
    named = {word for word in said(text_of("DEVELOPERS.md")) if re.fullmatch("[A-Z_]{4,}", word)}
    assert named
    assert not [word for word in named if not re.search(rf"^{word}\b.* = ", code, re.MULTILINE)]


def test_the_readme_of_the_tests_names_every_module_of_tests_and_no_other():
    tests = ROOT / "tests"
    named = {Path(word).name for word in said(section("tests/README.md", "Which is for what"))
             if word.endswith(".py")}  # fmt: skip
    assert named == {path.name for path in tests.rglob("test_*.py")}


def test_what_docstrings_show_is_what_comes_out():
    shown = {
        path.relative_to(ROOT): doctest.testmod(
            import_module(".".join(path.relative_to(ROOT).with_suffix("").parts))
        )
        for path in PACKAGE.rglob("*.py")
        if ">>> " in path.read_text("utf-8")
    }
    assert not {path: one for path, one in shown.items() if one.failed or not one.attempted}
