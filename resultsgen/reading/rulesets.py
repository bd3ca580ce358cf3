"""The rule set of each competition: one that ships in `rulebook/`, or a file in the meet folder."""

from __future__ import annotations

import difflib
from dataclasses import replace
from pathlib import Path

from resultsgen.checks.keys import key_lines, key_path, line_of
from resultsgen.meet import MeetSettings
from resultsgen.problems import Problem
from resultsgen.reading.files import read_utf8
from resultsgen.reading.validation import validated
from resultsgen.rules.ties import BEST_PARTS, CRITERIA
from resultsgen.ruleset import RuleSet, TieRule, TieRules

RULEBOOK = Path(__file__).parent.parent / "rulebook"

STAND_IN = RuleSet(title="")
"""Used where a rule set cannot be read, so that all else is still checked; nothing is published."""


def rule_set_names() -> list[str]:
    """The names of the rule sets that ship with the package."""
    return sorted(path.stem for path in RULEBOOK.glob("*.toml"))


def read_rule_sets(
    folder: Path, settings: MeetSettings
) -> tuple[dict[str, RuleSet], list[Problem]]:
    """The rule set of each competition, by the competition's id; each file is read once."""
    by_name: dict[str, RuleSet] = {}
    problems: list[Problem] = []
    for number, competition in enumerate(settings.competitions):
        name = competition.rules
        if name not in by_name:
            found, wrong = read_rule_set(folder, name)
            by_name[name] = found or STAND_IN
            where = key_path("competition", number, "rules")
            problems += [
                replace(one, column=where) if one.file == "meet.toml" else one for one in wrong
            ]
    return {one.id: by_name[one.rules] for one in settings.competitions}, problems


def read_rule_set(folder: Path, name: str) -> tuple[RuleSet | None, list[Problem]]:
    """One rule set by the name of the rulebook, or by the name of a .toml file of the folder."""
    own_file = name.endswith(".toml")
    if not own_file and name not in rule_set_names():
        return None, [_no_such_rule_set(name)]
    file = name if own_file else f"{name}.toml"
    held = read_utf8(folder if own_file else RULEBOOK, file)
    if isinstance(held, Problem):
        message = f"rules: {held.file} {held.message}"
        return None, [Problem("meet.toml", 0, "rules", held.code, message, name)]
    rule_set, problems = validated(RuleSet, held.decode(), file)
    if rule_set:
        problems = _unknown_criteria(rule_set, held.decode(), file)
    return rule_set, problems


def _no_such_rule_set(name: str) -> Problem:
    known = rule_set_names()
    near = difflib.get_close_matches(name, known, n=1)
    mend = f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}"
    message = f"there is no rule set {name}; {mend} A file of your own ends in .toml"
    return Problem("meet.toml", 0, "rules", "unknown-rule-set", message, name)


def _unknown_criteria(rule_set: RuleSet, text: str, file: str) -> list[Problem]:
    """Criteria that no function stands for."""
    known = [criterion.name for criterion in CRITERIA] + [BEST_PARTS]
    lines = key_lines(text)
    return [
        Problem(
            file,
            line_of(lines, f"{where}.criteria"),
            f"{where}.criteria",
            "unknown-criterion",
            f"there is no criterion {name!r}; there are {', '.join(known)}",
            name,
        )
        for where, rule in _tie_rules(rule_set)
        for name in rule.criteria
        if name not in known
    ]


def _tie_rules(rule_set: RuleSet) -> list[tuple[str, TieRule]]:
    """Every tie rule of a rule set, by its key."""
    found: list[tuple[str, TieRule]] = []
    for head, rules in (("ties", rule_set.ties), ("final-ties", rule_set.final_ties)):
        if rules:
            for name, field in TieRules.model_fields.items():
                found.append((f"{head}.{field.alias or name}", getattr(rules, name)))
    return found
