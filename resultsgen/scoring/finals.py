"""Who starts in a final: the qualifiers of a cut, with withdrawals filled the way the rules fill
them, or the bibs that people named; and who has a mark there without starting.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from resultsgen.meet.competition import Competition, TeamFormat, every_bib
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.parts import SECOND_VAULT, apparatus_of
from resultsgen.meet.problems import Problem
from resultsgen.scoring.cutting import body
from resultsgen.scoring.field import Field
from resultsgen.scoring.ranking import Gymnast, Ranking
from resultsgen.scoring.results import CompetitionResults, StandIn, Start

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
        return {part for part, keys in self.on.items() if key in keys}


def starters(
    meet: Meet,
    competition: Competition,
    source: CompetitionResults | None,
    everybody: dict[int, Gymnast],
) -> Starters | None:
    """Who starts where people or the cuts of *source* decided it; None where the whole roster does.

    Without those whom the entries of the competition take out, of some parts or all.
    """
    on_the_roster = {key: meet.entries[key].entered.split() for key in everybody}
    final = _Final(competition, meet.settings.apparatus_of(competition), everybody, on_the_roster)
    chosen = final.let_in(source) if source else None
    if competition.starters or (competition.draw and not competition.entered_from):
        chosen = final.named(chosen)
    if chosen is None:
        return None
    on = chosen.on
    if competition.vaults == 2 and "VT" in on and "apparatus" in competition.ranks:
        on = on | {SECOND_VAULT: on["VT"]}  # Everybody is entered for both vaults.
    return Starters(
        final.entered(chosen.all_around, final.apparatus),
        {part: final.entered(keys, [part]) for part, keys in on.items()},
    )


@dataclass(frozen=True)
class _Final:
    """A competition in which not the whole roster starts."""

    competition: Competition
    apparatus: tuple[str, ...]
    everybody: dict[int, Gymnast]
    on_the_roster: dict[int, list[str]]
    """What each is entered on there; nothing: on everything."""

    def named(self, by_cut: Starters | None) -> Starters:
        """The bibs that people named, on every apparatus or on one; or where a draw has them.

        Where they named them on some apparatus only, the cut fills the others.
        """
        named, draw = self.competition.starters, self.competition.draw
        if isinstance(named, dict):
            cut = by_cut or Starters(frozenset(), dict.fromkeys(self.apparatus, frozenset()))
            on = {
                part: self._wearing(named[part]) if part in named else cut.on[part]
                for part in self.apparatus
            }
            everywhere = frozenset.intersection(*on.values()) | cut.all_around
            keys = frozenset(key for key in everywhere if all(key in on[part] for part in named))
        else:
            keys = self._wearing(named or draw.get(WHOLE, ()))
            drawn = {} if named else draw
            on = {part: keys | self._wearing(drawn.get(part, ())) for part in self.apparatus}
        return Starters(keys if "all-around" in self.competition.ranks else frozenset(), on)

    def let_in(self, source: CompetitionResults) -> Starters:
        """Those whom the cuts that lead here let through, but who withdrew from an apparatus."""
        all_around: frozenset[int] = frozenset()
        on: dict[str, frozenset[int]] = dict.fromkeys(self.apparatus, frozenset())
        for ranking in source.rankings:
            for cut in ranking.cuts:
                if cut.cut.to != self.competition.id:
                    continue
                through = frozenset(line.key for line in cut.starting)
                if ranking.kind == "all-around":
                    all_around |= through
                elif ranking.of_teams:
                    through = self._members(ranking, through, source.competition.team)
                for part in (cut.apparatus,) if cut.apparatus else self.apparatus:
                    on[part] |= self._on(through, part) - self._gone(part, source)
        return Starters(all_around, on)

    def _on(self, keys: frozenset[int], part: str) -> frozenset[int]:
        """Those of these who do an apparatus at all, as the competition or the roster has it."""
        here, roster = self.competition.entered, self.on_the_roster
        return frozenset(
            key
            for key in keys
            if self.everybody[key].bib in here
            or not roster[key]
            or part in map(apparatus_of, roster[key])
        )

    def entered(self, keys: frozenset[int], parts: Collection[str]) -> frozenset[int]:
        """Those of these whom the entries of the competition leave on all these parts."""
        own = {key: self.competition.entered.get(self.everybody[key].bib) for key in keys}
        return frozenset(
            key for key, kept in own.items() if kept is None or set(parts) <= set(kept)
        )

    def _gone(self, part: str, source: CompetitionResults) -> frozenset[int]:
        """Who withdrew from one apparatus by bib, be it out of a team that starts."""
        withdrawn = (
            gone.bib
            for gone in self.competition.withdrawn
            if gone.bib and (not gone.apparatus or part in gone.apparatus)
        )
        bibs = set(withdrawn)
        return frozenset(start.gymnast.key for start in source.starts if start.gymnast.bib in bibs)

    def _members(
        self, ranking: Ranking, teams: frozenset[int], format: TeamFormat | None
    ) -> frozenset[int]:
        """The gymnasts of these teams, and those whom the competition has entered for them besides.

        So a team may have more gymnasts here than in the qualification.
        """
        lines = [ranking.by_key[key] for key in teams]
        named, names = self._wearing(self.competition.entered), {line.id for line in lines}
        more = (key for key in named if format and body(self.everybody[key], format.by) in names)
        return frozenset(gymnast.key for line in lines for gymnast in line.of.gymnasts).union(more)

    def _wearing(self, bibs: Collection[str]) -> frozenset[int]:
        """The keys of those of the competition's discipline and divisions who wear these bibs."""
        return frozenset(
            key
            for key, gymnast in self.everybody.items()
            if gymnast.bib in bibs and self.competition.takes(gymnast.discipline, gymnast.division)
        )


