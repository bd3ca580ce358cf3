"""The sandbox in which a Markdown page calls on facts: what it lacks cannot be done in a page.

A page has the facts, a few filters, conditions and loops. Nothing reaches an attribute or method
that is not a fact's own; macros, includes and recursion do not exist; and every step of a loop
and every character printed or joined is paid from one budget, so that no page runs for ever or
grows without end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import wraps
from typing import Any

from jinja2 import ChainableUndefined, StrictUndefined, TemplateAssertionError, Undefined, nodes
from jinja2.exceptions import SecurityError, UndefinedError
from jinja2.filters import do_default
from jinja2.runtime import Context, LoopContext
from jinja2.sandbox import SandboxedEnvironment

from resultsgen.reading.texts import CONTROL
from resultsgen.theme.paying import Paying, Priced, short_range, small
from resultsgen.views.people.finding import ListEntry

BUDGET = 500_000
"""Characters and steps of one page: about a hundred printed sheets."""

ALL = 3_000_000
"""The same of all pages of a meet in all languages."""

FACT = 250
"""Asking a fact takes about as long as so many steps."""

PAGE = 3_000
"""What a page costs before it says anything."""

MOST_PAGES = 200
_known: dict[str, Any] = {}

TAGS = 2_000
"""Facts and conditions that a page may write."""

FILTERS = (
    "count", "default", "first", "join", "last", "length", "list", "lower", "map", "reverse",
    "sort", "title", "unique", "upper",
)  # fmt: skip

NOT_FOR_PAGES = (
    nodes.Block, nodes.CallBlock, nodes.Extends, nodes.FromImport, nodes.Import, nodes.Include,
    nodes.Macro,
)  # fmt: skip


@dataclass(frozen=True, repr=False)
class Fact:
    """What a page can ask; asking is all that can be done with it, printing it is not."""

    name: str
    answer: Callable[..., object]

    def __call__(self, *args: object, **more: object) -> object:
        return self.answer(*args, **more)

    def __repr__(self) -> str:
        raise SecurityError(f"write {self.name}(...) with what is asked in brackets")


class Undecided(ChainableUndefined):
    """A fact that is not decided yet: so are its fields and its number, and it has no rows."""

    def __str__(self) -> str:
        return str(self._undefined_hint)

    def _compared(self, _: object) -> bool:
        raise UndefinedError(
            f"this is {self} and cannot be compared; ask {{% if finished(...) %}} first"
        )

    __lt__ = __le__ = __gt__ = __ge__ = __eq__ = __ne__ = _compared  # type: ignore[assignment]
    __contains__ = _compared
    __hash__ = ChainableUndefined.__hash__
    __slots__ = ()


@dataclass
class Purse:
    """What is left for all pages of a meet together."""

    left: int = ALL

    def pay(self, steps: int) -> None:
        """Take from it."""
        self.left -= steps
        if self.left < 0:
            raise SecurityError("the pages of this meet take too many steps or grow too long")


class Sandbox(Paying, SandboxedEnvironment):
    """The environment of one page; *printed* says how a value stands in the page's text."""

    intercepted_binops = frozenset(("+", "-", "*", "/", "//", "%", "**"))

    def __init__(
        self,
        facts: Mapping[str, Callable[..., object]],
        printed: Callable[[object], str],
        purse: Purse,
    ) -> None:
        # Nothing is worked out while a page is read: it would be paid once, not each time.
        super().__init__(
            undefined=StrictUndefined,
            finalize=lambda value: self._put_out(printed(value)),
            keep_trailing_newline=True,
            cache_size=0,
            optimized=False,
        )
        self.left, self.purse = BUDGET, purse
        self.pay(PAGE)
        self.globals = {name: Fact(name, self._asked(one)) for name, one in facts.items()}
        self.globals["range"] = Fact("range", short_range)
        known: dict[str, Any] = self.filters
        self.filters = {name: self.weighing(_unless_undecided(known[name])) for name in FILTERS}
        self.filters["default"] = do_default
        self.filters |= self.priced() | {"together": self._together}
        tests: dict[str, Any] = self.tests
        self.tests = {name: self.weighing(test) for name, test in tests.items()}

    def _generate(self, source: nodes.Template, *args: Any, **more: Any) -> str:
        return super()._generate(_Bounded().visit(source), *args, **more)

    def from_string(self, source: Any, *args: Any, **more: Any) -> Any:
        """The template of a page; what Python cannot take, loops in loops, is a mistake of it."""
        if source.count("{{") + source.count("{%") > TAGS:
            raise ValueError(f"this page has more than {TAGS} facts and conditions")
        try:
            return super().from_string(source, *args, **more)
        except (SyntaxError, RecursionError, MemoryError):
            raise ValueError("brackets or loops stand in each other too deep here") from None

    def compile(self, source: Any, *args: Any, **more: Any) -> Any:
        """The page as Python runs it; a process that goes on reads each page once."""
        if source not in _known:
            if len(_known) >= MOST_PAGES:
                _known.clear()
            _known[source] = super().compile(source, *args, **more)
        return _known[source]

    def pay(self, steps: int) -> None:
        """Take from what is left, for this page and for all."""
        super().pay(steps)
        self.purse.pay(steps)

    def _asked(self, answer: Callable[..., object]) -> Callable[..., object]:
        def asked(*args: object, **more: object) -> object:
            self.pay(FACT)
            self.weigh((args, more))
            return answer(*args, **more)

        return asked

    def _put_out(self, text: str) -> str:
        self.pay(len(text))
        return text

    def _together(self, texts: Iterable[object]) -> str:
        return self._put_out("".join(map(str, texts)))

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """The fields of a row that a fact gave, and what a loop knows of itself."""
        if isinstance(obj, LoopContext):
            return not attr.startswith("_")
        return isinstance(obj, ListEntry | ChainableUndefined) and attr in ListEntry.__slots__

    def is_safe_callable(self, obj: Any) -> bool:
        """The facts, and nothing that a value carries with it."""
        if not isinstance(obj, Fact | Undefined):
            raise SecurityError("nothing but a fact is asked with brackets in a page")
        return True

    def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
        """Arithmetic is for small whole numbers: loop.index + 1."""
        for one in (left, right):
            if isinstance(one, Undecided):
                return one
        if not (isinstance(left, int) and isinstance(right, int)) or operator == "**":
            raise SecurityError("only whole numbers can be calculated with in a page")
        return small(super().call_binop(context, operator, left, right))


