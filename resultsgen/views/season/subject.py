"""What the pages of a season speak of, how each is called, and what leads to it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property

from resultsgen.files.cache import key_of
from resultsgen.language import Language
from resultsgen.meet.names import APPARATUS_NAMES
from resultsgen.season.bests import Comparable, RecordSet, comparables
from resultsgen.season.facts import ALL_AROUND, Achieved, SeasonMeet, made_at, told_lists
from resultsgen.season.qualifying import Qualification
from resultsgen.season.records import Among, records_among
from resultsgen.season.season import Career, Season
from resultsgen.season.series import SeriesTable
from resultsgen.season.told import ToldCompetition, ToldGymnast, ToldResults
from resultsgen.views.lists.table import Cell
from resultsgen.views.season.page import MeetSite
from resultsgen.views.site.addresses import club_target, file_names
from resultsgen.views.words.alphabet import folded
from resultsgen.views.words.wording import DISCIPLINES, Wording

OF_A_MEET = "site:"
"""What leads to a page of the site of a meet, which lies where it lies in every language."""

KEPT_CELLS = 2**14

Group = tuple[str, tuple[str, ...]]
"""Those who compete with each other: a discipline and divisions."""


@dataclass(frozen=True)
class SeasonSubject:
    """A season in a language, with the sites of its meets."""

    season: Season
    language: Language
    sites: Mapping[str, MeetSite]
    books: bool = False
    """There is a yearbook for each year."""

    @cached_property
    def wording(self) -> Wording:
        """How apparatus and gymnasts are called."""
        named = self.season.facts.apparatus.items()
        own = {code: name for code, name in named if code not in APPARATUS_NAMES}
        return Wording(self.language, own, self.season.settings.names)

    @cached_property
    def meets(self) -> dict[str, SeasonMeet]:
        """Each meet by its id."""
        return {meet.id: meet for meet in self.season.facts.meets}

    @cached_property
    def people(self) -> dict[tuple[str, int], ToldGymnast]:
        """Each row of a roster, by meet and entry."""
        return {
            (meet.id, one.entry): one
            for meet in self.season.facts.meets
            for one in meet.head.gymnasts
        }

    @property
    def career(self) -> Mapping[tuple[str, int], Career]:
        """Whose each row of a roster is."""
        return self.season.whose

    @cached_property
    def comparable(self) -> Collection[Comparable]:
        """Every list of marks that compare."""
        return comparables(self.season)

    @property
    def records(self) -> Mapping[Among, tuple[RecordSet, ...]]:
        """Every record as it was set: of all meets, then of each event and series."""
        return records_among(self.season)

    @cached_property
    def by_club(self) -> dict[str, list[tuple[str, int]]]:
        """The rows of each club, by meet and entry in order of time; the clubs by name."""
        found: dict[str, list[tuple[str, int]]] = defaultdict(list)
        for row, gymnast in self.people.items():
            if gymnast.club:
                found[gymnast.club].append(row)
        return {club: found[club] for club in sorted(found, key=lambda one: (folded(one), one))}

    def made_for(self, club: str) -> list[Achieved]:
        """All marks that were made for a club, in order of time."""
        return self.season.facts.achieved(self.by_club[club])

    @cached_property
    def won(self) -> dict[tuple[str, str], set[str]]:
        """Which lists of each competition are won, by meet and id."""
        found: dict[tuple[str, str], set[str]] = defaultdict(set)
        for meet in self.season.facts.meets:
            for lists in titles(meet, meet.head).values():
                for held, name in lists:
                    found[meet.id, held.id].add(name)
        return found

    def marks_of(self, rows: Iterable[tuple[str, int]]) -> str:
        """What tells the marks of rows of rosters from how they were before."""
        made = self.season.facts.made
        return " ".join(made[meet].by_entry.get(entry, ("",))[0] for meet, entry in rows)

    @cached_property
    def heads(self) -> dict[str, str]:
        """For each meet what tells all but its marks from how it was before."""
        made, there = self.season.facts.made, self.season.who_was_there
        addresses = {
            meet: [self.where.get(club_target(body), "") for body in one.bodies]
            for meet, one in made.items()
        }
        for career in self.season.careers:
            address = self.where.get(f"person:{career.key}", "")
            for meet in career.meets:
                addresses[meet].append(address)
        return {
            meet: key_of(one.head, there[meet], "\n".join(addresses[meet]), self._site(meet))
            for meet, one in made.items()
        }

    def _site(self, meet: str) -> str:
        site = self.sites.get(meet)
        return f"{site.root} {sorted(site.files)}" if site else ""

    @cached_property
    def where(self) -> dict[str, str]:
        """The address of each thing that a page may lead to."""
        named = {career.key for career in self.season.careers if not career.withheld}
        people = file_names(named)
        found = {f"person:{key}": f"gymnasts/{name}.html" for key, name in people.items()}
        for club, name in file_names(self.by_club).items():
            found[club_target(club)] = f"clubs/{name}.html"
        found |= {f"page:{name}": f"{name}/index.html" for name in ("meets", "gymnasts", "clubs")}
        found |= {"page:bests": "bests/index.html", "page:records": "records.html"}
        found["page:series"] = "series.html"
        found |= {f"meet:{id}": f"meets/{id}.html" for id in self.meets}
        for kind, tables in self.over_meets.items():
            names = file_names(tables)
            found |= {f"{kind}:{id}": f"{kind}/{names[id]}.html" for id in tables}
        lists = file_names(" ".join(filter(None, of)) for of in map(flat, self.comparable))
        for of in self.comparable:
            name = lists[" ".join(filter(None, flat(of)))]
            found[bests_target(of)] = f"bests/{name}.html"
            for year in self.years:
                found[bests_target(of, year)] = f"bests/{name}/{year}.html"
        return found

    @cached_property
    def over_meets(self) -> dict[str, dict[str, SeriesTable | Qualification]]:
        """The tables over several meets: series and qualifications, each by its id."""
        return {
            "series": {one.settings.id: one for one in self.season.series},
            "qualification": {one.settings.id: one for one in self.season.qualifications},
        }

    def called(self, who: str) -> str:
        """The name of a line of a table over several meets."""
        career = self.season.by_key.get(who)
        return self.name(career) if career else who

    @cached_property
    def years(self) -> tuple[int, ...]:
        """The years of the season, the newest first; none where there is only one."""
        years = sorted(self.season.facts.days, reverse=True)
        return tuple(years) if len(years) > 1 else ()

    def name(self, career: Career) -> str:
        """As the season calls a gymnast; the bib, where the name is withheld."""
        if career.withheld:
            return self.wording.bib(career.bib)
        return self.wording.name(career.family, career.given)

    def who(self, career: Career, sub: str = "") -> Cell:
        """A gymnast in a table; kept for the many that she is in."""
        key = career.row, sub
        if key not in self._who:
            given_first = self.wording.names == "given first"
            by = f"{career.family} {career.given}".strip() if given_first else ""
            target = "" if career.withheld else f"person:{career.key}"
            self._who[key] = Cell(self.name(career), sub, target=target, by=by)
        return self._who[key]

    @cached_property
    def _who(self) -> dict[object, Cell]:
        return {}

    def body(self, name: str) -> Cell:
        """A club or a team in a table, leading to the page of the club that it is."""
        target = club_target(name)
        return Cell(name, target=target if target in self.where else "")

    def club_of(self, one: Achieved) -> str:
        """For which club it was."""
        return self.people[one.meet, one.entry].club

    def whose(self, one: Achieved) -> Cell:
        """Who made a mark, and for which club."""
        return self.who(self.career[one.meet, one.entry], self.club_of(one))

    def day(self, one: Achieved) -> str:
        """When it was."""
        return self.language.date(one.day)

    def at(self, one: Achieved) -> Cell:
        """At which meet and when, leading to the list; kept for the lists that one mark is in."""
        key = one.meet, one.competition, one.list, one.entry, one.day
        if key not in self._at:
            if len(self._at) >= KEPT_CELLS:
                self._at.clear()
            title, by = self.meets[one.meet].title, one.day.isoformat()
            self._at[key] = Cell(title, self.day(one), target=self.list_target(one), by=by)
        return self._at[key]

    @cached_property
    def _at(self) -> dict[object, Cell]:
        return {}

    def list_target(self, one: Achieved) -> str:
        """What leads to the row of a mark in a list of its meet: its own, or the all-around."""
        own = self.season.facts.made[one.meet].lists[one.competition]
        there = (name for name in (one.list, ALL_AROUND) if one.entry in own.get(name, ()))
        if name := next(there, None):
            return self.row_target(one.meet, one.competition, name, one.entry)
        return self.row_target(one.meet, one.competition, one.list)

    def row_target(self, meet: str, competition: str, list: str, entry: int | None = None) -> str:
        """What leads to a list of a meet and the row of somebody in it; else to the meet here."""
        site = self.sites.get(meet)
        if not site:
            return f"meet:{meet}"
        folder = f"competitions/{self.folders[meet][competition]}"
        file = f"{folder}/{_file_of(list)}.html"
        if not (site.elsewhere or file in site.files):
            return f"{OF_A_MEET}{site.root}{self.in_language(site, f'{folder}/index.html')}"
        row = f"#{list}-{entry}" if entry is not None else ""
        return f"{OF_A_MEET}{site.root}{self.in_language(site, file)}{row}"

    def in_language(self, site: MeetSite, file: str) -> str:
        """A page of the site of a meet in the language of these pages, where it is there."""
        own = f"{self.language.code}/{file}"
        return own if own in site.files else file

    @cached_property
    def folders(self) -> dict[str, dict[str, str]]:
        """The folder of each competition in the site of its meet."""
        return {
            meet.id: file_names(one.id for one in meet.head.competitions)
            for meet in self.season.facts.meets
        }

    def discipline(self, code: str) -> str:
        """Women or men; one of a meet's own as it writes it."""
        name = self.language.say(DISCIPLINES[code]) if code in DISCIPLINES else code
        return name[:1].upper() + name[1:]

    def list_title(self, held: ToldCompetition, name: str) -> str:
        """A list of a competition, as it is headed where others stand beside it."""
        return self.language.headed(held.title, self.wording.list_name(name))

    def group(self, of: Comparable) -> str:
        """Whose marks compare: the discipline and the division."""
        return ", ".join(filter(None, (self.discipline(of.discipline), of.division)))

    def list_of(self, of: Comparable) -> str:
        """The all-around or the apparatus; with what tells it from others of its name."""
        name = self.wording.list_name(of.list)
        alike = self.alike[of[:3]]
        parts, rules = {one.parts for one in alike}, {one.rules for one in alike}
        told = (
            ", ".join(of.parts) if len(parts) > 1 else "",
            self.rules(of) if len(rules) > 1 else "",
        )
        more = "; ".join(filter(None, told))
        return f"{name} ({more})" if more else name

    @cached_property
    def alike(self) -> dict[tuple[object, ...], list[Comparable]]:
        """The lists of one discipline, division and name."""
        found: dict[tuple[object, ...], list[Comparable]] = defaultdict(list)
        for of in self.comparable:
            found[of[:3]].append(of)
        return found

    def rules(self, of: Comparable) -> str:
        """The titles of the rule sets of a list."""
        names = self.rule_titles
        return ", ".join(dict.fromkeys(names.get(one, one) for one in of.rules.split(" + ")))

    @cached_property
    def rule_titles(self) -> dict[str, str]:
        """The title of each rule set, in this language where it is one of ours."""
        return {
            one.rules.identity: self.language.say(one.rules.title)
            for meet in self.season.facts.meets
            for one in meet.head.competitions
        }


