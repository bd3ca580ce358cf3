"""Corrections and publications in words: whom they are about, and sentences for pages and feed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from resultsgen.files.once import Once
from resultsgen.history import Corrected, Issue
from resultsgen.history.publication import Publication
from resultsgen.language import to_say
from resultsgen.meet.folder import NAME, Correction
from resultsgen.meet.marks import parse_mark
from resultsgen.meet.parts import part_of
from resultsgen.reading.whole_names import parted_name
from resultsgen.scoring.ranking import Gymnast, Ranking
from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.competitions import signatures
from resultsgen.views.lists.table import Cell
from resultsgen.views.site.addresses import gymnast_target, list_target
from resultsgen.views.site.site_map import OVERVIEW, QUALIFICATION
from resultsgen.views.words.wording import Wording

RESERVE_ORDER, ORDER = "reserve_order", to_say("order of equals")
"""How the jury put equals in order, as `meet.toml` has it and in words."""

NOTHING = "–"
"""Stands where no mark, or no place, is left."""

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
class PublishedNames:
    """What a publication names by person and id, found again in the results as they are now."""

    results: Results
    wording: Wording

    @cached_property
    def _titles(self) -> dict[str, str]:
        competitions = (judged.competition for judged in self.results.competitions)
        called = self.wording.called
        return {competition.id: called(competition.title) for competition in competitions}

    @cached_property
    def _gymnasts(self) -> dict[str, Cell]:
        return {
            person: Cell(shown_name(who, self.wording), target=gymnast_target(who))
            for person, who in self._people.items()
        }

    def old_and_new(self, corrected: Corrected) -> tuple[str, str]:
        """What was published of somebody or something, and what now is; a name as all are shown."""
        told, who = (corrected.old, corrected.new), self._people.get(corrected.person)
        if corrected.what != NAME or who is None or not who.published:
            return told
        old, new = (self.wording.name(*_parts(text, who)) for text in told)
        return old, new

    def as_published(self, person: str, name: str) -> str:
        """The name that somebody had in a publication; the bib of who is withheld or gone since."""
        who = self._people.get(person)
        if who is None or not who.published or name in ("", who.name):
            return self.gymnast(person).text
        return self.wording.name(*_parts(name, who))

    @cached_property
    def _people(self) -> dict[str, Gymnast]:
        return {who.person: who for who in self.results.gymnasts.values()}

    @cached_property
    def _lists(self) -> dict[tuple[str, str], str]:
        return {
            (judged.competition.id, ranking.id): (
                f"{self.wording.list_name(ranking.id)}, {self._titles[judged.competition.id]}"
            )
            for judged in self.results.competitions
            for ranking in judged.rankings
        }

    @cached_property
    def lists(self) -> dict[str, str]:
        """The name and the competition of each list, by the target of its page."""
        return {list_target(*key): name for key, name in self._lists.items()}

    def gymnast(self, person: str) -> Cell:
        """The gymnast's name, leading to the page; the bib of one who is gone."""
        bib = self.results.history.bibs.get(person, person)
        return self._gymnasts.get(person) or Cell(self.wording.bib(bib))

    def of_list(self, competition: str, list: str, who: str) -> Cell:
        """Whoever stands in a list, a gymnast or a team, with the list below."""
        named = Cell(who) if list == "team" else self.gymnast(who)
        return named._replace(sub=self.list(competition, list))

    def competition(self, id: str) -> str:
        """The title; the id of one that is gone."""
        return self._titles.get(id, id)

    def list(self, competition: str, list: str) -> str:
        """The list's name and its competition."""
        known = self._lists.get((competition, list))
        return known or f"{list}, {self.competition(competition)}"

    def apparatus(self, corrected: Corrected) -> str:
        """The apparatus of a correction."""
        if not corrected.apparatus:
            return self.wording.say("all marks")
        return self.wording.apparatus(part_of(corrected.apparatus, corrected.vault))

    def corrected(self, corrected: Corrected) -> Cell:
        """Whose mark is corrected, with the apparatus and the competition below."""
        competition = self.competition(corrected.competition)
        if corrected.bib or (corrected.what and not corrected.competition):
            where = (self.apparatus(corrected), competition)
            below = self.what(corrected) if corrected.what else ", ".join(filter(None, where))
            return self.whom(corrected)._replace(sub=below)
        here = corrected.competition in self._titles
        overview = list_target(corrected.competition, OVERVIEW) if here else ""
        moved = "" if corrected.gone else self.wording.say("places, totals or qualifiers")
        return Cell(competition, self.what(corrected) if corrected.what else moved, target=overview)

    def whom(self, corrected: Corrected) -> Cell:
        """Who a correction is about, or the meet."""
        if corrected.person:
            return self.gymnast(corrected.person)
        title = self.wording.called(self.results.meet.settings.title)
        return Cell(self.wording.bib(corrected.bib) if corrected.bib else title)

    def what(self, corrected: Corrected) -> str:
        """What of somebody, of a competition or of the meet is otherwise, in words."""
        first, _, rest = corrected.what.partition(".")
        if corrected.what not in WHAT and first not in WHAT:
            first = corrected.what
        said = self.wording.say(WHAT[first]) if first in WHAT else first
        if first == corrected.what:
            return said
        told = rest.replace(".", ", ")
        if cut := self._setting_of_cut(corrected):
            name, setting, code = cut
            words = self.wording.say(ORDER) if setting == RESERVE_ORDER else setting
            apparatus = self.wording.apparatus(code) if code else ""
            told = ", ".join(filter(None, (self.wording.called(name), words, apparatus)))
        return self.wording.language.headed(said, told)

    def _setting_of_cut(self, corrected: Corrected) -> tuple[str, str, str] | None:
        """The name of a cut that there is, which setting of it is otherwise, and for which
        apparatus, where the jury put equals in order on that alone."""
        if corrected.competition not in self._titles:
            return None
        rankings = self.results.competition(corrected.competition).rankings
        for name in {cut.cut.name: None for ranking in rankings for cut in ranking.cuts}:
            setting = corrected.what.removeprefix(f"cuts.{name}.")
            if setting != corrected.what:
                first, _, code = setting.partition(".")
                return (name, first, code) if first == RESERVE_ORDER else (name, setting, "")
        return None

    def pages(self, corrected: Corrected) -> Iterator[str]:
        """The pages that a correction touched: the gymnast's, and the lists with the mark."""
        if corrected.person in self._gymnasts:
            yield self._gymnasts[corrected.person].target
        if corrected.competition not in self._titles:
            return
        competition = self.results.competition(corrected.competition)
        touched = [each for each in competition.rankings if _shows(each, corrected)]
        if cut := self._setting_of_cut(corrected):
            name, _, code = cut
            led = [each for each in touched if any(one.cut.name == name for one in each.cuts)]
            touched = [each for each in led if code in ("", each.apparatus)]
        for ranking in touched:
            yield list_target(corrected.competition, ranking.id)
        if any(ranking.cuts for ranking in touched):
            yield list_target(corrected.competition, QUALIFICATION)


