"""Templates of themes of strangers, in a sandbox; those that come along: `theme/shipped.py`.

In the sandbox nothing is reached but what a view says of itself; macros, blocks and loops are
there. Whatever takes time or room is paid from one budget for each page: every step of a loop,
every call, every character that is put out, joined or compared. So no template runs for ever.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable, Mapping
from pathlib import Path
from types import BuiltinMethodType, MethodType
from typing import Any, NoReturn, get_args

from jinja2 import (
    BaseLoader,
    ChoiceLoader,
    Environment,
    PrefixLoader,
    StrictUndefined,
    Template,
    TemplateError,
    TemplateNotFound,
    Undefined,
    nodes,
    pass_context,
)
from jinja2.exceptions import SecurityError
from jinja2.loaders import split_template_path
from jinja2.runtime import BlockReference, Context, LoopContext, Macro
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.utils import Namespace
from markupsafe import Markup

from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.language import Language
from resultsgen.meet.problems import MeetProblems, Problem
from resultsgen.theme.paying import CALL, Paying, Priced, short_range, small
from resultsgen.theme.rows import WRITTEN, person, table_rows, words
from resultsgen.views.lists.table import Cell, Kind, Row

BUDGETS = {"site": 10_000_000, "book": 200_000_000}
"""Steps and characters of one page of a stranger's theme, or of one book. The standard theme spends
eight for each character of a page, and a page of a large meet has half a million."""

FILTERS = (
    "abs", "batch", "capitalize", "count", "default", "d", "dictsort", "e", "escape", "first",
    "groupby", "int", "items", "join", "last", "length", "list", "lower", "map", "max", "min",
    "person", "reject", "rejectattr", "reverse", "safe", "select", "selectattr", "slice", "sort",
    "string", "striptags", "sum", "title", "trim", "truncate", "unique", "upper", "urlencode",
    "wordcount",
)  # fmt: skip

TEXT_METHODS = frozenset((
    "capitalize", "casefold", "endswith", "isalnum", "isalpha", "isdecimal", "isdigit", "islower",
    "isspace", "isupper", "lower", "lstrip", "partition", "removeprefix", "removesuffix",
    "rpartition", "rsplit", "rstrip", "split", "startswith", "strip", "title", "upper",
))  # fmt: skip
"""None of them makes a text longer."""

TABLE_METHODS = frozenset(("get", "items", "keys", "values"))

LONGEST_LINK = 2_000
"""Letters of a link of a row; the longest address of a site has some hundred."""

SHOWN = ("resultsgen.views.", "resultsgen.website.", "resultsgen.books.")
"""Where the classes come from whose fields a template may read."""

SCALARS = (str, int, float, type(None), Undefined)


def _fault(file: str, line: int, message: str) -> MeetProblems:
    """A template that cannot be used: its file, by its last three names, the line, and why."""
    name = "/".join(Path(file).parts[-3:])
    return MeetProblems([Problem(name, line, "", "theme-template", message)])


Look = Callable[[str], str]
"""What is wrong with a page that a template made; empty where nothing is."""


def strangers_environment(
    folders: tuple[Path, ...], part: str, *, trusted: bool, look: Look
) -> Environment:
    """Those of a theme that does not come along: read with care and, if not trusted, sandboxed."""
    files = loader(folders, [_Files(folder, part) for folder in folders])
    if trusted:
        trusting = _Telling(loader=files, **OPTIONS)
        trusting.filters["person"] = person
        trusting.globals |= WRITTEN
        return trusting
    return _Sandbox(part, look, loader=files, **OPTIONS)


OPTIONS: dict[str, Any] = {
    "autoescape": True,
    "undefined": StrictUndefined,
    "trim_blocks": True,
    "lstrip_blocks": True,
    "keep_trailing_newline": True,
}


def loader(folders: tuple[Path, ...], loaders: list[Any]) -> BaseLoader:
    """Each from the first folder that has it; `standard/page.html` names the base's own."""
    by_name = dict(zip((folder.name for folder in folders), loaders, strict=True))
    return ChoiceLoader([*loaders, PrefixLoader(by_name)])


