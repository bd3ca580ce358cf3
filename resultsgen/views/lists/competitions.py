"""A competition at a glance: when it is, how far it is, who leads each list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from resultsgen.meet.settings import Signature, Status
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.charts import SpreadChart
from resultsgen.views.lists.spreads import marks_of, spread_of_marks
from resultsgen.views.live.leads import Leaders, all_leaders
from resultsgen.views.site.addresses import Link, list_target
from resultsgen.views.site.site_map import OVERVIEW, PAGE_NAMES, START_LIST, list_names
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class PageHead:
    """What stands above each page of a competition but its overview."""

    title: str
    target: str
    competition: str
    below: tuple[str, ...]
    """When it is, and how far."""
    links: tuple[Link, ...]
    """The pages of the competition, the overview first."""


@dataclass(frozen=True)
class CompetitionView:
    """What the overview shows of a competition."""

    id: str
    title: str
    target: str
    when: str
    state: str
    started: bool
    complete: bool
    gymnasts: str
    rules: str
    leaders: tuple[Leaders, ...]
    """The first of every list."""
    links: tuple[Link, ...]
    spread: SpreadChart | None
    """How the marks lie on each apparatus."""


def competition_view(
    results: Results, judged: CompetitionResults, places: int, wording: Wording
) -> CompetitionView:
    """A competition at a glance, with the first *places* of each of its lists."""
    competition = judged.competition
    return CompetitionView(
        id=competition.id,
        title=wording.called(competition.title),
        target=list_target(competition.id, OVERVIEW),
        when=when(judged, wording),
        state=state(judged, wording),
        started=judged.started,
        complete=judged.complete,
        gymnasts=wording.language.count("{n} gymnast", "{n} gymnasts", len(judged.starts)),
        rules=wording.say(judged.rule_set.title),
        leaders=tuple(all_leaders(results, judged, places, wording)),
        links=links(judged, wording),
        spread=spread_of_marks(marks_of(judged, wording), wording),
    )


def overview_link(judged: CompetitionResults, wording: Wording) -> Link:
    """The title of a competition, leading to its overview."""
    title = wording.called(judged.competition.title)
    return Link(title, list_target(judged.competition.id, OVERVIEW))


def when(judged: CompetitionResults, wording: Wording) -> str:
    """Day and time."""
    day = wording.language.date(judged.competition.day) if judged.competition.day else ""
    return ", ".join(filter(None, (day, judged.competition.time)))


def state(judged: CompetitionResults, wording: Wording) -> str:
    """How far a competition is, in a few words."""
    if judged.complete:
        return wording.say("Finished")
    if not judged.started and judged.waits_for:
        runs = wording.called(judged.waits_for)
        return wording.say("To come: {competition} still runs", competition=runs)
    if not judged.started:
        return wording.say("Not started")
    return under_way(len(judged.coming), wording)


def under_way(coming: int, wording: Wording) -> str:
    """That marks of so many gymnasts are to come."""
    return wording.language.count(
        "Under way: {n} gymnast has marks to come", "Under way: {n} gymnasts have marks to come",
        coming,
    )  # fmt: skip


def links(judged: CompetitionResults, wording: Wording) -> tuple[Link, ...]:
    """The pages of a competition."""
    id, say = judged.competition.id, wording.say
    return tuple(
        Link(
            say(PAGE_NAMES[name]) if name in PAGE_NAMES else wording.list_name(name),
            list_target(id, name),
            name,
        )
        for name in list_names(judged)
    )


def page_head(judged: CompetitionResults, name: str, wording: Wording) -> PageHead:
    """What stands above the page of that name; how far marks are says nothing of who starts."""
    offered, how_far = links(judged, wording), state(judged, wording) if name != START_LIST else ""
    link = next(link for link in offered if link.short == name)
    below = tuple(filter(None, (when(judged, wording), how_far)))
    return PageHead(
        link.text, link.target, wording.called(judged.competition.title), below, offered
    )


def status_word(status: Status, wording: Wording) -> str:
    """Provisional or Official, which stands on every page."""
    return wording.say("Official" if status.state == "official" else "Provisional")


def status_title(status: Status, wording: Wording) -> str:
    """The same word with what it is said of."""
    is_official = status.state == "official"
    return wording.say("Official results" if is_official else "Provisional results")


def status_sentence(status: Status, wording: Wording) -> str:
    """Who signed the results and when; or that nobody has yet."""
    if status.state == "provisional":
        return wording.say("These results are provisional until they are signed.")
    if not status.signed:
        return wording.say("These results are official.")
    names = signatures(status.signed, wording)
    return wording.say("These results are official, signed by {names}.", names=names)


def signature_words(signature: Signature, wording: Wording) -> str:
    """Name, role and time of somebody who signed."""
    return ", ".join(filter(None, (signature.name, wording.called(signature.role), signature.time)))


def signatures(signed: Sequence[Signature], wording: Wording) -> str:
    """Who signed: name, role and time of each."""
    return "; ".join(signature_words(one, wording) for one in signed)
