"""Who starts in a final: the qualifiers of a cut, with withdrawals filled the way the rules fill
them, or the bibs that people named; and who has a mark there without starting.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition, every_bib
from resultsgen.scoring.cutting import body
from resultsgen.scoring.results import SECOND_VAULT, CompetitionResults, Gymnast

WHOLE = "all"
"""Names the one list of a final in `[competition.draw]`."""


@dataclass(frozen=True)
class Starters:
    """Keys of those who start: in the all-around, and on each part."""

    all_around: frozenset[int]
    on: dict[str, frozenset[int]]

    @property
    def keys(self) -> frozenset[int]:
        """Everybody who starts anywhere."""
        return self.all_around.union(*self.on.values())

    def parts_of(self, key: int) -> set[str]:
        """The parts that one gymnast starts on."""
        return {part for part, keys in self.on.items() if key in keys}


def named_starters(
    competition: Competition,
    apparatus: tuple[str, ...],
    everybody: dict[int, Gymnast],
    by_cut: Starters | None,
) -> Starters:
    """The bibs that people named, on every apparatus or on one; or where a draw has them.

    Where they named them on some apparatus only, the cut fills the others.
    """
    named = competition.starters
    if isinstance(named, dict):
        on = {
            part: _wearing(named[part], competition, everybody) if part in named
            else by_cut.on[part] if by_cut else frozenset()
            for part in apparatus
        }  # fmt: skip
        everywhere = frozenset.intersection(*on.values()) | (by_cut.all_around if by_cut else set())
        keys = frozenset(key for key in everywhere if all(key in on[part] for part in named))
    elif named:
        keys = _wearing(named, competition, everybody)
        on = dict.fromkeys(apparatus, keys)
    else:
        keys = _wearing(competition.draw.get(WHOLE, ()), competition, everybody)
        on = {
            part: keys | _wearing(competition.draw.get(part, ()), competition, everybody)
            for part in apparatus
        }
    in_all_around = keys if "all-around" in competition.ranks else frozenset()
    return Starters(in_all_around, _with_second_vault(competition, on))


def _wearing(
    bibs: Collection[str], competition: Competition, everybody: dict[int, Gymnast]
) -> frozenset[int]:
    """The keys of those of the competition's discipline and divisions who wear these bibs."""
    return frozenset(
        key
        for key, one in everybody.items()
        if one.bib in bibs
        and one.discipline == competition.discipline
        and (not competition.divisions or one.division in competition.divisions)
    )


def as_entered(
    chosen: Starters, competition: Competition, everybody: dict[int, Gymnast]
) -> Starters:
    """The same without those whom the entries of the competition take out, of some parts or all."""
    own = {key: competition.entered.get(one.bib) for key, one in everybody.items()}

    def kept(keys: frozenset[int], parts: Collection[str]) -> frozenset[int]:
        return frozenset(
            key for key in keys if own[key] is None or set(parts) <= set(own[key] or ())
        )

    whole = [part for part in chosen.on if part != SECOND_VAULT]
    on = {part: kept(keys, [part]) for part, keys in chosen.on.items()}
    return Starters(kept(chosen.all_around, whole), on)


def starters(
    competition: Competition,
    apparatus: tuple[str, ...],
    source: CompetitionResults,
    everybody: dict[int, Gymnast],
) -> Starters:
    """Those whom the cuts of *source* that lead here let through.

    A team may have more gymnasts here than in the qualification: those whom the entries of the
    competition name.
    """
    all_around: frozenset[int] = frozenset()
    on: dict[str, frozenset[int]] = dict.fromkeys(apparatus, frozenset())
    for ranking in source.rankings:
        for cut in ranking.cuts:
            if cut.cut.to != competition.id:
                continue
            through = frozenset(line.key for line in cut.starting)
            if cut.cut.of == "all-around":
                all_around |= through
            elif cut.cut.of == "team":
                through = _members(source, through, competition, everybody)
            for part in (cut.apparatus,) if cut.apparatus else apparatus:
                on[part] |= through - _gone(competition, source, part)
    return Starters(all_around, _with_second_vault(competition, on))


