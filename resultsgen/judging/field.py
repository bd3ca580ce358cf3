"""The field of one competition: who is in it, and their marks as tables.

A *part* is what one routine stands for: an apparatus code, or `VT2` for the second vault.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from resultsgen.judging.finals import Starters
from resultsgen.marks import is_nothing
from resultsgen.meet import Competition, Meet
from resultsgen.results import Gymnast, Routine
from resultsgen.rules.placings import placings
from resultsgen.rules.ties import Sheet, criteria
from resultsgen.rules.totals import totals
from resultsgen.ruleset import RuleSet

SECOND_VAULT = "VT2"
NOBODY = -1
NUMBERS = ("mark", "d", "e", "penalty", "bonus", "rotation")


@dataclass(frozen=True)
class Field:
    """Gymnasts in listing order (family name, given name, bib) and a table per kind of number.

    Tables have the gymnasts' keys as index and the parts as columns; `status` holds text,
    `entered` booleans, `numbers` Int64 (thousandths, but plain numbers for the rotation).
    """

    meet: Meet
    competition: Competition
    apparatus: tuple[str, ...]
    gymnasts: dict[int, Gymnast]
    entered: pd.DataFrame
    in_all_around: frozenset[int]
    """Keys of those entered for the all-around."""
    numbers: dict[str, pd.DataFrame]
    status: pd.DataFrame
    routines: dict[tuple[int, str], Routine]
    """By key and part, for every mark or status there is; none where days are added."""
    days: tuple[Field, ...] = ()
    """The competitions that are added, with the gymnasts of this one."""
    carried: tuple[Field, ...] = ()
    """The competitions whose marks are carried into this one, with the gymnasts of this one."""

    @property
    def rule_set(self) -> RuleSet:
        """The rule set of the competition."""
        return self.meet.rule_sets[self.competition.id]

    @property
    def guests(self) -> list[int]:
        """Keys of those out of competition."""
        return [key for key, gymnast in self.gymnasts.items() if gymnast.guest]

    def competing(self, totals: pd.Series[int]) -> pd.Series[int]:
        """The same totals without the guests': what places are given by."""
        return totals.mask(totals.index.isin(self.guests))

    @property
    def sources(self) -> tuple[Field, ...]:
        """Where the marks of its total are: the field of each day, or itself."""
        return self.days or (self,)

    def of(self, here: dict[int, Gymnast]) -> Field:
        """The same marks, with the gymnasts of another competition as rows.

        Somebody who is not in this one has none; the same person may be in both by two rows.
        """
        row_of = {one.person: key for key, one in self.gymnasts.items()}
        own = {key: key if key in self.gymnasts else row_of.get(one.person, NOBODY)
               for key, one in here.items()}  # fmt: skip

        def rows(table: pd.DataFrame) -> pd.DataFrame:
            return table.reindex(list(own.values())).set_axis(list(own), axis=0)

        return replace(
            self,
            gymnasts=here,
            entered=rows(self.entered).fillna(False).astype(bool),
            in_all_around=frozenset(key for key in own if own[key] in self.in_all_around),
            numbers={name: rows(table) for name, table in self.numbers.items()},
            status=rows(self.status).fillna(""),
            routines={
                (key, part): self.routines[own[key], part]
                for key in own
                for part in self.status.columns
                if (own[key], part) in self.routines
            },
        )


def gymnasts(meet: Meet) -> dict[int, Gymnast]:
    """Everybody on the roster, by key, in listing order."""
    years = meet.settings.privacy.birth_year
    rows: Iterable[Any] = meet.roster.itertuples()
    persons = _persons(meet.roster)
    people = [
        Gymnast(
            key=int(row.Index),
            person=persons[row.Index],
            bib=row.bib,
            family=row.family_name if row.publish else "",
            given=row.given_name if row.publish else "",
            club=row.club,
            federation=row.federation,
            team=row.team,
            discipline=row.discipline,
            division=row.division,
            session=row.session,
            squad=row.squad,
            start_order=whole(row.start_order),
            birth_year=whole(row.birth_year) if years and row.publish else None,
            guest=bool(row.guest),
            published=bool(row.publish),
        )
        for row in rows
    ]
    return {one.key: one for one in sorted(people, key=_listing_order)}


