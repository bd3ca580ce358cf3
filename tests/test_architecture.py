"""Imports point one way, heavy packages stay where they are used, and themes hold no Python."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "resultsgen"

# From the middle outwards; a module may import from its own row and the rows before it.
LAYERS = (
    ("marks", "problems"),
    ("language",),
    ("meet", "ruleset"),
    ("publication", "history"),
    ("rules",),
    ("incidents",),
    ("reading", "checks", "starter"),
    ("results", "running"),
    ("judging",),
    ("views",),
    ("publications",),
    ("theme", "fonts", "cache"),
    ("press",),
    ("machine",),
    ("charts",),
    ("pages",),
    ("site", "books", "exports"),
    ("exchange", "lock", "manifest"),
    ("staging", "builds"),
    ("unchanged",),
    ("publish",),
    ("watching", "gallery"),
    ("cli",),
    ("__main__",),
)
LEVEL = {name: level for level, row in enumerate(LAYERS) for name in row}

# Packages that only these modules may import.
ONLY_IN = {
    "anyascii": {"views"},
    "babel": {"language"},
    "jinja2": {"theme", "pages"},
    "weasyprint": {"press"},
    "markdown": {"pages"},
    "nh3": {"pages"},
    "rich": {"cli"},
    "xlsxwriter": {"exports"},
    "PIL": {"site"},
    "fontTools": {"fonts"},
}


def imports(path: Path) -> set[str]:
    """Every module that a file imports, wherever in the file."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def part_of(path: Path) -> str:
    """The layer's name that a file belongs to: rules/ties.py is of `rules`."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


MODULES = sorted(
    path for path in PACKAGE.rglob("*.py") if path.parent != PACKAGE or path.name != "__init__.py"
)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_one_way(path):
    own = part_of(path)
    assert own in LEVEL, f"{own} has no place in LAYERS"
    for name in imports(path):
        if name.startswith("resultsgen.") and name.split(".")[1] in LEVEL:
            other = name.split(".")[1]
            assert LEVEL[other] <= LEVEL[own], f"{own} imports {other}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_package_is_imported_only_where_it_is_used(path):
    for name in imports(path):
        allowed = ONLY_IN.get(name.split(".")[0])
        assert allowed is None or part_of(path) in allowed, f"{name} in {path.name}"


def test_the_rules_read_nothing():
    for path in (PACKAGE / "rules").glob("*.py"):
        assert not {"pathlib", "io", "os", "datetime", "time", "locale"} & imports(path), path.name


def test_only_the_command_line_prints():
    for path in MODULES:
        if part_of(path) != "cli":
            calls = [
                node
                for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
                if isinstance(node, ast.Call)
            ]
            assert not [
                c for c in calls if isinstance(c.func, ast.Name) and c.func.id == "print"
            ], path.name


def test_themes_hold_no_python():
    # Hatchling refuses an editable install where a moved folder holds Python files.
    assert not list((ROOT / "themes").rglob("*.py"))
