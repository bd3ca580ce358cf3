"""What a mark and its parts may be: within the bounds of the rule set and on its grid."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from resultsgen.checks.marks import by_competition, mark_problem, whose, wrong_rows
from resultsgen.meet.folder import Meet
from resultsgen.meet.marks import show_mark, show_short
from resultsgen.meet.problems import Problem
from resultsgen.meet.ruleset import MarkRule

if TYPE_CHECKING:
    import pandas as pd

HIGHEST_D = 10_000
"""No D score was ever so high (common practice: up to about 7.9)."""


def a_mark_is_within_bounds(meet: Meet) -> Iterator[Problem]:
    """No mark is below 0 or above the highest of the rule set; all stand on its grid."""
    for competition, rows in by_competition(meet):
        rule = meet.rule_sets[competition.id].marks
        yield from _mark_out_of_bounds(meet, rows, rule)
        yield from _off_the_grid(meet, rows, rule)
        if rule.composition == "d+e":
            yield from _parts_out_of_bounds(meet, rows, rule)
            yield from _too_high_without_parts(meet, rows, rule)
        else:
            yield from _parts_below_nought(meet, rows)


def _parts_below_nought(meet: Meet, rows: pd.DataFrame) -> Iterator[Problem]:
    """Where D and E are not added up they are shown all the same."""
    for name in ("d", "e"):
        for row in wrong_rows(rows, (rows[name] < 0).fillna(False)):
            given = show_mark(getattr(row, name))
            message = f"{whose(row)}: {name.upper()} is {given}, but it is never below 0"
            yield mark_problem(meet, row, name, "out-of-bounds", message, given)


def _mark_out_of_bounds(meet: Meet, rows: pd.DataFrame, rule: MarkRule) -> Iterator[Problem]:
    out = rows["mark"] < 0
    if rule.highest is not None:
        out |= rows["mark"] > rule.highest
    highest = f"and at most {show_mark(rule.highest)}" if rule.highest is not None else "or more"
    for row in wrong_rows(rows, out.fillna(False)):
        message = f"{whose(row)}: {show_mark(row.mark)}, but a mark is at least 0 {highest}"
        yield mark_problem(meet, row, "mark", "out-of-bounds", message, show_mark(row.mark))


def no_mark_is_above_the_highest_that_is_stated(meet: Meet) -> Iterator[Problem]:
    """Where the meet says what nobody will surpass, nobody has: all that is decided rests on it."""
    rows_of = dict(iter(meet.marks.groupby("competition", sort=False)))
    for one in meet.settings.competitions:
        stated = one.running.highest
        if stated is None:
            continue
        for id in meet.settings.entered_under(one):
            rows = rows_of.get(id, meet.marks[:0])
            for row in wrong_rows(rows, (rows["mark"] > stated).fillna(False)):
                message = (
                    f"{whose(row)}: {show_mark(row.mark)}, above the highest mark that the meet "
                    f"states for {one.id!r}, {show_mark(stated)}; correct the mark, or state a "
                    "higher one under running"
                )
                mark = show_mark(row.mark)
                yield mark_problem(meet, row, "mark", "above-the-stated-highest", message, mark)


def _too_high_without_parts(meet: Meet, rows: pd.DataFrame, rule: MarkRule) -> Iterator[Problem]:
    """Where the rules know no highest mark, one that needs a D above any ever seen has its parts.

    D scores up to about 7.9 were given; 133.5 is a slip for 13.35.
    """
    if rule.highest is not None:
        return
    usual = rule.highest_e + HIGHEST_D
    lacking = rows["d"].isna() | rows["e"].isna()
    for row in wrong_rows(rows, (rows["mark"] > usual).fillna(False) & lacking):
        message = (
            f"{whose(row)}: {show_mark(row.mark)}, which needs a D score above "
            f"{show_short(HIGHEST_D)}; correct it, or give its D and E"
        )
        yield mark_problem(meet, row, "mark", "out-of-bounds", message, show_mark(row.mark))


def _off_the_grid(meet: Meet, rows: pd.DataFrame, rule: MarkRule) -> Iterator[Problem]:
    if rule.step <= 1:
        return
    off = (rows["mark"] % rule.step).ne(0).fillna(False)
    for row in wrong_rows(rows, off):
        step = show_short(rule.step)
        message = f"{whose(row)}: {show_mark(row.mark)}, but marks go in steps of {step} here"
        yield mark_problem(meet, row, "mark", "off-the-grid", message, show_mark(row.mark))


def _parts_out_of_bounds(meet: Meet, rows: pd.DataFrame, rule: MarkRule) -> Iterator[Problem]:
    """E is from 0 to the highest of the rule set; D and bonus are not below 0.

    Where the rules have no bonus there is none.
    """
    wrong_e = ((rows["e"] < 0) | (rows["e"] > rule.highest_e)).fillna(False)
    for row in wrong_rows(rows, wrong_e):
        highest = show_short(rule.highest_e)
        message = f"{whose(row)}: E is {show_mark(row.e)}, but it is from 0 to {highest}"
        yield mark_problem(meet, row, "e", "out-of-bounds", message, show_mark(row.e))
    for row in wrong_rows(rows, (rows["bonus"] > 0).fillna(False) & (not rule.bonus)):
        value = show_mark(row.bonus)
        message = f"{whose(row)}: a bonus of {value}, but the rules of this competition have none"
        yield mark_problem(meet, row, "bonus", "out-of-bounds", message, value)
    for name in ("d", "bonus"):
        for row in wrong_rows(rows, (rows[name] < 0).fillna(False)):
            value = show_mark(getattr(row, name))
            message = f"{whose(row)}: {name} is {value}, but it is never below 0"
            yield mark_problem(meet, row, name, "out-of-bounds", message, value)
