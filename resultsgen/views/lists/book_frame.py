"""What stands around the results in a book: cover, contents, schedule and officials before them,
the index, the codes and who signs after them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from resultsgen.scoring.medals import finals
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.codes import NOT_YET
from resultsgen.views.lists.competitions import signature_words, state, status_title
from resultsgen.views.lists.sections import (
    CODES,
    CONTENTS,
    INDEX,
    BookSubject,
    Cover,
    Honours,
    Section,
    SignOff,
    Winner,
)
from resultsgen.views.lists.start_lists import schedule_table
from resultsgen.views.site.addresses import list_target
from resultsgen.views.words.wording import Wording

SIGNATURE_LINES = 4
"""So many people can sign on the last page; more where more have signed."""


def cover(subject: BookSubject) -> Iterator[Section]:
    """Title, dates, place, venue, organiser, logo, who signed, and who won."""
    settings, wording = subject.results.meet.settings, subject.wording
    title, organiser = wording.called(settings.title), wording.called(settings.organiser)
    facts = (wording.language.dates(settings.dates), wording.where(settings), organiser)
    content = Cover(
        wording.say("Result book"),
        tuple(filter(None, facts)),
        settings.logo,
        organiser or title,
        status_title(settings.status, wording),
        tuple(signature_words(one, wording) for one in settings.status.signed),
        tuple(in_two_columns(tuple(_honours(subject)))),
    )
    yield Section("cover", "cover", title, "", content=content)


def _honours(subject: BookSubject) -> Iterator[Honours]:
    """Who won each list of the finals, competition by competition."""
    for judged, lists in groupby(finals(subject.results), key=lambda one: one[0]):
        if judged.started:
            winners = tuple(_winner(judged, ranking, subject.wording) for _, ranking in lists)
            far = "" if judged.complete else state(judged, subject.wording)
            yield Honours(subject.wording.called(judged.competition.title), far, winners)


def in_two_columns(board: tuple[Honours, ...]) -> Iterator[tuple[Honours, ...]]:
    """Competitions in order, with about as many lines in both columns."""
    lengths = [2 + len(one.winners) for one in board]
    ways = range(1, len(board) + 1)
    left = min(ways, key=lambda n: max(sum(lengths[:n]), sum(lengths[n:])), default=0)
    yield from filter(None, (board[:left], board[left:]))


def _winner(judged: CompetitionResults, ranking: Ranking, wording: Wording) -> Winner:
    title, target = wording.list_name(ranking.id), list_target(judged.competition.id, ranking.id)
    first = [] if ranking.to_come else [line for line in ranking.lines if line.place == 1]
    names = wording.language.listed([shown_name(line.of, wording) for line in first])
    bodies = dict.fromkeys("" if line.of.kind == "team" else line.of.federation for line in first)
    total = wording.language.mark(first[0].total) if first else NOT_YET
    return Winner(title, target, names, ", ".join(filter(None, bodies)), total)


def contents(subject: BookSubject) -> Iterator[Section]:
    """The page of contents; what stands in it is known once all sections are."""
    title = subject.wording.say("Contents")
    yield Section(CONTENTS, "contents", title, title)


def schedule(subject: BookSubject) -> Iterator[Section]:
    """Every competition with its day and time, in the order in which they take place."""
    title = subject.wording.say("Schedule")
    table = schedule_table(subject.results, subject.wording)
    yield Section("schedule", "list", title, title, tables=(table,), leads=True)


def officials(subject: BookSubject) -> Iterator[Section]:
    """Who was in charge; no page where nobody is named."""
    title = subject.wording.say("Officials")
    named = subject.results.meet.settings.officials
    if named:
        pairs = tuple((subject.wording.called(one.role), one.name) for one in named)
        yield Section("officials", "officials", title, title, content=pairs)


def index(subject: BookSubject) -> Iterator[Section]:
    """Everybody with the pages they are on; these are known once all sections are."""
    title = subject.wording.say("Index of gymnasts")
    yield Section(INDEX, "index", title, title)


def codes(subject: BookSubject) -> Iterator[Section]:
    """Every code that the tables of the book use; known once all sections are."""
    title = subject.wording.say("Codes")
    yield Section(CODES, "list", title, title, captioned=True, beside="tables", leads=True)


def sign_off(subject: BookSubject) -> Iterator[Section]:
    """Lines for names and signatures; who has signed in `meet.toml` stands there already."""
    settings, say = subject.results.meet.settings, subject.wording.say
    title, called = say("Signatures"), subject.wording.called
    signed = tuple((one.name, called(one.role), one.time) for one in settings.status.signed)
    blank = (("", "", ""),) * max(0, SIGNATURE_LINES - len(signed))
    text = say("The results in this book are provisional until they are signed.")
    if settings.status.state == "official":
        text = say(
            "The results in this book are the official results of {meet}.",
            meet=called(settings.title),
        )
    headings = (say("Name"), say("Role"), say("Signature"), say("Date and time"))
    content = SignOff(text, headings, signed + blank)
    yield Section("signatures", "signatures", title, title, content=content)