class _Files(BaseLoader):
    """Templates of one folder, opened as files of strangers are."""

    def __init__(self, folder: Path, part: str) -> None:
        self._folder, self._part = folder, part

    def get_source(
        self, environment: Environment, template: str
    ) -> tuple[str, str, Callable[[], bool]]:
        """The text of a template and where it lies."""
        name = f"{self._part}/{template}"
        try:
            split_template_path(template)
            text = file_bytes(self._folder, name).decode()
        except UnreadableError as refusal:
            if refusal.code == "no-such-file":
                raise TemplateNotFound(template) from None
            raise _fault(str(self._folder / name), 0, str(refusal)) from None
        except UnicodeDecodeError:
            raise _fault(str(self._folder / name), 0, "is not UTF-8 text") from None
        return text, str(self._folder / name), lambda: True


class _Telling(Environment):
    """An environment in which the mistakes of a template are told with their place."""

    def handle_exception(self, source: str | None = None) -> NoReturn:
        """Whatever was raised while a template is read or shown, as MeetProblems."""
        try:
            super().handle_exception(source)
        except MeetProblems:
            raise
        except Exception as error:
            raise _fault(*_place(error), _said(error)) from error


def _place(error: Exception) -> tuple[str, int]:
    """The template and the line in which an error was raised."""
    if isinstance(error, TemplateError) and getattr(error, "filename", None):
        return str(error.filename), error.lineno  # type: ignore[attr-defined]
    frames = [
        (frame.f_code.co_filename, line)
        for frame, line in traceback.walk_tb(error.__traceback__)
        if frame.f_code.co_filename.endswith(".html")
    ]
    return frames[-1] if frames else ("", 0)


def _said(error: Exception) -> str:
    if isinstance(error, KeyError):
        return f"there is no {error.args[0]}"
    if isinstance(error, TemplateNotFound):
        return f"there is no template {error.name}"
    if isinstance(error, RecursionError):
        return "this calls itself without end"
    return str(error) or type(error).__name__


class _Given:
    """What our own program gives to templates to call."""

    def __init__(self, called: Callable[..., Any]) -> None:
        self.called = called

    def __repr__(self) -> str:
        raise SecurityError("this is to be called, with what is asked in brackets")


class _Paid(Template):
    """A template of strangers: each page begins with a full budget and is looked at when made."""

    environment: _Sandbox

    def render(self, *args: Any, **more: Any) -> str:
        """The page; MeetProblems where it does or shows what it must not."""
        self.environment.left = BUDGETS[self.environment.part]
        given = {name: _given(value) for name, value in dict(*args, **more).items()}
        html = super().render(given)
        if wrong := self.environment.look(html):
            name = "/".join(Path(self.filename or "").parts[-3:])
            raise MeetProblems([Problem(name, 0, "", "unsafe-theme", wrong)])
        return html


def _words(cell: Any) -> Markup:
    if not isinstance(cell, Cell):
        raise SecurityError("words() is told a cell of a table")
    return words(cell)


def _given(value: Any) -> Any:
    return _Given(value) if callable(value) else value


