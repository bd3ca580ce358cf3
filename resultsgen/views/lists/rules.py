"""The rules of a competition in plain words, made from the same data that places it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.meet.ruleset import RuleSet, Source, TieList, TieRule
from resultsgen.rules.criteria import criteria
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.rule_overrides import override_sentences
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.views.words.reasons import BODY_WORDS, cut_rule_sentence, named_criterion
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Passage:
    """A heading and the sentences below it."""

    heading: str
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class RulesView:
    """What holds in one competition."""

    id: str
    title: str
    target: str
    rule_set: str
    about: str
    passages: tuple[Passage, ...]
    sources: tuple[str, ...]


def rules_view(one: CompetitionResults, wording: Wording) -> RulesView:
    """Rule set, marks, ties, lists, cuts and sources of one competition."""
    rules = one.rule_set
    passages = (
        Passage(
            wording.say("Where this meet departs from the rule set"),
            tuple(override_sentences(one, wording)),
        ),
        Passage(wording.say("Marks"), tuple(mark_sentences(one, wording))),
        Passage(wording.say("Ties"), tuple(tie_sentences(one, wording))),
        Passage(wording.say("Without a place"), tuple(unranked_sentences(rules, wording))),
        Passage(wording.say("Teams"), tuple(team_sentences(one, wording))),
        Passage(wording.say("Qualification"), tuple(cut_sentences(one, wording))),
    )
    return RulesView(
        one.competition.id,
        one.competition.title,
        list_target(one.competition.id, OVERVIEW),
        wording.say(rules.title),
        wording.say(rules.about.strip()),
        tuple(passage for passage in passages if passage.sentences),
        tuple(source_words(source, wording) for source in rules.sources),
    )


def mark_sentences(one: CompetitionResults, wording: Wording) -> Iterator[str]:
    """How a mark is made up, and what a total is."""
    rules, say = one.rule_set, wording.say
    names = ", ".join(wording.apparatus(code) for code in one.apparatus)
    yield say("Apparatus, in this order: {names}.", names=names)
    if rules.marks.composition == "d+e":
        if rules.marks.bonus:
            yield say("A mark is D score + E score + bonus − penalty.")
        else:
            yield say("A mark is D score + E score − penalty.")
    yield say("Marks are exact to a thousandth and never rounded in a sum.")
    if rules.marks.highest is not None:
        highest = wording.language.mark(rules.marks.highest)
        yield say("The highest mark possible is {mark}.", mark=highest)
    if rules.marks.step > 1:
        step = wording.language.mark(rules.marks.step)
        yield say("Marks go in steps of {step}.", step=step)
    yield from total_sentences(one, wording)
    if one.competition.vaults == 2 and "VT" in one.by_apparatus:
        yield say(
            "The vault list ranks the average of two vaults, of those who do two; the first alone "
            "counts elsewhere."
        )
        if rules.vault.one == "below two":
            yield say("Those who did one vault are placed below them, by its mark.")
        if rules.vault.averaging == "cut":
            yield say("Half a thousandth of an average is cut off.")
        else:
            yield say("Half a thousandth of an average is rounded up.")


def total_sentences(one: CompetitionResults, wording: Wording) -> Iterator[str]:
    """What a total is made of beside the marks of the competition, and who has none."""
    say, rules = wording.say, one.rule_set.totals
    terms = next((ranking.terms for ranking in one.rankings if ranking.terms), ())
    days = [term.title for term in terms if term.kind == "day"]
    if days:
        yield say("The totals of {days} are added.", days=wording.language.listed(days))
    elif terms:
        yield say("Half of the two marks of the qualification is carried into the final.")
        if rules.averaging == "cut":
            yield say("Half a thousandth of what is carried is cut off.")
        else:
            yield say("Half a thousandth of what is carried is rounded up.")
        if any(_rule(one, kind).criteria for kind, *_ in _kinds(one, wording)):
            yield say("Equal totals are compared by the marks of the final alone.")
    if one.all_around and rules.incomplete != "no place":
        yield say("Everybody is placed by the marks there are, also who lacks some.")


def tie_sentences(one: CompetitionResults, wording: Wording) -> Iterator[str]:
    """For each kind of list, what is compared and in which order."""
    for kind, title, parts in _kinds(one, wording):
        told = _criteria_words(_rule(one, kind), parts, wording)
        yield wording.language.headed(title, told)
    yield equals_sentence(one, wording)


def equals_sentence(one: CompetitionResults, wording: Wording) -> str:
    """In which order lists print those who are equal, placed or not."""
    if one.equals == "bib":
        return wording.say("Those who are equal stand in order of bib.")
    return wording.say("Those who are equal stand in order of name.")


def _rule(one: CompetitionResults, kind: TieList) -> TieRule:
    return one.rule_set.tie_rule(kind, one.competition.phase)


def _kinds(one: CompetitionResults, wording: Wording) -> Iterator[tuple[TieList, str, int]]:
    say = wording.say
    if one.all_around:
        yield "all-around", say("All-around"), len(one.apparatus)
    if one.by_apparatus:
        yield "apparatus", say("Apparatus"), 1
        if one.competition.vaults == 2 and "VT" in one.by_apparatus:
            yield "vault-average", say("Average of two vaults"), 2
    if one.team:
        yield "team", say("Team"), len(one.apparatus)
        team, days = one.competition.team, one.competition.days
        if team and _rule(one, "team-apparatus").criteria:
            yield "team-apparatus", say("Team on one apparatus"), team.count * max(len(days), 1)


def _criteria_words(rule: TieRule, parts: int, wording: Wording) -> str:
    """Those with an equal total: first the best 3 apparatus, then ... else shared."""
    steps = criteria(rule.criteria, parts)
    if not steps:
        return wording.say("equal totals share the place.")
    words = [named_criterion(step, wording.language) for step in steps]
    first, *then = words
    story = "".join(wording.say(", then {criterion}", criterion=word) for word in then)
    return wording.say(
        "equal totals are told apart by {first}{story}; those equal on everything share the place.",
        first=first,
        story=story,
    )


def unranked_sentences(rules: RuleSet, wording: Wording) -> Iterator[str]:
    """Where those without a place and the guests stand."""
    order = ", ".join(rules.unranked.order)
    yield wording.say("Below those who are placed, without a place, stand in this order: {order}.",
                      order=order)  # fmt: skip
    if rules.unranked.dnf == "sum so far":
        yield wording.say(
            "Those who did not finish stand in order of the sum of their marks, and take no place."
        )
    if rules.guests.stand == "by mark":
        yield wording.say("Guests stand among the others by their mark and take no place.")
    else:
        yield wording.say("Guests stand below the others and take no place.")


def team_sentences(one: CompetitionResults, wording: Wording) -> Iterator[str]:
    """How a team is made up and counted."""
    team = one.competition.team
    if team and one.team:
        yield wording.say(
            "{size} in a team, {up} of them on each apparatus, the best {count} marks count.",
            size=team.size,
            up=team.up,
            count=team.count,
        )
        if team.by != "team" and not one.competition.entered_from:
            yield wording.say(
                "A {body} with fewer gymnasts than marks count is no team: its gymnasts are "
                "individuals.",
                body=wording.say(BODY_WORDS[team.by]),
            )
        usual = one.rule_set.teams
        if usual and usual.of(one.competition.phase) == team.format:
            yield wording.say("That is the usual format of the rule set.")


def cut_sentences(one: CompetitionResults, wording: Wording) -> Iterator[str]:
    """Each cut of each list; a cut taken from every apparatus is told once."""
    told = dict.fromkeys(
        wording.say(
            "{head}: {text}.",
            head=result.cut.name,
            text=cut_rule_sentence(result, wording.language),
        )
        for ranking in one.rankings
        for result in ranking.cuts
    )
    yield from told
    if told and one.rule_set.cuts.tie_on_last_place == "all go through":
        yield wording.say(
            "A tie for the last place that cannot be broken lets all of them through."
        )
    elif told:
        yield wording.say(
            "A tie for the last place that cannot be broken is left to the order of the list."
        )
    if any(result.quota.reserves for ranking in one.rankings for result in ranking.cuts):
        yield wording.say("Equal reserves share the number, unless the jury put them in order.")
        yield wording.say("Reserves keep their numbers when one of them is called up.")


def source_words(source: Source, wording: Wording) -> str:
    """A source in one line."""
    say = wording.say
    named = ", ".join(filter(None, (say(source.document), say(source.section), source.year)))
    return f"{named} ({say(source.note)})" if source.note else named
