"""What is handed out by itself: press summary and needs sheet of a competition."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.views.lists.competitions import state, when
from resultsgen.views.lists.sections import BookSubject, Section
from resultsgen.views.live.needs import printed_sheet
from resultsgen.views.press.press import press_sheet
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
