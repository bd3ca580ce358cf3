"""Start lists: by session, squad and start order; of a final as drawn, by rank, or as named."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from resultsgen.files.toml_keys import key_path
from resultsgen.meet.competition import Competition, bibs_on, every_bib
from resultsgen.meet.parts import SECOND_VAULT
from resultsgen.meet.problems import Problem
from resultsgen.scoring.field import Field
from resultsgen.scoring.finals import WHOLE
from resultsgen.scoring.people import by_bib, natural
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import CompetitionResults, Order, Start, StartList

BY_RANK = ("rank", "reverse rank")


def start_list(these: Field) -> tuple[Start, ...]:
    """Who starts and where: by session, squad, start order, bib; a final as people named it."""
    starts = [
        Start(gymnast, tuple(part for part in these.entered[key] if part != SECOND_VAULT))
        for key, gymnast in these.gymnasts.items()
    ]
    named = every_bib(these.competition.starters)
    if named:
        starts.sort(key=lambda start: _as_named(start.gymnast, named))
    elif these.competition.entered_from:
        starts.sort(key=lambda start: by_bib(start.gymnast))
    else:
        starts.sort(key=lambda start: _start_order(start.gymnast))
    return tuple(starts)


def _as_named(gymnast: Gymnast, bibs: Sequence[str]) -> tuple[object, ...]:
    """As people named them, then those whom a cut let in beside them."""
    bib = gymnast.bib
    return (bibs.index(bib) if bib in bibs else len(bibs), *by_bib(gymnast))


def _start_order(gymnast: Gymnast) -> tuple[object, ...]:
    """Those without a start order of their own stand behind those who have one."""
    given = gymnast.start_order
    session, squad = natural(gymnast.session), natural(gymnast.squad)
    return (session, squad, given is None, given or 0, *by_bib(gymnast))


def start_lists(
    these: Field, starts: Sequence[Start], source: CompetitionResults | None
) -> tuple[StartList, ...]:
    """The start lists of a final: one for each apparatus where only apparatus are ranked.

    Or where it was drawn apparatus by apparatus. A competition that starts as the roster says has
    none of these.
    """
    own = these.competition
    if not (own.entered_from or own.starters or own.draw):
        return ()
    each = set(own.draw) & set(these.apparatus) or set(own.ranks) == {"apparatus"}
    lists = []
    for part in these.apparatus if each else ("",):
        people = [start.gymnast for start in starts if not part or part in start.apparatus]
        by = _put_in_order(people, own, part, source)
        if people:
            keys = tuple(gymnast.key for gymnast in people)
            ranks = _ranks(own.ranks, part, source) if source and by in BY_RANK else {}
            places = {ranks[key] for key in keys if key in ranks}
            equals = len({first for first, _ in places}) < len(places)
            lists.append(StartList(part, keys, by, equals))
    return tuple(lists)


def _put_in_order(
    people: list[Gymnast], own: Competition, part: str, source: CompetitionResults | None
) -> Order:
    """Put these in the order that was drawn for a list, else by rank, else as people named them."""
    if drawn := own.draw.get(part or WHOLE):
        bibs = list(drawn)
        people.sort(key=lambda who: bibs.index(who.bib) if who.bib in bibs else len(bibs))
        return "draw"
    if own.start_order != "as listed" and source and (ranks := _ranks(own.ranks, part, source)):
        sign = 1 if own.start_order == "rank" else -1
        last = len(ranks), 0

        def order(who: Gymnast) -> tuple[object, ...]:
            first, number = ranks.get(who.key, last)
            return (sign * first, number, *by_bib(who))

        people.sort(key=order)
        return "rank" if sign == 1 else "reverse rank"
    named = bibs_on(own.starters, part) or (every_bib(own.starters) if not part else ())
    if named:
        people.sort(key=lambda who: _as_named(who, named))
    return "given" if named else ""


def _ranks(
    ranks: Sequence[str], part: str, source: CompetitionResults
) -> dict[int, tuple[int, int]]:
    """Where each stands in the list of the qualification: where the first of her equals does, and
    she herself; gymnasts of a team stand together."""
    of_teams = not part and "all-around" not in ranks and source.team
    ranking = of_teams or (source.by_apparatus.get(part) if part else source.all_around)
    found: dict[int, tuple[int, int]] = {}
    first: dict[int, int] = {}
    for number, line in enumerate(ranking.lines if ranking else ()):
        above = number if line.place is None else first.setdefault(line.place, number)
        for who in line.of.gymnasts:
            found[who.key] = above, number
    return found


def draws_that_do_not_fit(these: Field, lists: Sequence[StartList], number: int) -> list[Problem]:
    """A problem for each draw that has not just those who start there; *number*: in `meet.toml`."""
    starting = {each.apparatus or WHOLE: each.keys for each in lists}
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
    for wrong, words in ((missing, "starts but is not drawn"), (foreign, "does not start"),
                        (twice, "is drawn twice")):  # fmt: skip
        if wrong:
            yield f"on {part}: bib {', '.join(wrong)} {words}"
