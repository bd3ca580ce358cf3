"""A second judge: places, cuts, needs and what is decided, from `results.json` of a running meet.

It shares no code with the package: plain lists of whole thousandths, written anew from the rules.
What was told beforehand is tried by finishing the meet in many ways.
"""

from __future__ import annotations

import itertools
import random
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

HIGHEST_E = 10_000


def whole(text: str | None) -> int | None:
    """Thousandths of a decimal with three places."""
    return None if text is None else int(text.replace(".", ""))


@dataclass(frozen=True)
class Mark:
    """What somebody did on one part; no mark: a status stands there."""

    mark: int | None
    e: int | None = None
    d: int | None = None


@dataclass(frozen=True)
class Row:
    """One gymnast of a list; a part that is missing is to come."""

    key: int
    parts: dict[str, Mark]
    body: dict[str, str]
    guest: bool = False
    carried: int | None = 0
    out: bool = False
    """Disqualified, or not entered everywhere."""
    year: int | None = None
    around: int | None = -1
    """The all-around total, -1 for none, None while a mark is to come."""

    def put(self, part: str, mark: Mark) -> Row:
        return replace(self, parts={**self.parts, part: mark})


@dataclass(frozen=True)
class List:
    """A list and the rules it is judged by."""

    name: str
    parts: tuple[str, ...]
    steps: tuple[str, ...]
    total_is: str
    rows: dict[int, Row]
    entered: dict[int, tuple[str, ...]]
    is_over: bool = True
    """No all-around total can change."""

    def with_row(self, row: Row) -> List:
        return replace(self, rows={**self.rows, row.key: row})

    def to_come(self, key: int) -> list[str]:
        return [part for part in self.entered[key] if part not in self.rows[key].parts]

    def in_it(self, key: int) -> bool:
        """Can still take a place."""
        row = self.rows[key]
        lacks = any(one.mark is None for one in row.parts.values())
        by_what_there_is = self.total_is == "sum of what there is"
        return not (row.guest or row.out or row.carried is None or (lacks and not by_what_there_is))

    def done(self, key: int) -> int:
        return len(self.parts) - len(self.to_come(key))

    def is_further(self, done: int) -> bool:
        """Somebody who can take a place has done more."""
        return any(self.done(key) > done for key in self.rows if self.in_it(key))

    def sum(self, key: int) -> int | None:
        """What there is so far; None where there is no mark."""
        marks = [one.mark for one in self.rows[key].parts.values() if one.mark is not None]
        return made(sum(marks), self, self.rows[key]) if marks else None

    def total(self, key: int) -> int | None:
        """What the list is placed by, of who has nothing to come."""
        return None if self.to_come(key) or not self.in_it(key) else self.sum(key)

    def places(self, keys: Sequence[int], total: Callable[[int], int | None]) -> dict[int, int]:
        """1, 2, 2, 4 among these by the total given, those without one left out."""
        by_total: dict[int, list[int]] = {}
        for key in keys:
            found = total(key)
            if found is not None:
                by_total.setdefault(found, []).append(key)
        order = [group for one in sorted(by_total)[::-1] for group in self.parted(by_total[one], 0)]
        place, found_places = 1, {}
        for group in order:
            found_places |= dict.fromkeys(group, place)
            place += len(group)
        return found_places

    def parted(self, keys: list[int], step: int) -> list[list[int]]:
        """Equals told apart by the criteria from one on, the best first."""
        values = list(self.criteria())
        if len(keys) < 2 or step == len(values):
            return [keys]
        of = {key: values[step](self.rows[key]) for key in keys}
        if None in of.values():
            return [keys]
        order = sorted({value for value in of.values() if value is not None}, reverse=True)
        alike = ([key for key in keys if of[key] == value] for value in order)
        return [group for each in alike for group in self.parted(each, step + 1)]

    def criteria(self) -> Iterator[Callable[[Row], int | None]]:
        for words in self.steps:
            series = re.fullmatch(r"best (\d+) apparatus", words)
            yield best(int(series[1])) if series else VALUES[words]

    @property
    def by_marks(self) -> bool:
        """Nothing but the marks tells equals apart."""
        return not {"younger gymnast", "all-around total"} & {*self.steps}

    def drawn_around(self, dice: random.Random) -> List:
        """With any all-around totals, where they are looked at and not known yet."""
        if self.is_over or "all-around total" not in self.steps:
            return self
        few = dice.choice(((0, 1), range(len(self.rows))))
        rows = {key: replace(row, around=dice.choice(few)) for key, row in self.rows.items()}
        return replace(self, rows=rows)


def made(marks: int, of: List, row: Row) -> int:
    """The total of a sum of marks, with what is carried."""
    if of.total_is.startswith("average"):
        marks = (marks + (of.total_is == "average, rounded")) // 2
    return marks + (row.carried or 0)


def best(count: int) -> Callable[[Row], int]:
    def value(row: Row) -> int:
        return sum(sorted((one.mark or 0 for one in row.parts.values()), reverse=True)[:count])

    return value


def total_of(score: str) -> Callable[[Row], int | None]:
    def value(row: Row) -> int | None:
        given = [getattr(one, score) for one in row.parts.values() if one.mark is not None]
        return None if None in given else sum(given)

    return value


