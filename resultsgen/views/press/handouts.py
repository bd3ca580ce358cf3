"""What is handed out by itself: press summary and needs sheet of a competition, book of a club."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.views.lists.competitions import state, when
from resultsgen.views.lists.sections import BookSubject, Section
from resultsgen.views.live.needs import printed_sheet
from resultsgen.views.people.club_book import entry_tables, glance_tables, told_table
from resultsgen.views.press.press_sheet import press_sheet
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import NEEDS


def press(subject: BookSubject) -> Iterator[Section]:
    """One competition on one sheet: the first of each list, and what is worth telling."""
    one, wording = subject.competition, subject.wording
    if one and one.started:
        table, sheet = press_sheet(subject.results, one, wording)
        title = wording.say("Press summary")
        below = filter(None, (one.competition.title, when(one, wording), state(one, wording)))
        yield Section(
            list_target(one.competition.id, "press"),
            "press",
            title,
            f"{one.competition.title} · {title}",
            " · ".join(below),
            tables=(table,),
            content=sheet,
        )


def needs(subject: BookSubject) -> Iterator[Section]:
    """The needs sheet of one competition with marks to come: one page for the announcer."""
    one, wording = subject.competition, subject.wording
    if one and one.in_progress:
        sheet = printed_sheet(subject.results, one, wording)
        title = wording.say("What is needed")
        heads = f"{one.competition.title} · {title}"
        target = list_target(one.competition.id, NEEDS)
        below = " · ".join((one.competition.title, *sheet.below))
        yield Section(target, "needs", title, heads, below, content=sheet)


def the_club(subject: BookSubject) -> Iterator[Section]:
    """A club: what it did in the whole meet, then all its marks by competition."""
    club, wording = subject.club, subject.wording
    if club is None:
        return
    if tables := tuple(glance_tables(club, wording)):
        yield Section(
            "glance", "list", wording.say("At a glance"), club.name, club.gymnasts, club.name,
            tables=tables, captioned=True,
        )  # fmt: skip
    if club.chapters:
        yield Section(
            "telling", "list", wording.say("Worth telling"), club.name, chapter=club.name,
            tables=(told_table(club, wording),),
        )  # fmt: skip
    for number, entry in enumerate(club.entries, start=1):
        name = entry.title.text
        yield Section(
            f"entry-{number}", "list", name, f"{club.name} · {name}", entry.when, club.name,
            tables=entry_tables(entry, wording), captioned=True,
        )  # fmt: skip
