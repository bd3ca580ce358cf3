"""Templates of strangers pay for whatever takes time or room, so that none runs for ever.

Paid are every step of a loop, every call, and every character that is put out, joined or compared.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import wraps
from typing import Any

from jinja2 import nodes
from jinja2.exceptions import SecurityError
from jinja2.runtime import Context
from jinja2.visitor import NodeTransformer

CALL = 10
"""A call takes about as long as so many steps of a loop."""

LONGEST_RANGE = 1_000
LARGEST_NUMBER = 10**12


class Paying:
    """The part of an environment that holds the budget and takes from it."""

    left: int

    def pay(self, steps: int) -> None:
        self.left -= steps
        if self.left < 0:
            raise SecurityError("this page takes too many steps or grows too long")

    def weigh(self, value: Any) -> None:
        """Pay for all that a value holds: it may be larger than it looks."""
        heap = [value]
        while heap:
            one = heap.pop()
            self.pay(1)
            if isinstance(one, str):
                self.pay(len(one) // 8)
            elif isinstance(one, Context):
                continue
            elif isinstance(one, Mapping):
                heap += [*one.keys(), *one.values()]
            elif isinstance(one, (list, tuple, set, frozenset, range)):
                self.pay(len(one))
                heap += one

    def weighing(self, function: Callable[..., Any]) -> Callable[..., Any]:
        """A filter or test that pays for what it gets, and for what it makes."""

        @wraps(function)
        def weighed(*args: Any, **more: Any) -> Any:
            self.pay(CALL)
            first = int(hasattr(function, "jinja_pass_arg"))
            told = [list(one) if isinstance(one, Iterator) else one for one in args[first:]]
            for one in (*told, *more.values()):
                self.weigh(one)
            _must_be_small(*told[1:], *more.values())
            if function.__name__ in ("do_join", "sync_do_join"):
                self._pay_for_joining(*told, **more)
            made = function(*args[:first], *told, **more)
            made = list(made) if isinstance(made, Iterator) else made
            self.weigh(made)
            return made

        return weighed

    def _pay_for_joining(self, value: Any, d: Any = "", attribute: Any = None, **_: Any) -> None:
        """What is joined is paid before it is there."""
        if hasattr(value, "__len__"):
            self.pay(len(value) * len(str(d)))

    def priced(self) -> dict[str, Callable[..., Any]]:
        """The filters that `Priced` puts into a template."""
        return {"counted": self._counted, "weighed": self._weighed, "paid": self._paid}

    def _counted(self, rows: Any, cost: int = 1) -> Iterator[Any]:
        for row in rows:
            self.pay(cost)
            yield row

    def _weighed(self, value: Any) -> Any:
        value = list(value) if isinstance(value, Iterator) else value
        self.weigh(value)
        return value

    def _paid(self, length: int) -> str:
        self.pay(length)
        return ""


def _must_be_small(*told: Any) -> None:
    """A number tells a filter how much to make."""
    if any(isinstance(one, int) and abs(one) > LONGEST_RANGE for one in told):
        raise SecurityError(f"a filter is told numbers up to {LONGEST_RANGE} in a page")


class Priced(NodeTransformer):
    """Lets pay whatever can grow: loops, text, what is joined, compared or cut."""

    def visit_For(self, node: nodes.For) -> nodes.Node:  # noqa: N802
        cost = sum(1 for _ in node.find_all(nodes.Node))
        self.generic_visit(node)
        node.iter = filtered(node.iter, "counted", nodes.Const(cost, lineno=node.lineno))
        return node

    def visit_Output(self, node: nodes.Output) -> nodes.Node:  # noqa: N802
        length = sum(len(one.data) for one in node.nodes if isinstance(one, nodes.TemplateData))
        self.generic_visit(node)
        if length:
            node.nodes.append(filtered(nodes.Const(length, lineno=node.lineno), "paid"))
        return node

    def visit_Concat(self, node: nodes.Concat) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        return filtered(nodes.List(node.nodes, lineno=node.lineno), "together")

    def visit_Compare(self, node: nodes.Compare) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        node.expr = filtered(node.expr, "weighed")
        for one in node.ops:
            one.expr = filtered(one.expr, "weighed")
        return node

    def visit_Getitem(self, node: nodes.Getitem) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        if isinstance(node.arg, nodes.Slice):
            node.node = filtered(node.node, "weighed")
        elif not isinstance(node.arg, nodes.Const):
            node.arg = filtered(node.arg, "weighed")
        return node

    def visit_Pair(self, node: nodes.Pair) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        node.key = filtered(node.key, "weighed")
        return node


def filtered(node: Any, name: str, *args: nodes.Expr) -> nodes.Filter:
    """A node with a filter behind it."""
    return nodes.Filter(node, name, list(args), [], None, None, lineno=node.lineno)


def short_range(*args: int) -> range:
    """Numbers to loop over, at most a thousand of them."""
    numbers = range(*args)
    if len(numbers) > LONGEST_RANGE:
        raise SecurityError(f"range() gives at most {LONGEST_RANGE} numbers in a page")
    return numbers


def small(number: Any) -> Any:
    """What was calculated, unless it is too large."""
    if abs(number) > LARGEST_NUMBER:
        raise SecurityError("this number is too large for a page")
    return number
