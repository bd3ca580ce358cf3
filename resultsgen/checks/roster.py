"""What must be true of the roster."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from resultsgen.checks.entries import belonging_mask
from resultsgen.checks.keys import key_path
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Note, Problem
from resultsgen.meet.settings import Competition, TeamFormat

if TYPE_CHECKING:
    pass


MANY = 20
"""So many are named in a note; the others are then soon seen on the roster."""


def _problem(meet: Meet, row: Any, name: str, code: str, message: str) -> Problem:
    """A problem in one cell of the roster."""
    settings = meet.settings
    here: Any = meet.roster.loc[row]
    heading = settings.columns.roster.get(name, name)
    line, value = int(here["line"]), str(here[name])
    return Problem(settings.files.roster, line, heading, code, message, value)


def bibs_are_unique(meet: Meet) -> Iterator[Problem]:
    """A bib stands once in a discipline and division, and once in a competition."""
    told: set[int] = set()
    groups: list[Any] = [meet.roster["bib"] != ""]
    groups += [belonging_mask(one, meet.roster) for one in meet.settings.competitions]
    for number, group in enumerate(groups):
        within = ["bib"] if number else ["bib", "discipline", "division"]
        own = meet.roster[group & (meet.roster["bib"] != "")]
        seen: set[tuple[Any, ...]] = set()
        last: dict[str, int] = {}
        for row, *key in zip(own.index, *(own[name] for name in within), strict=True):
            if tuple(key) in seen and row not in told:
                told.add(row)
                yield _bib_twice(meet, last[key[0]], row)
            seen.add(tuple(key))
            last[key[0]] = row


def _bib_twice(meet: Meet, before: int, row: int) -> Problem:
    first: Any = meet.roster.loc[before]
    bib = first["bib"]
    name = f"{first['family_name']} {first['given_name']}".strip()
    message = f"bib {bib} is also on line {first['line']} ({name}); give one of them another bib"
    return _problem(meet, row, "bib", "bib-twice", message)


def a_body_is_written_in_one_way(meet: Meet) -> Iterator[Problem]:
    """No club, federation or team is written with other capitals, blanks or hyphens than before.

    Otherwise it would be two of them: two teams, and a cap for each.
    """
    for name in ("club", "federation", "team"):
        first: dict[str, str] = {}
        for row, written in meet.roster[name].items():
            usual = first.setdefault(_plain(str(written)), str(written))
            if written != usual:
                message = f"{written} is written {usual} above; write it in one way"
                yield _problem(meet, row, name, "written-two-ways", message)


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
    # Without a discipline or a bib it is told already.
    somewhere = meet.roster["discipline"].eq("") | meet.roster["bib"].eq("")
    sharing = somewhere & False
    for one in meet.settings.competitions:
        own = belonging_mask(one, meet.roster)
        if one.has_own_marks:
            somewhere |= own
        else:
            sharing |= own
            somewhere |= own & meet.roster["bib"].isin(_bibs_there(meet, one))
    for row in meet.roster.index[~somewhere]:
        yield _in_no_competition(meet, row, shares=bool(sharing[row]))


def _bibs_there(meet: Meet, one: Competition) -> set[str]:
    """The bibs in the competitions that the marks of this one are entered for."""
    ids = meet.settings.entered_under(one)
    others = (other for other in meet.settings.competitions if other.id in ids)
    return {
        bib
        for other in others
        for bib in meet.roster.loc[belonging_mask(other, meet.roster), "bib"]
    }


def _in_no_competition(meet: Meet, row: Any, *, shares: bool) -> Problem:
    """That nothing takes a row; *shares*: but for a competition that takes the marks of others."""
    here: Any = meet.roster.loc[row]
    name = "division" if here["division"] else "discipline"
    told = f"{here['discipline']} {here['division'] or 'without a division'}"
    message = (
        f"bib {here['bib']}: only competitions that take the marks of others take {told}, and this "
        "bib is in none of the others; enter it there, in a row of its own"
        if shares
        else f"bib {here['bib']}: no competition takes {told}; correct it here, or the divisions "
        "of a competition in meet.toml"
    )
    return _problem(meet, row, name, "in-no-competition", message)


def no_team_is_too_large(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked, a team has no more gymnasts than its format says.

    Guests and those who are out of the whole meet are in no team. Where people named the
    starters, or a cut did, the roster does not say who is in it.
    """
    told: set[int] = set()
    out = meet.roster["guest"] | meet.roster["status"].ne("")
    for one in meet.settings.competitions:
        if one.team is None or "team" not in one.ranks or one.starters or one.entered_from:
            continue
        own = meet.roster[belonging_mask(one, meet.roster) & ~out & meet.roster[one.team.by].ne("")]
        teams = own[one.team.by].value_counts().to_dict()
        nth = own.groupby(one.team.by).cumcount() + 1
        for row in own.index[nth == one.team.size + 1]:
            if row not in told:
                told.add(row)
                yield _too_large(meet, row, one.team, one.id, teams[own.loc[row, one.team.by]])


