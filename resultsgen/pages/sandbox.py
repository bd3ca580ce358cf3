"""The sandbox in which a Markdown page calls on facts: what it lacks cannot be done in a page.

A page has the facts, a few filters, conditions and loops. Nothing reaches an attribute or method
that is not a fact's own; macros, includes and recursion do not exist; and every step of a loop
and every character printed or joined is paid from one budget, so that no page runs for ever or
grows without end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import wraps
from typing import Any

from jinja2 import ChainableUndefined, StrictUndefined, TemplateAssertionError, Undefined, nodes
from jinja2.exceptions import SecurityError, UndefinedError
from jinja2.filters import do_default
from jinja2.runtime import Context, LoopContext
from jinja2.sandbox import SandboxedEnvironment
from jinja2.visitor import NodeTransformer

from resultsgen.views.entries import Entry

BUDGET = 500_000
"""Characters and steps of one page: about a hundred printed sheets."""

LONGEST_RANGE = 1_000
LARGEST_NUMBER = 10**12

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


class Sandbox(SandboxedEnvironment):
    """The environment of one page; *printed* says how a value stands in the page's text."""

    intercepted_binops = frozenset(("+", "-", "*", "/", "//", "%", "**"))

    def __init__(
        self, facts: Mapping[str, Callable[..., object]], printed: Callable[[object], str]
    ) -> None:
        super().__init__(
            undefined=StrictUndefined,
            finalize=lambda value: self._paid(printed(value)),
            keep_trailing_newline=True,
            cache_size=0,
        )
        self._left = BUDGET
        callables = {**facts, "range": _short_range}
        self.globals = {name: Fact(name, answer) for name, answer in callables.items()}
        self.filters = {name: _unless_undecided(self.filters[name]) for name in FILTERS}
        self.filters["default"] = do_default
        self.filters |= {"counted": self._counted, "together": self._together}

    def _generate(self, source: nodes.Template, *args: Any, **more: Any) -> str:
        return super()._generate(_Bounded().visit(source), *args, **more)

    def _paid(self, text: str) -> str:
        self._pay(len(text))
        return text

    def _pay(self, steps: int) -> None:
        self._left -= steps
        if self._left < 0:
            raise SecurityError("this page takes too many steps or grows too long")

    def _counted(self, rows: Iterable[object]) -> Iterator[object]:
        for row in rows:
            self._pay(1)
            yield row

    def _together(self, texts: Iterable[object]) -> str:
        return self._paid("".join(map(str, texts)))

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """The fields of a row that a fact gave, and what a loop knows of itself."""
        if isinstance(obj, LoopContext):
            return not attr.startswith("_")
        return isinstance(obj, Entry | ChainableUndefined) and attr in Entry.__slots__

    def is_safe_callable(self, obj: Any) -> bool:
        """The facts, and nothing that a value carries with it."""
        return isinstance(obj, Fact | Undefined)

    def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
        """Arithmetic is for small whole numbers: loop.index + 1."""
        for one in (left, right):
            if isinstance(one, Undecided):
                return one
        if not (isinstance(left, int) and isinstance(right, int)) or operator == "**":
            raise SecurityError("only whole numbers can be calculated with in a page")
        result = super().call_binop(context, operator, left, right)
        if abs(result) > LARGEST_NUMBER:
            raise SecurityError("this number is too large for a page")
        return result


class _Bounded(NodeTransformer):
    """Lets loops and joined texts pay, and refuses what a page has no use for."""

    def visit_For(self, node: nodes.For) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        if node.recursive:
            raise TemplateAssertionError("a loop cannot call itself in a page", node.lineno)
        node.iter = _filtered(node.iter, "counted")
        return node

    def visit_Concat(self, node: nodes.Concat) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        return _filtered(nodes.List(node.nodes, lineno=node.lineno), "together")

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


def _filtered(node: nodes.Node, name: str) -> nodes.Filter:
    return nodes.Filter(node, name, [], [], None, None, lineno=node.lineno)


def _short_range(*args: int) -> range:
    """Numbers to loop over, at most a thousand of them."""
    numbers = range(*args)
    if len(numbers) > LONGEST_RANGE:
        raise SecurityError(f"range() gives at most {LONGEST_RANGE} numbers in a page")
    return numbers
