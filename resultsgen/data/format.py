"""What `results.json` holds: the definition of the format, from which its JSON Schema is made.

Every number that is a mark is an exact decimal in text, with three places: "13.700". A gymnast is
named by `entry`, the number of the roster row in `gymnasts`; a team by its number in its list.
"""

from __future__ import annotations

import json
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

VERSION = "1.6"
"""Of the format. The second number grows when something is added, the first when it must be
read otherwise."""

Decimal = Annotated[str, Field(pattern=r"^-?[0-9]+\.[0-9]{3}$", examples=["13.700"])]
Place = Annotated[int, Field(ge=1)]
Entry = Annotated[int, Field(ge=0)]


class Told(BaseModel):
    """Base of all parts: nothing else may stand in them."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Signature(Told):
    """Who confirmed the results."""

    name: str = Field(description="The name of who signed")
    role: str = Field(description="In which office")
    time: str = Field(description="When, as it is printed")


class Meet(Told):
    """The meet as a whole."""

    title: str = Field(description="The title of the meet")
    place: str = Field(description="Town or place; may be empty")
    venue: str = Field(description="The hall; may be empty")
    first_day: str | None = Field(description="The first day, as YYYY-MM-DD")
    last_day: str | None = Field(description="The last day, as YYYY-MM-DD")
    organiser: str = Field(description="Who organises it; may be empty")
    state: Literal["provisional", "official"] = Field(
        description="Provisional until somebody has signed"
    )
    signed: tuple[Signature, ...] = Field(description="Those who signed, in order")
    equals: Literal["name", "bib"] = Field(
        description="In which order lists print those who are equal; it decides nothing"
    )
    published: str | None = Field(description="The time printed on the pages, if there is one")


class Gymnast(Told):
    """One row of the roster. A person entered in two divisions has two rows with one bib."""

    entry: Entry = Field(description="The number that stands for this row everywhere else")
    bib: str = Field(description="The bib, as text: 007 stays 007")
    family_name: str = Field(description="The family name; empty where the name is withheld")
    given_name: str = Field(description="The given name; empty where the name is withheld")
    name_withheld: bool = Field(description="The name is not published; the bib stands for it")
    club: str = Field(description="The club")
    federation: str = Field(description="The federation or region")
    team: str = Field(description="The team, where it is neither the club nor the federation")
    discipline: str = Field(description="men, women, or one of the meet's own")
    division: str = Field(description="Age group or level")
    session: str = Field(description="The session or subdivision")
    squad: str = Field(description="The squad")
    start_order: int | None = Field(description="The start order within the squad")
    birth_year: int | None = Field(description="The year of birth; null unless it is published")
    guest: bool = Field(description="Out of competition: takes no place")


class Routine(Told):
    """One performance on one apparatus, or the status that stands in its place."""

    apparatus: str = Field(description="The code of the apparatus")
    vault: Literal[1, 2] = Field(description="Which of two vaults; 1 on every other apparatus")
    mark: Decimal | None = Field(description="The final mark; null where there is none")
    d: Decimal | None = Field(description="The D score, where it was given")
    e: Decimal | None = Field(description="The E score, where it was given")
    penalty: Decimal | None = Field(description="What was taken off; never negative")
    bonus: Decimal | None = Field(description="What was added")
    status: str = Field(description="DNS, DNF, DSQ, WDR, or empty")
    rotation: int | None = Field(description="The rotation it was performed in")
    place: Place | None = Field(description="The place among all on this apparatus")
    parts_give: Decimal | None = Field(
        description="D + E + bonus - penalty, only where that is not the mark"
    )


class Term(Told):
    """One of the sums that the totals of a list are made of."""

    kind: Literal["carried", "final", "day"] = Field(
        description="Half of two qualification marks, the final by itself, or one of several days"
    )
    competitions: tuple[str, ...] = Field(description="Ids of those whose marks it holds")


class Line(Told):
    """One gymnast in a list."""

    entry: Entry = Field(description="The gymnast")
    place: Place | None = Field(description="The place; null for guests and the unranked")
    total: Decimal | None = Field(description="What the list is ordered by")
    so_far: Decimal | None = Field(description="The sum of the marks there are")
    done: int = Field(ge=0, description="How many parts have a mark")
    needed: int = Field(ge=0, description="How many marks a whole total has")
    terms: tuple[Decimal | None, ...] = Field(
        description="One for each term of the list: what the total is the sum of"
    )
    below: bool = Field(
        description="Placed by one vault below those with two: the total is its mark, no average"
    )
    status: str = Field(description="DNS, DNF, DSQ, WDR, or empty")
    routines: tuple[Routine | None, ...] = Field(
        description="One for each part of the list; null where nothing was performed (yet)"
    )


class Compared(Told):
    """One value that a criterion compared."""

    key: Entry = Field(description="The gymnast's entry, or the team's number")
    value: str | None = Field(description="What was compared; null where it was not given")


class Criterion(Told):
    """One criterion that told somebody of a tie apart, or would have."""

    name: str = Field(description="Its name in the rule set")
    words: str = Field(description="What it compares, as printed")
    values: tuple[Compared, ...] = Field(description="The values compared, best first")


class Tie(Told):
    """Lines with an equal total, and how each was settled."""

    total: Decimal = Field(description="The total they share")
    keys: tuple[Entry, ...] = Field(description="Who, in order of place: entries or team numbers")
    places: tuple[Place, ...] = Field(description="The place of each of them")
    shared: bool = Field(description="At least two of them share a place")
    criteria: tuple[Criterion, ...] = Field(description="The criteria that settled it, in order")
    reason: str = Field(description="The whole story in one sentence, as printed")


class CutLine(Told):
    """What a cut means for one line of its list."""

    key: Entry = Field(description="The gymnast's entry, or the team's number")
    outcome: Literal[
        "qualified", "reserve", "capped", "below minimum", "beyond", "no body", "guest", "unranked"
    ] = Field(description="capped: passed over, since enough of the same body stand before")
    code: str = Field(description="Q, R1, R2 ... or empty, as printed")
    number: int = Field(ge=0, description="Counts the qualifiers, or the reserves, from 1")
    ahead: tuple[Entry, ...] = Field(description="Who of the same body fills the cap")
    by_jury: bool = Field(description="The jury put this one in order among equals")
    level: tuple[Entry, ...] = Field(description="Who shares the number of this reserve")
    by_order: bool = Field(
        description="Somebody with the same place fared otherwise; only the list's order decided"
    )
    by_tie: bool = Field(
        description="More go through than there are places, since several share the last of them"
    )
    withdrawn: bool = Field(
        description="Qualified, a reserve or passed over, but does not start in the final"
    )
    called_up: bool = Field(description="Starts in place of somebody who withdrew")
    in_place_of: Entry | None = Field(description="Whose place that is")
    held_back: tuple[Entry, ...] = Field(
        description="Who of the same body fills the cap, so that this reserve was not called up"
    )
    unfilled: Literal["enough", "nobody left", ""] = Field(
        description="Why nobody is called up in the place of who withdrew: enough go through by a "
        "tie, or nobody is left"
    )
    reason: str = Field(description="The reason in words, where the place does not say it")


class Cut(Told):
    """A qualification line, applied to one list."""

    name: str = Field(description="What it qualifies for")
    to: str = Field(description="The id of the competition it leads to; may be empty")
    places: int = Field(description="How many go through; of each body, where it says so")
    percent: int | None = Field(
        description="How many per cent of those placed, where the places were worked out from that"
    )
    of_each: bool = Field(description="Each body has so many places and reserves of its own")
    reserves: int = Field(description="How many reserves there are")
    cap: int = Field(description="At most so many of one body; 0: no limit")
    cap_counts: Literal["qualifiers and reserves", "qualifiers"] = Field(
        description="Who is counted towards the cap"
    )
    per: str = Field(description="The body counted by: federation, club, team or division")
    usual: bool = Field(description="The rule set says how many go through, and not the meet")
    minimum: Decimal | None = Field(description="The least total that qualifies")
    rule: str = Field(description="The whole cut in words, as printed")
    decided: bool = Field(description="False while marks are still to come")
    lines: tuple[CutLine, ...] = Field(description="In the order of the list")


class Ranking(Told):
    """A list of gymnasts: the all-around, or one apparatus."""

    kind: Literal["all-around", "apparatus"] = Field(description="What is ranked")
    apparatus: str = Field(description="The code of the apparatus; empty for the all-around")
    parts: tuple[str, ...] = Field(
        description="What the routines of a line stand for: apparatus codes, or VT1 and VT2"
    )
    total_is: Literal["sum", "sum of what there is", "average, cut", "average, rounded"] = Field(
        description="How the total, or its last term, follows from the marks of the parts"
    )
    terms: tuple[Term, ...] = Field(
        description="What each total is the sum of, where not of the marks of the parts alone"
    )
    to_come: int = Field(ge=0, description="How many gymnasts still have a mark to come")
    lines: tuple[Line, ...] = Field(description="In the order in which they are listed")
    ties: tuple[Tie, ...] = Field(description="Every group of equal totals")
    cuts: tuple[Cut, ...] = Field(description="The cuts taken from this list")


class TeamApparatus(Told):
    """A team on one apparatus."""

    apparatus: str = Field(description="The code of the apparatus")
    total: Decimal | None = Field(description="The sum of the counting marks")
    place: Place | None = Field(description="The place of the team on this apparatus")
    short: bool = Field(description="Fewer marks than count: what there is was added up")


class TeamMember(Told):
    """A gymnast of a team."""

    entry: Entry = Field(description="The gymnast")
    routines: tuple[Routine | None, ...] = Field(description="One for each apparatus of the team")
    counts: tuple[bool, ...] = Field(description="Whether each mark counts for the team")
    day: str = Field(description="The id of the competition of the marks, where days are added")


class TeamLine(Told):
    """One team in the list of teams."""

    key: Entry = Field(description="The team's number in this list")
    name: str = Field(description="The name of the team")
    place: Place | None = Field(description="The place; null for those without one")
    total: Decimal | None = Field(description="The apparatus totals less the penalty")
    penalty: Decimal = Field(description="Taken from the team's total")
    penalty_reason: str = Field(description="Why")
    status: str = Field(description="DNS, DNF, DSQ, WDR, or empty")
    apparatus: tuple[TeamApparatus, ...] = Field(description="One for each apparatus, in order")
    members: tuple[TeamMember, ...] = Field(description="The gymnasts of the team")
    terms: tuple[Decimal | None, ...] = Field(description="The total of each day that is added")


class ApparatusTies(Told):
    """The ties of teams on one apparatus."""

    apparatus: str = Field(description="The code of the apparatus")
    ties: tuple[Tie, ...] = Field(description="Every group of equal totals there")


class TeamRanking(Told):
    """The list of teams."""

    format: str = Field(description="Size, up and count: 5-4-3")
    by: str = Field(description="What a team is made of: federation, club or team")
    to_come: int = Field(ge=0, description="How many still have a mark to come")
    lines: tuple[TeamLine, ...] = Field(description="In the order in which they are listed")
    ties: tuple[Tie, ...] = Field(description="Every group of equal totals")
    cuts: tuple[Cut, ...] = Field(description="The cuts taken from this list")
    terms: tuple[Term, ...] = Field(description="The days that are added")
    apparatus_ties: tuple[ApparatusTies, ...] = Field(
        description="Equal totals of teams on one apparatus"
    )


class Start(Told):
    """One line of the start list."""

    entry: Entry = Field(description="The gymnast")
    apparatus: tuple[str, ...] = Field(description="What the gymnast starts on")


class TieRule(Told):
    """The criteria for one kind of list."""

    of: str = Field(description="all-around, apparatus, vault-average, team or team-apparatus")
    criteria: tuple[str, ...] = Field(description="In order; those still equal share the place")


class StartList(Told):
    """The start list of a final, of one apparatus or of all."""

    apparatus: str = Field(description="The code of the apparatus; empty: of all")
    entries: tuple[Entry, ...] = Field(description="Who starts, in order")
    by: Literal["draw", "rank", "reverse rank", "given", ""] = Field(
        description="How the order came about; empty: none is given, and they stand by bib"
    )


class Departure(Told):
    """An entry of the rule set that the meet changes."""

    entry: str = Field(description="Where it stands in the rule set: ties.apparatus.criteria")
    words: str = Field(description="What holds here and what the rule set says, as printed")


class Rules(Told):
    """The rule set of a competition, as far as placing needs it."""

    name: str = Field(description="The rule set's name, or its file in the meet folder")
    title: str = Field(description="Its title")
    ties: tuple[TieRule, ...] = Field(description="How ties are broken in this competition's phase")
    carried: str = Field(description="What is added to the marks of a final: nothing, or half")
    carried_average: Literal["cut", "round"] = Field(
        description="What is done with half a thousandth that is carried"
    )
    incomplete: str = Field(description="What a missing mark does: no place, or by what there is")
    vault_average: Literal["cut", "round"] = Field(
        description="What is done with half a thousandth in the average of two vaults"
    )
    guests: str = Field(description="Where guests stand: by mark, or below")
    tie_on_last_place: str = Field(description="What a tie for the last place of a cut does")
    departures: tuple[Departure, ...] = Field(
        description="The entries of the rule set that the meet changes"
    )


class Standing(Told):
    """One gymnast or team after a rotation."""

    key: Entry = Field(description="The gymnast's entry, or the team's number")
    done: int = Field(ge=1, description="How many apparatus are done")
    place: Place = Field(description="The place among those who have done as many")
    total: Decimal = Field(description="The total so far")
    behind_first: Decimal = Field(description="Behind the first of those")
    behind_next: Decimal | None = Field(description="Behind the next better place")
    moved: int | None = Field(description="Places gained since the rotation before; below 0: lost")


class AfterRotation(Told):
    """The standing after one rotation."""

    rotation: int = Field(ge=1, description="Its number")
    to_come: int = Field(ge=0, description="How many of its marks are still missing")
    lines: tuple[Standing, ...] = Field(
        description="By how many apparatus are done, the most first, then by place"
    )


class SessionStandings(Told):
    """The standings of one list in one session."""

    list: Literal["all-around", "team"] = Field(description="Which list")
    session: str = Field(description="The session; empty where there is one")
    rotations: tuple[AfterRotation, ...] = Field(description="In order")


class Need(Told):
    """What somebody with a mark to come needs for one thing."""

    entry: Entry = Field(description="The gymnast")
    list: str = Field(description="all-around, or the code of the apparatus")
    aim: Literal["lead", "medal", "cut"] = Field(description="A medal: one of the first three")
    cut: str = Field(description="The name of the cut, if it is one")
    apparatus: tuple[str, ...] = Field(description="What the mark is made on; several: their sum")
    ties: Decimal | None = Field(description="The mark that ties, where one does")
    tie: Literal["reached", "shared", "missed", "open", ""] = Field(
        description="What the rules make of that mark"
    )
    if_score: Literal["", "E", "D"] = Field(description="The score that an open tie hangs on")
    at_least: Decimal | None = Field(description="The least such score that is enough")
    even: Decimal | None = Field(description="With this one it hangs on what is compared next")
    wins: Decimal = Field(description="The least mark that is enough as it stands; 0.000: any")
    safe: Decimal | None = Field(
        description="The least mark that is enough whatever the others do; null: none, or unknown"
    )
    words: str = Field(description="The whole of it in sentences, as printed")


class Prospect(Told):
    """Where somebody can still end."""

    key: Entry = Field(description="The gymnast's entry, or the team's number")
    complete: bool = Field(description="No mark is to come")
    best: Place = Field(description="The best place that is still possible")
    worst: int = Field(ge=1, description="The worst place, if all marks are made")


class CutChances(Told):
    """What a cut can still mean."""

    cut: str = Field(description="The name of the cut")
    sure: tuple[Entry, ...] = Field(description="Who goes through whatever happens")
    out: tuple[Entry, ...] = Field(description="Who no longer can")


class Open(Told):
    """What is decided of one list with marks to come, if no mark surpasses the highest."""

    list: str = Field(description="all-around, team, or the code of the apparatus")
    prospects: tuple[Prospect, ...] = Field(description="Everybody who can take a place")
    cuts: tuple[CutChances, ...] = Field(description="The cuts, but those by per cent")


class Incident(Told):
    """One thing that happened in a routine."""

    what: str = Field(description="What happened")
    deduction: Decimal = Field(description="What it cost")
    taken_from: Literal["E", "penalty"] = Field(description="The part of the mark it is taken from")
    note: str = Field(description="The meet's own remark; may be empty")
    source: str = Field(description="Where a common figure comes from; empty: given by the meet")


class Explanation(Told):
    """A routine in which something happened, and how it would have been without. No result."""

    entry: Entry = Field(description="The gymnast")
    apparatus: str = Field(description="The code of the apparatus")
    vault: Literal[1, 2] = Field(description="Which of two vaults; 1 on every other apparatus")
    incidents: tuple[Incident, ...] = Field(description="All that happened")
    mark: Decimal = Field(description="The mark as it is")
    mark_without: Decimal = Field(description="What it would be without the incidents")
    words: tuple[str, ...] = Field(description="What that would mean, list by list, as printed")


class NotRanked(Told):
    """Marks of one gymnast that no list of the competition takes."""

    entry: Entry = Field(description="The gymnast")
    list: str = Field(description="The list they are shown below: an apparatus, all-around, team")
    why: str = Field(description="Second vault, one vault, not in the all-around, guest, no team")
    reason: str = Field(description="The reason in words, as printed")
    routines: tuple[Routine, ...] = Field(description="The marks")


class Competition(Told):
    """One competition with all its lists."""

    id: str = Field(description="Its short, lasting name")
    title: str = Field(description="Its title")
    discipline: str = Field(description="men, women, or one of the meet's own")
    phase: Literal["qualification", "final"] = Field(description="Qualification or final")
    day: str | None = Field(description="The day, as YYYY-MM-DD")
    time: str = Field(description="When it begins; may be empty")
    apparatus: tuple[str, ...] = Field(description="The codes of its apparatus, in order")
    complete: bool = Field(description="No mark is to come on any list")
    marks_of: tuple[str, ...] = Field(description="Ids of those whose marks count here too")
    days: tuple[str, ...] = Field(description="Ids of those whose totals are added here")
    carried_from: tuple[str, ...] = Field(description="Ids of those half of whose marks is carried")
    rules: Rules = Field(description="The rules it was placed by")
    starts: tuple[Start, ...] = Field(description="Who starts, in the order of the roster")
    start_lists: tuple[StartList, ...] = Field(
        description="The start lists of a final; empty where the roster says who starts when"
    )
    all_around: Ranking | None = Field(description="The all-around, where it is ranked")
    by_apparatus: tuple[Ranking, ...] = Field(description="Each apparatus, where they are ranked")
    team: TeamRanking | None = Field(description="The teams, where there are any")
    not_ranked: tuple[NotRanked, ...] = Field(description="The marks that no list takes")
    standings: tuple[SessionStandings, ...] = Field(
        description="After each rotation, where rotations are known"
    )
    highest: Decimal | None = Field(description="No mark to come is taken to surpass it")
    needs: tuple[Need, ...] = Field(description="While marks are to come, in order of start")
    open: tuple[Open, ...] = Field(
        description="While marks are to come and a highest mark is known: what is decided"
    )
    explanations: tuple[Explanation, ...] = Field(
        description="What incidents cost: explanations, and no part of the results"
    )


class Apparatus(Told):
    """An apparatus of the meet."""

    code: str = Field(description="Its code")
    name: str = Field(description="Its name, as printed")


class Correction(Told):
    """Something that was published and is otherwise now."""

    publication: int = Field(ge=1, description="The publication that corrected it")
    competition: str = Field(description="The id of its competition; may be empty")
    bib: str = Field(description="The gymnast's bib; empty: the whole competition")
    apparatus: str = Field(description="The code; empty: all of the gymnast's marks")
    vault: Literal[1, 2] = Field(description="Which of two vaults; 1 on every other apparatus")
    old: str = Field(description="The mark or status that was published; may be empty")
    new: str = Field(description="The mark or status that stands now; may be empty")
    what: str = Field(description="What is otherwise where it is no mark: name, club, title ...")
    gone: bool = Field(description="The mark, the gymnast or the competition was withdrawn")
    why: tuple[str, ...] = Field(description="The reasons that were given")
    decided: tuple[str, ...] = Field(description="Who decided, and when, for each reason")


class WholeResults(Told):
    """The whole results of a meet: everything that pages and books show, for a program to check."""

    json_schema: str = Field("results.schema.json", alias="$schema", description="This schema")
    format: Literal["resultsgen results"] = Field(description="The name of this format")
    version: str = Field(
        pattern=r"^[0-9]+\.[0-9]+$",
        description="Of this format; the first number changes when it must be read otherwise",
    )
    meet: Meet = Field(description="The meet as a whole")
    apparatus: tuple[Apparatus, ...] = Field(description="Every apparatus of the meet")
    gymnasts: tuple[Gymnast, ...] = Field(description="Every row of the roster, by name")
    competitions: tuple[Competition, ...] = Field(description="In the order of the meet")
    publication: int = Field(ge=0, description="The number of this publication; 0: none yet")
    corrections: tuple[Correction, ...] = Field(description="The first correction first")


def schema() -> dict[str, Any]:
    """The JSON Schema of `results.json`."""
    made = WholeResults.model_json_schema(by_alias=True)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return head | made | {"title": f"resultsgen results, format {VERSION}"}


def schema_text() -> str:
    """The schema as it is shipped and laid beside the results."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"
