"""The answer to a mark that was entered, in one sentence: who, what, and where that puts her.

Commands speak English, and so does this.
"""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.entering.routines import bib_and_name
from resultsgen.entering.slips import Given
from resultsgen.live.competition import LiveCompetition
from resultsgen.live.standings import Standing, Standings
from resultsgen.meet.marks import show_mark
from resultsgen.scoring.results import Gymnast, apparatus_of
from resultsgen.views.words.places import place_words
from resultsgen.views.words.wording import Wording


def sentence(
    running: LiveCompetition, gymnast: Gymnast, part: str, made: Given, words: Wording
) -> str:
    """103 Ada Vale, Floor Exercise 12.550 (4.900 + 7.750 - 0.100): 3rd place there ..."""
    head = f"{bib_and_name(gymnast, words)}, {words.apparatus(part)}"
    if made.mark is None:
        return f"{head}: {made.status}."
    parts = f" ({made.parts})" if made.parts else ""
    told = "; ".join((*_on_apparatus(running, gymnast, part), *_all_around(running, gymnast)))
    return f"{head} {show_mark(made.mark)}{parts}" + (f": {told}." if told else ".")


def _on_apparatus(running: LiveCompetition, gymnast: Gymnast, part: str) -> Iterator[str]:
    """Her place on the apparatus, or that her second vault is to come."""
    listed = running.lists.get(apparatus_of(part))
    standing = listed.now.of(gymnast.key) if listed else None
    if not listed or not standing:
        made = running.entries.routines.get((gymnast.key, part))
        if made and made.place:
            yield f"{place_words(made.place, False, Wording())} of all marks there so far"
        return
    if standing.done < listed.parts:
        yield "the second vault is to come"
        return
    average = f"vault average {show_mark(standing.total)}, " if listed.parts > 1 else ""
    yield f"{average}{_place(standing, listed.now)} there{_so_far(bool(listed.to_go))}"


def _all_around(running: LiveCompetition, gymnast: Gymnast) -> Iterator[str]:
    """Her total, and her place among those who have done as much."""
    listed = running.lists.get("all-around")
    standing = listed.now.of(gymnast.key) if listed else None
    if not listed or not standing or listed.parts == 1 or standing.done == 1:
        return
    total, done = f"all-around {show_mark(standing.total)}", standing.done
    alike = next(group for group in listed.now.groups if standing in group)
    if done == listed.parts:
        to_come = any(line.done < listed.parts for line in listed.so_far)
        yield f"{total}, {_place(standing, listed.now)}{_so_far(to_come)}"
    elif len(alike) == 1:
        yield f"{total} after {done} of {listed.parts}"
    else:
        place = _place(standing, listed.now)
        yield f"{total} after {done} of {listed.parts}, {place} of {len(alike)} so far"


def _so_far(to_come: bool) -> str:
    return " as it stands" if to_come else ""


def _place(standing: Standing, now: Standings) -> str:
    """A place in words, and whether others who have done as much share it."""
    same = [
        line
        for group in now.groups
        for line in group
        if (line.done, line.place) == (standing.done, standing.place)
    ]
    return place_words(standing.place, len(same) > 1, Wording())
