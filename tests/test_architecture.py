"""Imports point one way, heavy packages stay where they are used, and themes hold no Python."""

import ast
from pathlib import Path

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "resultsgen"

# From the middle outwards; a module may import from its own row and the rows before it.
LAYERS = (
    ("marks", "problems"),
    ("opening", "harmless"),
    ("formulas", "toml"),
    ("language",),
    ("meet", "ruleset"),
    ("names",),
    ("publication", "history", "records"),
    ("rules",),
    ("incidents",),
    ("workbooks",),
    ("reading", "checks", "starter"),
    ("results", "running"),
    ("judging",),
    ("views",),
    ("publications",),
    ("paying", "templates"),
    ("theme", "fonts", "cache"),
    ("pictures",),
    ("press",),
    ("machine",),
    ("charts",),
    ("pages",),
    ("site", "books", "exports"),
    ("exchange", "lock", "manifest"),
    ("staging", "builds"),
    ("unchanged", "last_look"),
    ("publish",),
    ("watching", "gallery"),
    ("cli",),
    ("__main__",),
)
LEVEL = {name: level for level, row in enumerate(LAYERS) for name in row}

# Packages that only these modules may import.
ONLY_IN = {
    "anyascii": {"views", "names"},
    "babel": {"language"},
    "jinja2": {"paying", "templates", "theme", "pages"},
    "weasyprint": {"press"},
    "markdown": {"pages"},
    "nh3": {"pages"},
    "rich": {"cli"},
    "python_calamine": {"workbooks"},
    "xlsxwriter": {"exports"},
    "PIL": {"site", "harmless"},
    "tinycss2": {"harmless"},
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


def test_imports_point_one_way():
    wrong = []
    for path in MODULES:
        own = part_of(path)
        assert own in LEVEL, f"{own} has no place in LAYERS"
        parts = {name.split(".")[1] for name in imports(path) if name.startswith("resultsgen.")}
        wrong += [
            f"{path.relative_to(PACKAGE)} imports {part}"
            for part in sorted(parts & set(LEVEL))
            if LEVEL[part] > LEVEL[own]
        ]
    assert not wrong


def test_a_package_is_imported_only_where_it_is_used():
    assert not [
        f"{name} in {path.relative_to(PACKAGE)}"
        for path in MODULES
        for name in sorted(imports(path))
        if part_of(path) not in ONLY_IN.get(name.split(".")[0], {part_of(path)})
    ]


def test_the_rules_read_nothing():
    for path in (PACKAGE / "rules").glob("*.py"):
        assert not {"pathlib", "io", "os", "datetime", "time", "locale"} & imports(path), path.name


def test_only_one_module_prints():
    for path in MODULES:
        if path.relative_to(PACKAGE) != Path("cli/terminal.py"):
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
