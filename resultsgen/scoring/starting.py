"""Start lists: by session, squad and start order; of a final as drawn, by rank, or as named."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from resultsgen.checks.keys import key_path
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import bibs_on, every_bib
from resultsgen.scoring.field import Field
from resultsgen.scoring.finals import WHOLE
from resultsgen.scoring.people import by_bib
from resultsgen.scoring.results import (
    SECOND_VAULT,
    CompetitionResults,
    Gymnast,
    Start,
    StartList,
    natural,
)


def start_list(these: Field) -> tuple[Start, ...]:
    """Who starts and where: by session, squad, start order, bib; a final as people named it."""
    starts = [
        Start(gymnast, tuple(part for part in these.entered[key] if part != SECOND_VAULT))
        for key, gymnast in these.gymnasts.items()
    ]
    named = every_bib(these.competition.starters)
    if named:
        return tuple(sorted(starts, key=lambda start: _as_named(start.gymnast, named)))
    if these.competition.entered_from:
        return tuple(sorted(starts, key=lambda start: by_bib(start.gymnast)))
    return tuple(sorted(starts, key=_start_order))


def _as_named(one: Gymnast, bibs: Sequence[str]) -> tuple[object, ...]:
    """As people named them, then those whom a cut let in beside them."""
    return (bibs.index(one.bib) if one.bib in bibs else len(bibs), *by_bib(one))


def _start_order(start: Start) -> tuple[object, ...]:
    """Those without a start order of their own stand behind those who have one."""
    one = start.gymnast
    given = one.start_order
    return (natural(one.session), natural(one.squad), given is None, given or 0, *by_bib(one))


def start_lists(
    these: Field, starts: Sequence[Start], source: CompetitionResults | None
) -> tuple[StartList, ...]:
    """The start lists of a final: one for each apparatus where only apparatus are ranked.

    A competition that starts as the roster says has none of these.
    """
    own = these.competition
    if not (own.entered_from or own.starters or own.draw):
        return ()
    found = (
        _list(these, part, [one for one in starts if not part or part in one.apparatus], source)
        for part in _parts(these)
    )
    return tuple(one for one in found if one.keys)


def _parts(these: Field) -> tuple[str, ...]:
    """The apparatus that have a list each; else the one list of all."""
    drawn = set(these.competition.draw) & set(these.apparatus)
    return these.apparatus if drawn or set(these.competition.ranks) == {"apparatus"} else ("",)


def _list(
    these: Field, part: str, starts: list[Start], source: CompetitionResults | None
) -> StartList:
    """One list in the order that was drawn for it, else by rank, else as it is."""
    own = these.competition
    people = [one.gymnast for one in starts]
    if drawn := own.draw.get(part or WHOLE):
        bibs = list(drawn)
        people.sort(key=lambda one: bibs.index(one.bib) if one.bib in bibs else len(bibs))
        return StartList(part, _keys(people), "draw")
    ranks = _ranks(own.ranks, part, source) if own.start_order != "as listed" and source else {}
    if ranks:
        sign = 1 if own.start_order == "rank" else -1
        people.sort(key=lambda one: (sign * ranks.get(one.key, len(ranks)), *by_bib(one)))
        return StartList(part, _keys(people), "rank" if sign == 1 else "reverse rank")
    named = bibs_on(own.starters, part) or (every_bib(own.starters) if not part else ())
    if named:
        people.sort(key=lambda one: _as_named(one, named))
    return StartList(part, _keys(people), "given" if named else "")


def _keys(people: list[Gymnast]) -> tuple[int, ...]:
    return tuple(one.key for one in people)


def _ranks(ranks: Sequence[str], part: str, source: CompetitionResults) -> dict[int, int]:
    """Where each stands in the list of the qualification; gymnasts of a team stand together."""
    if not part and "all-around" not in ranks and source.team:
        lines = enumerate(source.team.lines)
        return {one.key: number for number, line in lines for one in line.of.gymnasts}
    ranking = source.by_apparatus.get(part) if part else source.all_around
    return {line.gymnast.key: n for n, line in enumerate(ranking.lines)} if ranking else {}


def draws_that_do_not_fit(these: Field, lists: Sequence[StartList], number: int) -> list[Problem]:
    """A problem for each draw that has not just those who start there; *number*: in `meet.toml`."""
    starting = {one.apparatus or WHOLE: one.keys for one in lists}
    return [
        Problem(
            "meet.toml",
            0,
            key_path("competition", number, "draw", part),
            "draw-does-not-fit",
            f"{words}; draw again, or correct it",
            part,
        )
        for part, drawn in these.competition.draw.items()
        for words in _misfits(these, part, drawn, starting)
    ]


def _misfits(
    these: Field, part: str, drawn: Sequence[str], starting: dict[str, tuple[int, ...]]
) -> Iterator[str]:
    """What is wrong with one draw, in words."""
    if part not in starting:
        yield f"there is no start list {part}; there are {', '.join(starting)}"
        return
    bibs = [these.gymnasts[key].bib for key in starting[part]]
    missing = [bib for bib in bibs if bib not in drawn]
    foreign = [bib for bib in dict.fromkeys(drawn) if bib not in bibs]
    twice = [bib for bib in dict.fromkeys(drawn) if drawn.count(bib) > 1]
    for told, words in ((missing, "starts but is not drawn"), (foreign, "does not start"),
                        (twice, "is drawn twice")):  # fmt: skip
        if told:
            yield f"on {part}: bib {', '.join(told)} {words}"
