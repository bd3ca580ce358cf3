"""Certificates: a page for each gymnast and level, with places and marks of finished lists."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from resultsgen.meet.settings import Certificates, MeetSettings
from resultsgen.scoring.ranking import Gymnast, Line, Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.sections import BookSubject, Section, SheetContent
from resultsgen.views.words.wording import Wording, place_words

MOST, MANY = 12, 8
"""The lists of a gymnast, with titles above them, find room for so many lines on a page; more than
many are set smaller."""

SIGNATURES = 3
"""So many lines to sign stand beside each other."""

Performed = tuple[CompetitionResults, Gymnast]
"""A competition, and the entry with which somebody is in it."""


@dataclass(frozen=True)
class CertificateRow:
    """A list: its name, the place in it and the mark; the place is empty where there is none."""

    list: str
    place: str
    mark: str
    number: int | None = None
    whole: bool = False
    """It is the all-around or the list of teams."""

    @property
    def podium(self) -> bool:
        return self.number is not None and self.number <= 3


@dataclass(frozen=True)
class CertificateGroup:
    """The lists of one competition."""

    title: str
    """Empty where there is one competition alone."""
    rows: tuple[CertificateRow, ...]


@dataclass(frozen=True)
class Certificate(SheetContent):
    """What stands on the page of one gymnast."""

    word: str
    """What it is, a certificate; empty on paper of the club's own."""
    name: str
    """Empty where it is withheld, and to be written by hand."""
    bib: str
    """Stands small below a name that is to be written."""
    club: str
    level: str
    """The competition; empty where there are several, whose titles stand above their lists."""
    groups: tuple[CertificateGroup, ...]
    more: str
    """How many lists found no room; empty: all did."""
    meet: str
    when: str
    """Place and days."""
    signatures: tuple[str, ...]
    logo: str
    logo_of: str
    picture: str
    picture_of: str
    top: int
    """On paper of the club's own, so many millimetres from its upper edge; 0: in the theme's
    design."""

    @property
    def many(self) -> bool:
        """There are more lines than stand there at ease."""
        return sum(len(group.rows) + bool(group.title) for group in self.groups) > MANY


def certificates(subject: BookSubject) -> Iterator[Section]:
    """A page for each, level by level in the order of the first list; of a club, for its own."""
    wording, settings = subject.wording, subject.results.meet.settings
    club, title = subject.club, wording.say("Certificates")
    if club:
        title = wording.language.headed(title, club.name)
    for performed in given(subject.results):
        first = performed[0][1]
        if club is None or first.club == club.name:
            content = certificate(settings, performed, wording)
            name = content.name or content.bib
            template = "certificate-plain" if content.top else "certificate"
            yield Section(f"certificate-{first.key}", template, title, name, content=content)


@lru_cache(maxsize=1)
def given(results: Results) -> tuple[tuple[Performed, ...], ...]:
    """Who gets a certificate, with all competitions of the level; nobody with a mark to come."""
    wanted = results.meet.settings.certificates
    found: dict[tuple[str, str], list[Performed]] = {}
    to_come = set()
    for judged in results.competitions:
        # As the lists have them, the all-around first, then whoever else starts.
        lists = (ranking for ranking in judged.rankings if not ranking.of_teams)
        listed = [line.gymnast for ranking in lists for line in ranking.lines]
        starting = [start.gymnast for start in judged.starts]
        for gymnast in {who.key: who for who in (*listed, *starting)}.values():
            page = gymnast.person, gymnast.division
            found.setdefault(page, []).append((judged, gymnast))
            if not judged.complete:
                to_come.add(page)
    return tuple(
        tuple(performed)
        for page, performed in found.items()
        if page not in to_come and _is_given(wanted, performed)
    )


def _is_given(wanted: Certificates, performed: Sequence[Performed]) -> bool:
    """Somebody has a mark, or one of the first places."""
    if wanted.whom == "everybody":
        return any(
            routine.mark is not None
            for judged, who in performed
            for routine in judged.by_gymnast.get(who.key, {}).values()
        )
    return any(
        line.place is not None and line.place <= wanted.places
        for judged, who in performed
        for _, line in _lines(judged, who)
    )