def stand_ins(
    final: Field, source: CompetitionResults, starts: Sequence[Start]
) -> Iterator[StandIn]:
    """Who withdrew from a final once its cuts are decided, and who was called up for each and
    starts: people may have named others."""
    ranks = final.competition.ranks
    first = final.apparatus if ranks[0] == "apparatus" else ranks[:1]
    there = {(start.gymnast.key, part) for start in starts for part in ("", *start.apparatus)}
    for ranking in source.rankings:
        for cut in ranking.cuts:
            if cut.cut.to != final.competition.id or not cut.final:
                continue
            called_up = {line.in_place_of: ranking.by_key[line.key].of for line in cut.lines}
            for line in cut.lines:
                by = called_up.get(line.key)
                if line.withdrawn and (by or line.verdict.outcome == "qualified"):
                    for list in (ranking.id,) if ranking.kind in ranks else first:
                        on = list if list in final.apparatus else ""
                        starts_there = by and any((who.key, on) in there for who in by.gymnasts)
                        gone = ranking.by_key[line.key].of
                        yield StandIn(list, gone, by if starts_there else None)


def waits_for(final: Competition, source: CompetitionResults) -> str:
    """The title of what fills a final, while a cut that lets somebody in is not decided; empty
    where it is, and where people named everybody who starts."""
    named = final.starters if isinstance(final.starters, dict) else {}
    if final.starters and not named:
        return ""
    cuts = (cut for ranking in source.rankings for cut in ranking.cuts)
    open_cuts = (cut.cut.to == final.id and not cut.final and cut.apparatus not in named
                 for cut in cuts)  # fmt: skip
    return source.competition.title if any(open_cuts) else ""


def not_in_the_final(meet: Meet, competition: Competition, chosen: Starters) -> Iterator[Problem]:
    """A problem for those who have marks and do not start there, at the first of their marks.

    The same bibs on several apparatus are one problem, as far as they have one mend.
    """
    named, gone = (
        every_bib(competition.starters),
        {withdrawal.bib for withdrawal in competition.withdrawn},
    )
    by_part: dict[tuple[str, str], list[MarkRow]] = {}
    for row in meet.mark_rows:
        starts = chosen.on.get(row.apparatus, frozenset()) if row.apparatus else chosen.keys
        if row.competition == competition.id and row.gymnast not in starts:
            apart = "starters" if row.apparatus and row.bib not in named else ""
            cause = "withdrawn" if row.bib in gone else apart
            by_part.setdefault((cause, row.apparatus), []).append(row)
    causes: dict[tuple[str, tuple[str, ...]], list[MarkRow]] = {}
    for (cause, _), rows in by_part.items():
        bibs = tuple(dict.fromkeys(row.bib for row in rows))
        causes.setdefault((cause, bibs), []).extend(rows)
    for (cause, bibs), rows in causes.items():
        parts = [part for part in dict.fromkeys(row.apparatus for row in rows) if part]
        on = f" on {', '.join(parts)}" if parts else ""
        yield Problem(
            rows[0].file,
            rows[0].line,
            "bib",
            "not-in-the-final",
            f"bib {', '.join(bibs)} {'has' if len(bibs) == 1 else 'have'} "
            f"{'a mark' if len(rows) == 1 else 'marks'}"
            f"{on} in {competition.id!r} but {_mend(cause, bibs, parts)}",
            bibs[0],
        )


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
