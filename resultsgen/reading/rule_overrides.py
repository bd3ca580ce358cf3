"""The entries of a rule set that `[rules.NAME]` in `meet.toml` changes."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Any

from resultsgen.checks.keys import key_path
from resultsgen.meet.problems import Problem
from resultsgen.meet.ruleset import CutRule, MarkRule, RuleOverride, RuleSet, TieRules, entry
from resultsgen.meet.settings import MeetSettings

TEXTS = ("title", "about", "sources", "source")
"""Entries that tell of rules and are none."""

SPELT = {
    field: known.alias
    for model in (RuleSet, TieRules, MarkRule, CutRule)
    for field, known in model.model_fields.items()
    if known.alias
}
"""How a key is spelt in a rule set: `all_around` is all-around there."""

Table = dict[str, Any]


def merged(written: Table, changes: Table) -> Table:
    """A rule set as its file has it, with the changes put in; lists are replaced whole.

    Where finals had no tie rules of their own, the changed ones start from those of every phase.
    """
    changes = _spelt(changes)
    if "final-ties" in changes and "final-ties" not in written:
        written = written | {"final-ties": written.get("ties", {})}
    return _put_in(written, changes)


def _put_in(written: Table, changes: Table) -> Table:
    whole = dict(written)
    for key, value in changes.items():
        here = whole.get(key)
        both = isinstance(value, dict) and isinstance(here, dict)
        whole[key] = _put_in(here, value) if both else value  # type: ignore[arg-type]
    return whole


def _spelt(changes: Table) -> Table:
    return {
        SPELT.get(key, key): _spelt(value) if isinstance(value, dict) else value
        for key, value in changes.items()
    }


def overrides(rules: RuleSet, changed: RuleSet, changes: Table) -> tuple[RuleOverride, ...]:
    """Every entry that is another now, in the order in which the meet has them."""
    found = (
        RuleOverride(path, entry(rules, _usual_path(rules, path)), entry(changed, path))
        for path in _paths(_spelt(changes), ())
        if path[-1] not in TEXTS
    )
    return tuple(one for one in found if one.usual != one.here)


def _usual_path(rules: RuleSet, path: tuple[str, ...]) -> tuple[str, ...]:
    """Where the rule set has the same entry: that of every phase, if finals have none."""
    own = path[0] != "final-ties" or rules.final_ties is not None
    return path if own else ("ties", *path[1:])


def _paths(table: Table, above: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _paths(value, (*above, key))
        else:
            yield (*above, key)


def unused_changes(settings: MeetSettings) -> list[Problem]:
    """A problem for each table of changes to a rule set that no competition names."""
    named = sorted({one.rules for one in settings.competitions})
    return [
        Problem(
            "meet.toml",
            0,
            key_path("rules", name),
            "unknown-setting",
            f"no competition has the rule set {name}; {_mend(name, named)}",
            name,
        )
        for name in settings.rules
        if name not in named
    ]


def _mend(name: str, named: list[str]) -> str:
    near = difflib.get_close_matches(name, named, n=1)
    return f"did you mean {near[0]}?" if near else f"there are {', '.join(named)}"
