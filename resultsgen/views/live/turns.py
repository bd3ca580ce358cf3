"""When who has a mark to come is up, and what she needs: for her page, and who looks her up."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.files.once import Once
from resultsgen.live.competition import live
from resultsgen.live.upcoming import upcoming
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.start_lists import turn_title
from resultsgen.views.live.needs import NeedTold, needs_told
from resultsgen.views.words.wording import Wording

SOON = 8
"""So many of each squad are found with what they need, so that what is found stays small."""


@dataclass(frozen=True)
class Coming:
    """One gymnast with a mark to come in a competition."""

    when: str
    """ "Rotation 3 · Balance Beam: number 3 to go"."""
    order: int
    """How many of the squad go before her; beyond all where it is not known."""
    needs: tuple[NeedTold, ...]

    def line(self, wording: Wording) -> str:
        """The first of it in one line."""
        told = [wording.language.headed(need.list, need.sentence) for need in self.needs[:1]]
        return ". ".join(filter(None, (self.when, " ".join(told))))


def _coming(results: Results, judged: CompetitionResults, wording: Wording) -> dict[int, Coming]:
    """Everybody with a mark to come, by key; nobody before the first mark of all."""
    if not judged.in_progress or not judged.competition.has_own_marks:
        return {}
    now, found = live(results)[judged.competition.id], {}
    for one in upcoming(now):
        for order, key in enumerate(one.keys):
            if key not in found:
                when = wording.say("up next")
                if order:
                    when = wording.say("number {n} to go", n=order + 1)
                apparatus = wording.apparatus(one.apparatus)
                where = turn_title(one.rotation, apparatus, wording=wording)
                found[key] = (wording.language.headed(where, when), order, one.apparatus)
    for own in now.needs:
        if own.key not in found and own.apparatus:
            apparatus = wording.apparatus(own.apparatus)
            when = turn_title(own.rotation, apparatus, wording=wording)
            found[own.key] = (when, SOON, own.apparatus)
    return {
        key: Coming(when, order, needs_told(results, judged, key, wording, on))
        for key, (when, order, on) in found.items()
    }


coming = Once(_coming, most=16)
"""Pages ask for it, and the script of what is found."""
