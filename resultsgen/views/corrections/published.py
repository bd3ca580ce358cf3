"""What a publication names by bib and id, found again in the results as they are now."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from resultsgen.history import Corrected
from resultsgen.language import to_say
from resultsgen.scoring.results import CompetitionResults, Gymnast, Ranking, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.table import Cell
from resultsgen.views.site.addresses import gymnast_target, list_target
from resultsgen.views.site.site_map import OVERVIEW, QUALIFICATION
from resultsgen.views.words.wording import Wording

WHAT = {
    "name": to_say("name"),
    "club": to_say("club"),
    "federation": to_say("federation"),
    "team": to_say("team"),
    "division": to_say("division"),
    "birth_year": to_say("year of birth"),
    "bib": to_say("bib"),
    "title": to_say("title"),
    "place": to_say("place of the meet"),
    "venue": to_say("venue"),
    "organiser": to_say("organiser"),
    "dates": to_say("dates"),
    "officials": to_say("officials"),
    "signed": to_say("signature"),
    "rules": to_say("rules"),
    "cuts": to_say("qualification"),
}
"""What can be otherwise than it was published and is no mark; a setting has its own name."""


@dataclass(frozen=True)
class Names:
    """The names and pages of gymnasts, lists and competitions."""

    results: Results
    wording: Wording

    @cached_property
    def _competitions(self) -> dict[str, CompetitionResults]:
        return {one.competition.id: one for one in self.results.competitions}

    @cached_property
    def _gymnasts(self) -> dict[str, Gymnast]:
        """By person."""
        return {one.person: one for one in self.results.gymnasts.values()}

    @cached_property
    def _lists(self) -> dict[tuple[str, str], Ranking]:
        return {
            (one.competition.id, ranking.id): ranking
            for one in self.results.competitions
            for ranking in one.rankings
        }

    @cached_property
    def lists(self) -> dict[str, str]:
        """The name and the competition of each list, by the target of its page."""
        return {list_target(*key): self.list(*key) for key in self._lists}

    def gymnast(self, person: str) -> Cell:
        """The gymnast's name, leading to the page; the bib of one who is gone."""
        found = self._gymnasts.get(person)
        if found is None:
            bib = self.results.history.bibs.get(person, person)
            return Cell(self.wording.say("Bib {bib}", bib=bib))
        return Cell(shown_name(found, self.wording), target=gymnast_target(found))

    def of_list(self, competition: str, list: str, who: str) -> Cell:
        """Whoever stands in a list, a gymnast or a team, with the list below."""
        one = Cell(who) if list == "team" else self.gymnast(who)
        return replace(one, sub=self.list(competition, list))

    def competition(self, id: str) -> str:
        """The title; the id of one that is gone."""
        return self._competitions[id].competition.title if id in self._competitions else id

    def list(self, competition: str, list: str) -> str:
        """The list's name and its competition."""
        ranking = self._lists.get((competition, list))
        title = self.wording.list_name(ranking.id) if ranking else list
        return f"{title}, {self.competition(competition)}"

    def apparatus(self, one: Corrected) -> str:
        """The apparatus of a correction."""
        if not one.apparatus:
            return self.wording.say("all marks")
        return self.wording.apparatus("VT2" if one.vault == 2 else one.apparatus)

    def corrected(self, one: Corrected) -> Cell:
        """Whose mark is corrected, with the apparatus and the competition below."""
        if one.what and one.competition:
            told = Cell(self.competition(one.competition), target=self._overview(one.competition))
            return replace(told, sub=self.what(one))
        if one.what:
            return replace(self.whom(one), sub=self.what(one))
        where = (self.apparatus(one), self.competition(one.competition))
        if not one.bib:
            moved = "" if one.gone else self.wording.say("places, totals or qualifiers")
            return Cell(where[1], moved, target=self._overview(one.competition))
        return replace(self.whom(one), sub=", ".join(filter(None, where)))

    def whom(self, one: Corrected) -> Cell:
        """Who a correction is about, or the meet."""
        if one.person:
            return self.gymnast(one.person)
        title = self.results.meet.settings.title
        return Cell(self.wording.say("Bib {bib}", bib=one.bib) if one.bib else title)

    def what(self, one: Corrected) -> str:
        """What of somebody, of a competition or of the meet is otherwise, in words."""
        words = WHAT.get(one.what) or WHAT.get(one.what.partition(".")[0])
        said = self.wording.say(words) if words else one.what
        rest = "" if one.what in WHAT else one.what.partition(".")[2].replace(".", ", ")
        return self.wording.language.headed(said, rest) if rest else said

    def _overview(self, id: str) -> str:
        return list_target(id, OVERVIEW) if id in self._competitions else ""

    def pages(self, one: Corrected) -> Iterator[str]:
        """The pages that a correction touched: the gymnast's, and the lists with the mark."""
        gymnast = self._gymnasts.get(one.person)
        if gymnast:
            yield gymnast_target(gymnast)
        competition = self._competitions.get(one.competition)
        if competition is None:
            return
        touched = [ranking for ranking in competition.rankings if _shows(ranking, one)]
        for ranking in touched:
            yield list_target(one.competition, ranking.id)
        if any(ranking.cuts for ranking in touched):
            yield list_target(one.competition, QUALIFICATION)


def _shows(ranking: Ranking, one: Corrected) -> bool:
    """Whether the corrected mark stands in a list; all lists, where the row names no mark."""
    if one.apparatus and one.apparatus not in {part[:2] for part in ranking.parts} | {
        *ranking.parts
    }:
        return False
    if not one.person:
        return True
    gymnasts = (gymnast for line in ranking.lines for gymnast in line.of.gymnasts)
    return any(gymnast.person == one.person for gymnast in gymnasts)
