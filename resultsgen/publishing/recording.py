"""What a publication keeps of the results, and which number it has."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Iterator, Mapping, Sequence
from typing import Any

from resultsgen.history.publication import (
    Publication,
    PublishedCompetition,
    PublishedCut,
    PublishedGymnast,
    PublishedLine,
    PublishedList,
    PublishedMark,
    PublishedTie,
    PublishedVerdict,
    without_words,
)
from resultsgen.history.records import OUTCOMES, competition_tree, in_order, tree
from resultsgen.meet.folder import NAME, SETTINGS
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.ranking import CutResult, Gymnast, Ranking
from resultsgen.scoring.results import CompetitionResults, Results, made_once

UNTOLD = ("id", "discipline", "marks", "running", "withdrawn", "penalties", "reason")
"""Settings that are told by what they do: who withdrew, what a team lost, what is still needed."""

MARKS = ("highest", "highest-e", "step", "minimum")
"""Settings and entries that are marks."""

NO_RULES = ("title", "about", "sources", "source")
"""Entries of a rule set that tell of rules and are none."""


def next_publication(
    results: Results,
    kept: Sequence[Publication],
    published: dt.datetime | None,
    *,
    seal: bool = False,
) -> Publication:
    """The last publication where these results are the same; else one with the next number.

    What is sealed once stays sealed. A record that did not keep everything is filled up.
    """
    if not kept:
        return record(results, 1, published, sealed=seal)
    last = kept[-1]
    new = record(results, last.number + 1, published, sealed=seal or last.sealed)
    again = new.model_copy(update={"number": last.number, "published": last.published})
    known = _as_far_as(last, again)
    same = [*map(competition_tree, known.competitions)] == [
        *map(competition_tree, last.competitions)
    ]
    return again if same and tree(known) == tree(last) else new


def _as_far_as(known: Publication, publication: Publication) -> Publication:
    """A publication without what a record of version 1.0 did not keep."""
    if known.facts is not None:
        return publication
    competitions = []
    for each in publication.competitions:
        lists = []
        for held in each.lists:
            lines = tuple(line._replace(penalty=0, members=()) for line in held.lines)
            lists.append(held.model_copy(update={"lines": lines}))
        competitions.append(each.model_copy(update={"facts": None, "lists": tuple(lists)}))
    gymnasts = tuple(each._replace(competitions=(), facts=None) for each in publication.gymnasts)
    return publication.model_copy(
        update={"facts": None, "gymnasts": gymnasts, "competitions": tuple(competitions)}
    )


def record(
    results: Results, number: int, published: dt.datetime | None, *, sealed: bool = False
) -> Publication:
    """The publication of that number that these results make."""
    settings = results.meet.settings
    told = {
        "dates": ", ".join(day.isoformat() for day in settings.dates),
        "officials": "; ".join(f"{one.role}: {one.name}" for one in settings.officials),
    }
    facts = {name: told.get(name) or str(getattr(settings, name) or "") for name in SETTINGS}
    made = Publication(
        number=number,
        published=published,
        state=settings.status.state,
        sealed=sealed,
        signed=settings.status.signed,
        facts={name: text for name, text in facts.items() if text},
        gymnasts=_gymnasts(results),
        competitions=tuple(_competition(judged) for judged in results.competitions),
        corrections=tuple(without_words(row.correction) for row in results.meet.corrections),
    )
    return in_order(made)


def _gymnasts(results: Results) -> tuple[PublishedGymnast, ...]:
    """Each person with the competitions of all entries; nothing else of whom is not named."""
    entries: dict[str, list[Gymnast]] = {}
    for gymnast in results.gymnasts.values():
        entries.setdefault(gymnast.person, []).append(gymnast)
    where: dict[str, dict[str, None]] = {}
    for judged in results.competitions:
        for gymnast in (
            *(start.gymnast for start in judged.starts),
            *(who for who, _ in judged.routines),
        ):
            where.setdefault(gymnast.person, {})[judged.competition.id] = None
    return tuple(
        PublishedGymnast(person, held[0].bib, tuple(where.get(person, ())), _facts(held))
        for person, held in sorted(entries.items())
    )


def _facts(entries: list[Gymnast]) -> dict[str, str]:
    """What is printed of a person; of several entries each different word."""
    if not all(gymnast.published for gymnast in entries):
        return {}
    facts = {NAME: entries[0].name}
    for what in ("club", "federation", "team", "division", "birth_year"):
        words = dict.fromkeys(str(getattr(gymnast, what) or "") for gymnast in entries)
        facts[what] = ", ".join(filter(None, words))
    return {what: text for what, text in facts.items() if text}


@made_once
def _competition(judged: CompetitionResults) -> PublishedCompetition:
    """A competition with the marks that are entered for it; those of others are kept with them."""
    competition = judged.competition
    marks = (
        PublishedMark(
            gymnast.bib, mark.apparatus, mark.vault, mark.mark, mark.d, mark.e, mark.penalty,
            mark.bonus, mark.status,
        )
        for gymnast, mark in judged.own_routines
    )  # fmt: skip
    held = judged.competition.model_dump(mode="json", exclude_defaults=True)
    rules = judged.rule_set.model_dump(mode="json", exclude_defaults=True, by_alias=True)
    return PublishedCompetition(
        id=competition.id,
        entered_from=competition.entered_from,
        marks=tuple(marks),
        lists=tuple(_list(ranking) for ranking in judged.rankings),
        marks_from=tuple(id for id in competition.fed_by if id != competition.entered_from),
        facts={
            "rules": judged.competition.rules,
            **_flat(held, UNTOLD),
            **_flat({"rules": rules}, NO_RULES),
        },
    )


def _flat(held: Mapping[str, Any], without: Container[str], above: str = "") -> dict[str, str]:
    """Each value as text under its path: cuts.Final.places.

    Each of several settings stands by its name; by its number where names do not tell them apart.

    >>> _flat({"team": {"format": "5-4-3", "reason": "none"}, "days": ["a", "b"]}, ("reason",))
    {'team.format': '5-4-3', 'days': 'a, b'}
    """
    found: dict[str, str] = {}
    for name, value in held.items():
        path = f"{above}{name}"
        if name in without:
            continue
        if isinstance(value, list) and any(isinstance(one, dict) for one in value):
            names = [str(one.get("name", "")) for one in value]
            if len(set(names)) < len(names) or "" in names:
                names = [str(number) for number in range(1, len(names) + 1)]
            value = dict(zip(names, value, strict=True))
        if name in MARKS and isinstance(value, int):
            found[path] = show_mark(value)
        elif isinstance(value, dict):
            found |= _flat(value, without, f"{path}.")
        else:
            found[path] = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    return found


def _list(ranking: Ranking) -> PublishedList:
    names = {line.key: line.id for line in ranking.lines}
    lines = []
    for line in ranking.lines:
        of_team: tuple[int, tuple[str, ...]] = (0, ())
        if line.of.kind != "gymnast":
            of_team = line.of.penalty, tuple(sorted({each.bib for each in line.of.gymnasts}))
        lines.append(PublishedLine(line.id, line.place, line.total, line.status, *of_team))
    ties = (PublishedTie(tuple(names[key] for key in tie.keys), tie.places) for tie in ranking.ties)
    return PublishedList(
        id=ranking.id,
        lines=tuple(lines),
        ties=tuple(ties),
        cuts=tuple(
            PublishedCut(name=cut.cut.name, lines=tuple(_verdicts(cut, names)))
            for cut in ranking.cuts
        ),
    )


def _verdicts(cut: CutResult, names: Mapping[int, str]) -> Iterator[PublishedVerdict]:
    """Those who qualify, who are reserves, whom the cap keeps out, and which of these withdrew."""
    for line in cut.lines:
        outcome: str = line.verdict.outcome
        if outcome in OUTCOMES:
            starts = line.called_up or (outcome == "qualified" and not line.withdrawn)
            number = line.verdict.number if outcome == "reserve" else 0
            if line.withdrawn and outcome != "qualified":
                outcome = "withdrew"
            yield PublishedVerdict(names[line.key], outcome, number, starts)