published_names = Once(PublishedNames, most=8)
"""Those of the same results, whoever asks for them."""


def _parts(text: str, who: Gymnast) -> tuple[str, str]:
    """Family and given name of a name as it was kept, the family name first: one mostly stayed."""
    if text.endswith(f" {who.given}"):
        return text.removesuffix(f" {who.given}"), who.given
    if text.startswith(f"{who.family} "):
        return who.family, text.removeprefix(f"{who.family} ")
    return parted_name(text, "family first")[:2]


def _shows(ranking: Ranking, corrected: Corrected) -> bool:
    """Whether the corrected mark stands in a list; all lists, where the row names no mark."""
    parts = {*ranking.parts, *(part[:2] for part in ranking.parts)}
    if corrected.apparatus and corrected.apparatus not in parts:
        return False
    gymnasts = (gymnast for line in ranking.lines for gymnast in line.of.gymnasts)
    return not corrected.person or any(gymnast.person == corrected.person for gymnast in gymnasts)


def status_of(publication: Publication, wording: Wording) -> str:
    """Provisional; or official, whether sealed, and who signed."""
    if publication.state == "provisional":
        return wording.say("Provisional")
    state = wording.say("Official, sealed") if publication.sealed else wording.say("Official")
    if not publication.signed:
        return state
    names = signatures(publication.signed, wording)
    return wording.say("{state}, signed by {names}", state=state, names=names)


