"""What earlier publications keep of people is gone through at each build.

A name stays where its gymnast is on the roster and published today, and no other; other texts stay
where they name nobody who is withheld today.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from resultsgen.history.publication import (
    Publication,
    PublishedCompetition,
    PublishedGymnast,
    PublishedList,
)
from resultsgen.privacy.withheld import naming_withheld
from resultsgen.scoring.results import Results

Tells = Callable[[str], bool]


def without_withheld(kept: Sequence[Publication], results: Results) -> tuple[Publication, ...]:
    """The publications without the names that are not published any more."""
    published = {one.person for one in results.gymnasts.values() if one.published}
    published -= {one.person for one in results.gymnasts.values() if not one.published}
    tells = naming_withheld(results.meet)
    return tuple(_publication(one, published, tells) for one in kept)


def _publication(one: Publication, published: set[str], tells: Tells) -> Publication:
    return one.model_copy(
        update={
            "facts": _facts(one.facts, tells),
            "signed": tuple(
                by for by in one.signed if not any(map(tells, (by.name, by.role, by.time)))
            ),
            "gymnasts": tuple(_gymnast(each, published, tells) for each in one.gymnasts),
            "competitions": tuple(_competition(each, tells) for each in one.competitions),
        }
    )


def _gymnast(one: PublishedGymnast, published: set[str], tells: Tells) -> PublishedGymnast:
    if not one.facts or (one.person in published and not any(map(tells, one.facts.values()))):
        return one
    return one._replace(facts={})


def _facts(facts: Mapping[str, str] | None, tells: Tells) -> Mapping[str, str] | None:
    return facts and {name: text for name, text in facts.items() if not tells(text)}


def _competition(one: PublishedCompetition, tells: Tells) -> PublishedCompetition:
    """The same object where nothing is to be left out, which is quick to compare."""
    texts = [*(one.facts or {}).values(), *(cut.name for held in one.lists for cut in held.cuts)]
    teams = [line.who for held in one.lists for line in held.lines if held.id == "team"]
    if not any(map(tells, (*texts, *teams))):
        return one
    lists = tuple(_list(held, tells) for held in one.lists)
    return one.model_copy(update={"facts": _facts(one.facts, tells), "lists": lists})


def _list(held: PublishedList, tells: Tells) -> PublishedList:
    return held.model_copy(
        update={
            "lines": tuple(line for line in held.lines if not tells(line.who)),
            "ties": tuple(tie for tie in held.ties if not any(map(tells, tie.who))),
            "cuts": tuple(cut for cut in held.cuts if not tells(cut.name)),
        }
    )
