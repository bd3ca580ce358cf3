"""Imports point one way, heavy packages stay where they are used, and themes hold no Python."""

import ast
from collections import Counter
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "resultsgen"

# From the middle outwards; a module may import from its own row and the rows before it. A longer
# path says it of part of a room.
LAYERS = (
    ("meet",),
    ("files",),
    ("language",),
    ("privacy",),
    ("history",),
    ("rules",),
    ("reading", "checks"),
    ("scoring",),
    ("live",),
    ("season",),
    ("views",),
    ("theme",),
    ("books/press",),
    ("website", "books", "data"),
    ("publishing",),
    ("intake",),
    ("entering",),
    ("cli",),
    ("__main__",),
)
LEVEL = {name: level for level, row in enumerate(LAYERS) for name in row}

# Packages that only these modules may import; marks are whole numbers in plain values, in no table.
ONLY_IN = {
    "anyascii": {"views", "privacy"},
    "babel": {"language"},
    "jinja2": {"theme", "website"},
    "weasyprint": {"books"},
    "markdown": {"website"},
    "nh3": {"website"},
    "rich": {"cli"},
    "prompt_toolkit": {"cli"},
    "python_calamine": {"files"},
    "xlsxwriter": {"data"},
    "PIL": {"website", "files"},
    "segno": {"theme"},
    "tinycss2": {"files"},
    "fontTools": {"theme"},
    "pandas": set(),
    "numpy": set(),
}


@cache
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


def room_of(path: Path) -> str:
    """The room that a file belongs to: rules/ties.py is of `rules`."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def level_of(module: str) -> int | None:
    """The row of the longest path in LAYERS that leads to a module: resultsgen.rules.ties."""
    parts = module.split(".")[1:]
    known = (LEVEL.get("/".join(parts[:length])) for length in range(len(parts), 0, -1))
    return next((level for level in known if level is not None), None)


def name_of(path: Path) -> str:
    """The name under which a file is imported."""
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


MODULES = sorted(
    path for path in PACKAGE.rglob("*.py") if path.parent != PACKAGE or path.name != "__init__.py"
)


def test_imports_point_one_way():
    wrong = []
    for path in MODULES:
        own = level_of(name_of(path))
        assert own is not None, f"{path} has no place in LAYERS"
        for name in sorted(one for one in imports(path) if one.startswith("resultsgen.")):
            level = level_of(name)
            if level is not None and level > own:
                wrong.append(f"{path.relative_to(PACKAGE)} imports {name}")
    assert not wrong


def test_a_package_is_imported_only_where_it_is_used():
    assert not [
        f"{name} in {path.relative_to(PACKAGE)}"
        for path in MODULES
        for name in sorted(imports(path))
        if room_of(path) not in ONLY_IN.get(name.split(".")[0], {room_of(path)})
    ]


def test_the_rules_read_nothing():
    for path in (PACKAGE / "rules").glob("*.py"):
        assert not {"pathlib", "io", "os", "datetime", "time", "locale"} & imports(path), path.name


def test_only_one_module_prints():
    for path in MODULES:
        text = path.read_text(encoding="utf-8")
        if path.relative_to(PACKAGE) != Path("cli/terminal.py") and "print" in text:
            calls = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Call)]
            assert not [
                c for c in calls if isinstance(c.func, ast.Name) and c.func.id == "print"
            ], path.name


def test_a_class_name_exists_once():
    names = Counter(
        node.name
        for path in MODULES
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ClassDef)
    )
    assert not [name for name, count in names.items() if count > 1]


def test_themes_hold_no_python():
    # Hatchling refuses an editable install where a moved folder holds Python files.
    assert not list((ROOT / "themes").rglob("*.py"))
