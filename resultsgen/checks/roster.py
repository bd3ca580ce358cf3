"""Who belongs to a competition, and what must be true of the roster."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache

from resultsgen.checks.keys import in_cell, in_settings, line_beside
from resultsgen.files.once import Once
from resultsgen.meet.competition import Competition, TeamFormat
from resultsgen.meet.folder import Entry, Meet
from resultsgen.meet.parts import parts_of
from resultsgen.meet.problems import Note, Problem, first_of
from resultsgen.privacy.forms import as_written

MANY = 20
"""So many are named in a note; the others are then soon seen on the roster."""


def belongs(competition: Competition, entry: Entry) -> bool:
    """Whether a competition takes a row of the roster, and its own entries do not take it out."""
    its_kind = competition.takes(entry.discipline, entry.division)
    return its_kind and competition.entered.get(entry.bib) != ()


def _belonging(competition: Competition, entries: tuple[Entry, ...]) -> tuple[Entry, ...]:
    return tuple(entry for entry in entries if belongs(competition, entry))


_once = Once(_belonging, most=2**5)
"""One check after the other asks for them; of a meet that was, no more than rosters is held."""


def gymnasts_of(competition: Competition, meet: Meet) -> tuple[Entry, ...]:
    """The rows of the roster that belong to a competition."""
    return _once(competition, meet.entries)


def bibs_of(competition: Competition, meet: Meet) -> set[str]:
    return {entry.bib for entry in gymnasts_of(competition, meet)}


def bibs_are_unique(meet: Meet) -> Iterator[Problem]:
    """A bib stands once in a discipline and division, and once in a competition."""
    told: set[int] = set()
    groups = [gymnasts_of(competition, meet) for competition in meet.settings.competitions]
    for number, group in enumerate([list(meet.entries), *groups]):
        last: dict[tuple[str, ...], Entry] = {}
        for gymnast in group:
            bib = (gymnast.bib,) if number else (gymnast.bib, gymnast.discipline, gymnast.division)
            before = last.get(bib)
            if gymnast.bib and before and gymnast.key not in told:
                told.add(gymnast.key)
                name = f"{before.family_name} {before.given_name}".strip()
                message = (
                    f"bib {before.bib} is also on {line_beside(before, gymnast)} ({name}); "
                    "give one of them another bib"
                )
                yield in_cell(meet, gymnast, "bib", "bib-twice", message)
            last[bib] = gymnast


def nobody_has_two_rows_of_a_competition(meet: Meet) -> Iterator[Problem]:
    """One name of one club stands once in a competition.

    Two may be called so, which another year of birth or `person` says: it is told, and wrong only
    where even the year and the marks, at least two, are the same.
    """
    marks: dict[int, set[tuple[object, ...]]] = {}
    for row in meet.mark_rows:
        if row.gymnast is not None and row.mark is not None:
            mark = (row.competition, row.apparatus, row.vault, row.mark)
            marks.setdefault(row.gymnast, set()).add(mark)
    told: set[int] = set()
    for competition in meet.settings.competitions:
        rows: dict[tuple[str, str], list[Entry]] = {}
        for gymnast in gymnasts_of(competition, meet):
            name = as_written(gymnast.family_name, gymnast.given_name)
            those = rows.setdefault((name, gymnast.club), [])
            before = next((one for one in those if not _are_two(one, gymnast)), gymnast)
            those.append(gymnast)
            # Of a bib that stands twice it is told already.
            if before.bib == gymnast.bib or gymnast.key in told or not name:
                continue
            told.add(gymnast.key)
            years = {before.birth_year, gymnast.birth_year}
            own = marks.get(gymnast.key, set())
            same = len(own) > 1 and own == marks.get(before.key) and years == years - {None}
            where = f"stands on {line_beside(before, gymnast)} too, in the same club"
            message = (
                f"{where}, with the same year of birth and marks; delete one of the two rows"
                if same
                else f"{where}; delete one of the two rows, or, if they are two, say so: by "
                "birth_year or person"
            )
            who = f"{gymnast.family_name} {gymnast.given_name}".strip()
            message = f"{who if gymnast.publish and before.publish else 'this name'} {message}"
            column = "name" if gymnast.name else "family_name"
            problem = in_cell(meet, gymnast, column, "one-name-twice", message)
            yield problem if same else Note(**vars(problem))


def _are_two(one: Entry, other: Entry) -> bool:
    years, persons = {one.birth_year, other.birth_year}, {one.person, other.person}
    return len(years - {None}) > 1 or len(persons - {""}) > 1


def a_body_is_written_in_one_way(meet: Meet) -> Iterator[Problem]:
    """No club, federation or team is written with other capitals, blanks or hyphens than before.

    Otherwise it would be two of them: two teams, and a cap for each.
    """
    for body in ("club", "federation", "team"):
        first: dict[str, str] = {}
        for gymnast in meet.entries:
            written: str = getattr(gymnast, body)
            usual = first.setdefault(_plain(written), written)
            if written != usual:
                message = f"{written} is written {usual} above; write it in one way"
                yield in_cell(meet, gymnast, body, "written-two-ways", message)


@lru_cache(maxsize=2**10)
def _plain(written: str) -> str:
    """A name as it is compared.

    >>> _plain("TV  Ulm-Quell") == _plain("TV Ulm Quell")
    True
    """
    return re.sub(r"[\s\-\u2010-\u2013]+", " ", written).strip().casefold()


def everybody_is_in_a_competition(meet: Meet) -> Iterator[Problem]:
    """Discipline and division of each gymnast are those of some competition with marks.

    A competition that takes the marks of others has none but of those who are in the others, be
    it by another row of the roster.
    """
    settings = meet.settings
    somewhere: set[int] = set()
    sharing: set[int] = set()
    bibs = [(competition.id, bibs_of(competition, meet)) for competition in settings.competitions]
    for competition in settings.competitions:
        own = gymnasts_of(competition, meet)
        if not competition.has_own_marks:
            sharing.update(gymnast.key for gymnast in own)
            ids = settings.entered_under(competition)
            there = {bib for id, others in bibs if id in ids for bib in others}
            own = tuple(gymnast for gymnast in own if gymnast.bib in there)
        somewhere.update(gymnast.key for gymnast in own)
    for gymnast in meet.entries:
        # Without a discipline or a bib it is told already.
        if gymnast.discipline and gymnast.bib and gymnast.key not in somewhere:
            group = f"{gymnast.discipline} {gymnast.division or 'without a division'}"
            message = (
                f"bib {gymnast.bib}: only competitions that take the marks of others take "
                f"{group}, and this bib is in none of the others; enter it there, in a row of "
                "its own"
                if gymnast.key in sharing
                else f"bib {gymnast.bib}: no competition takes {group}; correct it here, or the "
                "divisions of a competition in meet.toml"
            )
            name = "division" if gymnast.division else "discipline"
            yield in_cell(meet, gymnast, name, "in-no-competition", message)


def no_team_is_too_large(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked, a team has no more gymnasts than its format says.

    Guests and those who are out of the whole meet are in no team. Where people named the
    starters, or a cut did, the roster does not say who is in it.
    """
    told: set[int] = set()
    for competition in meet.settings.competitions:
        format = competition.team
        if format is None or "team" not in competition.ranks:
            continue
        if competition.starters or competition.entered_from:
            continue
        own = [
            gymnast
            for gymnast in gymnasts_of(competition, meet)
            if getattr(gymnast, format.by) and not gymnast.guest and not gymnast.status
        ]
        sizes = Counter(getattr(gymnast, format.by) for gymnast in own)
        so_far: Counter[str] = Counter()
        for gymnast in own:
            team = getattr(gymnast, format.by)
            so_far[team] += 1
            if so_far[team] == format.size + 1 and gymnast.key not in told:
                told.add(gymnast.key)
                yield _too_large(meet, gymnast, format, competition.id, sizes[team])


