"""The environment of the templates that come along, which are trusted and written for speed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, Template
from jinja2.runtime import Context, Macro
from markupsafe import Markup, escape

from resultsgen.theme.rows import WRITTEN, person
from resultsgen.theme.templates import OPTIONS, loader
from resultsgen.views.lists.table import Table


class Direct(Context):
    """Calls what templates that come along call: Jinja2's own way asks of each call whether it is
    to be told where it stands, and nothing that these call is."""

    @staticmethod
    def call(
        asked: Callable[..., Any],
        /,
        *of: Any,
        _loop_vars: object = None,
        _block_vars: object = None,
        **named: Any,
    ) -> Any:
        """What it answers."""
        return asked(*of, **named)


_text_escaped = lru_cache(2**14, typed=True)(escape)


def _escaped(value: Any) -> Markup:
    """The same as from *escape*: pages show the same texts again and again."""
    return value if type(value) is Markup else _text_escaped(value)


def _joined(texts: Iterable[Any], between: str = "") -> str:
    """The filter *join*, without what it asks for the sake of templates that are awaited."""
    held = tuple(texts)
    if any(hasattr(one, "__html__") for one in held):
        return escape(between).join(held)
    return between.join(map(str, held))


class _Escaping(Template):
    """A template that comes along, whose texts are escaped once."""

    @classmethod
    def from_code(cls, *of: Any, **more: Any) -> Template:
        """The template; its code has imported *escape* by the time it is here."""
        made = super().from_code(*of, **more)
        made.root_render_func.__globals__["escape"] = _escaped
        return made


def shipped_environment(folders: tuple[Path, ...], part: str, **more: Any) -> Environment:
    """The templates of `site` or `book` of themes that come along; nothing stands in their way."""
    made = Environment(loader=loader(folders, [FileSystemLoader(f / part) for f in folders]),
                       **OPTIONS, **more)  # fmt: skip
    made.template_class, made.context_class = _Escaping, Direct
    made.filters |= {"person": person, "join": _joined}
    if part == "site":
        # Those ask for what things have, and for nothing under a key: Jinja2's own way, which
        # tries both, takes a sixth of the time in which pages are filled.
        made.getattr = getattr  # type: ignore[method-assign, assignment]
        made.globals |= {"kept": _as_before, **WRITTEN}
    return made


KEPT = 2**25
"""So many letters of tables are kept from build to build."""

_kept: dict[tuple[Any, ...], str] = {}
_letters = 0


def _as_before(macro: Macro, of: Table, href: Callable[[str], str], *more: Any) -> str:
    """A table as the *macro* wrote it before with the same links: most are as they were, from page
    to page and from build to build. A name knows what of it is given."""
    global _letters
    cells = (cell for row in of.rows for cell in row.cells if cell.target)
    links = tuple((href(cell.target), getattr(cell.text, "given", None)) for cell in cells)
    key = (macro, of.digest, links, more)
    if key not in _kept:
        _kept[key] = macro(of, href, *more)
        _letters += len(_kept[key])
        while _letters > KEPT:
            _letters -= len(_kept.pop(next(iter(_kept))))
    return _kept[key]