def _too_large(meet: Meet, row: Any, format: TeamFormat, competition: str, number: int) -> Problem:
    mend = (
        "take those who are not in it out of this column"
        if format.by == "team"
        else "name the teams in a column 'team' of the roster and set by = \"team\""
    )
    message = (
        f"{meet.roster.loc[row, format.by]} has {number} gymnasts in {competition}, but a team of "
        f"{format.format} has at most {format.size}; {mend}, or correct the format"
    )
    return _problem(meet, row, format.by, "team-too-large", message)


def everybody_is_in_a_team(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked, somebody is in one; a gymnast who is in none is told of."""
    settings = meet.settings
    in_none: dict[str, set[int]] = {}
    for number, one in enumerate(settings.competitions):
        if one.team is None or "team" not in one.ranks:
            continue
        by = one.team.by
        own = meet.roster[belonging_mask(one, meet.roster) & ~meet.roster["guest"]]
        lacking = own.index[own[by].eq("")]
        in_none.setdefault(by, set()).update(lacking)
        if len(own) and len(own) == len(lacking):
            message = (
                f"nobody in {one.id} has a {by} on the roster, so that its team list would be "
                f"empty; fill in the column {settings.columns.roster.get(by, by)}, set by in "
                '[competition.team], or take "team" out of ranks'
            )
            where = key_path("competition", number, "ranks")
            yield Problem("meet.toml", 0, where, "nobody-in-a-team", message)
    for body, rows in in_none.items():
        if rows:
            yield _in_no_team(meet, body, sorted(rows))


def _in_no_team(meet: Meet, by: str, rows: list[int]) -> Note:
    own = meet.roster.loc[rows]
    names = [f"{bib} {name}" for bib, name in zip(own["bib"], own["family_name"], strict=True)]
    more = f" and {len(names) - MANY} more" if len(names) > MANY else ""
    message = f"in no team, since {by} is empty: {', '.join(names[:MANY])}{more}"
    return Note(**vars(_problem(meet, rows[0], by, "in-no-team", message)))


def entered_where_the_competition_is(meet: Meet) -> Iterator[Problem]:
    """Everybody is entered on apparatus of a competition that they are in."""
    entered = meet.roster["entered"]
    if not entered.ne("").any():
        return
    held: dict[int, set[str]] = {row: set() for row in meet.roster.index[entered.ne("")]}
    for one in meet.settings.competitions:
        codes = meet.settings.apparatus_of(one)
        for row in meet.roster.index[belonging_mask(one, meet.roster) & entered.ne("")]:
            held[row] |= {*codes, *(["VT2"] if "VT" in codes else [])}
    for row, codes_held in held.items():
        for code in entered[row].split():
            if codes_held and code not in codes_held:
                bib: Any = meet.roster.loc[row, "bib"]
                message = f"bib {bib} is in no competition with {code}"
                yield _problem(meet, row, "entered", "apparatus-not-in-competition", message)
