"""Results as running text, as newspapers set them in their smallest type: ready to paste.

A list is one paragraph on one line, however long: whoever sets it in columns breaks it anew, and
line ends inside it would have to be taken out by hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.language import to_say
from resultsgen.scoring.ranking import CutResult, Line, Numbered, Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import marks_to_come, shown_name
from resultsgen.views.lists.competitions import status_title, when
from resultsgen.views.lists.listing import Listing
from resultsgen.views.lists.qualification import qualification_title
from resultsgen.views.live.leads import compared_lists
from resultsgen.views.site.attachments import Title
from resultsgen.views.words.wording import Wording, reserve_words

WITHOUT_A_PLACE = {
    "DNF": to_say("Did not finish: {names}."),
    "DNS": to_say("Did not start: {names}."),
    "DSQ": to_say("Disqualified: {names}."),
    "WDR": to_say("Withdrew: {names}."),
}


def running_texts(results: Results, wording: Wording) -> Iterator[tuple[str, Title, str]]:
    """File, title and text: one for each competition that has begun, and one of them all."""
    settings = results.meet.settings
    begun = [judged for judged in results.competitions if judged.started]
    blocks = {one.competition.id: "\n".join(_paragraphs(results, one, wording)) for one in begun}
    head = "\n".join(filter(None, _head(results, wording)))
    what = to_say("results as running text")
    for one in begun:
        id = one.competition.id
        title = Title(what, one.competition.title)
        yield f"{id}/{id}.txt", title, f"{head}\n\n{blocks[id]}\n"
    if begun:
        whole = "\n\n".join((head, *blocks.values()))
        yield "results.txt", Title(what, settings.title), f"{whole}\n"


def _head(results: Results, wording: Wording) -> Iterator[str]:
    """The meet, where and when, whether it is official, and until when it may not be published."""
    settings = results.meet.settings
    yield settings.title
    where = ", ".join(filter(None, (settings.venue, settings.place)))
    yield ", ".join(filter(None, (where, wording.language.dates(settings.dates))))
    yield status_title(settings.status, wording)
    if settings.press.embargo:
        yield wording.say("Embargo: {until}", until=settings.press.embargo)


def _paragraphs(results: Results, judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """The competition and a paragraph for each of its lists and cuts.

    While marks are to come, one for those with equally many apparatus done.
    """
    yield " – ".join(filter(None, (judged.competition.title, when(judged, wording))))
    for ranking in (judged.team, judged.all_around, *judged.by_apparatus.values()):
        if ranking and ranking.lines:
            yield from _list(results, ranking, wording)
    for ranking in judged.rankings:
        for cut in ranking.cuts:
            if cut.final:
                yield _through(Listing(ranking, judged, wording), cut)


def _list(results: Results, ranking: Ranking, wording: Wording) -> Iterator[str]:
    """One list: those placed, then those who are not, by what stands in place of a total."""
    groups = [*compared_lists(results, ranking, wording)] or [(wording.list_name(ranking.id), ())]
    for number, (title, lines) in enumerate(groups, start=1):
        told = "; ".join(
            f"{one.place}. {_placed_name(ranking.by_key[one.key], wording)} "
            f"{wording.language.mark(one.total)}{_to_come(ranking.by_key[one.key], wording)}"
            for one in lines
        )
        if ranking.kind == "apparatus" and len(ranking.parts) > 1:
            title = wording.say("{apparatus} (average of two vaults)", apparatus=title)
        sentences = [f"{told}."] if told else []
        if number == len(groups):
            sentences += _unplaced(ranking, wording)
        yield f"{title} — {' '.join(sentences)}"


def _unplaced(ranking: Ranking, wording: Wording) -> Iterator[str]:
    guests = [
        f"{_name(line, wording)} {wording.language.mark(line.total)}"
        for line in ranking.lines
        if line.of.guest and line.total is not None
    ]
    if guests:
        yield wording.say("Guests: {names}.", names="; ".join(guests))
    for status, text in WITHOUT_A_PLACE.items():
        names = [_name(line, wording) for line in ranking.lines if line.status == status]
        if names:
            yield wording.say(text, names="; ".join(names))
    if ranking.to_come:
        yield wording.say("As it stands: marks are still to come.")


def _to_come(line: Line, wording: Wording) -> str:
    """Behind the sum of a team how many marks are to come."""
    told = marks_to_come(line, wording)
    return f" ({told})" if told else ""


def _placed_name(line: Line, wording: Wording) -> str:
    """The name; with one vault below those with two it is said that it is one."""
    name = _name(line, wording)
    return wording.say("{name}, one vault,", name=name) if line.below else name


def _name(line: Line, wording: Wording) -> str:
    name, who = shown_name(line.of, wording), line.of
    body = "" if who.kind == "team" else who.club or who.federation
    return f"{name} ({body})" if body else name


def _through(listing: Listing, cut: CutResult) -> str:
    """Who starts in what a cut leads to, and the reserves in order."""
    wording = listing.wording
    title = qualification_title(listing.ranking, cut, wording)
    starting, reserves = listing.ranking.numbered(cut)
    called = [(number, listing.names[line.key]) for number, line in reserves]
    in_order = [number for number, _ in called] == [*range(1, len(called) + 1)]
    waiting = "; ".join(
        name if in_order else f"{reserve_words(number, wording)} {name}" for number, name in called
    )
    told = wording.say("{cut} — {names}.", cut=title, names=_named(listing, starting) or "–")
    return f"{told} {wording.say('Reserves: {names}.', names=waiting)}" if waiting else told


def _named(listing: Listing, lines: Numbered) -> str:
    """The names in order, with their numbers where some share one."""
    found = [(number, listing.names[line.key]) for number, line in lines]
    shared = len({number for number, _ in found}) < len(found)
    return "; ".join(f"{number} {name}" if shared else name for number, name in found)