def certificate(
    settings: MeetSettings, performed: Sequence[Performed], wording: Wording
) -> Certificate:
    """The page of one gymnast, who was in these competitions."""
    wanted, who, say = settings.certificates, performed[0][1], wording.say
    plain = wanted.design == "plain"
    titles = [wording.called(judged.competition.title) for judged, _ in performed]
    several = len(performed) > 1
    groups, left = _folded(
        [
            CertificateGroup(title if several else "", tuple(_rows(judged, entry, wording)))
            for title, (judged, entry) in zip(titles, performed, strict=True)
        ]
    )
    when = wording.called(settings.place), wording.language.dates(settings.dates)
    return Certificate(
        word="" if plain else say("Certificate"),
        # As it is read out.
        name=wording.spoken.name(who.family, who.given) if who.published else "",
        bib=wording.bib(who.bib),
        club=who.club or who.federation,
        level=", ".join(
            filter(None, ("" if several else titles[0], say("guest") if who.guest else ""))
        ),
        groups=groups,
        more=wording.language.count("and {n} more list", "and {n} more lists", left)
        if left
        else "",
        meet=wording.called(settings.title),
        when=", ".join(filter(None, when)),
        signatures=_signatures(settings, wording),
        logo="" if plain else settings.logo,
        logo_of=wording.called(settings.organiser or settings.title),
        picture="" if plain else wanted.picture,
        picture_of=wording.called(settings.title),
        top=wanted.top if plain else 0,
    )


def _signatures(settings: MeetSettings, wording: Wording) -> tuple[str, ...]:
    """Who signs: as the settings say, else who signed the results, else who was in charge."""
    wanted = settings.certificates
    if wanted.signatures or wanted.design == "plain":
        return wanted.signatures
    people = settings.status.signed or settings.officials
    named = (
        ", ".join(filter(None, (one.name, wording.called(one.role)))) for one in people[:SIGNATURES]
    )
    return tuple(named) or ("",)


def _lines(judged: CompetitionResults, who: Gymnast) -> Iterator[tuple[Ranking, Line]]:
    """The lines of a gymnast in the lists of a competition; a team's is that of all in it."""
    for ranking in filter(None, (judged.all_around, judged.team, *judged.by_apparatus.values())):
        if not ranking.of_teams:
            lines = [ranking.by_key[who.key]] if who.key in ranking.by_key else []
        else:
            lines = [
                line for line in ranking.lines if who.key in {one.key for one in line.of.gymnasts}
            ]
        yield from ((ranking, line) for line in lines)


def _rows(judged: CompetitionResults, who: Gymnast, wording: Wording) -> Iterator[CertificateRow]:
    """Each list with a total; then the marks that stand in no list of their own."""
    listed = set()
    for ranking, line in _lines(judged, who):
        if line.total is not None:
            listed.add(ranking.id)
            shared = Counter(each.place for each in ranking.lines)[line.place] > 1
            place = place_words(line.place, shared, wording) if line.place is not None else ""
            name, mark = wording.list_name(ranking.id), wording.language.mark(line.total)
            if ranking.of_teams and line.name != who.club:
                name = wording.language.headed(name, line.name)
            yield CertificateRow(name, place, mark, line.place, not ranking.apparatus)
    if judged.competition.has_own_marks:
        for (code, vault), routine in judged.by_gymnast.get(who.key, {}).items():
            if routine.mark is not None and code not in listed and vault == 1:
                mark = wording.language.mark(routine.mark)
                yield CertificateRow(wording.apparatus(code), "", mark)


def _folded(groups: Sequence[CertificateGroup]) -> tuple[tuple[CertificateGroup, ...], int]:
    """The lists that find room, and how many do not: whole ones go first, then the best places,
    of equal ones those of the last competition, the final.
    """
    rows = [row for group in reversed(groups) for row in group.rows]
    best = sorted(rows, key=lambda row: (not row.whole, row.number is None, row.number or 0))
    room = MOST - sum(bool(group.title) for group in groups)
    kept = {id(row) for row in best[:room]}
    shorter = (
        replace(group, rows=tuple(row for row in group.rows if id(row) in kept)) for group in groups
    )
    return tuple(group for group in shorter if group.rows), len(rows) - len(kept)
