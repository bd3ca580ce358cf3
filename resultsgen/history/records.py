"""How publications are kept: the first whole, every other as what it changed of the one before.

What changed is a JSON Merge Patch (RFC 7396): what is named is put in, and null takes away. So
that a changed place is one line and no list, each thing stands under a name of its own; what the
order of things is, is kept beside them where it does not follow from what they are.
"""

from __future__ import annotations

import json
from typing import Any

from resultsgen.files.once import Made, Once
from resultsgen.history.publication import (
    FORMAT_VERSION,
    Publication,
    PublishedCompetition,
    PublishedCut,
    PublishedLine,
    PublishedList,
    PublishedMark,
    PublishedVerdict,
)

Tree = dict[str, Any]

FORMAT = {"format": "resultsgen publication", "version": FORMAT_VERSION}

OUTCOMES = ("qualified", "reserve", "capped", "withdrew")
"""What a cut can mean for somebody, in the order in which a record tells it."""


def record_text(held: Tree, before: Tree | None) -> str:
    """The record of a publication, after the one before."""
    if before is not None:
        held = FORMAT | {"number": held["number"], "patch": patch(before, held)}
    return json.dumps(held, ensure_ascii=False, separators=(",", ":")) + "\n"


def patch(old: Tree, new: Tree) -> Tree:
    """What makes the new of the old.

    >>> patch({"a": 1, "b": {"c": 2, "d": 3}}, {"b": {"c": 2, "d": 4}, "e": 5})
    {'a': None, 'b': {'d': 4}, 'e': 5}
    """
    made: Tree = {}
    for name in dict.fromkeys((*old, *new)):
        was, now = old.get(name), new.get(name)
        if was is now or was == now:
            continue
        made[name] = patch(was, now) if isinstance(was, dict) and isinstance(now, dict) else now
    return made


def patched(old: Tree, changes: Tree) -> Tree:
    """The new, made of the old; what did not change is the very same.

    >>> patched({"a": 1, "b": {"c": 2, "d": 3}}, {"a": None, "b": {"d": 4}, "e": 5})
    {'b': {'c': 2, 'd': 4}, 'e': 5}
    """
    new = dict(old)
    for name, value in changes.items():
        if value is None:
            new.pop(name, None)
        elif isinstance(value, dict):
            here = new.get(name)
            new[name] = patched(here if isinstance(here, dict) else {}, value)
        else:
            new[name] = value
    return new


def tree(publication: Publication) -> Tree:
    """A publication with each thing under its name."""
    held = publication.model_dump(mode="json", exclude_none=True, exclude={"competitions"})
    held["gymnasts"] = {person: rest for person, *rest in held["gymnasts"]}
    held["order"] = [each.id for each in publication.competitions]
    held["competitions"] = {each.id: competition_tree(each) for each in publication.competitions}
    return held


@Once
def competition_tree(competition: PublishedCompetition) -> Tree:
    """A competition with each mark, list, line and cut under its name."""
    held = competition.model_dump(mode="json", exclude_none=True)
    marks = held["marks"]
    for each in held["lists"]:
        each["lines"] = {who: rest for who, *rest in each["lines"]}
        each["order"] = [cut["name"] for cut in each["cuts"]]
        each["cuts"] = {
            cut["name"]: {who: rest for who, *rest in cut["lines"]} for cut in each["cuts"]
        }
    return held | {
        "apparatus": list(dict.fromkeys(code for _, code, *_ in marks)),
        "marks": {f"{bib} {code} {vault}": rest for bib, code, vault, *rest in marks},
        "order": [each["id"] for each in held["lists"]],
        "lists": {each["id"]: each for each in held["lists"]},
    }


class Reader:
    """Makes publications of trees; what is the same in the next tree is made once."""

    def __init__(self) -> None:
        self._competition = Once(self._read_competition)
        self._list = Once(_list)

    def publication(self, held: Tree) -> Publication:
        named = held["competitions"]
        made = Publication.model_validate(
            {name: value for name, value in held.items() if name != "order"}
            | {
                "published": held.get("published"),
                "gymnasts": [(person, *rest) for person, rest in held["gymnasts"].items()],
                "competitions": [self._competition(named[id]) for id in held["order"]],
            }
        )
        return _as_last((), made)

    def _read_competition(self, held: Tree) -> PublishedCompetition:
        rest = {name: held[name] for name in held.keys() - {"order", "apparatus"}}
        lists = (self._list(held["lists"][name]) for name in held["order"])
        rest["lists"] = [_as_last((held["id"], each.id), each) for each in lists]
        rest["marks"] = _marks(held)
        return _as_last((held["id"],), PublishedCompetition.model_validate(rest))


_last: dict[tuple[str, ...], Any] = {}


def _as_last(names: tuple[str, ...], made: Made) -> Made:
    """The last that was made under these names, where this is equal.

    So a publication that is read back is the very one that was published, and what the next one
    has in common with it is quick to compare.
    """
    last = _last.get(names)
    if last != made or _orders(last) != _orders(made):
        last = _last[names] = made
    return last


def _orders(held: object) -> list[list[str]]:
    """In which order facts stand: others that are equal would be told in another."""
    each = (held, *getattr(held, "gymnasts", ()), *getattr(held, "competitions", ()))
    return [[*(getattr(one, "facts", None) or ())] for one in each]


def _marks(held: Tree) -> list[PublishedMark]:
    """The marks of a competition, by apparatus and bib."""
    codes = {code: number for number, code in enumerate(held["apparatus"])}
    marks = []
    for key, rest in held["marks"].items():
        bib, code, vault = key.rsplit(" ", 2)
        marks.append(PublishedMark(bib, code, int(vault), *rest))
    return sorted(marks, key=lambda mark: (codes[mark.apparatus], *_by_bib(mark.bib), mark.vault))


def _by_bib(bib: str) -> tuple[int, str]:
    return len(bib), bib


def _list(held: Tree) -> PublishedList:
    """A list from the top, those without a place by bib; its cuts by what they meant."""
    lines = [PublishedLine(who, *rest) for who, rest in held["lines"].items()]
    lines.sort(key=lambda line: (line.place is None, line.place or 0, *_by_bib(line.who)))
    cuts = []
    for name in held["order"]:
        verdicts = [PublishedVerdict(who, *rest) for who, rest in held["cuts"][name].items()]
        verdicts.sort(key=lambda v: (OUTCOMES.index(v.outcome), v.number, *_by_bib(v.who)))
        cuts.append(PublishedCut(name=name, lines=tuple(verdicts)))
    return PublishedList.model_validate(
        {"id": held["id"], "lines": lines, "ties": held["ties"], "cuts": cuts}
    )


_reader = Reader()


def in_order(publication: Publication) -> Publication:
    """The publication as it is when it is read back: everything in the order that is kept."""
    return _reader.publication(tree(publication))