def _persons(roster: pd.DataFrame) -> dict[int, str]:
    """The person of each row: one bib and name in a discipline, in whatever divisions.

    Age groups may number alike; then the first division of each tells them apart.
    """
    names: dict[str, dict[str, str]] = {}
    rows: list[Any] = list(roster.itertuples())
    for row in rows:
        own = names.setdefault(f"{row.discipline}/{row.bib}", {})
        own.setdefault(_name(row), row.division)
    found = {}
    for row in rows:
        wearer = f"{row.discipline}/{row.bib}"
        alone = len(names[wearer]) == 1
        found[int(row.Index)] = wearer if alone else f"{wearer}/{names[wearer][_name(row)]}"
    return found


def _name(row: Any) -> str:
    return " ".join(f"{row.family_name} {row.given_name}".casefold().split())


def _listing_order(one: Gymnast) -> tuple[str, str, int, str]:
    """By name as written, then by bib; a number before a longer number."""
    return (one.family.casefold(), one.given.casefold(), len(one.bib), one.bib)


def whole(value: object) -> int | None:
    """A cell of an Int64 table as a plain number; None where there is none."""
    return None if pd.isna(value) else int(value)  # type: ignore[call-overload]


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
        for key, one in everybody.items()
        if (starters is not None and key in starters.keys)
        or (starters is None and _is_in(one, competition))
    }
    if not competition.has_own_marks:
        here = _who_are_in(here, [earlier[id] for id in competition.fed_by if id in earlier])
    days = tuple(earlier[id].of(here) for id in competition.days if id in earlier)
    if days:
        return _added(meet, competition, here, days)
    own = _with_marks(meet, competition, here, _rows(meet, competition, everybody, here), starters)
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
    status = _statuses(meet, own, here, parts)
    annulled = status == "DSQ"
    numbers = {name: _wide(own, name, here, parts).mask(annulled) for name in NUMBERS}
    entered = _entered(meet, here, numbers["mark"].notna(), status, starters)
    rules = meet.rule_sets[competition.id].totals
    everywhere = entered[list(apparatus)].all(axis=1)
    chosen = everywhere | (rules.incomplete != "no place")
    all_around = starters.all_around if starters else frozenset(entered.index[chosen])
    bare = Field(meet, competition, apparatus, here, entered, all_around, numbers, status, {})
    return replace(bare, routines=_routines(bare))


def _who_are_in(here: dict[int, Gymnast], others: list[Field]) -> dict[int, Gymnast]:
    """Those of these gymnasts who are in one of the other competitions."""
    persons = {one.person for other in others for one in other.gymnasts.values()}
    return {key: one for key, one in here.items() if one.person in persons}


def _rows(
    meet: Meet, competition: Competition, everybody: dict[int, Gymnast], here: dict[int, Gymnast]
) -> pd.DataFrame:
    """The rows of marks that count in a competition: its own, or those of the ones it names.

    A person may be entered in those by another row of the roster.
    """
    rows = meet.marks
    if competition.has_own_marks:
        own = rows[rows["competition"] == competition.id]
        return own[own["gymnast"].isin(list(here))]
    row_of = {one.person: key for key, one in here.items()}
    named = {key: row_of[one.person] for key, one in everybody.items() if one.person in row_of}
    own = rows[rows["competition"].isin(competition.marks_of) & rows["gymnast"].isin(list(named))]
    return own.assign(gymnast=own["gymnast"].map(named).astype("Int64"))


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
    return one.discipline == competition.discipline and (not divisions or one.division in divisions)


def _part(own: pd.DataFrame) -> pd.Series[str]:
    return own["apparatus"].where(own["vault"].ne(2), own["apparatus"] + "2")


