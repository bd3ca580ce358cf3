"""How the field of a competition is made: of its own marks, those of others, or of several days."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from resultsgen.live.old_tables import cells, placings
from resultsgen.meet.folder import Meet
from resultsgen.meet.marks import is_nothing
from resultsgen.meet.ruleset import MarkRule, RuleSet
from resultsgen.meet.settings import Competition
from resultsgen.rules.criteria import criteria
from resultsgen.scoring.field import Field, apparatus_sheet
from resultsgen.scoring.finals import Starters
from resultsgen.scoring.people import in_order_of_equals
from resultsgen.scoring.results import Gymnast, Routine
from resultsgen.scoring.tables import SECOND_VAULT, entries, places, statuses

NUMBERS = ("mark", "d", "e", "penalty", "bonus", "rotation")


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
        key: one
        for key, one in in_order_of_equals(meet.settings.equals, everybody).items()
        if (starters is not None and key in starters.keys)
        or (starters is None and _is_in(one, competition))
    }
    if not competition.has_own_marks:
        named = (*competition.marks_of, *competition.days)
        here = _who_are_in(here, [earlier[id] for id in named if id in earlier])
    days = tuple(earlier[id].of(here) for id in competition.days if id in earlier)
    if days:
        return _added(meet, competition, here, days)
    shared = [earlier[id] for id in competition.marks_of if id in earlier]
    rows = _shared_rows(meet, here, shared) if shared else _own_rows(meet, competition, here)
    own = _with_marks(meet, competition, here, rows, starters)
    carried = tuple(earlier[id].of(here) for id in competition.carried_from if id in earlier)
    return replace(own, carried=carried)


def _with_marks(
    meet: Meet,
    competition: Competition,
    here: dict[int, Gymnast],
    own: pd.DataFrame,
    starters: Starters | None,
) -> Field:
    """The field with the rows of marks that are its own."""
    apparatus = meet.settings.apparatus_of(competition)
    parts = (*apparatus, SECOND_VAULT) if "VT" in apparatus else apparatus
    where = places(own, here, parts)
    status = statuses(meet, own, where)
    annulled = status.to_numpy() == "DSQ"
    numbers = {name: where.wide(name, annulled) for name in NUMBERS}
    entered = entries(meet, competition, here, numbers["mark"], status, starters)
    rules = meet.rule_sets[competition.id].totals
    everywhere = entered[list(apparatus)].all(axis=1)
    chosen = everywhere | (rules.incomplete != "no place")
    all_around = starters.all_around if starters else frozenset(entered.index[chosen])
    whole = numbers | {"e": _e_scores(meet.rule_sets[competition.id].marks, numbers)}
    bare = Field(meet, competition, apparatus, here, entered, all_around, whole, status, {})
    return replace(bare, routines=_routines(bare, numbers["e"]))


def _e_scores(rules: MarkRule, numbers: dict[str, pd.DataFrame]) -> pd.DataFrame:
    """The E scores as given, or else worked out where the rules say how a mark is made up.

    Only where penalties are given (and bonuses, if the rules have them): who leaves the column out
    may not have told of one. What would be no E score stays unknown.
    """
    e, penalty, bonus = numbers["e"], numbers["penalty"], numbers["bonus"]
    needed = [penalty, bonus] if rules.bonus else [penalty]
    if rules.composition != "d+e" or any(one.isna().all(axis=None) for one in needed):
        return e
    found = numbers["mark"] - numbers["d"] - bonus.fillna(0) + penalty.fillna(0)
    fits = (numbers["mark"] > 0) & (found >= 0) & (found <= rules.highest_e)
    return e.where(e.notna(), found.where(fits.fillna(False)))


def _who_are_in(here: dict[int, Gymnast], others: list[Field]) -> dict[int, Gymnast]:
    """Those of these gymnasts who are in one of the other competitions."""
    persons = {one.person for other in others for one in other.gymnasts.values()}
    return {key: one for key, one in here.items() if one.person in persons}


def _own_rows(meet: Meet, competition: Competition, here: dict[int, Gymnast]) -> pd.DataFrame:
    """The rows of marks that are entered for a competition."""
    own = meet.marks[meet.marks["competition"] == competition.id]
    return own[own["gymnast"].isin(list(here))]


def _shared_rows(meet: Meet, here: dict[int, Gymnast], others: list[Field]) -> pd.DataFrame:
    """The rows of marks of other competitions, each for the gymnast who has it here.

    Who is in none of those by the row of the roster that is in this one has the marks of the
    same person's first row there.
    """
    there = {key: one.person for other in others for key, one in other.gymnasts.items()}
    first: dict[str, int] = {}
    for key in sorted(there):
        first.setdefault(there[key], key)
    stands_for = {key if key in there else first[one.person]: key for key, one in here.items()}
    ids = {other.competition.id for other in others}
    rows = meet.marks
    own = rows[rows["competition"].isin(ids) & rows["gymnast"].isin(list(stands_for))]
    return own.assign(gymnast=own["gymnast"].map(stands_for).astype("Int64"))


def _added(
    meet: Meet, competition: Competition, here: dict[int, Gymnast], days: tuple[Field, ...]
) -> Field:
    """The field whose numbers are the sums of those of each day, apparatus by apparatus."""
    apparatus = meet.settings.apparatus_of(competition)
    parts = [*apparatus, SECOND_VAULT] if "VT" in apparatus else list(apparatus)
    whole = meet.rule_sets[competition.id].totals.incomplete == "no place"
    entered = pd.DataFrame(False, index=list(here), columns=parts, dtype=bool)
    for day in days:
        entered |= day.entered.reindex(columns=parts, fill_value=False)
    return Field(
        meet=meet,
        competition=competition,
        apparatus=apparatus,
        gymnasts=here,
        entered=entered,
        in_all_around=frozenset().union(*(day.in_all_around for day in days)),
        numbers={name: _sums(days, name, parts, whole=whole) for name in ("mark", "e", "d")},
        status=pd.DataFrame("", index=list(here), columns=parts, dtype="object"),
        routines={},
        days=days,
    )


def _sums(days: tuple[Field, ...], name: str, parts: list[str], *, whole: bool) -> pd.DataFrame:
    """One kind of number, added over the days; not known as soon as one is not.

    Unless the sum is to be *whole*, a day without a mark adds nothing.
    """
    marks = [day.numbers["mark"].reindex(columns=parts) for day in days]
    each = [day.numbers[name].reindex(columns=parts) for day in days]
    if not whole:
        each = [one.mask(mark.isna(), 0) for one, mark in zip(each, marks, strict=True)]
    total = each[0]
    for one in each[1:]:
        total = total + one
    nothing = pd.concat([mark.isna() for mark in marks]).groupby(level=0, sort=False).all()
    return total.mask(nothing.loc[total.index]).astype("Int64")


def _is_in(one: Gymnast, competition: Competition) -> bool:
    divisions = competition.divisions
    here = one.discipline == competition.discipline and (not divisions or one.division in divisions)
    return here and one.bib not in competition.not_entered


def _routines(these: Field, given_e: pd.DataFrame) -> dict[tuple[int, str], Routine]:
    """Every mark or status as a routine with its place on the apparatus; E scores as given."""
    held = these.numbers | {"e": given_e}
    placed = _apparatus_places(these)
    nowhere = [None] * len(these.gymnasts)
    found = {}
    for part in these.status.columns:
        columns = [cells(held[name][part]) for name in NUMBERS]
        scores = cells(these.numbers["e"][part])
        place_of = cells(placed[part]) if part in placed else nowhere
        rows = zip(these.gymnasts, these.status[part], place_of, scores, *columns, strict=True)
        for key, status, place, e, *numbers in rows:
            number = dict(zip(NUMBERS, numbers, strict=True))
            if number["mark"] is None and not status:
                continue
            found[key, part] = Routine(
                apparatus="VT" if part == SECOND_VAULT else part,
                vault=2 if part == SECOND_VAULT else 1,
                status=status,
                place=place,
                e_worked_out=e if number["e"] is None else None,
                parts_give=_parts_give(these.rule_set, number),
                **number,
            )
    return found


def performed(these: Field) -> tuple[tuple[Gymnast, Routine], ...]:
    """Who did what, by apparatus, in the order of the roster, the first vault before the second."""

    def where(pair: tuple[Gymnast, Routine]) -> tuple[int, int, int]:
        who, routine = pair
        return these.apparatus.index(routine.apparatus), who.key, routine.vault

    found = ((these.gymnasts[key], routine) for (key, _), routine in these.routines.items())
    return tuple(sorted(found, key=where))


def _apparatus_places(these: Field) -> dict[str, pd.Series[int]]:
    """Places among all who performed, apparatus by apparatus (the first vault on VT)."""
    rule = these.rule_set.tie_rule("apparatus", these.competition.phase)
    steps = criteria(rule.criteria, 1)
    return {part: placings(apparatus_sheet(these, part), steps) for part in these.apparatus}


def _parts_give(rule_set: RuleSet, number: dict[str, int | None]) -> int | None:
    """D + E + bonus - penalty where both D and E are given and the mark differs; else None."""
    d, e, mark = number["d"], number["e"], number["mark"]
    if rule_set.marks.composition != "d+e" or d is None or e is None or mark is None:
        return None
    given = d + e + (number["bonus"] or 0) - (number["penalty"] or 0)
    return None if given == mark or is_nothing(mark, d, given) else given
