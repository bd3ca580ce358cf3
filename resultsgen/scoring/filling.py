"""A field is filled: with whom the roster or a cut has in it, and what the rows of marks say."""

from __future__ import annotations

from dataclasses import replace

from resultsgen.checks.roster import belongs
from resultsgen.meet.competition import Competition
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.parts import SECOND_VAULT, apparatus_of, part_of
from resultsgen.meet.ruleset import MarkRule
from resultsgen.rules.placings import placings
from resultsgen.scoring.field import Field, KeyAndPart, Scores, sums
from resultsgen.scoring.finals import Starters
from resultsgen.scoring.people import in_order_of_equals
from resultsgen.scoring.ranking import Gymnast, Routine


def field(
    meet: Meet,
    competition: Competition,
    everybody: dict[int, Gymnast],
    starters: Starters | None,
    earlier: dict[str, Field],
) -> Field:
    """The field of a competition: from the roster, or those who were chosen to start.

    *earlier* holds the fields that it takes marks from, by id.
    """
    here = {
        key: gymnast
        for key, gymnast in in_order_of_equals(meet.settings.equals, everybody).items()
        if (key in starters.keys if starters else belongs(competition, meet.entries[key]))
    }
    days, shared, carried = (
        [earlier[id] for id in ids if id in earlier]
        for ids in (competition.days, competition.marks_of, competition.carried_from)
    )
    if not competition.has_own_marks:
        persons = {who.person for other in (*shared, *days) for who in other.gymnasts.values()}
        here = {key: gymnast for key, gymnast in here.items() if gymnast.person in persons}
    apparatus = meet.settings.apparatus_of(competition)
    bare = Field(meet, competition, apparatus, here, {}, frozenset(), {}, {})
    if days:
        return _added(bare, [day.of(here) for day in days])
    rows, statuses = _filled(bare, _rows(bare, shared))
    scores = _scores(rows, meet.rule_sets[competition.id].marks)
    scored = replace(bare, scores=scores, carried=tuple(other.of(here) for other in carried))
    performed = replace(scored, routines=_routines(scored, rows, statuses))
    entered = {key: _entered(performed, key, starters) for key in here}
    whole = performed.rule_set.totals.incomplete == "no place"
    everywhere = (key for key in here if not whole or set(apparatus) <= set(entered[key]))
    in_all_around = starters.all_around if starters else frozenset(everywhere)
    filled = replace(performed, entered=entered, in_all_around=in_all_around)
    return replace(filled, routines=_placed(filled))


def _added(bare: Field, days: list[Field]) -> Field:
    """The field whose marks are those of several days, added apparatus by apparatus.

    There is no sum without a mark on each day; but where the rules place by what there is, a day
    without one adds nothing.
    """
    whole, scores, entered = bare.rule_set.totals.incomplete == "no place", {}, {}
    for key in bare.gymnasts:
        entered[key] = tuple(
            part for part in bare.parts if any(part in day.entered[key] for day in days)
        )
        for part in bare.parts:
            there = [day.scores[key, part] for day in days if day.mark(key, part) is not None]
            if there and (len(there) == len(days) or not whole):
                scores[key, part] = sums(there)
    in_all_around = frozenset[int]().union(*(day.in_all_around for day in days))
    return replace(
        bare, entered=entered, in_all_around=in_all_around, scores=scores, days=tuple(days)
    )


Rows = list[tuple[int, MarkRow]]
"""Rows of marks, each with the key of whose it is in a competition."""


def _rows(bare: Field, shared: list[Field]) -> Rows:
    """The rows of marks that are entered for a competition, or for those whose marks it shares.

    Who is in none of those by the row of the roster that is in this one has the marks of the
    same person's first row there.
    """
    ids, stands_for = {bare.competition.id}, {key: key for key in bare.gymnasts}
    if shared:
        ids = {other.competition.id for other in shared}
        there = {key: who.person for other in shared for key, who in other.gymnasts.items()}
        first = {there[key]: key for key in sorted(there, reverse=True)}
        stands_for = {
            key if key in there else first[gymnast.person]: key
            for key, gymnast in bare.gymnasts.items()
        }
    return [
        (stands_for[row.gymnast], row)
        for row in bare.meet.mark_rows
        if row.competition in ids and row.gymnast is not None and row.gymnast in stands_for
    ]


