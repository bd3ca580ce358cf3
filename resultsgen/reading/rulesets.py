"""The rule set of each competition: one that ships in `rulebook/`, or a file in the meet folder.

`[rules.NAME]` in `meet.toml` changes entries of one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any, get_args

from resultsgen.checks.keys import FILE
from resultsgen.files.toml import laid_over, read_toml
from resultsgen.files.toml_keys import key_lines, key_path, line_of
from resultsgen.meet.competition import TeamFormat
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.meet.ruleset import (
    CutRule,
    MarkRule,
    RuleOverride,
    RuleSet,
    TieList,
    TieRules,
    entry,
)
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.texts import read_text
from resultsgen.reading.validating import validated, validated_table
from resultsgen.rules.criteria import CRITERIA, SERIES, fitting

RULEBOOK = Path(__file__).parent.parent / "rules/rulebook"

OWN = 10
"""Files of rules that a meet may have of its own."""

STAND_IN = RuleSet.model_construct(title="")
"""Used where a rule set cannot be read, so that all else is still checked; nothing is published."""

TEXTS = ("title", "about", "sources", "source")
"""Entries that tell of rules and are none."""

SPELT = {
    field: known.alias
    for model in (RuleSet, TieRules, MarkRule, CutRule)
    for field, known in model.model_fields.items()
    if known.alias
}
"""How a key is spelt in a rule set: `all_around` is all-around there."""

TomlTable = dict[str, Any]
Overrides = tuple[RuleOverride, ...]


def rule_set_names() -> list[str]:
    return sorted(path.stem for path in RULEBOOK.glob("*.toml"))


def read_rule_sets(
    folder: Path, settings: MeetSettings
) -> tuple[dict[str, RuleSet], dict[str, Overrides], list[Problem]]:
    """The rule set of each competition, and what `[rules]` changes in it, by the competition's id.

    Each file is read once.
    """
    by_name: dict[str, tuple[RuleSet, Overrides]] = {}
    problems = list(_unused_changes(settings))
    for number, competition in enumerate(settings.competitions):
        name = competition.rules
        if name in by_name:
            continue
        where = key_path("competition", number, "rules")
        if sum(one.endswith(".toml") for one in by_name) >= OWN:
            by_name[name] = STAND_IN, ()
            message = (
                f"at most {OWN} rule sets of its own are read for a meet; take one of them for "
                "several"
            )
            problems.append(Problem(FILE, 0, where, "settings-too-large", message, name))
            continue
        rules, overrides, wrong = _read(folder, name, settings.rules.get(name, {}))
        by_name[name] = rules, overrides
        problems += [replace(one, column=where) if one.column == "rules" else one for one in wrong]
    of = {one.id: by_name[one.rules] for one in settings.competitions}
    changed = {id: overrides for id, (_, overrides) in of.items() if overrides}
    return {id: rules for id, (rules, _) in of.items()}, changed, problems


def _read(folder: Path, name: str, changes: TomlTable) -> tuple[RuleSet, Overrides, list[Problem]]:
    own_file = name.endswith(".toml")
    if not own_file and name not in rule_set_names():
        known = rule_set_names()
        mend = did_you_mean(name, known) or f"there are {', '.join(known)}."
        message = f"there is no rule set {name}; {mend} A file of your own ends in .toml"
        return STAND_IN, (), [Problem(FILE, 0, "rules", "unknown-rule-set", message, name)]
    file = name if own_file else f"{name}.toml"
    text = read_text(folder if own_file else RULEBOOK, file)
    if isinstance(text, Problem):
        message = f"rules: {text.file} {text.message}"
        return STAND_IN, (), [Problem(FILE, 0, "rules", text.code, message, name)]
    rule_set, problems = _rule_set(text, file)
    if rule_set is None:
        return STAND_IN, (), problems
    problems = list(_wrong_criteria(rule_set, file, text))
    if problems or not changes:
        return rule_set, (), problems
    above = key_path("rules", name)
    changed, problems = validated_table(
        RuleSet, merged(read_toml(text), changes), FILE, above=above
    )
    if changed:
        problems = list(_wrong_criteria(changed, FILE, "", f"{above}."))
    if changed is None or problems:
        return rule_set, (), problems
    return changed, tuple(_overrides(rule_set, changed, changes)), []


@lru_cache(maxsize=2 * OWN)  # From build to build they are as they were.
def _rule_set(text: str, file: str) -> tuple[RuleSet | None, list[Problem]]:
    return validated(RuleSet, text, file)


def _wrong_criteria(rule_set: RuleSet, file: str, text: str, above: str = "") -> Iterator[Problem]:
    """Criteria that no function stands for, or that say nothing of the list they are named for.

    *above* is the table that the rules stand in.
    """
    for head, rules in (("ties", rule_set.ties), ("final-ties", rule_set.final_ties)):
        for of in get_args(TieList) if rules else ():
            where = f"{head}.{of}.criteria"
            there = fitting(of)
            for name in rules.of(of).criteria if rules else ():
                if name in there:
                    continue
                known = name in SERIES or name in {one.name for one in CRITERIA}
                code = "criterion-of-another-list" if known else "unknown-criterion"
                message = (
                    f"{name!r} says nothing of such a list"
                    if known
                    else f"there is no criterion {name!r}"
                )
                message += f"; for {of} there are {', '.join(there)}"
                line = line_of(key_lines(text), where)
                yield Problem(file, line, f"{above}{where}", code, message, name)


def with_what_is_usual(settings: MeetSettings, rule_sets: dict[str, RuleSet]) -> MeetSettings:
    """The settings with the apparatus and the team format of the rule set where none is given.

    What the meet declares under `[disciplines]` goes before the rule set. A team without any
    format is none; the checks then say what is missing.
    """
    filled = []
    for one in settings.competitions:
        rules, team = rule_sets[one.id], one.team
        own = one.discipline in settings.disciplines
        apparatus = one.apparatus or (() if own else rules.apparatus.of(one.discipline))
        if not (team and team.format):
            usual = rules.teams if "team" in one.ranks else None
            given = team or TeamFormat()
            format = usual and {"format": usual.of(one.phase)}
            team = given.model_copy(update=format) if format else None
        filled.append(one.model_copy(update={"apparatus": apparatus, "team": team}))
    return settings.model_copy(update={"competitions": tuple(filled)})


def merged(written: TomlTable, changes: TomlTable) -> TomlTable:
    """A rule set as its file has it, with the changes put in; lists are replaced whole.

    Where finals had no tie rules of their own, the changed ones start from those of every phase.
    """
    changes = _spelt(changes)
    if "final-ties" in changes and "final-ties" not in written:
        written = written | {"final-ties": written.get("ties", {})}
    return laid_over(written, changes)


def _spelt(changes: TomlTable) -> TomlTable:
    return {
        SPELT.get(key, key): _spelt(value) if isinstance(value, dict) else value
        for key, value in changes.items()
    }


def _overrides(rules: RuleSet, changed: RuleSet, changes: TomlTable) -> Iterator[RuleOverride]:
    """Every entry that is another now, in the order in which the meet has them.

    Where finals had no tie rules of their own, those of every phase were usual.
    """
    for path in _paths(_spelt(changes), ()):
        own = path[0] != "final-ties" or rules.final_ties is not None
        usual = entry(rules, path if own else ("ties", *path[1:]))
        here = entry(changed, path)
        if path[-1] not in TEXTS and usual != here:
            yield RuleOverride(path, usual, here)


def _paths(table: TomlTable, above: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _paths(value, (*above, key))
        else:
            yield (*above, key)


def _unused_changes(settings: MeetSettings) -> Iterator[Problem]:
    """A problem for each table of changes to a rule set that no competition names."""
    named = sorted({one.rules for one in settings.competitions})
    for name in settings.rules:
        if name not in named:
            mend = did_you_mean(name, named) or f"there are {', '.join(named)}"
            message = f"no competition has the rule set {name}; {mend}"
            where = key_path("rules", name)
            yield Problem(FILE, 0, where, "unknown-setting", message, name)
