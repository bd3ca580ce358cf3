"""What a rule set is: the data in `rulebook/*.toml`, validated.

A rule set needs no code: it names criteria (`rules/criteria.py`) and choices that the rules know.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pydantic import Field

from resultsgen.meet.competition import Ranked
from resultsgen.meet.marks import Averaging, Incomplete
from resultsgen.meet.values import Frozen, Mark, Number

TieList = Literal["all-around", "apparatus", "vault-average", "team", "team-apparatus"]
"""The kinds of lists that have a tie rule each."""

SUM_OF_VAULTS = "sum of both vaults"
"""The criterion (`rules/criteria.py`) by which averages are compared exactly."""


class Source(Frozen):
    """Where a rule was read: document, section, year; or a plain word that it was not."""

    document: str
    section: str = ""
    year: str = ""
    note: str = Field("", description="For example: common practice, or from memory")


class ApparatusRule(Frozen):
    """The apparatus of the disciplines that the rules are made for, in order."""

    men: tuple[str, ...] = ()
    women: tuple[str, ...] = ()
    source: str = ""

    def of(self, discipline: str) -> tuple[str, ...]:
        """The apparatus of one discipline; empty where the rules say nothing of it."""
        return {"men": self.men, "women": self.women}.get(discipline, ())


class TieRule(Frozen):
    """The criteria for one list, in order; those still equal after the last share the place."""

    criteria: tuple[str, ...] = ()
    source: str = ""


class TieRules(Frozen):
    """One rule per kind of list."""

    all_around: TieRule = Field(TieRule.model_construct(), alias="all-around")
    apparatus: TieRule = TieRule.model_construct()
    vault_average: TieRule = Field(TieRule.model_construct(), alias="vault-average")
    team: TieRule = TieRule.model_construct()
    team_apparatus: TieRule = Field(
        TieRule.model_construct(),
        alias="team-apparatus",
        description="The place of a team on one apparatus",
    )

    def of(self, list: TieList) -> TieRule:
        by_kind = {
            "all-around": self.all_around,
            "apparatus": self.apparatus,
            "vault-average": self.vault_average,
            "team": self.team,
            "team-apparatus": self.team_apparatus,
        }
        return by_kind[list]


class MarkRule(Frozen):
    """How a mark is made up and printed."""

    composition: Literal["d+e", "single"] = Field(
        "d+e", description="d+e: D + E + bonus - penalty; single: one mark"
    )
    bonus: bool = Field(False, description="Whether a bonus is added to D + E")
    highest: Mark | None = Field(None, description="The highest mark possible; empty: open")
    highest_e: Mark = Field(
        10_000, alias="highest-e", description="The highest E score possible; empty: 10.000"
    )
    step: Mark = Field(1, description="The grid that marks stand on: 0.001, 0.025, 0.05, 0.1")
    source: str = ""


class TotalRule(Frozen):
    """What a total is made of, and who has none."""

    incomplete: Incomplete = Field(
        "no place", description="What a missing mark does: no place, or placed by what there is"
    )
    carried: Literal["nothing", "half of two qualification marks"] = Field(
        "nothing", description="What is added to the final mark on an apparatus"
    )
    averaging: Averaging = Field("cut", description="Half a thousandth carried is cut or rounded")
    days: Literal["apart", "added"] = Field(
        "apart", description="A competition of two days: two lists, or one of both added"
    )
    source: str = ""


class VaultRule(Frozen):
    """The vault ranking where two vaults are needed."""

    averaging: Averaging = Field("cut", description="Half a thousandth is cut, or rounded up")
    compare: Literal["printed", "exact"] = Field(
        "printed", description="Averages are compared as printed, or before cutting or rounding"
    )
    one: Literal["no place", "below two"] = Field(
        "no place", description="Who did one vault: no place, or placed below all who did two"
    )
    source: str = ""


class UnrankedRule(Frozen):
    """How those without a place are listed below the ranked."""

    order: tuple[Literal["DNF", "DNS", "WDR", "DSQ"], ...] = ("DNF", "DNS", "WDR", "DSQ")
    dnf: Literal["as equals", "sum so far"] = Field(
        "as equals", description="Those who did not finish: as equals stand, or by what they have"
    )
    source: str = ""


class GuestRule(Frozen):
    """Where guests (out of competition) stand; they take no place in either case."""

    stand: Literal["by mark", "below"] = "by mark"
    source: str = ""


class UsualCut(Frozen):
    """The cut that is usual for a final; a meet sets its own."""

    places: Number = Field(ge=1)
    reserves: Number = Field(0, ge=0)
    cap: Number = Field(0, ge=0, description="At most so many of one federation; 0: no limit")
    source: str = ""


class CutRule(Frozen):
    """What a cut does where a tie for the last place cannot be broken, and the usual cuts."""

    tie_on_last_place: Literal["all qualify", "listed order"] = "all qualify"
    source: str = ""
    all_around: UsualCut | None = Field(None, alias="all-around")
    apparatus: UsualCut | None = None
    team: UsualCut | None = None

    def usual(self, of: Ranked) -> UsualCut | None:
        """The usual cut of one kind of list; None where the rule set has none."""
        by_kind = {"all-around": self.all_around, "apparatus": self.apparatus, "team": self.team}
        return by_kind[of]


class UsualTeam(Frozen):
    """The usual format of teams, size-up-count; a meet sets its own."""

    format: str = Field(pattern=r"^\d{1,2}-\d{1,2}-\d{1,2}$")
    final: str = Field(
        "",
        pattern=r"^(\d{1,2}-\d{1,2}-\d{1,2})?$",
        description="In finals, where it is another; empty: the same",
    )
    source: str = ""

    def of(self, phase: str) -> str:
        return self.final if phase == "final" and self.final else self.format


class RuleSet(Frozen):
    """A whole rule set: `ties` hold in every phase, `final_ties` instead of them in finals."""

    title: str
    about: str = Field("", description="One or two sentences for the rules page")
    sources: tuple[Source, ...] = ()
    apparatus: ApparatusRule = ApparatusRule.model_construct()
    marks: MarkRule = MarkRule.model_construct()
    totals: TotalRule = TotalRule.model_construct()
    vault: VaultRule = VaultRule.model_construct()
    ties: TieRules = TieRules.model_construct()
    final_ties: TieRules | None = Field(
        None, alias="final-ties", description="Only where finals differ from qualification"
    )
    unranked: UnrankedRule = UnrankedRule.model_construct()
    guests: GuestRule = GuestRule.model_construct()
    cuts: CutRule = CutRule.model_construct()
    teams: UsualTeam | None = None

    def tie_rule(self, of: TieList, phase: str) -> TieRule:
        """The tie rule of one kind of list in one phase.

        Averages compared before cutting or rounding are told apart by the sum of both vaults, so
        that equal ones as printed have their reason.
        """
        rules = self.final_ties if phase == "final" and self.final_ties else self.ties
        rule = rules.of(of)
        if of == "vault-average" and self.vault.compare == "exact":
            return TieRule(criteria=(SUM_OF_VAULTS, *rule.criteria), source=rule.source)
        return rule


@dataclass(frozen=True)
class RuleOverride:
    """An entry of a rule set that a meet changes, as `ties.apparatus.criteria`, and how.

    The values are those of the classes above; None where the rule set says nothing of it.
    """

    path: tuple[str, ...]
    usual: object
    here: object


def entry(rules: RuleSet, path: tuple[str, ...]) -> object:
    """What a rule set says at one place, named as in its file; None where it says nothing."""
    here: object = rules
    for name in path:
        if not isinstance(here, Frozen):
            return None
        fields = {known.alias or field: field for field, known in type(here).model_fields.items()}
        here = getattr(here, fields[name])
    return here