@cache
def _file_of(list: str) -> str:
    return file_names([list])[list]


def flat(of: Comparable) -> tuple[str, ...]:
    """A list in words from which its address follows."""
    parts = of.parts if of.list == ALL_AROUND else ()
    return (of.discipline, of.division, of.list, *parts, of.rules)


def bests_target(of: Comparable, year: int | None = None) -> str:
    """What leads to a bests list."""
    return f"bests:{'/'.join(flat(of))}/{year or ''}"


def titles(
    meet: SeasonMeet, told: ToldResults | None = None
) -> dict[Group, list[tuple[ToldCompetition, str]]]:
    """The lists that are won, by whose they are: those of finals, and what has no final."""
    divisions, held = made_at(meet).divisions, (told or meet.results).competitions
    found: dict[Group, list[tuple[ToldCompetition, str]]] = {}
    each = [((one.discipline, divisions[one.id]), one) for one in held]
    won = {(group, name) for group, one in each if one.phase == "final" for name in told_lists(one)}
    for group, one in each:
        for name in told_lists(one):
            if one.phase == "final" or (group, name) not in won:
                found.setdefault(group, []).append((one, name))
    return found


def years_of(years: Collection[int]) -> str:
    """From which year to which.

    >>> years_of([]), years_of([2031]), years_of([2031, 2029, 2030])
    ('', '2031', '2029–2031')
    """
    return "–".join(dict.fromkeys((str(min(years)), str(max(years))))) if years else ""
