"""What a rule set is: the data in `rulebook/*.toml`, validated.

A rule set needs no code: it names criteria (`rules/ties.py`) and choices that the rules know.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from resultsgen.marks import Averaging
from resultsgen.meet import Frozen, Mark, Ranked


class Source(Frozen):
    """Where a rule was read: document, section, year; or a plain word that it was not."""

    document: str
    section: str = ""
    year: str = ""
    note: str = Field("", description="For example: common practice, or from memory")


class TieRule(Frozen):
    """The criteria for one list, in order; those still equal after the last share the place."""

    criteria: tuple[str, ...] = ()
    source: str = ""


class TieRules(Frozen):
    """One rule per kind of list."""

    all_around: TieRule = Field(TieRule(), alias="all-around")
    apparatus: TieRule = TieRule()
    vault_average: TieRule = Field(TieRule(), alias="vault-average")
    team: TieRule = TieRule()


class MarkRule(Frozen):
    """How a mark is made up and printed."""

    composition: Literal["d+e", "single"] = Field(
        "d+e", description="d+e: D + E + bonus - penalty; single: one mark"
    )
    highest: Mark | None = Field(None, description="The highest mark possible; empty: open")
    step: Mark = Field(1, description="The grid that marks stand on: 0.001, 0.025, 0.05, 0.1")


class VaultRule(Frozen):
    """The vault ranking where two vaults are needed."""

    averaging: Averaging = Field("cut", description="Half a thousandth is cut, or rounded up")
    compare: Literal["printed", "exact"] = Field(
        "printed", description="Averages are compared as printed, or before cutting or rounding"
    )


class UnrankedRule(Frozen):
    """How those without a place are listed below the ranked."""

    order: tuple[Literal["DNF", "DNS", "WDR", "DSQ"], ...] = ("DNF", "DNS", "WDR", "DSQ")
    source: str = ""


class GuestRule(Frozen):
    """Where guests (out of competition) stand; they take no place in either case."""

    stand: Literal["by mark", "below"] = "by mark"
    source: str = ""


class CutRule(Frozen):
    """What a cut does where a tie for the last place cannot be broken."""

    tie_on_last_place: Literal["all go through", "listed order"] = "all go through"
    source: str = ""


class RuleSet(Frozen):
    """A whole rule set: `ties` hold in every phase, `final_ties` instead of them in finals."""

    title: str
    about: str = Field("", description="One or two sentences for the rules page")
    sources: tuple[Source, ...] = ()
    marks: MarkRule = MarkRule()
    vault: VaultRule = VaultRule()
    ties: TieRules = TieRules()
    final_ties: TieRules | None = Field(
        None, alias="final-ties", description="Only where finals differ from qualification"
    )
    unranked: UnrankedRule = UnrankedRule()
    guests: GuestRule = GuestRule()
    cuts: CutRule = CutRule()

    def tie_rule(self, ranked: Ranked | Literal["vault-average"], phase: str) -> TieRule:
        """The tie rule of one kind of list in one phase."""
        rules = self.final_ties if phase == "final" and self.final_ties else self.ties
        by_kind = {
            "all-around": rules.all_around,
            "apparatus": rules.apparatus,
            "vault-average": rules.vault_average,
            "team": rules.team,
        }
        return by_kind[ranked]
