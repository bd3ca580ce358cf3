"""What `[rules.NAME]` in meet.toml changes in a rule set, how that is told, and what is refused."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import NoneType
from typing import get_args

import pytest
from folders import judged, write_folder

from resultsgen.meet.ruleset import RuleSet, entry
from resultsgen.meet.values import Frozen
from resultsgen.reading.meet import read_meet
from resultsgen.reading.rulesets import TEXTS
from resultsgen.views.lists.rule_changes import ENTRIES, PARTS, override_sentences
from resultsgen.views.lists.rules import rules_view
from resultsgen.views.words.wording import Wording

MEET = """
== meet.toml ==
title = "Test"
{changes}
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["UB", "BB"]
phase = "{phase}"
== roster.csv ==
bib,family_name,federation
1,Adams,N
2,Bell,S
3,Cole,S
== marks.csv ==
bib,apparatus,mark,d,e,penalty
1,UB,13.000,5.0,8.000,
1,BB,12.000,5.0,7.000,
2,UB,13.000,4.9,8.100,
2,BB,13.000,5.0,8.000,
3,UB,11.000,4.0,7.000,
3,BB,11.000,4.0,7.000,
"""


def written(folder: Path, changes: str, phase: str = "final") -> Path:
    return write_folder(folder, MEET.format(changes=changes, phase=phase))


def told(folder: Path, changes: str) -> list[str]:
    """The sentences about the changes of a meet."""
    (cup,) = judged(written(folder, changes)).competitions
    return list(override_sentences(cup, Wording()))


def order(folder: Path, changes: str, phase: str = "final") -> list[str]:
    """The bibs on the uneven bars."""
    (cup,) = judged(written(folder, changes, phase)).competitions
    return [line.gymnast.bib for line in cup.by_apparatus["UB"].lines]


def problems(folder: Path, changes: str) -> list[tuple[int, str, str, str]]:
    found = read_meet(written(folder, changes))[1]
    return [(one.row, one.column, one.code, one.message) for one in found]


D_FIRST = '[rules.international]\nties.apparatus.criteria = ["D", "E"]'


def test_without_changes_the_rule_set_holds_as_it_is(tmp_path: Path) -> None:
    assert order(tmp_path, "") == ["2", "1", "3"]
    assert told(tmp_path, "") == []


def test_a_changed_entry_holds_and_is_told_with_what_it_was(tmp_path: Path) -> None:
    assert order(tmp_path, D_FIRST) == ["1", "2", "3"]
    assert told(tmp_path, D_FIRST) == [
        "Apparatus: equal totals are told apart by: the D score, the E score "
        "(the rule set: the E score, the D score)."
    ]


def test_the_rules_page_begins_with_it(tmp_path: Path) -> None:
    (cup,) = judged(written(tmp_path, D_FIRST)).competitions
    first = rules_view(cup, Wording()).passages[0]
    assert first.heading == "Where this meet departs from the rule set"
    assert len(first.sentences) == 1
    assert cup.rule_set.title == "International rules as used now"


def test_what_is_not_changed_stays(tmp_path: Path) -> None:
    (cup,) = judged(written(tmp_path, D_FIRST)).competitions
    assert cup.rule_set.ties.all_around.criteria[1:] == ("total E", "total D")
    assert cup.rule_set.marks.highest_e == 10000


def test_a_series_for_teams_on_one_apparatus_begins_with_all_their_marks(tmp_path: Path) -> None:
    changes = """[rules.international]
ties.team-apparatus.criteria = ["best marks, one fewer each time"]"""
    meet = MEET.replace("phase =", 'team = {{ format = "3-3-2", by = "federation" }}\nphase =')
    (cup,) = judged(
        write_folder(tmp_path, meet.format(changes=changes, phase="qualification"))
    ).competitions
    (told,) = override_sentences(cup, Wording())
    assert told == (
        "Team on one apparatus: equal totals are told apart by: the best mark "
        "(the rule set: nothing, and the place is shared)."
    )


def test_marks_numbers_and_choices_are_told_as_they_are(tmp_path: Path) -> None:
    changes = """[rules.international]
