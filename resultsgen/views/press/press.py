"""The press page: what a reporter wants without looking, and the results ready to paste."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.competitions import Leaders, Link, state
from resultsgen.views.live.costs import Explanation, explanations
from resultsgen.views.live.so_far import highlights_so_far
from resultsgen.views.press.attachments import Download
from resultsgen.views.press.notable import FactChapter, chapters, notable_facts
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.views.words.wording import Wording

KINDS = ("TXT", "XLSX", "CSV")
"""In this order files are offered: to paste, to reckon with, to read by a program."""


@dataclass(frozen=True)
class Takings:
    """What can be taken away of one competition, or of the whole meet."""

    title: str
    target: str
    """The page of the competition; empty for the meet."""
    texts: tuple[Download, ...]
    workbooks: tuple[Download, ...]
    tables: tuple[Download, ...]


@dataclass(frozen=True)
class Running:
    """A competition that is under way, and who leads it."""

    title: Link
    state: str
    leaders: tuple[Leaders, ...]


@dataclass(frozen=True)
class PressView:
    """Everything on the press page."""

    contact: tuple[str, ...]
    embargo: str
    terms: str
    running: tuple[Running, ...]
    chapters: tuple[FactChapter, ...]
    explained: tuple[Explanation, ...]
    beside: str
    """How many routines are explained on the pages of their lists alone; empty where none is."""
    takings: tuple[Takings, ...]


EXPLAINED = 60
"""So many routines in which something happened are explained here."""


def has_press_page(results: Results) -> bool:
    """There is something to tell, or somebody to ask."""
    return any(one.started for one in results.competitions) or bool(
        results.meet.settings.press.contact
    )


def press_view(
    results: Results, tables: tuple[Download, ...], places: int, wording: Wording
) -> PressView:
    """The press page; of lists under way so many *places* are told."""
    press = results.meet.settings.press
    told = explanations(results, wording)
    return PressView(
        press.contact,
        press.embargo,
        press.terms,
        tuple(_running(results, places, wording)),
        chapters(notable_facts(results, wording), wording),
        told[:EXPLAINED],
        _beside(len(told) - EXPLAINED, wording),
        tuple(_takings(results, tables)),
    )


def _beside(more: int, wording: Wording) -> str:
    if more <= 0:
        return ""
    return wording.language.count(
        "{n} routine more is explained on the pages of its lists.",
        "{n} routines more are explained on the pages of their lists.",
        more,
    )


def _running(results: Results, places: int, wording: Wording) -> Iterator[Running]:
    for one in results.competitions:
        if one.started and not one.complete:
            leaders = tuple(highlights_so_far(results, one, places, wording))
            yield Running(_title(one), state(one, wording), leaders)


def _takings(results: Results, tables: tuple[Download, ...]) -> Iterator[Takings]:
    """The files of the meet, then those of each competition."""
    whole = Takings(results.meet.settings.title, "", *_by_kind(tables, "data/"))
    if whole.tables:
        yield whole
    for one in results.competitions:
        files = _by_kind(tables, f"data/{one.competition.id}/")
        if any(files):
            title = _title(one)
            yield Takings(title.text, title.target, *files)


def _by_kind(
    tables: tuple[Download, ...], folder: str
) -> tuple[tuple[Download, ...], tuple[Download, ...], tuple[Download, ...]]:
    """The files right in a folder, by their kind."""
    here = [one for one in tables if one.address.rpartition("/")[0] == folder.rstrip("/")]
    found = (tuple(one for one in here if one.kind == kind) for kind in KINDS)
    texts, workbooks, csv = found
    return texts, workbooks, csv


def _title(one: CompetitionResults) -> Link:
    return Link(one.competition.title, list_target(one.competition.id, OVERVIEW))
