"""The rule set of each competition: one that ships in `rulebook/`, or a file in the meet folder."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, get_args

from resultsgen.checks.keys import key_lines, key_path, line_of
from resultsgen.files.toml import read_toml
from resultsgen.meet.problems import Problem
from resultsgen.meet.ruleset import RuleOverride, RuleSet, TieList, TieRule
from resultsgen.meet.settings import Competition, MeetSettings, TeamFormat
from resultsgen.reading.rule_overrides import merged, overrides, unused_changes
from resultsgen.reading.texts import read_text
from resultsgen.reading.validation import validated, validated_table
from resultsgen.rules.criteria import CRITERIA, SERIES, fitting

SETTINGS = "meet.toml"
RULEBOOK = Path(__file__).parent.parent / "rules/rulebook"

OWN = 10
"""Files of rules that a meet may have of its own."""

STAND_IN = RuleSet(title="")
"""Used where a rule set cannot be read, so that all else is still checked; nothing is published."""


@dataclass(frozen=True)
class RuleSets:
    """The rule sets by the competition's id, and what the meet overrides in them."""

    by_competition: dict[str, RuleSet]
    overrides: dict[str, tuple[RuleOverride, ...]]


def rule_set_names() -> list[str]:
    """The names of the rule sets that ship with the package."""
    return sorted(path.stem for path in RULEBOOK.glob("*.toml"))


def read_rule_sets(folder: Path, settings: MeetSettings) -> tuple[RuleSets, list[Problem]]:
    """The rule set of each competition, with what `[rules]` changes; each file is read once."""
    by_name: dict[str, RuleSet] = {}
    departs: dict[str, tuple[RuleOverride, ...]] = {}
    problems = unused_changes(settings)
    for number, competition in enumerate(settings.competitions):
        name = competition.rules
        if name in by_name:
            continue
        if sum(one.endswith(".toml") for one in by_name) >= OWN:
            by_name[name], departs[name] = STAND_IN, ()
            problems.append(_too_many(number, name))
            continue
        found, changed, wrong = _read(folder, name, settings.rules.get(name, {}))
        by_name[name], departs[name] = found or STAND_IN, changed
        where = key_path("competition", number, "rules")
        problems += [replace(one, column=where) if one.column == "rules" else one for one in wrong]
    return RuleSets(
        {one.id: by_name[one.rules] for one in settings.competitions},
        {one.id: departs[one.rules] for one in settings.competitions if departs[one.rules]},
    ), problems


def _too_many(number: int, name: str) -> Problem:
    message = (
        f"at most {OWN} rule sets of its own are read for a meet; take one of them for several"
    )
    where = key_path("competition", number, "rules")
    return Problem(SETTINGS, 0, where, "settings-too-large", message, name)


def _read(
    folder: Path, name: str, changes: dict[str, Any]
) -> tuple[RuleSet | None, tuple[RuleOverride, ...], list[Problem]]:
    """One rule set, changed as the meet options."""
    held, file = _text(folder, name)
    if isinstance(held, Problem):
        return None, (), [held]
    rule_set, problems = validated(RuleSet, held, file)
    if rule_set is None:
        return None, (), problems
    problems = _wrong_criteria(rule_set, file, key_lines(held))
    if problems or not changes:
        return rule_set, (), problems
    return _changed(name, rule_set, held, changes)


def _changed(
    name: str, rule_set: RuleSet, held: str, changes: dict[str, Any]
) -> tuple[RuleSet | None, tuple[RuleOverride, ...], list[Problem]]:
    """The rule set with the entries that `[rules.NAME]` changes, and which these are."""
    above = key_path("rules", name)
    written = read_toml(held)
    changed, problems = validated_table(RuleSet, merged(written, changes), SETTINGS, {}, above)
    if changed:
        problems = _wrong_criteria(changed, SETTINGS, {}, f"{above}.")
    if changed is None or problems:
        return rule_set, (), problems
    return changed, overrides(rule_set, changed, changes), []


def _text(folder: Path, name: str) -> tuple[str | Problem, str]:
    """The text of a rule set, or what is wrong with its name or file; and the file's name."""
    own_file = name.endswith(".toml")
    if not own_file and name not in rule_set_names():
        return _no_such_rule_set(name), ""
    file = name if own_file else f"{name}.toml"
    held = read_text(folder if own_file else RULEBOOK, file)
    if isinstance(held, Problem):
        message = f"rules: {held.file} {held.message}"
        return Problem(SETTINGS, 0, "rules", held.code, message, name), file
    return held, file


def with_what_is_usual(settings: MeetSettings, rule_sets: dict[str, RuleSet]) -> MeetSettings:
    """The settings with the apparatus and the team format of the rule set where none is given."""
    filled = tuple(
        _with_apparatus(settings, _with_usual_team(one, rule_sets[one.id]), rule_sets[one.id])
        for one in settings.competitions
    )
    return settings.model_copy(update={"competitions": filled})


def _with_apparatus(settings: MeetSettings, one: Competition, rules: RuleSet) -> Competition:
    """What the meet declares under `[disciplines]` goes before the rule set."""
    usual = () if one.discipline in settings.disciplines else rules.apparatus.of(one.discipline)
    return one.model_copy(update={"apparatus": one.apparatus or usual})


def _with_usual_team(one: Competition, rules: RuleSet) -> Competition:
    """A team without any format is none; the checks then say what is missing."""
    if one.team and one.team.format:
        return one
    if rules.teams is None or "team" not in one.ranks:
        return one.model_copy(update={"team": None})
    usual = {"format": rules.teams.of(one.phase)}
    team = one.team.model_copy(update=usual) if one.team else TeamFormat.model_validate(usual)
    return one.model_copy(update={"team": team})


def _no_such_rule_set(name: str) -> Problem:
    known = rule_set_names()
    near = difflib.get_close_matches(name, known, n=1)
    mend = f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}"
    message = f"there is no rule set {name}; {mend} A file of your own ends in .toml"
    return Problem(SETTINGS, 0, "rules", "unknown-rule-set", message, name)


def _wrong_criteria(
    rule_set: RuleSet, file: str, lines: dict[str, int], above: str = ""
) -> list[Problem]:
    """Criteria that no function stands for, or that say nothing of the list they are named for.

    *above* is the table that the rules stand in.
    """
    return [
        Problem(
            file, line_of(lines, f"{where}.criteria"), f"{above}{where}.criteria", *wrong, name
        )
        for where, of, rule in _tie_rules(rule_set)
        for name in rule.criteria
        if (wrong := _misfit(name, of))
    ]  # fmt: skip


def _misfit(name: str, of: TieList) -> tuple[str, str] | None:
    """The code and the message where a criterion cannot be used for a list."""
    there = fitting(of)
    if name in there:
        return None
    for_this = f"for {of} there are {', '.join(there)}"
    if name in SERIES or name in {one.name for one in CRITERIA}:
        return "criterion-of-another-list", f"{name!r} says nothing of such a list; {for_this}"
    return "unknown-criterion", f"there is no criterion {name!r}; {for_this}"


def _tie_rules(rule_set: RuleSet) -> Iterator[tuple[str, TieList, TieRule]]:
    """Every tie rule of a rule set, with its key and its list."""
    for head, rules in (("ties", rule_set.ties), ("final-ties", rule_set.final_ties)):
        if rules:
            yield from ((f"{head}.{of}", of, rules.of(of)) for of in get_args(TieList))