def _gone(competition: Competition, source: CompetitionResults, part: str) -> frozenset[int]:
    """Who withdrew from one apparatus of the final by bib, be it out of a team that starts."""
    bibs = {
        one.bib
        for one in competition.withdrawn
        if one.bib and (not one.apparatus or part in one.apparatus)
    }
    return frozenset(one.gymnast.key for one in source.starts if one.gymnast.bib in bibs)


def _members(
    source: CompetitionResults,
    teams: frozenset[int],
    competition: Competition,
    everybody: dict[int, Gymnast],
) -> frozenset[int]:
    """The gymnasts of these teams, and those whom the competition has entered for them besides."""
    lines = [line for line in (source.team.lines if source.team else ()) if line.key in teams]
    named = _wearing(competition.entered, competition, everybody)
    format, names = source.competition.team, {line.id for line in lines}
    more = (key for key in named if format and body(everybody[key], format.by) in names)
    return frozenset(one.key for line in lines for one in line.of.gymnasts).union(more)


def _with_second_vault(
    competition: Competition, on: dict[str, frozenset[int]]
) -> dict[str, frozenset[int]]:
    """In a vault final that needs two vaults everybody is entered for both."""
    if competition.vaults == 2 and "VT" in on and "apparatus" in competition.ranks:
        return on | {SECOND_VAULT: on["VT"]}
    return on


Causes = dict[tuple[str, tuple[str, ...]], list[MarkRow]]
"""The rows of marks by what is to be mended and the bibs, of which they are."""


def not_in_the_final(meet: Meet, competition: Competition, chosen: Starters) -> Iterator[Problem]:
    """A problem for those who have marks and do not start there, at the first of their marks."""
    rows = (row for row in meet.mark_rows if row.competition == competition.id)
    wrong = [row for row in rows if row.gymnast not in _on_part(chosen, row.apparatus)]
    for (cause, bibs), those in _by_cause(competition, wrong).items():
        parts = [part for part in dict.fromkeys(row.apparatus for row in those) if part]
        yield Problem(
            those[0].file,
            those[0].line,
            "bib",
            "not-in-the-final",
            f"bib {', '.join(bibs)} {'has' if len(bibs) == 1 else 'have'} "
            f"{'a mark' if len(those) == 1 else 'marks'}"
            f"{_on(parts)} in {competition.id!r} but {_mend(cause, bibs, parts)}",
            bibs[0],
        )


def _by_cause(competition: Competition, rows: list[MarkRow]) -> Causes:
    """The rows of the same bibs on several apparatus together, as far as they have one mend."""
    named, gone = every_bib(competition.starters), {one.bib for one in competition.withdrawn}
    by_part: dict[tuple[str, str], list[MarkRow]] = {}
    for row in rows:
        apart = "starters" if row.apparatus and row.bib not in named else ""
        cause = "withdrawn" if row.bib in gone else apart
        by_part.setdefault((cause, row.apparatus), []).append(row)
    causes: Causes = {}
    for (cause, _), those in by_part.items():
        bibs = tuple(dict.fromkeys(row.bib for row in those))
        causes.setdefault((cause, bibs), []).extend(those)
    return causes


def _mend(cause: str, bibs: tuple[str, ...], parts: list[str]) -> str:
    do = "does" if len(bibs) == 1 else "do"
    if cause == "withdrawn":
        return "withdrew ([[competition.withdrawn]] in meet.toml); take one of them out"
    if cause == "starters":
        named = ", ".join(f'"{bib}"' for bib in bibs)
        lists = " and ".join(f"starters.{part} = [{named}, ...]" for part in parts)
        return (
            f"{do} not start there; in meet.toml name who withdrew ([[competition.withdrawn]]), or "
            f"list all who start on {', '.join(parts)}:  {lists}"
        )
    return (
        f"{do} not start there; in meet.toml name who withdrew ([[competition.withdrawn]]) or list "
        "the starters"
    )


def _on_part(chosen: Starters, apparatus: str) -> frozenset[int]:
    return chosen.on.get(apparatus, frozenset()) if apparatus else chosen.keys


def _on(parts: list[str]) -> str:
    return f" on {', '.join(parts)}" if parts else ""
