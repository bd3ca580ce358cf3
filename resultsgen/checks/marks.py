"""What must be true of the marks: whose they are, and what a mark and its parts may be."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.keys import in_cell
from resultsgen.checks.roster import bibs_are_unique, gymnasts_of
from resultsgen.meet.competition import Competition
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.marks import show_mark, show_short
from resultsgen.meet.parts import apparatus_of
from resultsgen.meet.problems import Note, Problem
from resultsgen.meet.ruleset import MarkRule
from resultsgen.meet.settings import MeetSettings

HIGHEST_D = 10_000
"""No D score was ever so high (common practice: up to about 7.9)."""


def whose(meet: Meet, row: MarkRow) -> str:
    """The routine that a row is about; by name where no list shows bibs, if it is not withheld."""
    vault = " (second vault)" if row.vault == 2 else ""
    who = f"bib {row.bib}"
    if meet.settings.bibs == "made" and row.gymnast is not None:
        gymnast = meet.entries[row.gymnast]
        name = gymnast.name or f"{gymnast.given_name} {gymnast.family_name}".strip()
        who = name if gymnast.publish else who
    return f"{who} on {row.apparatus}{vault}" if row.apparatus else who


def rows_of_competitions(meet: Meet) -> Iterator[tuple[Competition, MarkRow]]:
    """Each row of marks with its competition."""
    competitions = meet.settings.by_id
    for row in meet.mark_rows:
        if row.competition in competitions:
            yield competitions[row.competition], row


def apparatus_belongs_to_the_competition(meet: Meet) -> Iterator[Problem]:
    """Each mark is on one of the apparatus of its competition."""
    known = {
        competition.id: meet.settings.apparatus_of(competition)
        for competition in meet.settings.competitions
    }
    for row in meet.mark_rows:
        # That a discipline without apparatus is not known is told already.
        codes = known.get(row.competition)
        if codes and row.apparatus and row.apparatus not in codes:
            message = f"{whose(meet, row)}: {row.competition} has only {', '.join(codes)}"
            yield in_cell(meet, row, "apparatus", "apparatus-not-in-competition", message)


def performed_where_entered(meet: Meet) -> Iterator[Problem]:
    """Who is entered on some apparatus only, here or in the whole meet, has marks on those only."""
    here = {
        (competition.id, bib): parts
        for competition in meet.settings.competitions
        for bib, parts in competition.entered.items()
    }
    on_the_roster: dict[int | None, tuple[str, ...]] = {
        gymnast.key: tuple(gymnast.entered.split()) for gymnast in meet.entries if gymnast.entered
    }
    for row in meet.mark_rows if here or on_the_roster else ():
        own = here.get((row.competition, row.bib))
        codes = on_the_roster.get(row.gymnast, ()) if own is None else own
        if row.mark is None or not row.apparatus or not codes:
            continue  # Without codes: everywhere; or taken out, which is told already.
        if row.apparatus not in map(apparatus_of, codes):
            where = "'entered' on the roster" if own is None else "[competition.entered]"
            message = (
                f"{whose(meet, row)} has a mark, but is entered on {', '.join(codes)}; "
                f"correct the mark's row, or {where}"
            )
            yield in_cell(meet, row, "mark", "not-entered", message)


TWO = "write  vaults = 2  in its [[competition]] if both count"


def second_vault_alone(settings: MeetSettings, id: str, vault: int | None) -> bool:
    """It is a second vault, and no list asks for two vaults that are entered under that id."""
    return vault == 2 and not any(
        one.vaults == 2 and id in settings.entered_under(one) for one in settings.competitions
    )


def second_vaults_are_vaults(meet: Meet) -> Iterator[Problem]:
    """The number of a vault is 1 or 2, and only the vault has a second.

    The first of a competition that counts nowhere is told.
    """
    alone: dict[str, MarkRow] = {}
    for row in meet.mark_rows:
        if row.vault in (1, None) or not row.apparatus:
            continue
        if (row.vault, row.apparatus) == (2, "VT"):
            first = row.mark is not None and alone.setdefault(row.competition, row) is row
            if first and second_vault_alone(meet.settings, row.competition, 2):
                message = f"{whose(meet, row)}: one vault counts in {row.competition}; {TWO}"
                yield Note(**vars(in_cell(meet, row, "vault", "one-vault-counts", message)))
            continue
        why = "only the vault is done twice; leave the cell empty"
        message = f"{whose(meet, row)}: {why if row.vault == 2 else 'the vault is 1 or 2'}"
        yield in_cell(meet, row, "vault", "no-vault-number", message)


def one_mark_per_routine(meet: Meet) -> Iterator[Problem]:
    """A gymnast has one mark, or one status, for each routine."""
    # In a table of both, two rows with one bib are told of once.
    told = {(problem.file, problem.row) for problem in bibs_are_unique(meet)}
    first: dict[tuple[object, ...], MarkRow] = {}
    for row in meet.mark_rows:
        if row.gymnast is None:
            continue
        before = first.setdefault((row.competition, row.gymnast, row.apparatus, row.vault), row)
        if before is not row and (row.file, row.line) not in told:
            message = (
                f"{whose(meet, row)} already has a mark or status on line {before.line} of "
                f"{before.file}; delete one, or say which competition or vault it is"
            )
            yield in_cell(meet, row, "mark", "second-mark", message)


def a_mark_or_a_status_is_given(meet: Meet) -> Iterator[Problem]:
    """A routine has a mark or a status, not both."""
    for row in meet.mark_rows:
        if row.mark is not None and row.status:
            message = (
                f"{whose(meet, row)} has the mark {show_mark(row.mark)} and {row.status}; keep one"
            )
            yield in_cell(meet, row, "status", "mark-and-status", message)


def a_mark_is_within_bounds(meet: Meet) -> Iterator[Problem]:
    """No mark is below 0 or above the highest of the rule set, and no part of it below 0."""
    for competition, row in rows_of_competitions(meet):
        rule = meet.rule_sets[competition.id].marks
        for name, why in (*_mark_out_of_bounds(row, rule), *_parts_out_of_bounds(row, rule)):
            yield in_cell(meet, row, name, "out-of-bounds", f"{whose(meet, row)}: {why}")


def _mark_out_of_bounds(row: MarkRow, rule: MarkRule) -> Iterator[tuple[str, str]]:
    """Where the rules know no highest mark, one that needs a D above any ever seen has its parts.

    D scores up to about 7.9 were given; 133.5 is a slip for 13.35.
    """
    if row.mark is None:
        return
    if row.mark < 0 or (rule.highest is not None and row.mark > rule.highest):
        highest = "" if rule.highest is None else f" and at most {show_mark(rule.highest)}"
        yield "mark", f"{show_mark(row.mark)}, but a mark is at least 0{highest}"
    is_open = rule.highest is None and rule.composition == "d+e"
    if is_open and row.mark > rule.highest_e + HIGHEST_D and (row.d is None or row.e is None):
        yield (
            "mark",
            f"{show_mark(row.mark)}, which needs a D score above {show_short(HIGHEST_D)}; "
            "correct it, or give its D and E",
        )


def _parts_out_of_bounds(row: MarkRow, rule: MarkRule) -> Iterator[tuple[str, str]]:
    """E is from 0 to the highest of the rule set; D and bonus are not below 0.

    Where the rules have no bonus there is none. Where D and E are not added up they are shown all
    the same, so that they are not below 0.
    """
    if rule.composition != "d+e":
        for name, part in (("d", row.d), ("e", row.e)):
            if part is not None and part < 0:
                yield name, f"{name.upper()} is {show_mark(part)}, but it is never below 0"
        return
    if row.e is not None and not 0 <= row.e <= rule.highest_e:
        yield "e", f"E is {show_mark(row.e)}, but it is from 0 to {show_short(rule.highest_e)}"
    if row.bonus and row.bonus > 0 and not rule.bonus:
        bonus = show_mark(row.bonus)
        yield "bonus", f"a bonus of {bonus}, but the rules of this competition have none"
    for name, part in (("d", row.d), ("bonus", row.bonus)):
        if part is not None and part < 0:
            yield name, f"{name} is {show_mark(part)}, but it is never below 0"


def a_mark_stands_on_the_grid(meet: Meet) -> Iterator[Problem]:
    """All marks stand on the grid of the rule set: 0.025, 0.05, 0.1."""
    for competition, row in rows_of_competitions(meet):
        step = meet.rule_sets[competition.id].marks.step
        if row.mark is not None and step > 1 and row.mark % step:
            given, steps = show_mark(row.mark), show_short(step)
            message = f"{whose(meet, row)}: {given}, but marks go in steps of {steps} here"
            yield in_cell(meet, row, "mark", "off-the-grid", message)


def no_mark_is_above_the_highest_that_is_stated(meet: Meet) -> Iterator[Problem]:
    """Where the meet says what nobody will surpass, nobody has: all that is decided rests on it."""
    for competition in meet.settings.competitions:
        stated = competition.running.highest
        ids = meet.settings.entered_under(competition)
        for row in meet.mark_rows if stated is not None else ():
            if row.mark is not None and row.mark > (stated or 0) and row.competition in ids:
                message = (
                    f"{whose(meet, row)}: {show_mark(row.mark)}, above the highest mark that the "
                    f"meet states for {competition.id!r}, {show_mark(stated)}; correct the mark, "
                    "or state a higher one under running"
                )
                yield in_cell(meet, row, "mark", "above-the-stated-highest", message)


def final_mark_adds_up(meet: Meet) -> Iterator[Problem]:
    """Where D and E are given, D + E + bonus - penalty is the mark.

    Where the meet only notes a difference, it is no problem.
    """
    if meet.settings.adding_up != "stop":
        return
    for competition, row in rows_of_competitions(meet):
        whole = row.parts_give
        if whole is None or meet.rule_sets[competition.id].marks.composition != "d+e":
            continue
        parts = ["D", "E", *(["bonus"] if row.bonus else []), *(["penalty"] if row.penalty else [])]
        message = (
            f"{whose(meet, row)}: final mark {show_mark(row.mark)}, but {', '.join(parts[:-1])} "
            f"and {parts[-1]} give {show_mark(whole)}; correct one of them, or set "
            'adding_up = "note" in meet.toml to publish it with a note'
        )
        yield in_cell(meet, row, "mark", "wrong-final-mark", message)


def no_more_than_may_go_up(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked, no team has more marks on an apparatus of a day than may go up.

    Whoever is in two divisions has one routine on it, as one of them stands for the other.
    """
    for competition in meet.settings.competitions:
        format = competition.team
        if format is None or "team" not in competition.ranks:
            continue
        here = {who.bib for who in gymnasts_of(competition, meet)}
        days = [one for one in meet.settings.competitions if one.id in competition.days]
        day_of = {
            id: day.id for day in days or [competition] for id in meet.settings.entered_under(day)
        }
        up: dict[tuple[str, str, str], set[str]] = {}
        for row in meet.mark_rows:
            if row.mark is None or row.gymnast is None or row.vault != 1:
                continue
            gymnast = meet.entries[row.gymnast]
            team = "" if gymnast.guest else getattr(gymnast, format.by)
            if not team or row.competition not in day_of or gymnast.bib not in here:
                continue
            own = up.setdefault((day_of[row.competition], team, row.apparatus), set())
            own.add(gymnast.bib)
            number = len(own)
            if number > format.up:
                message = (
                    f"{whose(meet, row)} is mark {number} of {team}, but only {format.up} may "
                    "go up; take those who are not in the team out of it (column 'team'), "
                    "or correct the format"
                )
                yield in_cell(meet, row, "mark", "too-many-up", message)
