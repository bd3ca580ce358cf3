"""What is said to a slip: what is unusual is asked back before it is written; then the answer.

That is one sentence: who, what, and where it puts her. Commands speak English, and so does this.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from resultsgen.checks.marks import TWO, second_vault_alone
from resultsgen.entering.routines import MarkEntry, RoutineMeant, bib_and_name
from resultsgen.entering.slips import Given
from resultsgen.live.arrived import standing_after
from resultsgen.live.competition import LiveCompetition
from resultsgen.live.standings import Standing
from resultsgen.live.upcoming import upcoming
from resultsgen.meet.marks import show_mark
from resultsgen.meet.parts import SECOND_VAULT, apparatus_of
from resultsgen.meet.ruleset import MarkRule
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import Results
from resultsgen.views.words.wording import Wording, place_words, wording

FAR = 1_500
"""So far from what is usual a mark is asked back: a fall costs 1.000, a slip of the pen more."""

ENOUGH = 3
"""So many marks of others make what is usual in a field."""


def asked_back(judged: Results, entry: MarkEntry) -> Iterator[str]:
    """All that is unusual of a mark, and of whose it is."""
    words, routine, before = wording(judged.meet.settings), entry.routine, entry.before
    name = bib_and_name(routine.gymnast, words)
    where, one = _where(routine), routine.judged
    if where and one.competition.fed_by and not one.started:
        yield f"{name} would begin {routine.competition}: is it {where}?"
    if second_vault_alone(judged.meet.settings, routine.competition, routine.vault):
        yield f"one vault counts in {routine.competition}, and {SECOND_VAULT} has no place: {TWO}"
    if before:
        had = show_mark(before.mark) or before.status or "what is no mark"
        twice = routine.part == "VT" and routine.judged.competition.vaults == 2
        second = " The second vault is vt2." if twice else ""
        at = "; ".join(filter(None, (f"{before.file}:{before.line}", where)))
        yield f"{name} has {had} there already ({at}): replace it?{second}"
    elif expected := _expected(routine):
        others = " or ".join(bib_and_name(judged.gymnasts[key], words) for key in expected)
        on = words.apparatus(routine.apparatus) + (f" ({where})" if where else "")
        yield f"{name} is not up on {on}, but {others}"
    own, field, parts = [], [], False
    for one in judged.competitions:
        for gymnast, made in one.own_routines:
            same = one is routine.judged and (gymnast, made.part) == (routine.gymnast, routine.part)
            if made.apparatus != routine.apparatus or made.mark is None or same:
                continue
            own += [made.mark] if gymnast.person == routine.gymnast.person else []
            if one is routine.judged:
                field.append(made.mark)
                parts |= made.d is not None and made.e is not None
    own += [
        best.mark
        for best in judged.meet.bests
        if routine.gymnast.key in best.gymnasts and best.apparatus == routine.apparatus
    ]
    yield from unusual(entry.made, routine.judged.rule_set.marks, own, field, parts)


def _expected(routine: RoutineMeant) -> list[int]:
    """Who is up in the place of somebody; nobody where the meet does not say who goes when.

    A squad that has not begun may begin with anybody of it; a second vault follows the first.
    """
    own, entries = routine.gymnast, routine.running.entries
    there = [one for one in upcoming(routine.running) if one.apparatus == routine.apparatus]
    first_is_in = routine.vault == 2 and (own.key, "VT") in entries.routines
    if first_is_in or any(one.keys[0] == own.key for one in there):
        return []
    for one in there:
        if own.key in one.keys:
            squad = [who.key for who in entries.people.values()
                     if (who.session, who.squad) == (one.session, one.squad)]  # fmt: skip
            begun = any((key, one.apparatus) in entries.routines for key in squad if one.squad)
            return [one.keys[0]] if begun or routine.judged.start_lists else []
    known = there and all(one.rotation is not None for one in there)
    return [one.keys[0] for one in there] if known else []


def usual(marks: Sequence[int]) -> int:
    """The mark in the middle, the lower of two.

    >>> usual([9000, 8500, 9500, 8600])
    8600
    """
    return sorted(marks)[(len(marks) - 1) // 2]


def far_from(mark: int, marks: Sequence[int]) -> bool:
    """Is a mark further from the usual than it may be, and further than any before?

    >>> far_from(7000, [9000, 8500, 8900]), far_from(7000, [9000, 6900, 8900])
    (True, False)
    """
    beyond = not min(marks) <= mark <= max(marks)
    return beyond and abs(mark - usual(marks)) >= FAR


def unusual(
    made: Given, rule: MarkRule, own: Sequence[int], others: Sequence[int], parts_usual: bool
) -> Iterator[str]:
    """What is unusual of a mark: *own* are her marks so far on that apparatus and her bests on it,
    *others* those of the field; *parts_usual*: D and E of others are known."""
    if made.mark is None:
        return
    if made.d is not None and made.e is not None and made.d > made.e:
        yield f"D {show_mark(made.d)} is higher than E {show_mark(made.e)}: exchanged?"
    if rule.composition == "d+e" and parts_usual and (made.d is None or made.e is None):
        yield f"{show_mark(made.mark)} as the whole mark, without D and E?"
    if own:
        if far_from(made.mark, own):
            usually = show_mark(usual(own))
            yield f"{show_mark(made.mark)} is far from {usually}, usual for this gymnast"
    elif len(others) >= ENOUGH and far_from(made.mark, others):
        yield f"{show_mark(made.mark)} is far from {show_mark(usual(others))}, usual here"
    whole = sum(part or 0 for part in (made.d, made.e, made.bonus)) - (made.penalty or 0)
    if made.parts and whole != made.mark and rule.composition == "d+e" and whole >= 0:
        yield f"{made.parts} is {show_mark(whole)}, and not {show_mark(made.mark)}"


def _where(routine: RoutineMeant) -> str:
    """The competition of which a slip is that names none, and how to name another; empty where it
    can be of no other."""
    others = " or ".join(f"@{id}" for id in routine.not_in)
    return f"in {routine.competition}, not {others}" if others else ""


def sentence(running: LiveCompetition, routine: RoutineMeant, made: Given, words: Wording) -> str:
    """103 Ada Vale, Floor Exercise 12.550 (4.900 + 7.750 - 0.100): 3rd place there ..."""
    gymnast, part = routine.gymnast, routine.part
    guest = " (guest)" if gymnast.guest else ""
    head = f"{bib_and_name(gymnast, words)}{guest}, {words.apparatus(part)}"
    if where := _where(routine):
        head += f" ({where})"
    if made.mark is None:
        return f"{head}: {made.status}."
    parts = f" ({made.parts})" if made.parts else ""
    told = "; ".join((*_on_apparatus(running, gymnast, part), *_all_around(running, gymnast, part)))
    return f"{head} {show_mark(made.mark)}{parts}" + (f": {told}." if told else ".")


def _on_apparatus(running: LiveCompetition, gymnast: Gymnast, part: str) -> Iterator[str]:
    """Her place on the apparatus, or that her second vault is to come."""
    listed = running.lists.get(apparatus_of(part))
    standing = listed.now.of(gymnast.key) if listed else None
    if listed and listed.parts == 1 and part == SECOND_VAULT:
        return
    if not listed or not standing:
        made = running.entries.routines.get((gymnast.key, part))
        if made and made.place:
            yield f"{place_words(made.place, False, Wording())} of all marks there so far"
        return
    if standing.done < listed.parts:
        yield "the second vault is to come"
        return
    average = f"vault average {show_mark(standing.total)}, " if listed.parts > 1 else ""
    yield f"{average}{_place(standing, listed.now.leading)} there{_so_far(listed.unfinished)}"


def _all_around(running: LiveCompetition, gymnast: Gymnast, part: str) -> Iterator[str]:
    """Her total, and her place after the rotation of the mark, as those of her session stand."""
    listed = running.lists.get("all-around")
    standing = listed.now.of(gymnast.key) if listed else None
    if not listed or not standing or listed.parts == 1 or standing.done == 1:
        return
    total, done, place = f"all-around {show_mark(standing.total)}", standing.done, ""
    if done == listed.parts:
        yield f"{total}, {_place(standing, listed.now.leading)}{_so_far(listed.unfinished)}"
        return
    contest = next(one for one in running.contests if one.kind == "all-around")
    people, session = running.entries.people, running.session(gymnast)
    lines = contest.progress.lines.items()
    beside = [line for key, line in lines if running.session(people[key]) == session]
    rows = standing_after(contest, beside, gymnast.key, apparatus_of(part))
    then = next((row for row in rows if row.key == gymnast.key), None)
    if then and len(rows) > 1:
        total, done = f"all-around {show_mark(then.total)}", then.done
        place = f", {_place(then, rows)} of {len(rows)} so far"
    yield f"{total} after {done} of {listed.parts}{place}"


def _so_far(to_come: Collection[int]) -> str:
    return " as it stands" if to_come else ""


def _place(standing: Standing, alike: Sequence[Standing]) -> str:
    """A place in words, and whether others who have done as much share it."""
    same = sum(one.place == standing.place for one in alike)
    return place_words(standing.place, same > 1, Wording())