def highest(score: str) -> Callable[[Row], int | None]:
    def value(row: Row) -> int | None:
        given = [getattr(one, score) for one in row.parts.values()]
        return None if None in given else max(given)

    return value


def both(row: Row) -> int:
    return sum(one.mark or 0 for one in row.parts.values())


VALUES: dict[str, Callable[[Row], int | None]] = {
    "sum of both vaults": both,
    "younger gymnast": lambda row: row.year,
    "all-around total": lambda row: row.around,
    "best apparatus": best(1),
    "better vault": best(1),
    "E score": total_of("e"),
    "D score": total_of("d"),
    "total of the E scores": total_of("e"),
    "total of the D scores": total_of("d"),
    "higher E score of the two vaults": highest("e"),
    "higher D score of the two vaults": highest("d"),
}
"""What a criterion compares, by its words on paper."""


@dataclass(frozen=True)
class Line:
    """A cut as it is told."""

    name: str
    places: int
    each: bool
    cap: int
    with_reserves: bool
    reserves: int
    per: str
    minimum: int | None
    let_in: bool

    def through(self, order: Sequence[tuple[int, int, int]], body: dict[int, str]) -> list[int]:
        """Who qualifies, walking down (key, place, total)."""
        if not self.each:
            return self._walk(order, body, self.cap)
        found = []
        for one in sorted({body[key] for key, _, _ in order} - {""}):
            own = [each for each in order if body[each[0]] == one]
            found += self._walk(own, body, 0)
        return found

    def _walk(
        self, order: Sequence[tuple[int, int, int]], body: dict[int, str], cap: int
    ) -> list[int]:
        found: list[int] = []
        last = 0
        taken: dict[str, int] = {}
        for key, place, total in order:
            if self.minimum is not None and total < self.minimum:
                continue
            room = len(found) < self.places or (self.let_in and place == last)
            full = cap and body[key] and taken.get(body[key], 0) >= cap
            if room and not full:
                found.append(key)
                taken[body[key]] = taken.get(body[key], 0) + 1
                last = place
        return found


def line_of(one: dict[str, Any], competition: dict[str, Any]) -> Line:
    """A cut as the competition tells it."""
    return Line(
        one["name"], one["places"], one["of_each"], one["cap"],
        one["cap_counts"] == "qualifiers and reserves", one["reserves"], one["per"],
        whole(one["minimum"]), competition["rules"]["tie_on_last_place"] == "all qualify",
    )  # fmt: skip