def _wide(
    own: pd.DataFrame, name: str, here: dict[int, Gymnast], parts: tuple[str, ...]
) -> pd.DataFrame:
    """One kind of number: a row per gymnast, a column per part, `<NA>` where there is none."""
    routines = own[own["apparatus"].ne("")]
    wide = routines.assign(part=_part(routines)).set_index(["gymnast", "part"])[name].unstack()
    return wide.reindex(index=list(here), columns=list(parts)).astype("Int64")


def _statuses(
    meet: Meet, own: pd.DataFrame, here: dict[int, Gymnast], parts: tuple[str, ...]
) -> pd.DataFrame:
    """The status of each routine; one for the whole competition or meet fills the empty parts."""
    status = pd.DataFrame("", index=list(here), columns=list(parts), dtype="object")
    marked = _wide(own, "mark", here, parts).notna()
    routines = own[own["status"].ne("") & own["apparatus"].ne("")]
    for key, part, word in zip(
        routines["gymnast"], _part(routines), routines["status"], strict=True
    ):
        status.loc[key, part] = word
    whole = dict(meet.roster.loc[list(here), "status"])
    for_all = own[own["status"].ne("") & own["apparatus"].eq("")]
    whole |= dict(zip(for_all["gymnast"], for_all["status"], strict=True))
    for key, word in whole.items():
        if word:
            fill = status.loc[key].eq("") & (~marked.loc[key] | (word == "DSQ"))
            if SECOND_VAULT in parts:  # Nobody is entered for a second vault by a status.
                fill[SECOND_VAULT] = marked.loc[key, SECOND_VAULT] and word == "DSQ"
            status.loc[key, fill] = word
    return status


def _entered(
    meet: Meet,
    here: dict[int, Gymnast],
    marked: pd.DataFrame,
    status: pd.DataFrame,
    starters: Starters | None,
) -> pd.DataFrame:
    """Who is entered on which part: as the roster or the cut says, and wherever a mark stands.

    The second vault is entered by a mark or a status of its own on it, by `VT2` on the roster,
    or by being in a vault final.
    """
    parts = list(status.columns)
    usual = set(parts) - {SECOND_VAULT}
    named = meet.roster["entered"].to_dict()
    entered = {}
    for key in here:
        chosen = starters.parts_of(key) if starters else set(named[key].split()) or usual
        entered[key] = [part in chosen for part in parts]
    table = pd.DataFrame.from_dict(entered, orient="index", columns=parts, dtype=bool)
    return table | marked | (status != "")


def apparatus_sheet(these: Field, part: str) -> Sheet:
    """What is compared on one apparatus: the mark, then E and D as the rules say."""
    marks = these.numbers["mark"]
    totals = these.competing(marks[part])
    return Sheet(
        totals,
        marks[[part]],
        these.numbers["e"][[part]],
        these.numbers["d"][[part]],
        facts(these),
    )


def facts(these: Field) -> pd.DataFrame:
    """What a criterion may ask for beside the marks of its list."""
    marks = these.numbers["mark"][list(these.apparatus)]
    whole = totals(marks, these.rule_set.totals.incomplete)
    years = these.meet.roster["birth_year"].reindex(list(these.gymnasts))
    return pd.DataFrame({"all_around": whole, "birth_year": years})


def _routines(these: Field) -> dict[tuple[int, str], Routine]:
    """Every mark or status as a routine with its place on the apparatus."""
    places = _apparatus_places(these)
    columns = {name: these.numbers[name].to_dict() for name in NUMBERS}
    status = these.status.to_dict()
    found = {}
    for part in these.status.columns:
        for key in these.gymnasts:
            number = {name: whole(columns[name][part][key]) for name in NUMBERS}
            if number["mark"] is None and not status[part][key]:
                continue
            found[key, part] = Routine(
                apparatus="VT" if part == SECOND_VAULT else part,
                vault=2 if part == SECOND_VAULT else 1,
                status=status[part][key],
                place=whole(places[part][key]) if part in places else None,
                parts_give=_parts_give(these.rule_set, number),
                **number,
            )
    return found


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