def _filled(bare: Field, rows: Rows) -> tuple[dict[KeyAndPart, MarkRow], dict[KeyAndPart, str]]:
    """The row of each part, and the status on it; who is disqualified there keeps no number.

    A status for the whole competition, or for the whole meet, fills the parts without one.
    """
    given: dict[KeyAndPart, MarkRow] = {}
    for_all = {key: bare.meet.entries[key].status for key in bare.gymnasts}
    for key, row in rows:
        part = part_of(row.apparatus, row.vault)
        if part in bare.parts:
            assert (key, part) not in given, "nobody has two marks on one part"
            given[key, part] = row
        if row.status and not row.apparatus:
            for_all[key] = row.status
    statuses = {
        (key, part): _status(given.get((key, part)), for_all[key], part)
        for part in bare.parts
        for key in bare.gymnasts
    }
    return {where: row for where, row in given.items() if statuses[where] != "DSQ"}, statuses


def _status(row: MarkRow | None, for_all: str, part: str) -> str:
    """The status on a part: its own, or that for all parts where it holds on this one."""
    own, has_mark = row.status if row else "", row is not None and row.mark is not None
    if part == SECOND_VAULT:  # Nobody is entered for a second vault by a status.
        return for_all if has_mark and for_all == "DSQ" else own
    return for_all if for_all and not own and (not has_mark or for_all == "DSQ") else own


def _scores(rows: dict[KeyAndPart, MarkRow], rules: MarkRule) -> dict[KeyAndPart, Scores]:
    """What is compared of each mark; an E score that was not given is worked out where it can be.

    So it is where the rules say how a mark is made up, and penalties are given, and bonuses if the
    rules have them: who leaves the column out may not have told of one.
    """
    penalties = any(row.penalty is not None for row in rows.values())
    bonuses = not rules.bonus or any(row.bonus is not None for row in rows.values())
    able = rules.composition == "d+e" and penalties and bonuses
    return {
        where: (row.mark, row.d, _e_worked_out(row, rules) if able and row.e is None else row.e)
        for where, row in rows.items()
    }


def _e_worked_out(row: MarkRow, rules: MarkRule) -> int | None:
    """The E score that a mark leaves; what would be none stays unknown."""
    if row.d is None or not row.mark:
        return None
    e = row.mark - row.d - (row.bonus or 0) + (row.penalty or 0)
    return e if 0 <= e <= rules.highest_e else None


def _routines(
    these: Field, rows: dict[KeyAndPart, MarkRow], statuses: dict[KeyAndPart, str]
) -> dict[KeyAndPart, Routine]:
    """Every mark or status as a routine, without its place."""
    found: dict[KeyAndPart, Routine] = {}
    rules = these.rule_set.marks
    for part in these.parts:
        apparatus, vault = apparatus_of(part), 2 if part == SECOND_VAULT else 1
        for key in these.gymnasts:
            row, status = rows.get((key, part)), statuses[key, part]
            if row:
                found[key, part] = Routine(
                    apparatus,
                    vault,
                    row.mark,
                    row.d,
                    row.e,
                    row.penalty,
                    row.bonus,
                    status,
                    row.rotation,
                    e_worked_out=these.scores[key, part][2] if row.e is None else None,
                    parts_give=row.parts_give if rules.composition == "d+e" else None,
                )
            elif status:
                found[key, part] = Routine(apparatus, vault, mark=None, status=status)
    return found


def _placed(these: Field) -> dict[KeyAndPart, Routine]:
    """Every routine with its place among all who performed there; a second vault has none."""
    found, steps = dict(these.routines), these.steps("apparatus", 1)
    for part in these.apparatus:
        keys = [key for key in these.gymnasts if (key, part) in found]
        lines = [these.compared(key, these.mark(key, part), (part,)) for key in keys]
        for key, place in zip(keys, placings(lines, steps), strict=True):
            found[key, part] = replace(found[key, part], place=place)
    return found


def _entered(these: Field, key: int, starters: Starters | None) -> tuple[str, ...]:
    """What somebody is entered on: as the competition, the roster or the cut says, and where a
    mark stands.

    The second vault is entered by a mark or a status of its own on it, by `VT2` on the roster,
    or by being in a vault final.
    """
    named = these.competition.entered.get(these.gymnasts[key].bib)
    own = named or these.meet.entries[key].entered.split() or these.apparatus
    chosen = starters.parts_of(key) if starters else own
    return tuple(part for part in these.parts if part in chosen or (key, part) in these.routines)
