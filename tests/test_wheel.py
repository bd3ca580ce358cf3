"""What is shipped: the wheel and the sdist, built without a network, and the themes inside."""

from __future__ import annotations

import re
import subprocess
import sys
import sysconfig
import tarfile
from pathlib import Path
from zipfile import ZipFile

import openpyxl
import pytest

from resultsgen import __version__
from resultsgen.theme.theme import theme_names, themes_folder

ROOT = Path(__file__).parent.parent
FIND_THEMES = (
    "import sys; sys.path.insert(0, sys.argv[1]); "
    "from resultsgen.theme.theme import find_theme, theme_names, themes_folder; "
    "print(themes_folder()); print(*theme_names()); print(find_theme('gala').fonts[0])"
)


def python(*arguments: str, folder: Path = ROOT) -> str:
    """What another process of this Python prints; it must end well."""
    done = subprocess.run(
        [sys.executable, *arguments], cwd=folder, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with the sdist, and the wheel that is made from it."""
    folder = tmp_path_factory.mktemp("built")
    python("-m", "build", "--no-isolation", "--outdir", str(folder), str(ROOT))
    return folder


@pytest.fixture(scope="module")
def wheel(built: Path) -> Path:
    return next(built.glob("*.whl"))


def names_in(wheel: Path) -> set[str]:
    with ZipFile(wheel) as held:
        return set(held.namelist())


def beside(folder: str) -> set[str]:
    """The files of a folder of the project as the wheel should hold them."""
    return {
        str(path.relative_to(ROOT))
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and path.suffix != ".pyc"
    }


def test_the_wheel_holds_the_package_and_every_theme(wheel):
    wanted = beside("resultsgen") | {f"resultsgen/{name}" for name in beside("themes")}
    packed = {name for name in names_in(wheel) if ".dist-info/" not in name}
    assert packed == wanted


@pytest.mark.parametrize(
    "name",
    [
        "themes/README.md",
        "themes/gala/theme.toml",
        "themes/standard/theme.toml",
        "themes/standard/site/page.html",
        "themes/standard/static/site.css",
        "themes/standard/book/book.html",
        "themes/standard/fonts/OFL.txt",
        "language/locale/de/LC_MESSAGES/resultsgen.mo",
        "rules/rulebook/international.toml",
        "rules/rulebook/incidents/open-ended.toml",
        "data/results.fields",
        "data/tables.fields",
        "publishing/starting_folder/meet.toml",
        "publishing/starting_folder/pages/recap.md",
    ],
)
def test_what_the_program_reads_at_run_time_is_in_the_wheel(wheel, name):
    assert f"resultsgen/{name}" in names_in(wheel)


def test_every_font_comes_with_its_licence(wheel):
    fonts = [name for name in names_in(wheel) if name.endswith((".ttf", ".otf", ".woff2"))]
    assert fonts
    for font in fonts:
        assert f"{font.rpartition('/')[0]}/OFL.txt" in names_in(wheel)


def test_package_and_program_have_the_same_version(wheel):
    assert wheel.name.startswith(f"resultsgen-{__version__}-")


def test_nothing_else_is_in_the_wheel(wheel):
    tops = {name.split("/")[0] for name in names_in(wheel)}
    assert "resultsgen" in tops
    assert all(top == "resultsgen" or top.endswith(".dist-info") for top in tops), tops
    files = {Path(name).name for name in names_in(wheel)}
    assert not [name for name in files if name.startswith(("test_", "bench_", "conftest"))]


def test_an_installed_wheel_finds_its_own_themes(wheel, tmp_path):
    target = tmp_path / "installed"
    options = ("--quiet", "--no-deps", "--no-index", "--no-compile", "--target", str(target))
    python("-m", "pip", "install", *options, str(wheel), folder=tmp_path)
    told = python("-c", FIND_THEMES, str(target), folder=tmp_path).splitlines()
    assert told[0] == str(target / "resultsgen" / "themes")
    assert told[1].split() == list(theme_names())
    assert told[2].startswith(told[0])


def blocks_of_the_readme() -> list[str]:
    """The commands of the README, block by block."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"^```(\w*)\n(.+?)^```$", text, re.DOTALL | re.MULTILINE)
    return [block for language, block in blocks if language in ("", "sh")]


def write_workbook(path: Path) -> None:
    """What somebody might have, with a title above."""
    book = openpyxl.Workbook()
    for row in (
        ["Spring Cup"], [],
        ["No.", "Surname", "First name", "Club", "Vault", "Beam", "Total"],
        [7, "Vale", "Ada", "Quellheim", 9.1, 9.25, 18.35],
        [12, "Torr", "Bea", "Merrowick", 8.9, 9.4, 18.3],
    ):  # fmt: skip
        book.active.append(row)
    book.save(path)


def test_the_commands_of_the_readme_work_one_after_the_other(wheel, tmp_path):
    """What its first block installs from the network is put in place from here instead; books, and
    `watch`, which goes on until somebody presses Ctrl-C, are tried elsewhere.
    """
    first = blocks_of_the_readme()[0].strip().split(" && ")
    own = next(block for block in blocks_of_the_readme() if "resultsgen new" in block)
    installing, last = first[:-1], first[-1]
    assert last == "resultsgen build example_meet"
    in_this_shell = [step for step in installing if step.startswith(". ")]
    python("-m", "venv", "--without-pip", str(tmp_path / ".venv"), folder=tmp_path)
    options = ("--quiet", "--no-deps", "--no-index", "--no-compile")
    python("-m", "pip", "--python", ".venv", "install", *options, str(wheel), folder=tmp_path)
    site = next((tmp_path / ".venv").rglob("site-packages"))
    (site / "dependencies.pth").write_text(sysconfig.get_path("purelib"))
    write_workbook(tmp_path / "scores.xlsx")
    quick = own.replace("build our-cup", "build our-cup --without-books")
    commands = [line for line in quick.splitlines() if "resultsgen watch" not in line]
    script = "\n".join(["set -eu", *in_this_shell, *commands, "python -m resultsgen --version"])
    done = subprocess.run(
        ["sh", "-c", script],
        cwd=tmp_path,
        env={"PATH": "/usr/bin:/bin", "RESULTSGEN_CACHE": str(tmp_path / "cache")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Nothing to mend" in done.stdout
    assert done.stdout.endswith(f"resultsgen {__version__}\n")


def test_the_sdist_holds_what_its_own_tests_need(built):
    with tarfile.open(next(built.glob("*.tar.gz"))) as held:
        names = {name.partition("/")[2] for name in held.getnames()}
    for name in ("README.md", "DEVELOPERS.md", "pyproject.toml", "tests/run", "tests/README.md"):
        assert name in names
    assert "themes/standard/theme.toml" in names
    assert "example_meet/meet.toml" in names
    assert "tests/published/README.md" in names
    assert "resultsgen/cli/__init__.py" in names


def test_a_checkout_finds_the_themes_beside_the_package(tmp_path):
    # An editable install points to the checkout, and so does this.
    told = python("-c", FIND_THEMES, str(ROOT), folder=tmp_path).splitlines()
    assert told[0] == str(ROOT / "themes") == str(themes_folder())
    assert told[1].split() == list(theme_names())
