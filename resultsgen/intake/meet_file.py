"""The `meet.toml` of a meet that was found in a workbook: that of the starting folder, filled in.

Every text of the workbook is written as TOML or as a remark of one line, whatever is in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from resultsgen.intake.columns import quoted
from resultsgen.intake.contests import NewCompetition
from resultsgen.intake.outline import Intake
from resultsgen.meet.settings import DISCIPLINES

OF_A_CUT = "# Who qualifies for a final"
"""Here the remarks begin that stand below the competition of the starting folder."""


def meet_toml(seen: Intake, starting: str, competitions: str) -> str:
    """The settings; *starting* is the file of the starting folder, *competitions* the line at which
    its competitions begin."""
    head, _, rest = starting.partition(competitions)
    parts = [_head(part, seen) for part in head.strip("\n").split("\n\n")]
    text = "\n\n".join(part for part in parts if part)
    text = re.sub(r"(?m)^(place|venue|organiser) = ", r"# \1 = ", text)
    held = [text, competitions + rest.partition("\n")[0]]
    held[1:2] = [_asked(seen, "competition"), held[1]]
    blocks = ["\n".join(_competition(one, seen)) for one in seen.contests]
    tail = rest[rest.index(OF_A_CUT) :].rstrip("\n") if OF_A_CUT in rest else ""
    first, *others = filter(None, [*held, *blocks, tail])
    return "\n\n".join([first, *others]).replace(f"{held[-1]}\n\n", f"{held[-1]}\n") + "\n"


def _head(part: str, seen: Intake) -> str:
    if "\ntitle = " in f"\n{part}":
        part = _set(part, "title", quoted(seen.title))
        part = _set(part, "dates", f"[{', '.join(seen.dates)}]" if seen.dates else "")
        if seen.language != "en":
            part = _set(part, "languages", f"[{quoted(seen.language)}]")
        if seen.names:
            part = _set(part, "names", quoted(seen.names))
        if seen.made_bibs:
            part = _set(part, "bibs", '"made"')
        return "\n".join(filter(None, [part, _asked(seen, "head")]))
    if "# [files]" in part:
        part = part.replace("# [files]", "[files]")
        part = _set(part, "roster", _sources(seen.roster))
        part = _set(part, "marks", _sources(seen.marks) if seen.marks else "")
        return "\n\n".join(filter(None, [part, *_tables(seen)]))
    if "# [columns.roster]" in part:
        return "\n\n".join(filter(None, [part, *_columns(seen)]))
    return part


def _set(part: str, key: str, value: str) -> str:
    """A paragraph in which a setting has a value, its remark kept; without one it is a remark."""
    found = re.search(rf'(?m)^(?:# )?{key} = (?:"[^"\n]*"|[^"#\n])*?( *#.*)?$', part)
    line, old = f"{key} = {value}", found[0] if found else ""
    if not value:
        return part if not old or old.startswith("#") else part.replace(old, f"# {old}")
    if not found:
        return f"{part}\n{line}"
    return part.replace(old, f"{line:<31} {found[1].strip()}" if found[1] else line)


def _sources(sources: list[str]) -> str:
    if len(sources) == 1:
        return quoted(sources[0])
    return "[\n" + "".join(f"    {quoted(one)},\n" for one in sources) + "]"


def _tables(seen: Intake) -> Iterator[str]:
    """How each source is to be read, and what is to be decided of it."""
    sources = dict.fromkeys([*seen.roster, *seen.marks])
    own = {f"tables.{source}" for source in sources}
    for about in dict.fromkeys(one.about for one in seen.questions):
        if about.startswith("tables") and about not in own:
            yield _asked(seen, about)
    for source in sources:
        how = seen.tables.get(source, {})
        questions = _asked(seen, f"tables.{source}")
        if how or questions:
            lines = [f"{key} = {toml(value)}" for key, value in how.items()]
            yield "\n".join(filter(None, [f"[tables.{quoted(source)}]", *lines, questions]))


def _columns(seen: Intake) -> Iterator[str]:
    """Words of the tables, and in which order whole names stand."""
    order = [f"whole_names = {quoted(seen.whole_names)}"] if seen.whole_names else []
    if order or _asked(seen, "columns"):
        yield "\n".join(filter(None, ["[columns]", *order, _asked(seen, "columns")]))
    if seen.statuses:
        lines = [f"{quoted(word)} = {quoted(status)}" for word, status in seen.statuses.items()]
        yield "\n".join(["[columns.status]", *lines])
    for part in ("columns.roster", "columns.apparatus"):
        if asked := _asked(seen, part):
            yield f"[{part}]\n{asked}"


def _competition(one: NewCompetition, seen: Intake) -> Iterator[str]:
    yield "[[competition]]"
    yield f"id = {quoted(one.id)}"
    yield f"title = {quoted(one.title)}"
    yield f"discipline = {quoted(one.discipline)}"
    if one.division:
        yield f"divisions = [{quoted(one.division)}]"
    if one.apparatus and one.apparatus != DISCIPLINES[one.discipline]:
        yield f"apparatus = {toml(list(one.apparatus))}"
    yield f"ranks = {toml(['all-around', 'apparatus'] if one.several else ['apparatus'])}"
    yield f"rules = {quoted(one.rules)}".ljust(31) + f" # {one.why}"
    if one.rules == "international" and not one.has_parts:
        yield 'missing_scores = "share"        # ties that a D or E score would settle stay'
    if asked := _asked(seen, f"competition.{one.id}"):
        yield asked


def _asked(seen: Intake, about: str) -> str:
    return "\n".join(
        remark(line)
        for one in seen.questions
        if one.about == about
        for line in (f"To decide: {one.asked}", *one.lines)
    )


def remark(text: str) -> str:
    r"""A text as a remark of one line.

    >>> remark("a\n[b]")
    '# a [b]'
    """
    return "# " + "".join(sign if sign.isprintable() else " " for sign in text)


def toml(value: Any) -> str:
    """A value as TOML has it.

    >>> toml({"a": ["x", 1]})
    '{ a = ["x", 1] }'
    """
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(held)}" for key, held in value.items()) + " }"
    return f"[{', '.join(map(toml, value))}]" if isinstance(value, list) else str(value)
