"""How a setting of a TOML text is named, and on which line it stands."""

from __future__ import annotations

import re

HEAD = re.compile(r"""^\s*+(\[\[?)((?:[\w-]++|"[^"]*+"|'[^']*+'|[.\s]++)++)\]\]?\s*+(?:#.*)?$""")
ASSIGNMENT = re.compile(
    r"""^\s*((?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*)\s*="""
)
FENCE = re.compile(r'"""|' + "'''")
PART = re.compile(r"""([\w-]+)|"([^"]*)"|'([^']*)'""")

SettingPath = tuple[str | int, ...]
"""A setting: the names that lead to it, and the numbers of lists, from 0."""


def key_path(*parts: str | int) -> str:
    """The name of a setting; a person counts from 1.

    >>> key_path("competition", 0, "cuts", 1, "to")
    'competition[1].cuts[2].to'
    """
    named = ""
    for part in parts:
        if isinstance(part, int):
            named += f"[{part + 1}]"
        else:
            named += f".{part}" if named else part
    return named


def key_lines(text: str) -> dict[str, int]:
    """The line of every table head and every key of a TOML text, by its path."""
    lines: dict[str, int] = {}
    counted: dict[str, int] = {}
    table = ""
    fence = ""  # The quotes of a text of several lines that is still open.
    for number, line in enumerate(text.splitlines(), start=1):
        if not fence and (head := HEAD.match(line)):
            table, parts = "", _parts(head[2])
            for position, part in enumerate(parts):
                table = f"{table}.{part}" if table else part
                if head[1] == "[[" and position == len(parts) - 1:
                    counted[table] = counted.get(table, 0) + 1
                if table in counted:
                    table += f"[{counted[table]}]"
            lines.setdefault(table, number)
        elif not fence and (assignment := ASSIGNMENT.match(line)):
            key = ".".join(_parts(assignment[1]))
            lines.setdefault(f"{table}.{key}" if table else key, number)
        for quotes in FENCE.findall(line):
            fence = "" if quotes == fence else fence or quotes
    return lines


def _parts(dotted: str) -> list[str]:
    return ["".join(found) for found in PART.findall(dotted)]


def line_of(lines: dict[str, int], path: str) -> int:
    """The line of a setting or of the first one in it, else of the nearest table around it.

    0 where there is none.
    """
    ends = [len(path), *reversed([found.start() for found in re.finditer(r"[.\[]", path)])]
    for around in (path[:end] for end in ends if end):
        if around in lines:
            return lines[around]
        if inside := [line for key, line in lines.items() if key.startswith(f"{around}.")]:
            return min(inside)
    return 0