class _Sandbox(_Telling, Paying, ImmutableSandboxedEnvironment):
    """What templates of strangers run in."""

    template_class = _Paid
    intercepted_binops = frozenset(("+", "-", "*", "/", "//", "%", "**"))

    def __init__(self, part: str, look: Look, **options: Any) -> None:
        # Nothing is worked out while a template is read: it would be paid once, not each time.
        super().__init__(finalize=self._put_out, optimized=False, **options)
        self.part, self.look, self.left = part, look, BUDGETS[part]
        self.globals = {"range": _Given(short_range), "namespace": Namespace}
        self.globals |= {"table_rows": _Given(self._table_rows), "words": _Given(_words)}
        known: dict[str, Any] = {**self.filters, "person": person}
        self.filters = {name: self.weighing(known[name]) for name in FILTERS}
        self.filters |= self.priced() | {"together": self._together}
        tests: dict[str, Any] = self.tests
        self.tests = {name: self.weighing(test) for name, test in tests.items()}

    def _generate(self, source: nodes.Template, *args: Any, **more: Any) -> str:
        return super()._generate(Priced().visit(source), *args, **more)

    def compile(self, *args: Any, **more: Any) -> Any:
        """A template; what Python cannot take, such as loops in loops in loops, is a mistake."""
        try:
            return super().compile(*args, **more)
        except (SyntaxError, RecursionError, MemoryError, ValueError) as error:
            name = str(args[2] if len(args) > 2 and args[2] else "")
            raise _fault(name, 0, f"cannot be read: {_said(error)}") from error

    def _together(self, parts: list[Any]) -> str:
        texts = [self._printed(one) for one in parts]
        joined = Markup("").join(texts) if any(isinstance(t, Markup) for t in texts) else None
        return joined if joined is not None else "".join(map(str, texts))

    def _table_rows(self, rows: Any, href: Any, kinds: Any, room: Any, reasons: Any) -> Markup:
        """Those of a table of a view, each link of which is paid."""
        rows, kinds = tuple(rows), tuple(kinds)
        if {*map(type, rows)} - {Row} or {*kinds} - {*get_args(Kind)}:
            raise SecurityError("table_rows() is told rows and kinds of columns of a table")
        if not isinstance(href, (_Given, Macro)):
            raise SecurityError("table_rows() is told href, or a macro that links")
        asked = href.called if isinstance(href, _Given) else href

        def linked(target: str) -> str:
            link: str = self._printed(asked(target))
            if len(link) > LONGEST_LINK:  # All are kept for a while.
                raise SecurityError(f"a link has at most {LONGEST_LINK} letters")
            return link

        return table_rows(rows, linked, kinds, room, reasons)

    @pass_context
    def _put_out(self, context: Context, value: Any) -> Any:
        return self._printed(value)

    def _printed(self, value: Any) -> Any:
        """A value as it is put out: a text or a number, and nothing else."""
        if not isinstance(value, SCALARS):
            raise SecurityError("this is not a text; write one of its fields")
        self.pay(len(value) if isinstance(value, str) else 1)
        return value

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """The fields of views, and what loops, texts and tables know of themselves."""
        if attr.startswith("_"):
            return False
        if isinstance(obj, str):
            return attr in TEXT_METHODS
        if isinstance(obj, Mapping):
            return attr in TABLE_METHODS
        if isinstance(obj, Language):
            return True
        if isinstance(obj, (LoopContext, Namespace, BlockReference)):
            return True
        module = f"{type(obj).__module__}."
        if module == "jinja2.environment.":  # A template that was imported: its macros.
            return isinstance(value, (Macro, *SCALARS))
        return module.startswith(SHOWN) and not callable(value)

    def is_safe_callable(self, obj: Any) -> bool:
        """Macros, blocks, what we give, and methods of texts, tables and languages."""
        if isinstance(obj, (Macro, BlockReference, LoopContext, _Given, Undefined)):
            return True
        if obj is Namespace:
            return True
        own = getattr(obj, "__self__", None) if isinstance(obj, METHODS) else None
        return isinstance(own, (str, Mapping, Language, LoopContext))

    def call(__self, __context: Context, __obj: Any, *args: Any, **kwargs: Any) -> Any:  # noqa: N805
        """Call what may be called; what it is told and what it answers are paid."""
        if not __self.is_safe_callable(__obj):
            raise SecurityError("this cannot be called in a theme that is not trusted")
        __self.pay(CALL)
        around = {name: kwargs.pop(name) for name in AROUND if name in kwargs}
        for one in (*args, *kwargs.values()):
            __self.weigh(one)
        if isinstance(__obj, _Given):
            __self._pay_for_places(args, kwargs)
            answer = _given(__obj.called(*args, **kwargs))
            answer = Markup(answer) if hasattr(answer, "__html__") else answer
        else:
            if isinstance(getattr(__obj, "__self__", None), Language):
                __self._pay_for_places(args, kwargs)
            answer = __context.call(__obj, *args, **kwargs, **around)
        if isinstance(answer, str):
            __self.pay(len(answer))
        return answer

    def _pay_for_places(self, args: tuple[Any, ...], more: Mapping[str, Any]) -> None:
        """A sentence is put together from texts and numbers, and grows with its {places}."""
        if not all(isinstance(one, SCALARS) for one in more.values()):
            raise SecurityError("a sentence is put together from texts and numbers")
        places = max((one.count("{") for one in args if isinstance(one, str)), default=0)
        self.pay(places * max((len(str(one)) for one in more.values()), default=0))

    def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
        """Arithmetic is for small whole numbers: loop.index + 1."""
        if not (isinstance(left, int) and isinstance(right, int)) or operator == "**":
            raise SecurityError("only whole numbers can be calculated with; texts are joined by ~")
        return small(super().call_binop(context, operator, left, right))


AROUND = ("_loop_vars", "_block_vars")
"""What a call is told by Jinja2 of where it stands."""
METHODS = (MethodType, BuiltinMethodType)
