"""Who is on the roster: each row a gymnast, and the person behind several rows."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pandas as pd

from resultsgen.meet import Meet
from resultsgen.results import Gymnast


def gymnasts(meet: Meet) -> dict[int, Gymnast]:
    """Everybody on the roster, by key, in listing order."""
    years = meet.settings.privacy.birth_year
    rows: Iterable[Any] = meet.roster.itertuples()
    persons = _persons(meet.roster)
    withheld = _withheld(meet.roster, persons)
    people = [
        Gymnast(
            key=int(row.Index),
            person=persons[row.Index],
            bib=row.bib,
            family="" if row.Index in withheld else row.family_name,
            given="" if row.Index in withheld else row.given_name,
            club=row.club,
            federation=row.federation,
            team=row.team,
            discipline=row.discipline,
            division=row.division,
            session=row.session,
            squad=row.squad,
            start_order=whole(row.start_order),
            birth_year=whole(row.birth_year) if years and row.Index not in withheld else None,
            guest=bool(row.guest),
            published=row.Index not in withheld,
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


def _withheld(roster: pd.DataFrame, persons: dict[int, str]) -> frozenset[int]:
    """The rows whose name is not published: one row that says so speaks for all of the person.

    Whoever has another bib elsewhere is known by name and club.
    """
    rows: list[Any] = [] if roster["publish"].all() else list(roster.itertuples())
    said = {row.Index for row in rows if not row.publish}
    meant = {persons[row.Index] for row in rows if row.Index in said}
    named = {(_name(row), row.club) for row in rows if row.Index in said}
    return frozenset(
        row.Index for row in rows if persons[row.Index] in meant or (_name(row), row.club) in named
    )


def _name(row: Any) -> str:
    return " ".join(f"{row.family_name} {row.given_name}".casefold().split())


def _listing_order(one: Gymnast) -> tuple[str, str, int, str]:
    """By name as written, then by bib; a number before a longer number."""
    return (one.family.casefold(), one.given.casefold(), len(one.bib), one.bib)


def whole(value: object) -> int | None:
    """A cell of an Int64 table as a plain number; None where there is none."""
    return None if pd.isna(value) else int(value)  # type: ignore[call-overload]