def _too_large(
    meet: Meet, gymnast: Entry, format: TeamFormat, competition: str, number: int
) -> Problem:
    mend = (
        "take those who are not in it out of this column"
        if format.by == "team"
        else "name the teams in a column 'team' of the roster and set by = \"team\""
    )
    message = (
        f"{getattr(gymnast, format.by)} has {number} gymnasts in {competition}, but a team of "
        f"{format.format} has at most {format.size}; {mend}, or correct the format"
    )
    return in_cell(meet, gymnast, format.by, "team-too-large", message)


def everybody_is_in_a_team(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked, somebody is in one; who is in none, and what is none, is told."""
    in_none: dict[str, dict[int, Entry]] = {}
    too_small: dict[tuple[Entry, str, int, str], list[str]] = {}
    for number, competition in enumerate(meet.settings.competitions):
        if competition.team is None or "team" not in competition.ranks:
            continue
        by = competition.team.by
        own = [gymnast for gymnast in gymnasts_of(competition, meet) if not gymnast.guest]
        lacking = {gymnast.key: gymnast for gymnast in own if not getattr(gymnast, by)}
        in_none[by] = in_none.get(by, {}) | lacking
        if own and len(own) == len(lacking):
            message = (
                f"nobody in {competition.id} has a {by} on the roster, so that its team list "
                "would be empty; fill in the column "
                f"{meet.settings.columns.roster.get(by, by)}, set by in "
                '[competition.team], or take "team" out of ranks'
            )
            yield in_settings(("competition", number, "ranks"), "nobody-in-a-team", message)
        least = meet.settings.least_of_a_team(competition)
        sizes = Counter(getattr(gymnast, by) for gymnast in own if getattr(gymnast, by))
        small = [f"{name} ({size})" for name, size in sorted(sizes.items()) if size < least]
        if small and not competition.entered_from:
            row = next(one for one in own if 0 < sizes[getattr(one, by)] < least)
            too_small.setdefault((row, by, least, first_of(small, MANY)), []).append(competition.id)
    for (row, body, least, names), ids in too_small.items():
        message = (
            f"no team in {' and '.join(ids)}, where {least} marks count, having fewer gymnasts: "
            f"{names}"
        )
        yield Note(**vars(in_cell(meet, row, body, "in-no-team", message)))
    for body, those in in_none.items():
        if those:
            rows = [those[key] for key in sorted(those)]
            each = (f"{row.bib} {row.family_name}" if row.publish else row.bib for row in rows)
            names = first_of([*each], MANY)
            message = f"in no team, since {body} is empty: {names}"
            yield Note(**vars(in_cell(meet, rows[0], body, "in-no-team", message)))


def entered_where_the_competition_is(meet: Meet) -> Iterator[Problem]:
    """Everybody is entered on apparatus of a competition that they are in."""
    if not any(gymnast.entered for gymnast in meet.entries):
        return
    held: dict[int, set[str]] = {}
    for competition in meet.settings.competitions:
        codes = meet.settings.apparatus_of(competition)
        for gymnast in gymnasts_of(competition, meet):
            held.setdefault(gymnast.key, set()).update(parts_of(codes))
    for gymnast in meet.entries:
        there = held.get(gymnast.key)
        for code in gymnast.entered.split() if there else ():
            if code not in (there or ()):
                message = f"bib {gymnast.bib} is in no competition with {code}"
                yield in_cell(meet, gymnast, "entered", "apparatus-not-in-competition", message)