class _Bounded(Priced):
    """Lets pay whatever can grow, and refuses what a page has no use for."""

    def visit_For(self, node: nodes.For) -> nodes.Node:  # noqa: N802
        if node.recursive:
            raise TemplateAssertionError("a loop cannot call itself in a page", node.lineno)
        return super().visit_For(node)

    def visit_Const(self, node: nodes.Const) -> nodes.Node:  # noqa: N802
        if isinstance(node.value, str) and (hidden := CONTROL.search(node.value)):
            message = f"a hidden sign (U+{ord(hidden[0]):04X}) stands here; delete it"
            raise TemplateAssertionError(message, node.lineno)
        return node

    def visit(self, node: nodes.Node, *args: Any, **more: Any) -> Any:
        """Any node; what is not for pages is told with its line."""
        if isinstance(node, NOT_FOR_PAGES):
            name = type(node).__name__.lower()
            raise TemplateAssertionError(f"{name} does not exist in a page", node.lineno)
        return super().visit(node, *args, **more)


def _unless_undecided(filter: Callable[..., Any]) -> Callable[..., Any]:
    """The filter; of what is not decided yet nothing is, not even how much there is."""

    @wraps(filter)
    def applied(*args: Any, **more: Any) -> Any:
        undecided = [one for one in args if isinstance(one, Undecided)]
        return undecided[0] if undecided else filter(*args, **more)

    return applied
