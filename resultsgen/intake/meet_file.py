"""The `meet.toml` of a meet that was found in a workbook: that of the starting folder, filled in.

Every text of the workbook is written as TOML or as a remark of one line, whatever is in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from resultsgen.intake.columns import Question, SettingsPart, quoted
from resultsgen.intake.contests import NewCompetition
from resultsgen.intake.outline import Intake
from resultsgen.meet.names import DISCIPLINES

OF_A_CUT = "# Who qualifies for a final"
"""Here the remarks begin that stand below the competition of the starting folder."""


def meet_toml(seen: Intake, starting: str, competitions: str) -> str:
    """The settings; *starting* is the file of the starting folder, *competitions* the line at which
    its competitions begin."""
    head, _, rest = starting.partition(competitions)
    parts = [_head(part, seen) for part in head.strip("\n").split("\n\n")]
    text = "\n\n".join(part for part in parts if part)
    held = [text, competitions + rest.partition("\n")[0]]
    blocks = [_competition(one, seen) for one in seen.contests]
    tail = rest[rest.index(OF_A_CUT) :].rstrip("\n") if OF_A_CUT in rest else ""
    first, *others = filter(None, [*held, *blocks, tail])
    return "\n\n".join([first, *others]).replace(f"{held[-1]}\n\n", f"{held[-1]}\n") + "\n"


def _head(part: str, seen: Intake) -> str:
    if "\ntitle = " in f"\n{part}":
        part = re.sub(r"(?m)^(place|venue|organiser) = ", r"# \1 = ", part)
        part = _set(part, "title", quoted(seen.title))
        part = _set(part, "venue", quoted(seen.venue) if seen.venue else "")
        part = _set(part, "dates", f"[{', '.join(seen.dates)}]" if seen.dates else "")
        if seen.language != "en":
            part = _set(part, "languages", f"[{quoted(seen.language)}]")
        if seen.names:
            part = _set(part, "names", quoted(seen.names))
        if seen.made_bibs:
            part = _set(part, "bibs", '"made"')
        return "\n".join(filter(None, [part, _asked(seen, SettingsPart("head"), part)]))
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
    of_none = (one for one in seen.questions if one.about.part == "tables")
    if asked := "\n".join(
        line for one in of_none if one.about.of not in sources for line in _choice(one, "")
    ):
        yield asked
    for source in sources:
        lines = "\n".join(_settings(seen.tables.get(source, {})))
        questions = _asked(seen, SettingsPart("tables", source), lines)
        if lines or questions:
            yield "\n".join(filter(None, [f"[tables.{quoted(source)}]", lines, questions]))


def _settings(how: dict[str, Any]) -> Iterator[str]:
    """A line for each, so that another can stand beside it."""
    for key, value in how.items():
        if isinstance(value, dict):
            yield from (f"{key}.{own} = {toml(held)}" for own, held in value.items())
        else:
            yield f"{key} = {toml(value)}"


def _columns(seen: Intake) -> Iterator[str]:
    """Words of the tables, and in which order whole names stand."""
    order = [f"whole_names = {quoted(seen.whole_names)}"] if seen.whole_names else []
    if order or _asked(seen, SettingsPart("columns")):
        yield "\n".join(filter(None, ["[columns]", *order, _asked(seen, SettingsPart("columns"))]))
    if seen.statuses:
        lines = [f"{quoted(word)} = {quoted(status)}" for word, status in seen.statuses.items()]
        yield "\n".join(["[columns.status]", *lines])
    if seen.undecided:
        open_lines = "\n".join(f'{quoted(text)} = ""' for text in seen.undecided)
        asked = _asked(seen, SettingsPart("columns.apparatus"), open_lines)
        yield f"[columns.apparatus]\n{open_lines}\n{asked}"


def _competition(one: NewCompetition, seen: Intake) -> str:
    own = one.apparatus != DISCIPLINES[one.discipline]
    shares = one.rules == "international" and not one.has_parts
    lines = [
        "[[competition]]",
        f"id = {quoted(one.id)}",
        f"title = {quoted(one.title)}",
        f"discipline = {quoted(one.discipline)}",
        f"divisions = [{quoted(one.division)}]" if one.division else "",
        _apparatus(one) if one.apparatus and own else "",
        f"ranks = {toml(['all-around', 'apparatus'] if one.several else ['apparatus'])}",
        f"rules = {quoted(one.rules)}".ljust(31) + f" # {one.why}",
        'missing_scores = "share"        # ties that a D or E score would settle stay' * shares,
    ]
    text = "\n".join(filter(None, lines))
    asked = _asked(seen, SettingsPart("competition", one.id), text)
    return f"{text}\n{asked}" if asked else text


def _apparatus(one: NewCompetition) -> str:
    """The apparatus that there are; a remark where more may be once somebody has decided."""
    line = f"apparatus = {toml(list(one.apparatus))}"
    if not one.unsettled:
        return line
    return remark(f"{line}  # with those of {', '.join(one.unsettled)}, if these are not all")


def _asked(seen: Intake, about: SettingsPart, above: str = "") -> str:
    """The questions of one part, each with its lines as remarks; those that begin a part of their
    own at the end."""
    here = [one for one in seen.questions if one.about == about]
    here.sort(key=lambda one: any(line.startswith("[") for line in one.lines))
    return "\n".join(line for one in here for line in _choice(one, above))


def _choice(one: Question, above: str) -> Iterable[str]:
    there = [key for key in dict.fromkeys(one.keys) if f"\n{key} = " in f"\n{above}"]
    instead = f" (instead of the line {' and '.join(there)} above)" if there else ""
    return remark(f"To decide: {one.asked}{instead}"), *map(remark, one.lines)


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
