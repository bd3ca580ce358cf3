"""What a publication keeps of the results."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Container, Iterator, Mapping
from typing import Any

from resultsgen.history.publication import (
    NAME,
    Publication,
    PublishedCompetition,
    PublishedCut,
    PublishedGymnast,
    PublishedLine,
    PublishedList,
    PublishedMark,
    PublishedTie,
    Through,
    told,
)
from resultsgen.history.records import in_order
from resultsgen.meet.marks import show_mark
from resultsgen.meet.settings import MeetSettings
from resultsgen.scoring.results import (
    CompetitionResults,
    CutResult,
    Gymnast,
    Line,
    Ranking,
    Results,
    Routine,
)

NameOf = Callable[[int], str]


def record(
    results: Results, number: int, published: dt.datetime | None, *, sealed: bool = False
) -> Publication:
    """The publication of that number that these results make."""
    settings = results.meet.settings
    made = Publication(
        number=number,
        published=published,
        state=settings.status.state,
        sealed=sealed,
        signed=settings.status.signed,
        facts=_of_the_meet(settings),
        gymnasts=_gymnasts(results),
        competitions=tuple(_competition(one) for one in results.competitions),
        corrections=tuple(told(row.told) for row in results.meet.corrections),
    )
    return in_order(made)


def _of_the_meet(settings: MeetSettings) -> dict[str, str]:
    facts = {name: str(getattr(settings, name)) for name in ("title", "place", "venue")}
    facts["organiser"] = settings.organiser
    facts["dates"] = ", ".join(day.isoformat() for day in settings.dates)
    facts["officials"] = "; ".join(f"{one.role}: {one.name}" for one in settings.officials)
    return {name: text for name, text in facts.items() if text}


def _gymnasts(results: Results) -> tuple[PublishedGymnast, ...]:
    """Each person with the competitions of all entries; nothing else of whom is not named."""
    entries: dict[str, list[Gymnast]] = {}
    for entry in results.gymnasts.values():
        entries.setdefault(entry.person, []).append(entry)
    where: dict[str, dict[str, None]] = {}
    for one in results.competitions:
        these = (*(start.gymnast for start in one.starts), *(who for who, _ in one.routines))
        for gymnast in these:
            where.setdefault(gymnast.person, {})[one.competition.id] = None
    return tuple(
        PublishedGymnast(person, held[0].bib, tuple(where.get(person, ())), _facts(held))
        for person, held in sorted(entries.items())
    )


def _facts(entries: list[Gymnast]) -> dict[str, str]:
    """What is printed of a person; of several entries each different word."""
    if not all(one.published for one in entries):
        return {}
    facts = {NAME: entries[0].name}
    for what in ("club", "federation", "team", "division", "birth_year"):
        words = dict.fromkeys(str(getattr(one, what) or "") for one in entries)
        facts[what] = ", ".join(filter(None, words))
    return {what: text for what, text in facts.items() if text}


def _competition(one: CompetitionResults) -> PublishedCompetition:
    return PublishedCompetition(
        id=one.competition.id,
        entered_from=one.competition.entered_from,
        marks=tuple(_mark(gymnast, routine) for gymnast, routine in one.own_routines),
        lists=tuple(_list(ranking) for ranking in one.rankings),
        marks_from=tuple(id for id in one.competition.fed_by if id != one.competition.entered_from),
        facts=_settings(one),
    )


UNTOLD = ("id", "discipline", "marks", "running", "withdrawn", "penalties", "reason")
"""Settings that are told by what they do: who withdrew, what a team lost, what is still needed."""

MARKS = ("highest", "highest-e", "step", "minimum")
"""Settings and entries that are marks."""

NO_RULES = ("title", "about", "sources", "source")
"""Entries of a rule set that tell of rules and are none."""


def _settings(one: CompetitionResults) -> dict[str, str]:
    """The settings of a competition and the entries of its rules, but for what is usual."""
    held = one.competition.model_dump(mode="json", exclude_defaults=True)
    rules = one.rule_set.model_dump(mode="json", exclude_defaults=True, by_alias=True)
    return {
        "rules": one.competition.rules,
        **_flat(held, UNTOLD),
        **_flat({"rules": rules}, NO_RULES),
    }


def _flat(held: Mapping[str, Any], without: Container[str], above: str = "") -> dict[str, str]:
    """Each value as text under its path: cuts.Final.places.

    >>> _flat({"team": {"format": "5-4-3", "reason": "none"}, "days": ["a", "b"]}, ("reason",))
    {'team.format': '5-4-3', 'days': 'a, b'}
    """
    found: dict[str, str] = {}
    for name, value in held.items():
        path = f"{above}{name}"
        if name in without:
            continue
        if isinstance(value, list) and any(isinstance(one, dict) for one in value):
            value = _named(value)
        if name in MARKS and isinstance(value, int):
            found[path] = show_mark(value)
        elif isinstance(value, dict):
            found |= _flat(value, without, f"{path}.")
        else:
            found[path] = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    return found


def _named(held: list[dict[str, Any]]) -> dict[str, Any]:
    """Each of several settings by its name; by its number where names do not tell them apart."""
    names = [str(one.get("name", "")) for one in held]
    alike = len(set(names)) < len(names) or "" in names
    return {str(n) if alike else names[n - 1]: one for n, one in enumerate(held, start=1)}


def _mark(gymnast: Gymnast, routine: Routine) -> PublishedMark:
    return PublishedMark(
        gymnast.bib, routine.apparatus, routine.vault, routine.mark, routine.d, routine.e,
        routine.penalty, routine.bonus, routine.status,
    )  # fmt: skip


def _list(ranking: Ranking) -> PublishedList:
    names = {line.key: line.id for line in ranking.lines}
    return PublishedList(
        id=ranking.id,
        lines=tuple(
            PublishedLine(line.id, line.place, line.total, line.status, *_of_team(line))
            for line in ranking.lines
        ),
        ties=tuple(
            PublishedTie(tuple(names[key] for key in tie.keys), tie.places) for tie in ranking.ties
        ),
        cuts=tuple(
            PublishedCut(name=cut.cut.name, lines=tuple(_through(cut, names.__getitem__)))
            for cut in ranking.cuts
        ),
    )


def _of_team(line: Line) -> tuple[int, tuple[str, ...]]:
    """What a team loses, and the bibs of its members."""
    if line.of.kind == "gymnast":
        return 0, ()
    return line.of.penalty, tuple(sorted({gymnast.bib for gymnast in line.of.gymnasts}))


def _through(cut: CutResult, name_of: NameOf) -> Iterator[Through]:
    """Those who go through, stand by, or were passed over by the cap."""
    for one in cut.lines:
        outcome = one.verdict.outcome
        if outcome in ("qualified", "reserve", "capped"):
            starts = one.called_up or (outcome == "qualified" and not one.withdrawn)
            number = one.verdict.number if outcome == "reserve" else 0
            yield Through(name_of(one.key), outcome, number, starts)
