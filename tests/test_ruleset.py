"""The rulebook: every file is a rule set, every rule names a source, every criterion exists."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain
from typing import get_args

import pytest
from published_tables import RULEBOOK, TABLES, rule_set
from pydantic import ValidationError

from resultsgen.meet.names import DISCIPLINES
from resultsgen.meet.ruleset import RuleSet, TieList, TieRules, VaultRule
from resultsgen.meet.values import Frozen
from resultsgen.rules.criteria import BEST_PARTS, CRITERIA, SERIES, Compared, criteria, fitting

NAMES = sorted(path.stem for path in RULEBOOK.glob("*.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_a_file_of_the_rulebook_is_a_rule_set_that_names_its_sources(name: str) -> None:
    rules = rule_set(name)
    assert rules.title
    assert rules.about
    assert rules.sources
    assert rules.apparatus.source
    assert rules.marks.source
    assert rules.totals.source
    assert rules.vault.source
    assert rules.unranked.source
    assert rules.guests.source
    assert rules.cuts.source
    for usual in (rules.cuts.all_around, rules.cuts.apparatus, rules.cuts.team, rules.teams):
        assert usual is None or usual.source


@pytest.mark.parametrize("name", NAMES)
def test_every_list_has_its_tie_rule_with_a_source_and_known_criteria(name: str) -> None:
    rules = rule_set(name)
    for group in (rules.ties, rules.final_ties):
        if group is None:
            continue
        assert group.model_fields_set == set(TieRules.model_fields)
        for field in TieRules.model_fields:
            rule = getattr(group, field)
            assert rule.source
            assert len(criteria(rule.criteria, 1)) <= len(rule.criteria)


def test_the_international_rules() -> None:
    rules = rule_set("international")
    for phase in ("qualification", "final"):
        assert {kind: rules.tie_rule(kind, phase).criteria for kind in KINDS} == {
            "all-around": (BEST_PARTS, "total E", "total D"),
            "apparatus": ("E", "D"),
            "vault-average": ("better vault", "higher E", "higher D"),
            "team": (BEST_PARTS,),
            "team-apparatus": (),
        }
    assert (rules.vault.averaging, rules.vault.compare) == ("cut", "printed")
    assert (rules.marks.highest, rules.marks.highest_e) == (None, 10000)


@pytest.mark.parametrize("name", NAMES)
def test_a_file_names_apparatus_steps_and_bounds(name: str) -> None:
    """So that a reader need not look for what holds where a file says nothing."""
    rules = rule_set(name)
    assert {one: rules.apparatus.of(one) for one in DISCIPLINES} == DISCIPLINES
    assert "step" in rules.marks.model_fields_set
    bound = "highest_e" if rules.marks.composition == "d+e" else "highest"
    assert bound in rules.marks.model_fields_set


def leaves(model: type[Frozen], above: str = "") -> Iterator[str]:
    """Every entry of a rule set, `LIST` standing for the kinds of list."""
    for name, known in model.model_fields.items():
        path = f"{above}{known.alias or name}"
        kinds = [one for one in (known.annotation, *get_args(known.annotation)) if one]
        inner = [one for one in kinds if isinstance(one, type) and issubclass(one, Frozen)]
        if inner and name != "sources":
            yield from leaves(inner[0], f"{path}.")
        else:
            yield re.sub(
                r"\.(all-around|apparatus|vault-average|team|team-apparatus)\.", ".LIST.", path
            )


def test_the_readme_of_the_rulebook_names_every_entry_and_no_other() -> None:
    text = (RULEBOOK / "README.md").read_text(encoding="utf-8")
    named = [re.findall(r"`([^`]+)`", line.split("|")[1]) for line in text.splitlines()
             if line.startswith("| `")]  # fmt: skip
    there = {path for path in leaves(RuleSet) if not path.endswith("source")}
    assert sorted(chain.from_iterable(named)) == sorted(there)


def test_the_readme_of_the_rulebook_names_every_criterion_and_its_lists() -> None:
    text = (RULEBOOK / "README.md").read_text(encoding="utf-8")
    named = re.findall(r'^\* `"([^"]+)"`: ([^.]+)\. ', text, re.MULTILINE)
    every = [(name, one.of) for name, one in SERIES.items()]
    every += [(one.name, one.of) for one in CRITERIA]
    assert named == [
        (name, "all lists" if of == get_args(TieList) else ", ".join(of)) for name, of in every
    ]


@pytest.mark.parametrize("of", get_args(TieList))
def test_a_criterion_tells_equals_apart_on_every_list_that_it_fits(of: TieList) -> None:
    """Two rows of which the first is better in everything: no criterion calls them equal."""
    width = {"apparatus": 1, "vault-average": 2, "team-apparatus": 2}.get(of, 4)
    better, worse = (
        Compared(9, (mark,) * width, (mark,) * width, (mark,) * width, mark, mark)
        for mark in (9, 8)
    )
    for name in fitting(of):
        steps = criteria((name,), width)
        assert steps, name
        assert all(step.value(better) > step.value(worse) >= 0 for step in steps), name


KINDS = ("all-around", "apparatus", "vault-average", "team", "team-apparatus")


def test_averages_compared_exactly_are_told_apart_by_the_sum_of_both_vaults() -> None:
    exact = rule_set("international").model_copy(update={"vault": VaultRule(compare="exact")})
    assert exact.tie_rule("vault-average", "final").criteria == (
        "sum of both vaults", "better vault", "higher E", "higher D",
    )  # fmt: skip
    assert criteria(("sum of both vaults",), 2)[0].words == "sum of both vaults"
    assert exact.tie_rule("apparatus", "final").criteria == ("E", "D")


def test_the_usual_format_of_teams_in_qualification_and_finals() -> None:
    teams = rule_set("international").teams
    assert teams
    assert (teams.of("qualification"), teams.of("final")) == ("5-4-3", "5-3-3")
    assert rule_set("club-ten").teams is None


def test_ties_in_finals_may_have_rules_of_their_own() -> None:
    rules = rule_set("world-finals-shared")
    assert rules.tie_rule("apparatus", "qualification").criteria == ("E", "D")
    for kind in KINDS:
        assert rules.tie_rule(kind, "final").criteria == ()


def test_marks_out_of_ten() -> None:
    rules = rule_set("club-ten")
    assert (rules.marks.composition, rules.marks.highest) == ("single", 10000)


def test_a_key_that_nobody_knows_is_refused() -> None:
    with pytest.raises(ValidationError, match="guest"):
        RuleSet.model_validate({"title": "Ours", "guest": {}})


def test_every_rule_set_but_two_is_proved_by_a_published_table() -> None:
    """Clubs publish no tables here; the shared finals of 2015 are known from the news alone."""
    proved = {table.head["rules"] for table in TABLES.values()}
    assert set(NAMES) - proved == {"club-ten", "world-finals-shared"}
