"""The rules of a competition in plain words, made from the same data that places it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from resultsgen.language import Language, to_say
from resultsgen.meet.ruleset import RuleSet, Source, TieList, TieRule
from resultsgen.rules.criteria import criteria
from resultsgen.scoring.ranking import CutResult
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.rule_changes import LISTS, override_sentences
from resultsgen.views.lists.table import Column, Table, plain_table
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.views.words.cuts import BODY_WORDS
from resultsgen.views.words.reasons import body_word, named_criterion
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


@dataclass(frozen=True)
class RuleSetView:
    """A rule set once: what holds wherever it is applied, and what in some competitions only."""

    title: str
    about: str
    applied: tuple[RulesView, ...]
    """What holds in each competition that goes by it."""
    passages: tuple[Passage, ...]
    """What holds in all of them."""
    differences: tuple[Table, ...]
    """The rest in one table; none where there is no rest."""
    sources: tuple[str, ...]


def rule_sets(
    competitions: Sequence[CompetitionResults], wording: Wording
) -> tuple[RuleSetView, ...]:
    """Each rule set that is applied, in the order of the competitions."""
    views: dict[str, list[RulesView]] = {}
    for judged in competitions:
        view = rules_view(judged, wording)
        views.setdefault(view.rule_set, []).append(view)
    return tuple(_together(f"rules-{n}", each, wording) for n, each in enumerate(views.values(), 1))


def _together(id: str, views: list[RulesView], wording: Wording) -> RuleSetView:
    where: dict[Passage, list[RulesView]] = {}
    for view in views:
        for passage in view.passages:
            for sentence in passage.sentences:
                where.setdefault(Passage(passage.heading, (sentence,)), []).append(view)
    alike = [one for one, inside in where.items() if len(inside) == len(views)]
    common = (
        Passage(heading, tuple(one.sentences[0] for one in group))
        for heading, group in groupby(alike, key=lambda one: one.heading)
    )
    apart: dict[str, list[str]] = {}
    for one, inside in where.items():
        if one not in alike:
            titles = " · ".join(view.title for view in inside)
            apart.setdefault(titles, []).append(one.sentences[0])
    say = wording.say
    columns = (
        Column(say("Competition"), "name", width=2.6),
        Column(say("What holds there"), "text", width=4.8),
    )
    rows = ((titles, " ".join(sentences)) for titles, sentences in apart.items())
    table = plain_table(id, say("Where competitions differ"), columns, rows, id, 1)
    first = views[0]
    return RuleSetView(
        first.rule_set, first.about, tuple(views), tuple(common), (table,) * bool(apart),
        first.sources,
    )  # fmt: skip


def rules_view(judged: CompetitionResults, wording: Wording) -> RulesView:
    """Rule set, marks, ties, lists, cuts and sources of one competition."""
    rules, say = judged.rule_set, wording.say
    passages = (
        (say("Where this meet departs from the rule set"), override_sentences(judged, wording)),
        (say("Marks"), mark_sentences(judged, wording)),
        (say("Ties"), tie_sentences(judged, wording)),
        (say("Without a place"), unranked_sentences(rules, wording)),
        (say("Teams"), team_sentences(judged, wording)),
        (say("Qualification"), cut_sentences(judged, wording)),
    )
    made = (Passage(heading, tuple(sentences)) for heading, sentences in passages)
    return RulesView(
        judged.competition.id,
        wording.called(judged.competition.title),
        list_target(judged.competition.id, OVERVIEW),
        say(rules.title),
        say(rules.about.strip()),
        tuple(passage for passage in made if passage.sentences),
        tuple(_source_words(source, wording) for source in rules.sources),
    )


def _source_words(source: Source, wording: Wording) -> str:
    say = wording.say
    named = ", ".join(filter(None, (say(source.document), say(source.section), source.year)))
    return f"{named} ({say(source.note)})" if source.note else named


def mark_sentences(judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """How a mark is made up, and what a total is."""
    rules, say = judged.rule_set, wording.say
    names = ", ".join(wording.apparatus(code) for code in judged.apparatus)
    yield say("Apparatus, in this order: {names}.", names=names)
    if rules.marks.composition == "d+e":
        yield say(
            "A mark is D score + E score + bonus − penalty."
            if rules.marks.bonus
            else "A mark is D score + E score − penalty."
        )
    yield say("Marks are exact to a thousandth and never rounded in a sum.")
    if rules.marks.highest is not None:
        highest = wording.language.mark(rules.marks.highest)
        yield say("The highest mark possible is {mark}.", mark=highest)
    if rules.marks.step > 1:
        step = wording.language.mark(rules.marks.step)
        yield say("Marks go in steps of {step}.", step=step)
    yield from _total_sentences(judged, wording)
    if _averages_vaults(judged):
        yield say(
            "The vault list ranks the average of two vaults, of those who do two; the first alone "
            "counts elsewhere."
        )
        if rules.vault.one == "below two":
            yield say("Those who did one vault are placed below them, by its mark.")
        yield say(
            "Half a thousandth of an average is cut off."
            if rules.vault.averaging == "cut"
            else "Half a thousandth of an average is rounded up."
        )


def _averages_vaults(judged: CompetitionResults) -> bool:
    return judged.competition.vaults == 2 and "VT" in judged.by_apparatus


def _total_sentences(judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """What a total is made of beside the marks of the competition, and who has none."""
    say, rules = wording.say, judged.rule_set.totals
    terms = next((ranking.terms for ranking in judged.rankings if ranking.terms), ())
    days = [wording.called(term.title) for term in terms if term.kind == "day"]
    if days:
        yield say("The totals of {days} are added.", days=wording.language.listed(days))
    elif terms:
        yield say("Half of the two marks of the qualification is carried into the final.")
        yield say(
            "Half a thousandth of what is carried is cut off."
            if rules.averaging == "cut"
            else "Half a thousandth of what is carried is rounded up."
        )
        if any(rule.criteria for _, rule, _ in _tie_rules(judged)):
            yield say("Equal totals are compared by the marks of the final alone.")
    if judged.all_around and rules.incomplete != "no place":
        yield say("Everybody is ranked on the marks there are, also who lacks some.")


def tie_sentences(judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """For each kind of list, what is compared and in which order; and how equals are printed."""
    say, language = wording.say, wording.language
    for kind, rule, parts in _tie_rules(judged):
        words = [named_criterion(step, language) for step in criteria(rule.criteria, parts)]
        story = "".join(say(", then {criterion}", criterion=word) for word in words[1:])
        sentence = (
            say(
                "equal totals are told apart by {first}{story}; those equal on everything share "
                "the place.",
                first=words[0], story=story,
            )
            if words
            else say("equal totals share the place.")
        )  # fmt: skip
        yield language.headed(say(LISTS[kind]), sentence)
    yield say(
        "Those who are equal stand in order of bib."
        if judged.equals == "bib"
        else "Those who are equal stand in order of name."
    )


def _tie_rules(judged: CompetitionResults) -> Iterator[tuple[TieList, TieRule, int]]:
    """For each kind of list there is, how its ties are broken, and how many parts a total has."""
    there: dict[TieList, object] = {
        "all-around": judged.all_around,
        "apparatus": judged.by_apparatus,
        "vault-average": _averages_vaults(judged),
        "team": judged.team,
        "team-apparatus": judged.team,
    }
    for kind, parts in judged.tie_parts.items():
        rule = judged.rule_set.tie_rule(kind, judged.competition.phase)
        if there[kind] and (kind != "team-apparatus" or rule.criteria):
            yield kind, rule, parts


def unranked_sentences(rules: RuleSet, wording: Wording) -> Iterator[str]:
    """Where those without a place and the guests stand."""
    say, order = wording.say, ", ".join(rules.unranked.order)
    yield say("Below those who are placed, without a place, stand in this order: {order}.",
              order=order)  # fmt: skip
    if rules.unranked.dnf == "sum so far":
        yield say(
            "Those who did not finish stand in order of the sum of their marks, and take no place."
        )
    yield say(
        "Guests stand among the others by their mark and take no place."
        if rules.guests.stand == "by mark"
        else "Guests stand below the others and take no place."
    )


def team_sentences(judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """How a team is made up and counted."""
    team, say = judged.competition.team, wording.say
    if team and judged.team:
        told = wording.language.count(
            "{size} in a team, {up} of them on each apparatus, the best mark counts.",
            "{size} in a team, {up} of them on each apparatus, the best {n} marks count.",
            team.count, size=team.size, up=team.up,
        )  # fmt: skip
        usual = judged.rule_set.teams
        if usual and usual.of(judged.competition.phase) == team.format:
            told += " " + say("That is the usual format of the rule set.")
        yield told
        if team.by != "team" and not judged.competition.entered_from:
            yield say(
                "A {body} with fewer gymnasts than marks count is no team: its gymnasts are "
                "individuals.",
                body=say(BODY_WORDS[team.by]),
            )


def cut_sentences(judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """Each cut of each list; a cut taken from every apparatus is told once."""
    say, language = wording.say, wording.language
    cuts = [cut for ranking in judged.rankings for cut in ranking.cuts]
    told = ((wording.called(cut.cut.name), cut_rule_sentence(cut, language)) for cut in cuts)
    yield from dict.fromkeys(say("{head}: {text}.", head=head, text=text) for head, text in told)
    if cuts:
        yield say(
            "With a tie for the last place that cannot be broken, all of them qualify."
            if judged.rule_set.cuts.tie_on_last_place == "all qualify"
            else "A tie for the last place that cannot be broken is left to the order of the list."
        )
    if any(cut.quota.reserves for cut in cuts):
        yield say("Equal reserves share the number, unless the jury put them in order.")
        yield say("Reserves keep their numbers when one of them is called up.")


def cut_rule_sentence(result: CutResult, language: Language) -> str:
    """The cut itself in plain words: places, cap, reserves, minimum."""
    quota, body = result.quota, body_word(result, language)
    clauses = [_places_clause(result, body, language)]
    if quota.cap and not quota.of_each:
        words = to_say("at most {cap} per {body}, reserves not counted")
        if quota.reserves_count:
            words = to_say("at most {cap} per {body}, reserves included")
        clauses.append(language.say(words, cap=quota.cap, body=body))
    if quota.reserves and quota.of_each:
        clauses.append(
            language.count(
                "{n} reserve of each {body}", "{n} reserves of each {body}",
                quota.reserves, body=body,
            )
        )  # fmt: skip
    elif quota.reserves:
        clauses.append(language.count("{n} reserve", "{n} reserves", quota.reserves))
    if quota.minimum is not None:
        least = language.mark(quota.minimum)
        clauses.append(language.say("a minimum of {mark} is needed", mark=least))
    if result.usual:
        clauses.append(language.say("as is usual by the rule set"))
    return ", ".join(clauses)


def _places_clause(result: CutResult, body: str, language: Language) -> str:
    cut, places = result.cut, result.quota.places
    if cut.each is not None:
        return language.count(
            "the best of each {body} qualifies", "the best {n} of each {body} qualify",
            places, body=body,
        )  # fmt: skip
    if cut.percent is None:
        return language.count("{n} qualifies", "the best {n} qualify", places)
    if cut.percent == 100:
        return language.say("everybody who is placed qualifies")
    words = to_say(
        "the best {n} per cent of those placed qualify, a fraction of a place counting as none"
    )
    if cut.rounding == "up":
        words = to_say(
            "the best {n} per cent of those placed qualify, a fraction of a place counting as one"
        )
    return language.say(words, n=cut.percent)
