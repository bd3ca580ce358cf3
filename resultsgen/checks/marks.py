"""What must be true of the marks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from resultsgen.checks.roster import bibs_are_unique
from resultsgen.meet.folder import Meet
from resultsgen.meet.marks import is_nothing, show_mark
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import TeamFormat

if TYPE_CHECKING:
    import pandas as pd

ROUTINE = ["competition", "gymnast", "apparatus", "vault"]


def mark_problem(
    meet: Meet, row: Any, name: str, code: str, message: str, value: str = ""
) -> Problem:
    """A problem in one cell of a row of marks."""
    heading = row.column if name == "mark" else meet.settings.columns.marks.get(name, name)
    return Problem(row.file, int(row.line), heading, code, message, value)


def wrong_rows(marks: pd.DataFrame, wrong: pd.Series[bool]) -> Iterable[Any]:
    """The rows of a table of marks that are wrong, a column being an attribute."""
    return marks[wrong].itertuples() if wrong.any() else ()


def whose(row: Any) -> str:
    """The routine that a row is about."""
    vault = " (second vault)" if row.vault == 2 else ""
    return f"bib {row.bib} on {row.apparatus}{vault}" if row.apparatus else f"bib {row.bib}"


def by_competition(meet: Meet) -> Iterator[tuple[Any, pd.DataFrame]]:
    """Each competition and its rows of marks."""
    competitions = {one.id: one for one in meet.settings.competitions}
    for id, rows in meet.marks.groupby("competition", sort=False):
        if id in competitions:
            yield competitions[str(id)], rows


def apparatus_belongs_to_the_competition(meet: Meet) -> Iterator[Problem]:
    """Each mark is on one of the apparatus of its competition."""
    for competition, rows in by_competition(meet):
        codes = meet.settings.apparatus_of(competition)
        if not codes:
            continue  # That its discipline is not known is told already.
        for row in wrong_rows(rows, ~rows["apparatus"].isin((*codes, ""))):
            message = f"{whose(row)}: {competition.id} has only {', '.join(codes)}"
            code = "apparatus-not-in-competition"
            yield mark_problem(meet, row, "apparatus", code, message, row.apparatus)


def performed_where_entered(meet: Meet) -> Iterator[Problem]:
    """Who is entered on some apparatus only, here or in the whole meet, has marks on those only."""
    entered = meet.roster["entered"]
    some = entered[entered != ""]
    here = {(one.id, bib): parts for one in meet.settings.competitions
            for bib, parts in one.entered.items()}  # fmt: skip
    bibs = {bib for _, bib in here}
    theirs = meet.marks["gymnast"].isin(some.index) | meet.marks["bib"].isin(bibs)
    for row in wrong_rows(meet.marks, theirs & meet.marks["mark"].notna()):
        own = here.get((row.competition, row.bib))
        codes = some.get(row.gymnast, "").split() if own is None else own
        if not codes:  # Everywhere; or taken out, which is told already.
            continue
        if row.apparatus and row.apparatus not in codes and f"{row.apparatus}2" not in codes:
            where = "'entered' on the roster" if own is None else "[competition.entered]"
            message = (
                f"{whose(row)} has a mark, but is entered on {', '.join(codes)}; "
                f"correct the mark's row, or {where}"
            )
            yield mark_problem(meet, row, "mark", "not-entered", message, show_mark(row.mark))


def second_vaults_are_vaults(meet: Meet) -> Iterator[Problem]:
    """The number of a vault is 1 or 2, and only the vault has a second."""
    others = meet.marks["vault"].ne(1)
    for row in wrong_rows(meet.marks, others & meet.marks["apparatus"].ne("")):
        if row.vault != 2:
            message = f"{whose(row)}: the vault is 1 or 2"
            yield mark_problem(meet, row, "vault", "no-vault-number", message, str(row.vault))
        elif row.apparatus != "VT":
            message = f"{whose(row)}: only the vault is done twice; leave the cell empty"
            yield mark_problem(meet, row, "vault", "no-vault-number", message, str(row.vault))


def one_mark_per_routine(meet: Meet) -> Iterator[Problem]:
    """A gymnast has one mark, or one status, for each routine."""
    known = meet.marks[meet.marks["gymnast"].notna()]
    again = known.duplicated(ROUTINE)
    if not again.any():
        return
    # In a table of both, two rows with one bib are told of once.
    told = [one.row for one in bibs_are_unique(meet)]
    again &= ~(known["file"].eq(meet.settings.files.roster) & known["line"].isin(told))
    several = known.duplicated(ROUTINE, keep=False)
    first = wrong_rows(known, several & ~again)
    where = {_routine(row): f"line {row.line} of {row.file}" for row in first}
    for row in wrong_rows(known, again):
        message = (
            f"{whose(row)} already has a mark or status on {where[_routine(row)]}; "
            "delete one, or say which competition or vault it is"
        )
        yield mark_problem(meet, row, "mark", "second-mark", message, show_mark(given(row.mark)))


def _routine(row: Any) -> tuple[object, ...]:
    return tuple(getattr(row, name) for name in ROUTINE)


def a_mark_or_a_status_is_given(meet: Meet) -> Iterator[Problem]:
    """A routine has a mark or a status, not both."""
    both = meet.marks["mark"].notna() & meet.marks["status"].ne("")
    for row in wrong_rows(meet.marks, both):
        message = f"{whose(row)} has the mark {show_mark(row.mark)} and {row.status}; keep one"
        yield mark_problem(meet, row, "status", "mark-and-status", message, row.status)


def final_mark_adds_up(meet: Meet) -> Iterator[Problem]:
    """Where D and E are given, D + E + bonus - penalty is the mark.

    Where the meet only notes a difference, it is no problem.
    """
    if meet.settings.adding_up != "stop":
        return
    for competition, rows in by_competition(meet):
        if meet.rule_sets[competition.id].marks.composition != "d+e":
            continue
        whole = rows["d"] + rows["e"] + rows["bonus"].fillna(0) - rows["penalty"].fillna(0)
        nothing = is_nothing(rows["mark"], rows["d"], whole)
        wrong = whole.ne(rows["mark"]).fillna(False) & ~nothing.fillna(False)
        for row in wrong_rows(rows, wrong):
            yield _does_not_add_up(meet, row, int(whole[row.Index]))


def _does_not_add_up(meet: Meet, row: Any, whole: int) -> Problem:
    parts = ["D", "E"]
    parts += ["bonus"] if given(row.bonus) else []
    parts += ["penalty"] if given(row.penalty) else []
    named = f"{', '.join(parts[:-1])} and {parts[-1]}"
    message = (
        f"{whose(row)}: final mark {show_mark(row.mark)}, but {named} give {show_mark(whole)}; "
        'correct one of them, or set adding_up = "note" in meet.toml to publish it with a note'
    )
    return mark_problem(meet, row, "mark", "wrong-final-mark", message, show_mark(row.mark))


def no_more_than_may_go_up(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked, no team has more marks on an apparatus than may go up."""
    rows_of = dict(iter(meet.marks.groupby("competition", sort=False)))
    for competition in meet.settings.competitions:
        if competition.team is None or "team" not in competition.ranks:
            continue
        for id in meet.settings.entered_under(competition):
            if id in rows_of:
                yield from _too_many_up(meet, competition.team, rows_of[id])


def _too_many_up(meet: Meet, format: TeamFormat, rows: pd.DataFrame) -> Iterator[Problem]:
    marked = rows[rows["mark"].notna() & rows["gymnast"].notna() & rows["vault"].eq(1)]
    team = meet.roster[format.by].mask(meet.roster["guest"], "")
    own = marked.assign(team=marked["gymnast"].map(team))
    own = own[own["team"].ne("")]
    nth = own.groupby(["team", "apparatus"]).cumcount() + 1
    for row in wrong_rows(own, nth > format.up):
        message = (
            f"{whose(row)} is mark {nth[row.Index]} of {row.team}, but only {format.up} may "
            "go up; take those who are not in the team out of it (column 'team'), "
            "or correct the format"
        )
        yield mark_problem(meet, row, "mark", "too-many-up", message, show_mark(row.mark))


def given(value: Any) -> int | None:
    """A cell of a table of marks as a number; None where it is empty."""
    import pandas as pd

    return None if pd.isna(value) else int(value)