class Judge:
    """One competition of `results.json`, judged again."""

    def __init__(
        self, told: dict[str, Any], competition: dict[str, Any], step: int, *, exact: bool
    ) -> None:
        self.told, self.step, self.exact = competition, step, exact
        self.people = {one["entry"]: one for one in told["gymnasts"]}
        self.final = competition["phase"] == "final"
        self.bound = whole(competition["highest"])
        self.ties = {one["of"]: tuple(one["criteria"]) for one in competition["rules"]["ties"]}
        self.lists: dict[str, List] = {}
        self.cuts: dict[str, list[Line]] = {}
        rankings = [competition["all_around"], *competition["by_apparatus"]]
        self.rankings = {one["apparatus"] or "all-around": one for one in rankings if one}
        starts = {one["entry"]: one["apparatus"] for one in competition["starts"]}
        for name, one in self.rankings.items():
            self.lists[name] = self._list(name, one, starts)
            self.cuts[name] = [line_of(each, competition) for each in one["cuts"]]

    def _list(self, name: str, one: dict[str, Any], starts: dict[int, list[str]]) -> List:
        kind = "vault-average" if len(one["parts"]) == 2 and name == "VT" else "apparatus"
        kind = "all-around" if name == "all-around" else kind
        parts = tuple(one["parts"])
        rows, entered = {}, {}
        for line in one["lines"]:
            key = line["entry"]
            rows[key] = self._row(line, parts, [term["kind"] for term in one["terms"]], kind)
            entered[key] = tuple(
                part for part in parts if kind == "vault-average" or part in starts.get(key, [])
            )
        steps, total_is = self.ties[kind], one["total_is"]
        return List(name, parts, steps, total_is, rows, entered, self.is_over)

    def _row(
        self, line: dict[str, Any], parts: tuple[str, ...], terms: list[str], kind: str
    ) -> Row:
        done = {
            part: Mark(whole(each["mark"]), whole(each["e"]), whole(each["d"]))
            for part, each in zip(parts, line["routines"], strict=bool(line["routines"]))
            if each
        }
        who = self.people[line["entry"]]
        statuses = [each["status"] for each in line["routines"] if each]
        out = "DSQ" in statuses and kind == "all-around"
        carried = whole(line["terms"][0]) if "carried" in terms else 0
        around = self._around(line["entry"])
        return Row(line["entry"], done, who, who["guest"], carried, out, who["birth_year"], around)

    @cached_property
    def is_over(self) -> bool:
        """Everybody has a mark or a status where they are entered; elsewhere nothing comes."""
        return all(
            (one["entry"], part) in self.routines
            for one in self.told["starts"]
            for part in one["apparatus"]
        )

    @cached_property
    def routines(self) -> dict[tuple[int, str], int | None]:
        """Every first routine there is, with its mark."""
        lines = [line for one in self.rankings.values() for line in one["lines"]]
        return {
            (line["entry"], each["apparatus"]): whole(each["mark"])
            for line in [*lines, *self.told["not_ranked"]]
            for each in line["routines"]
            if each and each["vault"] == 1
        }

    def _around(self, key: int) -> int | None:
        """The all-around total of one gymnast, -1 for none; not known while a mark is to come."""
        if not self.is_over:
            return None
        marks = [self.routines.get((key, part)) for part in self.told["apparatus"]]
        given = [mark for mark in marks if mark is not None]
        short = len(given) < len(marks) and self.told["rules"]["incomplete"] == "no place"
        return sum(given) if given and not short else -1

    # What there is.

    def check_places(self) -> int:
        """Every place, total and cut as it stands; how many were compared."""
        compared = 0
        for name, ranking in self.rankings.items():
            if "day" in [term["kind"] for term in ranking["terms"]]:
                continue
            own = self.lists[name]
            places = own.places(list(own.rows), own.total)
            for line in ranking["lines"]:
                key = line["entry"]
                assert line["place"] == places.get(key), (name, line)
                if line["place"] is not None:
                    assert whole(line["total"]) == own.total(key), (name, line)
                compared += 1
            self._check_cuts(name, ranking, own, places)
        return compared

    def _check_cuts(
        self, name: str, ranking: dict[str, Any], own: List, places: dict[int, int]
    ) -> None:
        rows = [(one, places[one], own.total(one) or 0) for one in places]
        listed = [line["entry"] for line in ranking["lines"]]
        order = sorted(rows, key=lambda row: (row[1], listed.index(row[0])))
        for told, cut in zip(ranking["cuts"], self.cuts[name], strict=True):
            if told["percent"] is not None:
                share = len(places) * told["percent"]
                down = "a fraction of a place counting as none" in told["rule"]
                assert told["places"] == (share // 100 if down else -(-share // 100)), told
            through = cut.through(order, self._bodies(cut))
            found = [one["key"] for one in told["lines"] if one["outcome"] == "qualified"]
            assert sorted(found) == sorted(through), (name, told["name"])
            if not told["decided"]:
                self._claims_no_more(name, told)

    def _claims_no_more(self, name: str, told: dict[str, Any]) -> None:
        """Printed as through or as out are those alone of whom that is tried in many ends."""
        lists = [each for each in self.told["open"] if each["list"] == name]
        tried = [one for each in lists for one in each["cuts"] if one["cut"] == told["name"]]
        for told_as, code, chance in (("sure", "Q", "in"), ("out", None, "out")):
            sure = {key for one in tried for key in one[told_as]}
            said = [one for one in told["lines"] if code == one["code"] or one["chance"] == chance]
            assert sure.issuperset(one["key"] for one in said), (name, told["name"], said)
        later = [one["key"] for one in told["lines"] if "no longer" in one["reason"]]
        assert sure.issuperset(later), (name, told["name"], later)

    def _bodies(self, cut: Line) -> dict[int, str]:
        return {key: str(who[cut.per]) for key, who in self.people.items()}

    # What is needed.

    def check_needs(self, dice: random.Random) -> dict[str, int]:
        """Every mark that is told is enough, and one step less is not."""
        tried = [self._tried(need, dice) for need in self.told["needs"]]
        return {"needs": len(tried), "sentences": sum(tried)}

    def _tried(self, need: dict[str, Any], dice: random.Random) -> int:
        """How many sentences of a need hold, in one of the lists that it can be about."""
        wrong = None
        for own in self._about(need):
            try:
                return _Need(self, own, need, dice).check()
            except AssertionError as found:
                wrong = found
        if wrong:
            raise wrong
        return 0

    def _about(self, need: dict[str, Any]) -> list[List]:
        """The list; of a lead after some apparatus, as it stood then if others are further.

        In which rotation that is, is not told: it holds of one after which nobody was further.
        """
        own, key = self.lists[need["list"]], need["entry"]
        last, done = len(need["apparatus"]) == len(own.to_come(key)), own.done(key) + 1
        if last or not own.is_further(done):
            return [own]
        after = After(self)
        if not after.known:
            return []
        lists = map(after.at, sorted({turn for turn in after.turns.values() if turn}))
        found = [one for one in lists if one.done(key) == done - 1 and not one.is_further(done)]
        assert found, need
        return found

    def reached(
        self, own: List, key: int, need: dict[str, Any], totals: Callable[[int], int | None]
    ) -> bool:
        """The aim is reached among those who have done as many, or have as much with less."""
        mine, done = totals(key), own.done(key)
        assert mine is not None
        keys = [one for one in own.rows if own.in_it(one) and totals(one) is not None]
        level = [one for one in keys if own.done(one) == done]
        before = [one for one in keys if own.done(one) < done and (totals(one) or 0) >= mine]
        if need["aim"] == "cut":
            return self._goes_through(own, key, need["cut"], level, before, totals)
        places = own.places(level, totals)
        ahead = len(before) + places[key] - 1
        if need["aim"] == "medal":
            return ahead < 3
        return ahead == 0 and sum(place == 1 for place in places.values()) == 1

    def _goes_through(
        self,
        own: List,
        key: int,
        name: str,
        level: list[int],
        before: list[int],
        totals: Callable[[int], int | None],
    ) -> bool:
        cut = next(one for one in self.cuts[own.name] if one.name == name)
        places = own.places(level, totals)
        mine = totals(key) or 0
        ahead = [(one, number, mine) for number, one in enumerate(before, 1)]
        order = sorted(level, key=lambda one: (places[one], one == key))
        rest = [(one, len(before) + places[one], totals(one) or 0) for one in order]
        return key in cut.through([*ahead, *rest], self._bodies(cut))

    # What is decided.

    def finished(self, own: List, dice: random.Random, keys: Sequence[int], how: str) -> List:
        """The list once these have done all they have to: highest, lowest, or drawn."""
        for key in keys:
            for part in own.to_come(key):
                own = own.with_row(own.rows[key].put(part, self._drawn(dice, how)))
        return own.drawn_around(dice)

    def caught_up(self, own: List, dice: random.Random, key: int, total: int) -> List:
        """The list once this one has a total, as near as marks within the bound can bring it."""
        assert self.bound is not None
        left, row = own.to_come(key), own.rows[key]
        wanted = (total - (row.carried or 0)) * (2 if own.total_is.startswith("average") else 1)
        wanted = max(0, wanted - sum(one.mark or 0 for one in row.parts.values()))
        for number, part in enumerate(left):
            mark = min(self.bound, -(-wanted // (len(left) - number) // self.step) * self.step)
            wanted = max(0, wanted - mark)
            e = min(mark, dice.choice((0, 8_000, HIGHEST_E)))
            row = row.put(part, Mark(mark, e, mark - e))
        return own.with_row(row)

    def _drawn(self, dice: random.Random, how: str) -> Mark:
        assert self.bound is not None
        if how == "highest":
            return Mark(self.bound, min(self.bound, HIGHEST_E), max(0, self.bound - HIGHEST_E))
        if how == "none" or (how == "drawn" and dice.random() < 0.15):
            return Mark(None)
        few = [0, self.bound, self.bound // 2 // self.step * self.step, 13_000, 12_000, 9_000]
        mark = dice.choice([one for one in few if one <= self.bound]) if how == "drawn" else 0
        e = min(mark, dice.choice((8_000, 8_500, 9_000, HIGHEST_E)))
        return Mark(mark, e, mark - e)

    def check_open(self, dice: random.Random) -> int:
        """Nobody ends outside of what was told, in many ends and in the extreme ones."""
        found = 0
        for told in self.told["open"]:
            own = self.lists.get(told["list"])
            if own is None:
                continue
            coming = [key for key in own.rows if own.in_it(key) and own.to_come(key)]
            for how in ("highest", "lowest", "none", *["drawn"] * 5):
                self._holds(told, self.finished(own, dice, coming, how))
            for one in told["prospects"] if self.exact and own.by_marks else ():
                self._is_exact(one, own, coming, dice)
                found += 1
        return found

    def _holds(self, told: dict[str, Any], end: List) -> None:
        places = end.places(list(end.rows), end.total)
        for one in told["prospects"]:
            place = places.get(one["key"])
            assert place is not None or not one["complete"], (told["list"], one)
            assert place is None or one["best"] <= place <= one["worst"], (told["list"], one, place)
        for cut in told["cuts"]:
            line = next(each for each in self.cuts[told["list"]] if each.name == cut["cut"])
            for key in cut["sure"]:
                assert key in self._order(end, places, line, key, last=True), (told["list"], cut)
            for key in cut["out"]:
                order = self._order(end, places, line, key, last=False)
                assert key not in order, (told["list"], cut)

    def _order(
        self, end: List, places: dict[int, int], line: Line, key: int, *, last: bool
    ) -> list[int]:
        """Who qualifies with somebody last, or first, of those who share the place."""
        order = sorted(places, key=lambda one: (places[one], (one == key) == last, one))
        rows = [(one, places[one], end.total(one) or 0) for one in order]
        return line.through(rows, self._bodies(line))

    def _is_exact(
        self, one: dict[str, Any], own: List, coming: list[int], dice: random.Random
    ) -> None:
        """The best place is reached, and the worst of who is complete, where E comes first."""
        key = one["key"]
        others = [each for each in coming if each != key]
        low = "lowest" if own.total_is == "sum of what there is" else "none"
        end = self.finished(self.finished(own, dice, others, low), dice, [key], "highest")
        places = end.places(list(end.rows), end.total)
        assert places[key] == one["best"], (own.name, one, places[key])
        if one["complete"]:
            end = self.finished(own, dice, others, "highest")
            places = end.places(list(end.rows), end.total)
            assert places[key] == one["worst"], (own.name, one, places[key])


TeamMarks = dict[tuple[int, str], list[int]]
"""The marks of each team on each apparatus."""


class Teams:
    """The teams of one competition of `results.json`, judged again."""

    def __init__(self, told: dict[str, Any], people: dict[int, dict[str, Any]], step: int) -> None:
        self.told, self.bound = told, whole(told["highest"])
        self.people, self.step = people, step
        self.lines = told["team"]["lines"]
        self.up, self.count = (int(one) for one in told["team"]["format"].split("-")[1:])
        self.parts = told["apparatus"]
        starts = {one["entry"]: one["apparatus"] for one in told["starts"]}
        (rule,) = (one["criteria"] for one in told["rules"]["ties"] if one["of"] == "team")
        self.steps = len(rule)
        self.marks: TeamMarks = {}
        self.waiting: dict[tuple[int, str], int] = {}
        for line in self.lines:
            for number, part in enumerate(self.parts):
                done = [one["routines"][number] for one in line["members"]]
                given = [whole(one["mark"]) for one in done if one and one["mark"]]
                self.marks[line["key"], part] = [one for one in given if one is not None]
                entered = [part in starts[one["entry"]] for one in line["members"]]
                idle = sum(who and one is None for who, one in zip(entered, done, strict=True))
                left = max(0, self.up - len(given))
                self.waiting[line["key"], part] = min(idle, left)

    def places(self, marks: TeamMarks) -> dict[int, int]:
        """By the total, then by the best apparatus, one fewer each time."""
        waiting = self.unfinished(marks)
        values = {key: one for key, one in self.values(marks).items() if key not in waiting}
        return {
            key: 1 + sum(other > value for other in values.values())
            for key, value in values.items()
        }

    def values(self, marks: TeamMarks) -> dict[int, tuple[int, ...]]:
        """What each has, and what tells equals apart."""
        values = {}
        for line in self.lines:
            own = [marks[line["key"], part] for part in self.parts]
            if any(own):
                sums = sorted((sum(sorted(one)[::-1][: self.count]) for one in own), reverse=True)
                total = sum(sums) - (whole(line["penalty"]) or 0)
                series = [sum(sums[:count]) for count in range(len(sums) - 1, 0, -1)]
                values[line["key"]] = (total, *series[: self.steps])
        return values

    def unfinished(self, marks: TeamMarks) -> set[int]:
        """Who may still send somebody up, with the marks there are; in an end nobody may."""
        return {key for (key, _), left in self.waiting.items() if left and marks is self.marks}

    def check(self, dice: random.Random) -> int:
        """The places as they stand, and those that were told as possible, in many ends."""
        found = self.places(self.marks)
        for line in self.lines:
            assert line["place"] == found.get(line["key"]), line
        for told in self.told["open"]:
            if told["list"] == "team":
                self._check_open(told["prospects"], dice)
        return len(self.lines)

    def _check_open(self, prospects: list[dict[str, Any]], dice: random.Random) -> None:
        ends = [self.finished(dice, dict.fromkeys(self.keys, how)) for how in ("most", "none")]
        for end in (*ends, *(self.finished(dice, {}) for _ in range(5))):
            places = self.places(end)
            for one in prospects:
                assert one["key"] in places or not one["complete"], one
                if one["key"] in places:
                    assert one["best"] <= places[one["key"]] <= one["worst"], (one, places)
        for one in prospects:
            against = dict.fromkeys(self.keys, "none") | {one["key"]: "most"}
            place = self.places(self.finished(dice, against)).get(one["key"], 1)
            assert one["best"] == place or self.steps, (one, place)

    # What a team needs.

    def check_needs(self, dice: random.Random) -> int:
        """Every sum that is told is enough however it falls on the marks that can count."""
        found = 0
        for team in self.told["team_needs"]:
            key, left = team["key"], {part: self.waiting[team["key"], part] for part in self.parts}
            going = {one["apparatus"]: one["marks"] for one in team["to_go"]}
            assert going == {part: many for part, many in left.items() if many}, team
            slots = [part for part, many in left.items() for _ in range(min(many, self.count))]
            for need in team["needs"]:
                assert need["marks"] == len(slots), (team, need)
                self._check_need(key, need, slots, dice)
                found += 1
        return found

    def _check_need(
        self, key: int, need: dict[str, Any], slots: list[str], dice: random.Random
    ) -> None:
        wins, ties, safe = whole(need["wins"]) or 0, whole(need["ties"]), whole(need["safe"])
        over = {each for each in self.keys if not any(self.waiting[each, p] for p in self.parts)}
        for marks in self._splits(self.marks, key, wins, slots, dice):
            assert self._reaches(marks, key, need, over | {key}), need
        below = wins - self.step
        if (
            len(slots) == 1
            and below >= 0
            and (ties is None or below > ties or need["tie"] in ("shared", "missed"))
        ):
            marks = next(self._splits(self.marks, key, below, slots, dice))
            assert not self._reaches(marks, key, need, over | {key}), need
        if safe is None:
            return
        others = [each for each in self.keys if each != key]
        ends = [self.marks]
        if self.bound is not None:
            hows = (dict.fromkeys(others, how) for how in ("most", "none", "drawn", "drawn"))
            ends = [self.finished(dice, how | {key: "none"}) for how in hows]
        for end in ends:
            for marks in self._splits(end, key, safe, slots, dice):
                assert self._reaches(marks, key, need, {*self.keys}), need

    def _splits(
        self, marks: TeamMarks, key: int, whole_sum: int, slots: list[str], dice: random.Random
    ) -> Iterator[TeamMarks]:
        """The sum on one of the marks to come, evenly, and anyhow."""
        step, many = self.step, len(slots)
        even = [whole_sum // many // step * step] * many
        ways = [[0] * at + [whole_sum] + [0] * (many - at - 1) for at in range(many)]
        ways += [[whole_sum - sum(even[1:]), *even[1:]]]
        for _ in range(4):
            cuts = sorted(dice.randint(0, whole_sum // step) * step for _ in slots[1:])
            ends = [0, *cuts, whole_sum]
            ways.append([after - before for before, after in itertools.pairwise(ends)])
        for way in ways:
            put = dict(marks)
            for part, mark in zip(slots, way, strict=True):
                put[key, part] = [*put[key, part], mark]
            yield put

    def _reaches(self, marks: TeamMarks, key: int, need: dict[str, Any], over: set[int]) -> bool:
        """The aim is reached among those who are over, and who has as much without."""
        values = self.values(marks)
        mine = values.get(key, (0,))
        others = {each: value for each, value in values.items() if each != key}
        before = [each for each in others if each not in over and others[each][0] >= mine[0]]
        before += [each for each in others if each in over and others[each] > mine]
        level = [each for each in others if each in over and others[each] == mine]
        if need["aim"] == "lead":
            return not before and not level
        if need["aim"] == "medal":
            return len(before) < 3
        told = next(one for one in self.told["team"]["cuts"] if one["name"] == need["cut"])
        line, place = line_of(told, self.told), len(before) + 1
        first = {line["key"]: line["members"][0]["entry"] for line in self.lines}
        body = {each: str(self.people[first[each]][line.per]) for each in self.keys}
        behind = [each for each in others if each not in before + level]
        order = [(each, at, others[each][0]) for at, each in enumerate(before, 1)]
        order += [(each, place, mine[0]) for each in (*level, key)]
        order += [(each, place + len(level) + at, 0) for at, each in enumerate(behind, 1)]
        return key in line.through(order, body)

    @property
    def keys(self) -> list[int]:
        return [line["key"] for line in self.lines]

    def finished(self, dice: random.Random, hows: dict[int, str]) -> TeamMarks:
        """The marks once all have gone up who can: with the highest mark, none, or drawn."""
        assert self.bound is not None
        few = [one for one in (0, 9_000, 12_000, 13_000, self.bound) if one <= self.bound]
        end = {}
        for (key, part), marks in self.marks.items():
            left, how = self.waiting[key, part], hows.get(key, "drawn")
            more = {"most": [self.bound] * left, "none": []}.get(how)
            if more is None:
                more = [dice.choice(few) for _ in range(dice.randint(0, left))]
            end[key, part] = [*marks, *more]
        return end


class After:
    """The standings of an all-around by rotation, where every mark says its own."""

    def __init__(self, judge: Judge) -> None:
        self.judge, self.own = judge, judge.lists["all-around"]
        self.turns = {
            (line["entry"], part): each["rotation"]
            for line in judge.rankings["all-around"]["lines"]
            for part, each in zip(self.own.parts, line["routines"], strict=True)
            if each and each["mark"] is not None
        }

    @property
    def known(self) -> bool:
        """It is told of every mark when it was made, and no status hides when it was given."""
        done = (one for row in self.own.rows.values() for one in row.parts.values())
        lacking = any(one.mark is None for one in done)
        return None not in self.turns.values() and not lacking

    def check(self, session: dict[str, Any]) -> int:
        """Every place, margin and move after every rotation."""
        sessions = {who["entry"]: who["session"] for who in self.judge.people.values()}
        final = session["session"] not in {sessions[key] for key in self.own.rows}
        before: dict[int, tuple[int, int]] = {}
        for after in session["rotations"]:
            seen = self.at(after["rotation"])
            mine = [
                key for key in seen.rows
                if seen.in_it(key) and seen.sum(key) is not None
                and (final or sessions[key] == session["session"])
            ]  # fmt: skip
            if final:
                mine = [key for key in mine if key in {one["key"] for one in after["lines"]}]
            now: dict[int, tuple[int, int]] = {}
            for done in {seen.done(key) for key in mine}:
                group = [key for key in mine if seen.done(key) == done]
                places = seen.places(group, seen.sum)
                now |= {key: (done, place) for key, place in places.items()}
            told = {one["key"]: one for one in after["lines"]}
            assert {key: (one["done"], one["place"]) for key, one in told.items()} == now
            for key, one in told.items():
                self._check_line(one, seen, now, before, key)
            before = now
        return len(session["rotations"])

    def at(self, rotation: int) -> List:
        """The list once a rotation was over."""
        rows = {
            key: replace(row, parts={
                part: one for part, one in row.parts.items()
                if one.mark is None or self.turns[key, part] <= rotation
            })
            for key, row in self.own.rows.items()
        }  # fmt: skip
        return replace(self.own, rows=rows)

    def _check_line(
        self,
        one: dict[str, Any],
        seen: List,
        now: dict[int, tuple[int, int]],
        before: dict[int, tuple[int, int]],
        key: int,
    ) -> None:
        done, place = now[key]
        group = {other: at[1] for other, at in now.items() if at[0] == done}
        sums = {other: seen.sum(other) or 0 for other in group}
        assert whole(one["total"]) == sums[key], one
        assert whole(one["behind_first"]) == max(sums.values()) - sums[key], one
        ahead = [other for other in group if group[other] < place]
        next_best = max((group[other] for other in ahead), default=None)
        margins = {sums[other] - sums[key] for other in ahead if group[other] == next_best}
        assert {whole(one["behind_next"])} == (margins or {None}), one
        both = [other for other in group if key in before and
                before.get(other, (-1, 0))[0] == before[key][0]]  # fmt: skip
        moved = None
        if len(both) > 1:
            moved = sum(before[other][1] < before[key][1] for other in both)
            moved -= sum(group[other] < place for other in both)
        assert one["moved"] == moved, one


def check(
    told: dict[str, Any], step: int, dice: random.Random, *, exact: bool = True
) -> Counter[str]:
    """Everything of `results.json` that this judge knows to judge; how much it was.

    Where E and D scores may lack, what is told need not be *exact*, but true.
    """
    found = Counter[str]()
    for competition in told["competitions"]:
        if competition["days"]:
            found["days"] += check_days(told, competition, step)
            continue
        judge = Judge(told, competition, step, exact=exact)
        found["places"] += judge.check_places()
        found.update(judge.check_needs(dice))
        found["prospects"] += judge.check_open(dice)
        if competition["team"]:
            teams = Teams(competition, judge.people, step)
            found["teams"] += teams.check(dice)
            found["team needs"] += teams.check_needs(dice)
        for session in competition["standings"]:
            if session["list"] == "all-around" and (after := After(judge)).known:
                found["rotations"] += after.check(session)
    return found


def check_days(told: dict[str, Any], sum_of: dict[str, Any], step: int) -> int:
    """What each day adds, the sum, and the place by it, of everybody in every list."""
    compared = 0
    days = [one for one in told["competitions"] if one["id"] in sum_of["days"]]
    judges = [Judge(told, day, step, exact=True) for day in days]
    for ranking in filter(None, [sum_of["all_around"], *sum_of["by_apparatus"]]):
        name = ranking["apparatus"] or "all-around"
        whole_only = ranking["total_is"] == "sum"
        placed = [line for line in ranking["lines"] if line["place"] is not None]
        for line in ranking["lines"]:
            lists = [judge.lists[name] for judge in judges]
            rows = [(day, day.rows.get(line["entry"])) for day in lists]
            own = [day.sum(row.key) if row and not row.out else None for day, row in rows]
            if not (whole_only or line["below"]):
                assert [whole(term) for term in line["terms"]] == own, (name, line, own)
            compared += 1
            if line["place"] is None:
                continue
            assert whole(line["total"]) == sum(one or 0 for one in map(whole, line["terms"])), line
            totals = [whole(other["total"]) or 0 for other in placed]
            ahead = sum(other > (whole(line["total"]) or 0) for other in totals)
            level = totals.count(whole(line["total"]) or 0)
            assert ahead < line["place"] <= ahead + level, (name, line)
    return compared


OTHER = r"or more, or with (?P<of>[ED]) (?P<even>\S+) and [ED] (?P<other>\d+\.\d{3})"
PLACED = r"^(?P<mark>\d+\.\d{3}) is good for (shared )?(?P<place>\d+)(st|nd|rd|th) place"
AT_WORST = r"(?P<mark>\d+\.\d{3}) is safe, at worst shared"
"""Of the sentences of a need, what no field tells."""


class _Need:
    """One need of `results.json`, tried."""

    def __init__(self, judge: Judge, own: List, need: dict[str, Any], dice: random.Random) -> None:
        self.judge, self.own, self.need, self.dice = judge, own, need, dice
        self.key, self.parts = need["entry"], need["apparatus"]

    def check(self) -> int:
        """The marks that are told; how many sentences say more than they, which are tried too."""
        wins, step = whole(self.need["wins"]) or 0, self.judge.step
        ties = whole(self.need["ties"])
        assert all(self._is(wins, e) for e in self._scores(wins)), self.need
        below = wins - step
        # Two marks that make one average may be told apart by what is compared next.
        open_between = self.own.total_is.startswith("average") and self.own.steps
        if below >= 0 and (
            ties is None
            or (below > ties and not open_between)
            or (below == ties and self.need["tie"] in ("shared", "missed"))
            or ties == wins
        ):
            assert not any(self._is(below, e) for e in self._scores(below)), self.need
        if ties is not None and len(self.parts) == 1:
            self._check_tie(ties)
        sentences = self._check_words()
        if self.need["safe"] is not None:
            self._check_safe(whole(self.need["safe"]) or 0)
        return sentences

    def _scores(self, mark: int) -> list[tuple[int, int]]:
        """E and D that a mark can be made of, those of the others among them."""
        others = {one.e for row in self.own.rows.values() for one in row.parts.values() if one.e}
        near = {e + more for e in others for more in (-self.judge.step, 0, self.judge.step)}
        good = [e for e in sorted({0, HIGHEST_E, *near}) if 0 <= e <= HIGHEST_E]
        return [(e, max(0, mark - e) + more) for e in good for more in (0, 300)]

    def _put(self, own: List, mark: int, scores: tuple[int, int]) -> List:
        """The list with the mark, or the sum split over several."""
        row = own.rows[self.key]
        rest = mark
        for number, part in enumerate(self.parts):
            left = len(self.parts) - number
            one = rest if left == 1 else rest // left // self.judge.step * self.judge.step
            rest -= one
            row = row.put(part, Mark(one, *scores))
        return own.with_row(row)

    def _is(self, mark: int, scores: tuple[int, int], own: List | None = None) -> bool:
        put = self._put(own or self.own, mark, scores).drawn_around(self.dice)
        return self.judge.reached(put, self.key, self.need, put.sum)

    def _check_tie(self, ties: int) -> None:
        """What is told of the mark that ties holds for every E and D it can be made of."""
        score, at_least = self.need["if_score"], whole(self.need["at_least"])
        even, outcome = whole(self.need["even"]), self.need["tie"]
        for e, d in self._scores(ties):
            value = e if score == "E" else d
            reached = self._is(ties, (e, d))
            if outcome in ("shared", "missed"):
                assert not reached, (self.need, e, d)
            if outcome == "reached" or (at_least is not None and value >= at_least):
                assert reached, (self.need, e, d)
            elif score and value != even:
                assert not reached, (self.need, e, d)

    def _check_words(self) -> int:
        """What only the sentence says: the other score, the place, what is at worst shared."""
        each = ((OTHER, self._other_score), (PLACED, self._placed), (AT_WORST, self._at_worst))
        found = [(re.search(words, self.need["words"]), check) for words, check in each]
        for match, check in found:
            if match:
                check(match)
        return sum(match is not None for match, _ in found)

    def _other_score(self, said: re.Match[str]) -> None:
        """With this score the tie goes on, and with that of the other it is enough."""
        even, other = whole(said["even"]) or 0, whole(said["other"]) or 0
        for more in (0, 300):
            scores = (even, other + more) if said["of"] == "E" else (other + more, even)
            assert self._is(whole(self.need["ties"]) or 0, scores), self.need

    def _placed(self, said: re.Match[str]) -> None:
        """It is the place that follows, and with no D and E a worse one."""
        mark = whole(said["mark"]) or 0
        places = {self._place(mark, scores) for scores in self._scores(mark)}
        assert max(places) == int(said["place"]), (self.need, places)

    def _at_worst(self, said: re.Match[str]) -> None:
        """Nobody passes it in any end."""
        mark = whole(said["mark"]) or 0
        rows = [key for key in self.own.rows if key != self.key and self.own.in_it(key)]
        for end in self._ends([key for key in rows if self.own.to_come(key)], mark):
            for scores in self._scores(mark):
                assert self._place(mark, scores, end) == 1, self.need

    def _place(self, mark: int, scores: tuple[int, int], own: List | None = None) -> int:
        """The place with a mark, as it stands or in an end."""
        put = self._put(own or self.own, mark, scores).drawn_around(self.dice)
        mine, done = put.sum(self.key) or 0, put.done(self.key)
        there = [one for one in put.rows if put.in_it(one) and put.sum(one) is not None]
        before = [one for one in there if put.done(one) < done and (put.sum(one) or 0) >= mine]
        level = [one for one in there if put.done(one) == done]
        return len(before) + put.places(level, put.sum)[self.key]

    def _check_safe(self, safe: int) -> None:
        """It is enough in every end, and one step less is not in the worst."""
        rows = [key for key in self.own.rows if key != self.key and self.own.in_it(key)]
        coming = [key for key in rows if self.own.to_come(key)]
        for end in self._ends(coming, safe):
            assert all(self._is(safe, one, end) for one in self._scores(safe)), self.need
        # What the tie rule makes of a sum, as it may be split in any way, is not told.
        told = (
            self.judge.exact and self.own.by_marks and (len(self.parts) == 1 or not self.own.steps)
        )
        if coming and safe >= self.judge.step and told:
            end = self.judge.finished(self.own, self.dice, coming, "highest")
            less = safe - self.judge.step
            assert not all(self._is(less, one, end) for one in self._scores(less)), self.need

    def _ends(self, coming: list[int], safe: int) -> Iterator[List]:
        """The best that the others can do, nothing, anything, and just what brings them level."""
        own, dice, judge = self.own, self.dice, self.judge
        for how in ("highest", "none", *["drawn"] * 3):
            yield judge.finished(own, dice, coming, how)
        if not coming:
            return
        mine = self._put(own, safe, (0, 0)).sum(self.key) or 0
        for some in (coming, [dice.choice(coming)]):
            end = own
            for key in some:
                end = judge.caught_up(end, dice, key, mine)
            yield judge.finished(end, dice, coming, dice.choice(("highest", "none", "drawn")))
