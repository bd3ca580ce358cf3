"""What a person means by a name: competitions, lists, apparatus, gymnasts, teams and cuts.

Capitals and the like make no difference. What cannot be found is a LookupError that names what
there is; a bib that several gymnasts wear is told with the ways to say which. A row of a list that
was found stands on Markdown pages as text, each part by its name.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TypeVar

from resultsgen.files.once import Once
from resultsgen.language import ENGLISH, Language
from resultsgen.scoring.ranking import CutResult, Gymnast, Line, Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.words.wording import Wording, wording

Found = TypeVar("Found")


class NotDecidedError(LookupError):
    """What is asked for is not known yet, and will be; the message says what it waits for."""


class Remarked(str):
    """An answer, and what goes with it for who wrote the page."""

    __slots__ = ("remark",)
    remark: str

    def __new__(cls, text: str, remark: str) -> Remarked:
        one = super().__new__(cls, text)
        one.remark = remark
        return one


@dataclass(frozen=True)
class Asked:
    """What facts are asked about, and the language they are told in."""

    results: Results
    language: Language = ENGLISH

    @cached_property
    def words(self) -> Wording:
        """What they are told with."""
        return wording(self.results.meet.settings, self.language)


def plain(name: object) -> str:
    """A name without what people write differently: capitals, hyphens, double spaces."""
    return _plain(str(name))


@lru_cache(maxsize=2**12)  # Each name that is looked for is compared with the same others.
def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").split())


def chosen(name: object, known: Mapping[str, Found], what: str) -> Found:
    """The one that is meant by *name*; with no name, the only one there is."""
    if not name and len(set(map(id, known.values()))) == 1:
        return next(iter(known.values()))
    by_plain = {plain(key): value for key, value in known.items()}
    if plain(name) in by_plain:
        return by_plain[plain(name)]
    there_are = ", ".join(dict.fromkeys(known)) or "none"
    asked_for = f'there is no {what} "{name}"' if name else f"say which {what}"
    raise LookupError(f"{asked_for}; there are: {there_are}")


def found_competition(asked: Asked, name: object = "") -> CompetitionResults:
    """A competition by its id or its title, in any language."""
    by_title = {
        title: one
        for one in asked.results.competitions
        for title in in_every_language(asked.results, one.competition.title)
    }
    try:
        return chosen(name, asked.results.by_id, "competition")
    except LookupError:
        if name in by_title or plain(name) in map(plain, by_title):
            return chosen(name, by_title, "competition")
        raise


def in_every_language(results: Results, text: str) -> tuple[str, ...]:
    """A text of the meet as it stands in `meet.toml`, then as pages in other languages have it."""
    others = results.meet.settings.texts.values()
    return text, *(said[text] for said in others if text in said)


def found_list(asked: Asked, competition: object, name: object) -> Ranking:
    """A list of a competition, by apparatus code or name, all-around, or team."""
    whole = found_competition(asked, competition)
    lists = {ranking.id: ranking for ranking in whole.rankings}
    code = apparatus_codes(asked, whole).get(plain(name))
    return chosen(code if code in lists else name, lists, f"list in {whole.competition.id}")


def apparatus_codes(asked: Asked, whole: CompetitionResults) -> dict[str, str]:
    """The apparatus of a competition by every name: Balance Beam and BB are BB.

    A page in another language calls them as its readers do.
    """
    called = asked.results.meet.settings.apparatus_name
    names = {plain(called(code)): code for code in whole.apparatus}
    names |= {plain(asked.words.apparatus(code)): code for code in whole.apparatus}
    return names | {plain(code): code for code in whole.apparatus}


def found_apparatus(asked: Asked, whole: CompetitionResults, name: object) -> str:
    """The code of an apparatus of a competition."""
    code = apparatus_codes(asked, whole).get(plain(name))
    return code or chosen(name, {code: code for code in whole.apparatus}, "apparatus")


def found_line(asked: Asked, ranking: Ranking, who: object) -> Line:
    """The line of a gymnast (by bib or name) or of a team in a list."""
    if ranking.of_teams:
        return chosen(who, {line.id: line for line in ranking.lines}, "team")
    keys = {gymnast.key for gymnast in found_gymnasts(asked, who)}
    lines = [line for line in ranking.lines if line.key in keys]
    if len(lines) == 1:
        return lines[0]
    if lines:
        raise LookupError(f"{who} is on this list more than once")
    message = f"{who} is not on the list {ranking.id} of {ranking.competition}"
    raise missing(asked, ranking.competition, message)


def missing(asked: Asked, competition: str, message: str) -> LookupError:
    """Something is not there: not yet, as long as marks of the competition are to come."""
    complete = asked.results.competition(competition).complete
    return LookupError(message) if complete else NotDecidedError(message)


def found_gymnasts(asked: Asked, who: object) -> tuple[Gymnast, ...]:
    """All entries that a bib (101, or women/101 where both disciplines have one) or name means."""
    for known in _by_name(asked.results, asked.language):
        if found := known.get(plain(who)):
            return tuple(found)
    raise LookupError(f'no gymnast has the bib or the name "{who}"')


def _named(results: Results, language: Language) -> tuple[dict[str, list[Gymnast]], ...]:
    """Who is meant by a bib, by an address, and by a name."""
    each: list[dict[str, list[Gymnast]]] = []
    for names in (_bibs, _addresses, _names):
        found: dict[str, list[Gymnast]] = {}
        for one in results.gymnasts.values():
            for name in dict.fromkeys(map(plain, names(one, Asked(results, language)))):
                found.setdefault(name, []).append(one)
        each.append(found)
    return tuple(each)


_by_name = Once(_named, most=8)


def _bibs(gymnast: Gymnast, asked: Asked) -> tuple[str, ...]:
    """101, women/101; and Bib 101, which is what facts call a gymnast without a name."""
    return gymnast.bib, f"{gymnast.discipline}/{gymnast.bib}", asked.words.bib(gymnast.bib)


def _addresses(gymnast: Gymnast, _: Asked) -> tuple[str, ...]:
    """women/101/junior; of somebody who wore another bib before, women/ and that."""
    return (gymnast.person,)


def _names(gymnast: Gymnast, _: Asked) -> tuple[str, ...]:
    """A withheld name finds nobody, so that no page can be built on it."""
    family, given = gymnast.family, gymnast.given
    return (f"{family} {given}", f"{given} {family}") if gymnast.published else ()


def found_person(asked: Asked, who: object) -> Gymnast:
    """The one person that is meant; several entries of a person are one."""
    entries = found_gymnasts(asked, who)
    persons = {entry.person: entry for entry in entries}
    if len(persons) > 1:
        raise LookupError(f"{who} is several gymnasts; say which: {', '.join(persons)}")
    return next((entry for entry in entries if not entry.published), entries[0])


def found_cut(
    asked: Asked, competition: object, name: object, apparatus: object
) -> tuple[Ranking, CutResult]:
    """A cut by its name, and the list it is taken from; by apparatus where each has its own."""
    whole = found_competition(asked, competition)
    named = [(ranking, cut) for ranking in whole.rankings for cut in ranking.cuts]
    names = {
        name: cut.cut.name
        for _, cut in named
        for name in in_every_language(asked.results, cut.cut.name)
    }
    meant = chosen(name, names, f"cut in {whole.competition.id}")
    lists = {ranking.id: (ranking, cut) for ranking, cut in named if cut.cut.name == meant}
    code = found_apparatus(asked, whole, apparatus) if apparatus else ""
    return chosen(code, lists, f"apparatus for {meant}")


@dataclass(frozen=True, slots=True)
class ListEntry:
    """One row of a list, as text: `{{ row.name }}, {{ row.club }}: {{ row.total }}`."""

    place: str
    name: str
    club: str
    federation: str
    total: str
    bib: str


def entry(line: Line, place: int | None, total: int | None, words: Wording) -> ListEntry:
    """A gymnast or a team with a place and a total, be it the last or one on the way."""
    who, placed, shown = line.of, "" if place is None else str(place), words.language.mark(total)
    name, bib = shown_name(who, words), line.of.id if words.bibs_worn else ""
    if who.kind == "team":
        return ListEntry(placed, name, "", "", shown, "")
    return ListEntry(placed, name, who.club, who.federation, shown, bib)