def publication_sentence(issue: Issue, wording: Wording) -> str:
    """What a publication changed, in numbers; of the first that it is the first."""
    count, say, made = wording.language.count, wording.say, issue.changes
    marks = sum(bool(change.new and change.new.mark is not None) for change in made.added)
    others = {
        (change.competition, change.key[0])
        for change in made.added
        if change.new and change.new.mark is None
    }
    withdrew = {
        (change.competition, change.key[1])
        for change in made.withdrawals
        if change.new and change.new.withdrew
    }
    gymnasts, competitions = len(made.gymnasts_added), len(made.competitions_added)
    unmarked, corrected = len(others), len(issue.corrected)
    numbers = (
        (marks, count("{n} mark added", "{n} marks added", marks)),
        (unmarked, count("{n} gymnast without a mark", "{n} gymnasts without a mark", unmarked)),
        (gymnasts, count("{n} gymnast added", "{n} gymnasts added", gymnasts)),
        (competitions, count("{n} competition added", "{n} competitions added", competitions)),
        (corrected, count("{n} correction", "{n} corrections", corrected)),
        (len(withdrew), count("{n} withdrawal", "{n} withdrawals", len(withdrew))),
    )
    became = {
        "official": say("the results are official now"),
        "sealed": say("the results are official and sealed now"),
        "provisional": say("the results are provisional again"),
    }
    first = say("The first publication") if issue.publication.number == 1 else ""
    told = (first, *(text for number, text in numbers if number), became.get(issue.became, ""))
    return ", ".join(filter(None, told)) or say("No mark changed")


def shown(text: str, wording: Wording) -> str:
    """A mark as the language writes it; a status as it is."""
    mark = parse_mark(text)
    return text if mark is None else wording.language.mark(mark)


def why(corrected: Corrected, wording: Wording) -> str:
    """The reasons in words, or that none was given."""
    words = {
        "inquiry": wording.say("inquiry"),
        "entry error": wording.say("entry error"),
        "review": wording.say("review"),
    }
    given = dict.fromkeys(words.get(row.why.casefold(), row.why) for row in corrected.reasons)
    return "; ".join(given) or wording.say("no reason given")


def aloud(sentence: str, wording: Wording) -> str:
    """The sentence of a correction as it is read out: that no reason was given, nobody says."""
    return sentence.replace(f" ({wording.say('no reason given')})", "")


def decided(row: Correction) -> str:
    """Who decided, and when."""
    return ", ".join(filter(None, (row.who, row.when)))


def correction_sentence(corrected: Corrected, names: PublishedNames) -> str:
    """One correction in one sentence, for the pages that it touched and for the feed."""
    say, reason = names.wording.say, why(corrected, names.wording)
    who = names.whom(corrected).text
    competition = names.competition(corrected.competition)
    if corrected.what:
        about = ", ".join(filter(None, (competition or who, names.what(corrected))))
        usual = say("as usual") if corrected.competition else say("nothing")
        old, new = (text or usual for text in names.old_and_new(corrected))
        text = to_say("Corrected: {what}: {new} instead of {old} ({why}).")
        if corrected.takes_back:
            text = to_say("Correction taken back: {what}: {new} again, not {old} ({why}).")
        return say(text, what=about, old=old, new=new, why=reason)
    if corrected.bib and corrected.apparatus:
        text = to_say("Corrected: {who}, {where}, {new} instead of {old} ({why}).")
        if corrected.gone or not corrected.new:
            text = to_say("Withdrawn: {who}, {where}, {old} ({why}).")
        elif not corrected.old:
            text = to_say("Added: {who}, {where}, {new} ({why}).")
        elif corrected.old == corrected.new:
            text = to_say("Corrected: {who}, {where}, the parts of {new} ({why}).")
        elif corrected.takes_back:
            text = to_say("Correction taken back: {who}, {where}, {new} again, not {old} ({why}).")
        old, new = (shown(mark, names.wording) for mark in (corrected.old, corrected.new))
        return say(text, who=who, where=names.apparatus(corrected), old=old, new=new, why=reason)
    if corrected.gone:
        what = ", ".join(filter(None, (who if corrected.bib else "", competition)))
        return say("Withdrawn: {what} ({why}).", what=what, why=reason)
    text = to_say("Corrected: places, totals or qualifiers of {competition} ({why}).")
    if corrected.bib:
        text = to_say("Corrected: {who}, {competition} ({why}).")
    return say(text, who=who, competition=competition, why=reason)
