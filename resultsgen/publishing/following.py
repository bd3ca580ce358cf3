"""How results follow what was published before: who is who, and whose name is withheld today."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from resultsgen.files.once import Once
from resultsgen.history import history
from resultsgen.history.publication import Publication, PublishedCompetition, PublishedGymnast
from resultsgen.meet.folder import NAME, Meet
from resultsgen.privacy.forms import as_written
from resultsgen.privacy.withheld import naming_withheld
from resultsgen.scoring.people import Wearer, wearers
from resultsgen.scoring.results import Results

Who = TypeVar("Who")
Tells = Callable[[str], bool]


def with_history(results: Results, publications: Sequence[Publication]) -> Results:
    """The results that know all their publications; bibs that nobody sees were not corrected."""
    told = history(publications, [row.correction for row in results.meet.corrections])
    if results.meet.settings.bibs == "made":
        told = replace(
            told,
            issues=tuple(
                replace(issue, corrected=tuple(one for one in issue.corrected if one.what != "bib"))
                for issue in told.issues
            ),
        )
    return replace(results, history=told)


# Who was who: each gymnast of a meet found again among those who were published.


def with_known_persons(meet: Meet, kept: Sequence[Publication]) -> Meet:
    """The meet in which everybody who was published has the address of then.

    A bib is not enough, since age groups may number alike and bibs are exchanged. Who has the same
    name and club is the same, whatever the bib; whoever is left over has the bib of somebody left
    over.
    """
    if not kept:
        return meet
    left, waiting = list(kept[-1].gymnasts), list(dict.fromkeys(wearers(meet.entries)))
    known: dict[Wearer, str] = {}
    for of_published, of_entered in SAME_PERSON:
        those, these = _alone(left, of_published), _alone(waiting, of_entered)
        known |= {these[key]: those[key].person for key in these.keys() & those.keys()}
        left = [one for one in left if one.person not in set(known.values())]
        waiting = [one for one in waiting if one not in known]
    taken = frozenset(one.person for each in kept for one in each.gymnasts)
    return replace(meet, persons=known, taken=taken)


def _alone(those: Sequence[Who], key: Callable[[Who], Hashable | None]) -> dict[Hashable, Who]:
    """Those who share what a rule asks for with nobody, by that."""
    keys = [key(one) for one in those]
    many = Counter(keys)
    pairs = zip(keys, those, strict=True)
    return {each: one for each, one in pairs if each is not None and many[each] == 1}


def _discipline(gymnast: PublishedGymnast) -> str:
    return gymnast.person.partition("/")[0]


def _named(gymnast: PublishedGymnast, *more: str) -> Hashable | None:
    if not gymnast.facts or NAME not in gymnast.facts:
        return None
    return (_discipline(gymnast), as_written(gymnast.facts[NAME]), *more)


Rule = tuple[Callable[[PublishedGymnast], Hashable | None], Callable[[Wearer], Hashable | None]]

SAME_PERSON: tuple[Rule, ...] = (
    (lambda one: _named(one, one.bib), lambda row: (row.discipline, row.name, row.bib)),
    (
        lambda one: _named(one, (one.facts or {}).get("club", "")),
        lambda row: (row.discipline, row.name, row.club),
    ),
    (_named, lambda row: (row.discipline, row.name)),
    (lambda one: one.person, lambda row: f"{row.discipline}/{row.bib}/{row.division}"),
    (lambda one: (_discipline(one), one.bib), lambda row: (row.discipline, row.bib)),
    (lambda one: _discipline(one) if one.facts == {} else None, lambda row: row.discipline),
)
"""What must be the same of both, and of nobody else; None: says nothing of this one.

Each is asked of those whom none before has told: who alone has it on both sides is the same.
"""


# What earlier publications keep of people is gone through at each build.


def without_withheld(kept: Sequence[Publication], results: Results) -> tuple[Publication, ...]:
    """The publications without the names that are not published any more; the same where none is.

    A name stays where its gymnast is on the roster and published today, and no other; other texts
    stay where they name nobody who is withheld today.
    """
    everybody = results.gymnasts.values()
    published = {gymnast.person for gymnast in everybody if gymnast.published}
    published -= {gymnast.person for gymnast in everybody if not gymnast.published}
    tells = naming_withheld(results.meet)

    def without_name(gymnast: PublishedGymnast) -> PublishedGymnast:
        facts = gymnast.facts or {}
        stays = gymnast.person in published and not any(map(tells, facts.values()))
        return gymnast if stays or not facts else gymnast._replace(facts={})

    def without(publication: Publication) -> Publication:
        named, texts = _said(publication)
        if named <= published and not any(map(tells, texts)):
            return publication
        signed = publication.signed
        told = {
            "facts": _facts(publication.facts, tells),
            "signed": tuple(
                by for by in signed if not any(map(tells, (by.name, by.role, by.time)))
            ),
            "gymnasts": tuple(map(without_name, publication.gymnasts)),
            "competitions": tuple(_competition(each, tells) for each in publication.competitions),
        }
        return publication.model_copy(update=told)

    return tuple(map(without, kept))


def _those_named_and_texts(publication: Publication) -> tuple[frozenset[str], frozenset[str]]:
    """The persons of whom a publication keeps facts, and all that might tell a name."""
    named = {one.person: one.facts for one in publication.gymnasts if one.facts}
    facts = (publication.facts or {}, *named.values())
    signed = (text for by in publication.signed for text in (by.name, by.role, by.time))
    texts = {*signed, *(text for each in facts for text in each.values())}
    return frozenset(named), frozenset(texts.union(*map(_texts, publication.competitions)))


_said = Once(_those_named_and_texts, most=2**8)


def _texts(competition: PublishedCompetition) -> Iterator[str]:
    yield from (competition.facts or {}).values()
    yield from (cut.name for held in competition.lists for cut in held.cuts)
    yield from (line.who for held in competition.lists if held.id == "team" for line in held.lines)


def _facts(facts: Mapping[str, str] | None, tells: Tells) -> Mapping[str, str] | None:
    return facts and {name: text for name, text in facts.items() if not tells(text)}


def _competition(competition: PublishedCompetition, tells: Tells) -> PublishedCompetition:
    """The same object where nothing is to be left out, which is quick to compare."""
    if not any(map(tells, _texts(competition))):
        return competition
    lists = tuple(
        held.model_copy(
            update={
                "lines": tuple(line for line in held.lines if not tells(line.who)),
                "ties": tuple(tie for tie in held.ties if not any(map(tells, tie.who))),
                "cuts": tuple(cut for cut in held.cuts if not tells(cut.name)),
            }
        )
        for held in competition.lists
    )
    told = _facts(competition.facts, tells)
    return competition.model_copy(update={"facts": told, "lists": lists})
