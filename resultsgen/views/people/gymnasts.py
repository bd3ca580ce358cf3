"""A gymnast's page: every mark with its parts and place, ties, cuts, and what counts for a team."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from resultsgen.scoring.results import Results, Start
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.charts import SpreadChart, among_all_marks
from resultsgen.views.lists.competitions import Link, when
from resultsgen.views.lists.rankings import Listing
from resultsgen.views.lists.table import Table
from resultsgen.views.live.costs import Explanation, explanations, of_routines
from resultsgen.views.people.gymnast_marks import Field, marks_table
from resultsgen.views.people.people import Person, people
from resultsgen.views.press.notable import Fact, notable_facts
from resultsgen.views.site.addresses import club_target, list_target
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.views.words.reasons import cut_sentence, cut_title, cut_words
from resultsgen.views.words.wording import Wording

TOLD = ("record", "everywhere", "best-of-day", "climb")
"""The kinds of facts that a gymnast is told; the others stand beside the marks."""


@dataclass(frozen=True)
class Entry:
    """What a gymnast did in one competition."""

    key: int
    """The gymnast, as the lists of this competition know them."""
    title: Link
    when: str
    table: Table
    cuts: tuple[tuple[str, str], ...]
    """Each cut that the gymnast was considered for, and what it means for the gymnast."""
    spread: SpreadChart | None
    """The gymnast's marks among those of everybody."""
    explained: tuple[Explanation, ...]
    """What incidents cost here."""


@dataclass(frozen=True)
class GymnastView:
    """One gymnast in the whole meet."""

    name: str
    target: str
    facts: tuple[tuple[str, str], ...]
    clubs: tuple[Link, ...]
    entries: tuple[Entry, ...]
    published: bool
    telling: tuple[Fact, ...] = ()
    """What is worth telling of the gymnast alone."""


def gymnast_views(results: Results, wording: Wording) -> Iterator[GymnastView]:
    """The page of each person, in the order of the index."""
    fields = tuple(Field(one, wording) for one in results.competitions)
    told = explanations(results, wording)
    facts = [one for one in notable_facts(results, wording) if one.kind in TOLD and one.gymnasts]
    for person in people(results):
        about = (fact for fact in facts if fact.gymnasts <= person.keys)
        yield replace(_view(person, fields, told, wording), telling=tuple(about))


def _view(
    person: Person,
    fields: tuple[Field, ...],
    told: tuple[Explanation, ...],
    wording: Wording,
) -> GymnastView:
    gymnast = person.gymnast
    divisions = dict.fromkeys(entry.division for entry in person.entries if entry.division)
    born = str(gymnast.birth_year) if gymnast.birth_year and gymnast.published else ""
    facts = (
        (wording.say("Bib"), gymnast.bib),
        (wording.say("Federation"), gymnast.federation),
        (wording.say("Division"), ", ".join(divisions)),
        (wording.say("Born"), born),
        (wording.say("Starts as"), wording.say("guest") if gymnast.guest else ""),
    )
    return GymnastView(
        shown_name(gymnast, wording),
        person.target,
        tuple((label, text) for label, text in facts if text),
        tuple(Link(club, club_target(club)) for club in person.clubs),
        tuple(
            _entry(field.starts[key], field, told, wording)
            for field in fields
            for key in sorted(person.keys & field.starts.keys())
        ),
        gymnast.published,
    )


def _entry(start: Start, field: Field, told: tuple[Explanation, ...], wording: Wording) -> Entry:
    competition = field.one.competition
    title = Link(competition.title, list_target(competition.id, OVERVIEW))
    key = start.gymnast.key
    cuts = (*_for_the_team(key, field, wording), *_cuts(key, field, wording))
    done = field.one.by_gymnast.get(start.gymnast.key, {}).items()
    own = {code: one.mark for (code, vault), one in done if vault == 1 and one.mark is not None}
    return Entry(
        key,
        title,
        when(field.one, wording),
        marks_table(start, field, wording),
        cuts,
        among_all_marks(own, field.marks, wording),
        of_routines(told, competition.id, gymnast=start.gymnast.key),
    )


def _for_the_team(key: int, field: Field, wording: Wording) -> Iterator[tuple[str, str]]:
    """What a gymnast's marks add to the total of the team."""
    if key not in field.contributions:
        return
    team, member = field.contributions[key]
    pairs = zip(member.routines, member.counts, strict=True)
    done = [(one.mark, counts) for one, counts in pairs if one and one.mark is not None]
    if done and team.total is not None:
        counting = [mark for mark, counts in done if counts]
        told = wording.language.count(
            "{n} of {all} marks counts, {sum} of {total}; place {place}",
            "{n} of {all} marks count, {sum} of {total}; place {place}",
            len(counting),
            all=len(done),
            sum=wording.language.mark(sum(counting)),
            total=wording.language.mark(team.total),
            place=team.place if team.place is not None else "–",
        )
        yield wording.say("Team {name}", name=team.id), told


def _cuts(key: int, field: Field, wording: Wording) -> Iterator[tuple[str, str]]:
    """What each cut means for a gymnast; those far from the line are told nothing."""
    for listing in field.lists.values():
        for cut, lines in zip(listing.ranking.cuts, listing.cut_lines, strict=True):
            if key not in lines:
                continue
            reason = cut_sentence(cut, lines[key], listing.names.__getitem__, wording.language)
            told = "; ".join(
                filter(None, (cut_words(lines[key].verdict, wording.language), reason))
            )
            if told:
                yield _cut_name(listing, cut_title(cut, wording.language), wording), told


def _cut_name(listing: Listing, title: str, wording: Wording) -> str:
    on_apparatus = listing.ranking.id != "all-around"
    return f"{title}, {wording.list_name(listing.ranking.id)}" if on_apparatus else title
