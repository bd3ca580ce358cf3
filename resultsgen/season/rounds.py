"""The rounds of a series, found in the meets: whose list counts, and what it gives to whom."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.season.criteria import RoundPart
from resultsgen.season.facts import ALL_AROUND, SeasonMeet, told_lists
from resultsgen.season.matches import match_parts
from resultsgen.season.outlook import with_outlook
from resultsgen.season.qualifying import qualification
from resultsgen.season.records import unknown_events
from resultsgen.season.season import Season
from resultsgen.season.series import Parts, Round, SeriesTable, State, points_by_place, table
from resultsgen.season.series_checks import Wanted, calendar_amiss, one_id, series_amiss
from resultsgen.season.settings import TEAM, OverMeets, QualificationSettings
from resultsgen.season.settling import PEOPLE_FILE
from resultsgen.season.told import ToldCompetition, ToldGymnast, ToldRanking, ToldTeams


class InList(NamedTuple):
    """A line of a list that has a place."""

    who: str
    club: str
    place: int
    total: int
    entry: int | None = None
    """Of a gymnast the row of the roster."""


def with_tables(season: Season) -> tuple[Season, list[Problem]]:
    """The season with its series, and what is wrong with their settings."""
    problems: list[Problem] = []
    wanted = [Wanted(one, "series", at) for at, one in enumerate(season.settings.series)]
    asked = [
        Wanted(one, "qualification", at) for at, one in enumerate(season.settings.qualification)
    ]
    series = [_table(one, season, problems) for one in wanted]
    qualified = []
    for own, one in zip(season.settings.qualification, asked, strict=True):
        ranking = _table(one, season, problems)
        qualified.append(qualification(own, ranking, _bodies(own, ranking, season)))
    problems += one_id(wanted + asked)
    made = replace(season, series=tuple(map(with_outlook, series)), qualifications=tuple(qualified))
    return made, [*problems, *calendar_amiss(season), *unknown_events(season)]


def _table(wanted: Wanted, season: Season, problems: list[Problem]) -> SeriesTable:
    made = table(wanted.settings, rounds(wanted, season, problems))
    problems += series_amiss(wanted, made, season)
    return made


def _bodies(
    settings: QualificationSettings, ranking: SeriesTable, season: Season
) -> dict[str, str]:
    """The club or federation of each gymnast, that of the newest round."""
    meets = {meet.id: meet for meet in season.facts.meets}
    return {
        season.by_row[season.first_rows[one.meet, gymnast.entry]].key: getattr(
            gymnast, settings.body
        )
        for one in ranking.held
        for gymnast in meets[one.meet].head.gymnasts
    }


def rounds(wanted: Wanted, season: Season, problems: list[Problem]) -> tuple[Round, ...]:
    """Every round, in the order of the settings."""
    meets = {meet.id: meet for meet in season.facts.meets}
    to_come = {one.id: one for one in season.settings.calendar if one.id not in meets}
    found = []
    for named in wanted.settings.rounds:
        id, _, competition = named.partition("/")
        if meet := meets.get(id):
            found.append(_round(wanted, named, meet, competition, season, problems))
        elif entry := to_come.get(id):
            found.append(Round(named, id, (), entry.title, "to come", {}))
        else:
            mend = did_you_mean(id, {*meets, *to_come}) or "a meet to come stands in [[calendar]]"
            message = f"there is no meet {id} in the season; {mend}; a cancelled one is taken out"
            problems.append(wanted.amiss("rounds", "unknown-round", message, named))
    return tuple(found)


def _round(
    wanted: Wanted, named: str, meet: SeasonMeet, competition: str, season: Season,
    problems: list[Problem],
) -> Round:  # fmt: skip
    people = {one.entry: one for one in meet.head.gymnasts}
    held = _competitions(wanted, meet, competition, people, problems)
    if wanted.settings.count == "matches":
        parts = match_parts(held, wanted.settings)
        amiss = _matches_amiss(wanted, named, parts)
        told = {one.column for one in problems if one.code == "more-matches"}
        problems += [one for one in amiss if one.column not in told]  # It mends all rounds.
    else:
        lines = [line for one in held for line in _lines(wanted, meet, one, people, season)]
        problems += _twice(wanted, named, lines, season)
        parts = _parts(wanted, lines)
    state: State = "held" if held and all(one.complete for one in held) else "running"
    return Round(named, meet.id, tuple(one.id for one in held), meet.title, state, parts)


def _twice(wanted: Wanted, named: str, lines: list[InList], season: Season) -> Iterator[Problem]:
    """One who stands in a list twice."""
    for who, many in sorted(Counter(line.who for line in lines).items()):
        if many > 1:
            career = season.by_key.get(who)
            name = f"bib {career.bib}" if career and career.withheld else who
            message = (
                f"{name} stands twice in the list of {named}; mend the roster or {PEOPLE_FILE}"
            )
            yield wanted.amiss("rounds", "twice-in-a-round", message, named)


def _matches_amiss(wanted: Wanted, named: str, parts: Parts) -> Iterator[Problem]:
    """A round without a match, and a team with more matches than the settings say."""
    if not parts:
        message = f"{named} has no two teams, and so no match; take it out of the rounds"
        yield wanted.amiss("rounds", "no-match", message, named)
    many = {who: len(parts[who].matches) for who in sorted(parts)}
    who = max(many, key=many.__getitem__, default="")
    if who and (most := many[who]) > wanted.settings.matches:
        message = (
            f"{who} has {most} matches in {named}, and matches = {wanted.settings.matches}; raise "
            "it, since by it is known what can still be won"
        )
        yield wanted.amiss("matches", "more-matches", message, str(most))


def _competitions(
    wanted: Wanted, meet: SeasonMeet, named: str, people: Mapping[int, ToldGymnast],
    problems: list[Problem],
) -> list[ToldCompetition]:  # fmt: skip
    """The competition of a meet whose list counts."""
    id = named or wanted.settings.competition
    key = "competition" if id and not named else "rounds"
    there = {one.id: one for one in meet.results.competitions}
    if id and id not in there:
        mend = did_you_mean(id, there) or f"there are {', '.join(there)}"
        message = f"{meet.id} has no competition {id}; {mend}"
        problems.append(wanted.amiss(key, "unknown-competition", message, id))
        return []
    found = [
        one for one in there.values()
        if id in ("", one.id) and _list_of(wanted.list, one) and _fits(wanted, one, people)
    ]  # fmt: skip
    if not found:
        able = [one for one in there.values() if id in ("", one.id)]
        problems.append(_no_list(wanted, f"{meet.id}/{id}" if id else meet.id, able, people))
    elif len(found) > 1 and wanted.settings.count != "matches":
        named_all = ", ".join(f"{meet.id}/{one.id}" for one in found)
        message = f"{meet.id} has several such lists; name one of them as the round: {named_all}"
        problems.append(wanted.amiss("rounds", "which-list", message, meet.id))
    return found if wanted.settings.count == "matches" else found[:1]


def _no_list(
    wanted: Wanted, named: str, able: list[ToldCompetition], people: Mapping[int, ToldGymnast]
) -> Problem:
    """Which of the settings no competition answers to: the list, its discipline, its division."""
    settings = wanted.settings
    having = [one for one in able if _list_of(wanted.list, one)]
    of_it = [one for one in having if settings.discipline in ("", one.discipline)]
    if not having:
        key, value, what = "list", wanted.list, f"no list {wanted.list}"
        known = dict.fromkeys(name for one in able for name in told_lists(one))
    elif not of_it:
        key, value = "discipline", settings.discipline
        what = f"no list {wanted.list} of the discipline {value}"
        known = dict.fromkeys(one.discipline for one in having)
    else:
        key, value = "division", settings.division
        what = f"nobody of the division {value} in the list {wanted.list}"
        divisions = (people[line.entry].division for one in of_it for line in one.lines)
        known = dict.fromkeys(filter(None, divisions))
    message = (
        f"{named} has {what}; it has {', '.join(known) or 'none'}; mend it, or take the round out"
    )
    return wanted.amiss(key, "unknown-list", message, value)


def _list_of(name: str, held: ToldCompetition) -> ToldRanking | ToldTeams | None:
    if name == TEAM:
        return held.team
    if name == ALL_AROUND:
        return held.all_around
    return next((one for one in held.by_apparatus if one.apparatus == name), None)


def _fits(wanted: Wanted, held: ToldCompetition, people: Mapping[int, ToldGymnast]) -> bool:
    """It is of the discipline, and somebody in it of the division, that the settings name."""
    settings = wanted.settings
    if settings.discipline not in ("", held.discipline):
        return False
    return not settings.division or any(
        people[line.entry].division == settings.division for line in held.lines
    )


def _lines(
    wanted: Wanted, meet: SeasonMeet, held: ToldCompetition, people: Mapping[int, ToldGymnast],
    season: Season,
) -> Iterator[InList]:  # fmt: skip
    """Who has a place; of one division with places among them."""
    ranking = _list_of(wanted.list, held)
    if isinstance(ranking, ToldTeams):
        for team in ranking.lines:
            if team.place is not None and team.total is not None:
                yield InList(team.name, "", team.place, team.total)
        return
    division = wanted.settings.division
    lines = [
        line for line in (ranking.lines if ranking else ())
        if line.place is not None and division in ("", people[line.entry].division)
    ]  # fmt: skip
    places = sorted(line.place or 0 for line in lines)
    for line in lines:
        ahead = bisect_left(places, line.place or 0)
        career = season.by_row[season.first_rows[meet.id, line.entry]]
        place = 1 + ahead if division else line.place or 0
        yield InList(career.key, people[line.entry].club, place, line.total or 0, line.entry)


def _parts(wanted: Wanted, lines: Iterable[InList]) -> Parts:
    """What a list gives to whom."""
    settings, of_line = wanted.settings, {line.who: line for line in lines}
    places = {who: line.place for who, line in of_line.items()}
    if settings.count == "points":
        values = points_by_place(places, settings.points, each=settings.tied == "each")
    else:
        values = {who: Fraction(line.total) for who, line in of_line.items()}
    parts = {
        who: RoundPart(line.place, line.total, values[who], entry=line.entry)
        for who, line in of_line.items()
    }
    if settings.of != "clubs":
        return parts
    of: dict[str, list[RoundPart]] = defaultdict(list)
    for who, line in of_line.items():
        if line.club:
            of[line.club].append(parts[who])
    return _clubs(of, settings)


def _clubs(of: Mapping[str, list[RoundPart]], settings: OverMeets) -> Parts:
    """A club has what its best gymnasts have; places follow from that."""
    sums = {}
    for club, own in of.items():
        best = sorted(own, key=lambda part: (-part.value, part.place or 0))[: settings.of_club]
        total = sum(part.total or 0 for part in best)
        sums[club] = RoundPart(None, total, sum((part.value for part in best), Fraction(0)))
    return {
        club: part._replace(place=1 + sum(other.value > part.value for other in sums.values()))
        for club, part in sums.items()
    }
