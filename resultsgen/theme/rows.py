"""The rows of a table as HTML: a page has thousands of cells, which templates take long over."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache

from markupsafe import Markup, escape

from resultsgen.views.lists.table import Cell, Kind, Row
from resultsgen.views.words.wording import PersonName


@lru_cache(2**14, typed=True)  # Pages show the same texts again and again.
def _safe(text: str) -> str:
    return f"{escape(text)}"


def table_rows(
    rows: Iterable[Row],
    href: Callable[[str], str],
    kinds: Sequence[Kind],
    room: str,
    reasons: bool,
) -> Markup:
    """Each as `<tr>`; *room* is left beside marks, *reasons* stand in the last column."""
    return Markup("".join([_row(row, href, kinds, bool(room), reasons) for row in rows]))


def _row(
    row: Row, href: Callable[[str], str], kinds: Sequence[Kind], room: bool, reasons: bool
) -> str:
    held = []
    for cell, kind in zip(row.cells, kinds, strict=True):
        if cell.plain:
            inside = _safe(cell.text)
            if room and kind == "mark":
                inside += '<span class="pl"></span>'
        else:
            link, name = (href(cell.target), person(cell.text)) if cell.target else ("", "")
            inside = _inside(link, name, cell, kind, room)
        if kind != "name":
            held.append(f'<td class="{kind}">{inside}</td>')
            continue
        ends = _attribute("data-cut", row.cut or row.reserves) + _attribute("data-by", cell.by)
        why = row.cells[-1].text if reasons else ""
        short = f'<small class="short why">{_safe(why)}</small>' if why else ""
        held.append(f'<th scope="row" class="name"{ends}>{inside}{short}</th>')
    filed = _attribute("data-filed", row.filed)
    return f"<tr{_attribute('id', row.id)}{_class(row)}{filed}>{''.join(held)}</tr>\n"


def _attribute(name: str, value: str) -> str:
    return f' {name}="{_safe(value)}"' if value else ""


def _class(row: Row) -> str:
    """How it stands, and the lines below it."""
    told = (
        "drawn" if row.cut else "ended" if row.reserves else "",
        f"podium podium-{row.podium}" if row.podium else "",
        row.qualified,
    )
    if row.kind == "ranked" and not any(told):
        return ""
    return f' class="{" ".join(filter(None, (row.kind, *told)))}"'


@lru_cache(2**13, typed=True)  # Who somebody is and where a mark was made stand in many lists.
def _inside(link: str, name: str, cell: Cell, kind: Kind, room: bool) -> str:
    text = _safe(cell.text)
    if link:
        held = f'<a href="{_safe(link)}">{_safe(name)}</a>'
    elif cell.place == "1" and not cell.dropped:
        held = f"<b>{text}</b>"
    elif kind == "cut" and cell.about:
        how = "through" if text == "Q" else "reserve" if text else "out"
        held = f'<b class="{how}" data-code="{text}">{_safe(cell.about)}</b>'
    elif cell.about or cell.dropped:
        held = f"{words(cell)}"
    else:
        held = text
    if cell.place or (room and kind == "mark"):
        held += f'<span class="pl">{" " if cell.place else ""}{_safe(cell.place)}</span>'
    if cell.note:
        held += f"<sup>{_safe(cell.note)}</sup>"
    if cell.sub and kind == "mark" and "\u00a0" in cell.sub:
        held += f'<small class="grid">{_pairs(cell.sub)}</small>'
    elif cell.sub:
        held += f"<small>{_safe(cell.sub)}</small>"
    return held


def words(cell: Cell) -> Markup:
    """A code, a dot or a dropped mark: what a cell holds where its text alone would not do."""
    text, about = _safe(cell.text), _safe(cell.about)
    if cell.dropped:
        return Markup(f"<s>{text}</s>")
    if text.isalnum():
        return Markup(f'<abbr title="{about}">{text}</abbr>')
    if text:
        return Markup(f'<span aria-hidden="true">{text}</span><span class="unseen">{about}</span>')
    return Markup(text)


def _pairs(sub: str) -> str:
    """D and E below a mark, and a penalty or bonus in its own column."""
    told = ""
    for at, pair in enumerate(sub.split(" ")):
        own = _safe(pair)
        told += f"<em> {own}</em>" if pair[:1] in ("P", "B") else f"{'&ensp;' if at else ''}{own}"
    return told


def person(name: str) -> str:
    """A name with its given part marked, so that a style sheet tells it from the family name."""
    return _marked(name, name.given) if isinstance(name, PersonName) and name.given else name


@lru_cache(maxsize=2**12)  # The same names stand on many pages.
def _marked(name: str, given: tuple[int, int]) -> str:
    begin, end = given
    before, part, after = map(escape, (name[:begin], name[begin:end], name[end:]))
    return Markup(f"{before}<i>{part}</i>{after}")


WRITTEN: dict[str, Callable[..., Markup]] = {"table_rows": table_rows, "words": words}
"""What templates of every theme may call by these names."""