cuts.all-around.places = 6
cuts.tie_on_last_place = "listed order"
marks.step = 0.05
marks.highest = 16
teams.format = "4-4-3"
guests = { stand = "below" }"""
    assert told(tmp_path, changes) == [
        "All-around: how many usually qualify: 6 (the rule set: 24).",
        "A tie for the last place that cannot be broken: is left to the order of the list "
        "(the rule set: lets all of them qualify).",
        "The steps that marks go in: 0.050 (the rule set: 0.001).",
        "The highest mark possible: 16.000 (the rule set: nothing is said of it).",
        "The usual format of teams: 4-4-3 (the rule set: 5-4-3).",
        "Guests stand: below the others (the rule set: among the others by their mark).",
    ]


def test_what_says_the_same_as_the_rule_set_is_no_departure(tmp_path: Path) -> None:
    same = '[rules.international]\nties.apparatus.criteria = ["E", "D"]\nmarks.highest-e = 10'
    assert told(tmp_path, same) == []


def test_a_change_for_finals_leaves_the_other_lists_and_the_qualification(tmp_path: Path) -> None:
    """Finals start from the rules of every phase: their all-around ties do not begin to stand."""
    changes = '[rules.international.final-ties.apparatus]\ncriteria = ["D"]'
    assert order(tmp_path, changes, "qualification") == ["2", "1", "3"]
    assert order(tmp_path, changes) == ["1", "2", "3"]
    (cup,) = judged(written(tmp_path, changes)).competitions
    assert cup.rule_set.tie_rule("all-around", "final").criteria[1:] == ("total E", "total D")
    assert [one.path for one in cup.rule_overrides] == [("final-ties", "apparatus", "criteria")]
    assert cup.rule_overrides[0].usual == ("E", "D")


def test_a_key_may_be_spelt_with_underscores(tmp_path: Path) -> None:
    changes = '[rules.international.final_ties.apparatus]\ncriteria = ["D"]'
    assert order(tmp_path, changes) == ["1", "2", "3"]


@pytest.mark.parametrize(
    ("changes", "row", "column", "code", "mend"),
    [
        (
            '[rules.international]\nties.aparatus.criteria = ["D"]',
            3, "rules.international.ties.aparatus", "unknown-setting", "did you mean apparatus?",
        ),
        (
            '[rules.international]\nties.apparatus.criteria = ["difficulty"]',
            3, "rules.international.ties.apparatus.criteria", "unknown-criterion", "there are",
        ),
        (
            "[rules.international]\ncuts.apparatus.places = 0",
            3, "rules.international.cuts.apparatus.places", "wrong-setting", "at least 1",
        ),
        (
            "[rules.international]\ncuts.apparatus.places = true",
            3, "rules.international.cuts.apparatus.places", "wrong-setting", "a whole number",
        ),
        (
            "[rules.internatinal]\nmarks.step = 0.1",
            2, "rules.internatinal", "unknown-setting", "did you mean international?",
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_change_is_told(
    tmp_path: Path, changes: str, row: int, column: str, code: str, mend: str
) -> None:
    (found,) = problems(tmp_path, changes)
    assert found[:3] == (row, column, code)
    assert mend in found[3]


def test_the_marks_are_checked_by_the_changed_rules(tmp_path: Path) -> None:
    found = problems(tmp_path, "[rules.international]\nmarks.step = 3.000")
    assert {code for _, _, code, _ in found} == {"off-the-grid"}


def leaves(model: type[Frozen], above: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every entry of a rule set, named as in its file."""
    for name, known in model.model_fields.items():
        path = (*above, known.alias or name)
        kinds = [one for one in (known.annotation, *get_args(known.annotation)) if one != NoneType]
        inner = [one for one in kinds if isinstance(one, type) and issubclass(one, Frozen)]
        if inner and known.alias != "sources" and name != "sources":
            yield from leaves(inner[0], path)
        elif name not in TEXTS:
            yield path


def test_there_are_words_for_every_entry_that_is_a_rule() -> None:
    for path in leaves(RuleSet):
        words = ENTRIES if len(path) == 2 else PARTS
        assert f"{path[0]}.{path[-1]}" in words, path


def test_every_entry_can_be_looked_up() -> None:
    for path in leaves(RuleSet):
        entry(RuleSet(title="Ours"), path)
