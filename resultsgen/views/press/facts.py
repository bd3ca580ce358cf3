"""The facts that a Markdown page may call on, so that nobody types a number that is known here.

Each fact is a function of what is asked about and gives text, or rows of text. Names are taken
as people write them: a competition by its id or title, a list by an apparatus code or name,
`all-around` or `team`, a gymnast by bib or name. What is not there is a LookupError whose message
says what there is; what is not decided yet, a NotDecidedError.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from resultsgen.live.competition import in_front, live
from resultsgen.live.notable import NOTABLE, NotableFact
from resultsgen.live.standings import LiveSession, Standing
from resultsgen.rules.ties import Tie
from resultsgen.scoring.ranking import CutResult, Line, Ranking
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.standings import listed_sessions
from resultsgen.views.live.needs import NeedWords
from resultsgen.views.people.finding import (
    Asked,
    ListEntry,
    NotDecidedError,
    Remarked,
    chosen,
    entry,
    found_apparatus,
    found_competition,
    found_cut,
    found_gymnasts,
    found_line,
    found_list,
    found_person,
    missing,
)
from resultsgen.views.press.notable import notable_facts
from resultsgen.views.site.addresses import gymnast_target, list_target


@dataclass(frozen=True, slots=True)
class Reference:
    """A text that leads to a page of the site."""

    text: str
    target: str


def winner(asked: Asked, competition: str = "", list: str = "all-around") -> str:
    """Who won; all of them where the first place is shared."""
    rows = _entries(asked, _decided(asked, found_list(asked, competition, list)))
    return asked.language.listed([row.name for row in rows if row.place == "1"])


def won(asked: Asked, competition: str = "", list: str = "all-around") -> str:
    """Who won, or was first, by how much, and what settled it where the totals are equal."""
    ranking = _decided(asked, found_list(asked, competition, list))
    told = (
        fact.sentence
        for fact in notable_facts(asked.results, asked.words, ranking.competition)
        if fact.rests_on.list == ranking.id
        and (fact.kind in ("won", "first") or _is_of_the_first(fact.rests_on.fact))
    )
    return " ".join(told)


def leader(asked: Asked, competition: str = "", list: str = "all-around") -> str:
    """Who leads as it stands, while marks are still to come."""
    ranking = found_list(asked, competition, list)
    names = [row.name for row in _entries(asked, ranking) if row.place == "1"]
    if not names:
        message = f"nobody leads {ranking.id} in {ranking.competition}"
        raise missing(asked, ranking.competition, message)
    return asked.language.listed(names)


def podium(asked: Asked, competition: str = "", list: str = "all-around") -> tuple[ListEntry, ...]:
    """The rows placed first, second and third, once the list is complete."""
    ranking = _decided(asked, found_list(asked, competition, list))
    return tuple(row for row in _entries(asked, ranking) if row.place in ("1", "2", "3"))


def ranking(
    asked: Asked, competition: str = "", list: str = "all-around", first: int = 0
) -> tuple[ListEntry, ...]:
    """The rows of a list in order, as it stands; with *first* only so many of them."""
    rows = _entries(asked, found_list(asked, competition, list))
    return rows[:first] if first else rows


def place(asked: Asked, competition: str, who: str, list: str = "all-around") -> str:
    """The place of a gymnast or a team."""
    line = found_line(asked, found_list(asked, competition, list), who)
    if line.place is None:
        raise _not_in(asked, competition, line, "place")
    return str(line.place)


def total(asked: Asked, competition: str, who: str, list: str = "all-around") -> str:
    """The total of a gymnast or a team: what the list is ordered by."""
    line = found_line(asked, found_list(asked, competition, list), who)
    if line.total is None:
        raise _not_in(asked, competition, line, "total")
    return asked.language.mark(line.total)


def mark(asked: Asked, competition: str, who: str, apparatus: str, vault: int = 1) -> str:
    """The mark of a gymnast on an apparatus."""
    return asked.language.mark(_given(asked, competition, who, apparatus, vault, "mark"))


def d_score(asked: Asked, competition: str, who: str, apparatus: str, vault: int = 1) -> str:
    """The D score of a routine."""
    return asked.language.short(_given(asked, competition, who, apparatus, vault, "d"))


def e_score(asked: Asked, competition: str, who: str, apparatus: str, vault: int = 1) -> str:
    """The E score of a routine."""
    return asked.language.mark(_given(asked, competition, who, apparatus, vault, "e"))


def penalty(asked: Asked, competition: str, who: str, apparatus: str, vault: int = 1) -> str:
    """The penalty of a routine."""
    return asked.language.short(_given(asked, competition, who, apparatus, vault, "penalty"))


def margin(asked: Asked, competition: str = "", list: str = "all-around") -> str:
    """How far the first stands ahead of the second; 0.000 where their totals are equal."""
    placed = _placed(_decided(asked, found_list(asked, competition, list)))
    if len(placed) < 2:
        raise LookupError("a margin needs two who are placed")
    (first, total), (second, less) = placed[:2]
    if first.below or second.below:
        raise LookupError("a margin needs two who did two vaults")
    shown, name = asked.language.mark(total - less), f'"{competition}", "{list}"'
    remark = f"the first two have the same total, so that nothing is won by {shown}; won({name}) "
    return shown if total > less else Remarked(shown, f"{remark}says what settled it")


def behind(asked: Asked, competition: str, who: str, list: str = "all-around") -> str:
    """How far a gymnast or a team stands behind the first."""
    ranking = found_list(asked, competition, list)
    line = found_line(asked, ranking, who)
    if line.place is None or line.total is None:
        raise _not_in(asked, competition, line, "place")
    if line.below:
        raise LookupError(f"{who} did one vault, which is compared with no average")
    _, most = _placed(ranking)[0]
    return asked.language.mark(most - line.total)


def best(asked: Asked, competition: str = "", list: str = "all-around") -> ListEntry:
    """The row on top of a list as it stands; the first of those who share the place."""
    ranking = found_list(asked, competition, list)
    rows = _entries(asked, ranking, in_front(asked.results, ranking)[:1])
    if not rows:
        raise missing(asked, ranking.competition, f"nobody is placed in {_called(ranking)}")
    return rows[0]


def qualified(
    asked: Asked, competition: str, cut: str = "", apparatus: str = ""
) -> tuple[ListEntry, ...]:
    """Those who start in what a cut leads to: qualified and not withdrawn, or called up."""
    ranking, result = _final_cut(asked, competition, cut, apparatus)
    return _entries(asked, ranking, [ranking.by_key[line.key] for line in result.starting])


def reserves(
    asked: Asked, competition: str, cut: str = "", apparatus: str = ""
) -> tuple[ListEntry, ...]:
    """The reserves of a cut in order, without those who were called up or withdrew."""
    ranking, result = _final_cut(asked, competition, cut, apparatus)
    return _entries(asked, ranking, [ranking.by_key[line.key] for line in result.waiting])


def name(asked: Asked, who: str) -> str:
    """The name of a gymnast."""
    return shown_name(found_person(asked, who), asked.words)


def club(asked: Asked, who: str) -> str:
    """The club of a gymnast."""
    return found_person(asked, who).club


def federation(asked: Asked, who: str) -> str:
    """The federation or region of a gymnast."""
    return found_person(asked, who).federation


def link(asked: Asked, who: str, text: str = "") -> Reference:
    """The name of a gymnast (or another text), leading to the gymnast's page."""
    gymnast = found_person(asked, who)
    return Reference(text or name(asked, who), gymnast_target(gymnast))


def list_link(asked: Asked, competition: str, list: str, text: str = "") -> Reference:
    """The title of a list (or another text), leading to its page."""
    ranking = found_list(asked, competition, list)
    name = asked.words.list_name(ranking.id)
    words = text or asked.language.headed(title(asked, competition), name)
    return Reference(words, list_target(ranking.competition, ranking.id))


def title(asked: Asked, competition: str = "") -> str:
    """The title of a competition."""
    return asked.words.called(found_competition(asked, competition).competition.title)


def finished(asked: Asked, competition: str = "", list: str = "") -> bool:
    """Are all marks of a list in, or of the whole competition?"""
    if list:
        return found_list(asked, competition, list).to_come == 0
    return found_competition(asked, competition).complete


def gymnasts(asked: Asked, competition: str = "") -> int:
    """How many gymnasts start in a competition."""
    return len(found_competition(asked, competition).starts)


def notable(asked: Asked, competition: str = "", kind: str = "") -> tuple[str, ...]:
    """What is worth telling, a sentence each: of a competition or of all, of one kind or of all."""
    if kind and kind not in NOTABLE:
        raise LookupError(f'there is no kind "{kind}"; there are: {", ".join(NOTABLE)}')
    id = found_competition(asked, competition).competition.id if competition else ""
    told = (
        asked.language.headed(fact.list_name if id else fact.about, fact.sentence)
        for fact in notable_facts(asked.results, asked.words, id)
        if kind in ("", fact.kind)
    )
    return tuple(dict.fromkeys(told))


def standing(
    asked: Asked, competition: str = "", rotation: int = 0, list: str = "all-around",
    session: str = "",
) -> tuple[ListEntry, ...]:  # fmt: skip
    """The rows of those who had done most apparatus after a rotation; of the last if not said."""
    ranking = found_list(asked, competition, list)
    by_session = _session(asked, ranking, session)
    after = {each.rotation: each for each in by_session.standings}
    if rotation not in (0, *after) or not after:
        there_are = ", ".join(map(str, after)) or "none yet"
        message = f"there is no rotation {rotation or ''}; there are: {there_are}"
        raise missing(asked, ranking.competition, message)
    return _entries(asked, ranking, after[rotation or max(after)].leading)


def lead_changes(
    asked: Asked, competition: str = "", list: str = "all-around", session: str = ""
) -> int:
    """How often the lead changed from one rotation to the next."""
    return len(_session(asked, found_list(asked, competition, list), session).lead_changes)


def needs(asked: Asked, competition: str, who: str, list: str = "all-around") -> str:
    """What a gymnast with marks to come needs to lead a list, in a sentence."""
    ranking = found_list(asked, competition, list)
    if ranking.of_teams:
        raise LookupError("what is needed is told of gymnasts, not of teams")
    now, words = live(asked.results)[ranking.competition], asked.words
    keys = {gymnast.key for gymnast in found_gymnasts(asked, who)}
    own = [need for gymnast in now.needs if gymnast.key in keys for need in gymnast.needs]
    about = [need for need in own if (need.aim, need.list) == ("lead", ranking.id)]
    names = {key: shown_name(each, words) for key, each in asked.results.gymnasts.items()}
    if about:
        return NeedWords(about[-1], now, names.__getitem__, words).sentence
    # Why the list asks nothing; of an apparatus whose turn is later, not yet known.
    line = found_line(asked, ranking, who)
    name = names[line.key]
    if line.of.guest or line.status:
        return words.say("{name} takes no place.", name=name)
    if line.key in ranking.coming:
        raise missing(asked, ranking.competition, f"{name} has another apparatus to do first")
    head = words.list_name(ranking.id) if ranking.kind == "apparatus" else ""
    return words.language.headed(head, words.say("{name} has no mark to come.", name=name))


FACTS = (
    winner, won, leader, podium, ranking, place, total, mark, d_score, e_score, penalty, margin,
    behind, best, qualified, reserves, name, club, federation, link, list_link, title, finished,
    standing, lead_changes, needs, gymnasts, notable,
)  # fmt: skip
"""Every fact there is; `asked` is put in for the page."""


def _decided(asked: Asked, ranking: Ranking) -> Ranking:
    """The list, which must be complete: nobody has won while marks are to come."""
    if ranking.to_come:
        raise NotDecidedError(
            f"{_called(ranking)} is not decided: "
            f"marks of {ranking.to_come} are still to come (leader() and ranking() tell it so far)"
        )
    if not _placed(ranking):
        raise missing(asked, ranking.competition, f"nobody is placed in {_called(ranking)}")
    return ranking


def _called(ranking: Ranking) -> str:
    return f"{ranking.id} in {ranking.competition}"


def _not_in(asked: Asked, competition: str, line: Line, what: str) -> LookupError:
    """Somebody has no place or total: none at all with a status; else perhaps not yet."""
    message = f"{line.name} has no {what} in this list"
    whole = found_competition(asked, competition).competition.id
    return LookupError(message) if line.status else missing(asked, whole, message)


def _is_of_the_first(fact: NotableFact) -> bool:
    return isinstance(fact, Tie) and fact.places[0] == 1


def _placed(ranking: Ranking) -> list[tuple[Line, int]]:
    """Those who have a place, in order, each with the total."""
    return [
        (line, line.total)
        for line in ranking.lines
        if line.place is not None and line.total is not None
    ]


def _entries(
    asked: Asked, ranking: Ranking, lines: Iterable[Line | Standing] | None = None
) -> tuple[ListEntry, ...]:
    """These lines of a list as text; if not said which, those in front."""
    told = in_front(asked.results, ranking) if lines is None else lines
    return tuple(entry(ranking.by_key[one.key], one.place, one.total, asked.words) for one in told)


def _final_cut(
    asked: Asked, competition: str, cut: str, apparatus: str
) -> tuple[Ranking, CutResult]:
    ranking, result = found_cut(asked, competition, cut, apparatus)
    if not result.final:
        name = asked.words.called(result.cut.name)
        raise NotDecidedError(f"{name} is not decided: marks are still to come")
    return ranking, result


def _given(asked: Asked, competition: str, who: str, apparatus: str, vault: int, part: str) -> int:
    whole = found_competition(asked, competition)
    code = found_apparatus(asked, whole, apparatus)
    for gymnast in found_gymnasts(asked, who):
        routine = whole.by_gymnast.get(gymnast.key, {}).get((code, vault))
        value: int | None = getattr(routine, part, None)
        if value is not None:
            return value
    what = {"d": "D score", "e": "E score"}.get(part, part)
    raise missing(asked, whole.competition.id, f"{who} has no {what} on {code} in {competition}")


def _session(asked: Asked, ranking: Ranking, session: str) -> LiveSession:
    """The one session that is meant; with no name, the only one there is."""
    one = asked.results.competition(ranking.competition)
    found = {
        told.session: told for listed, told in listed_sessions(one) if listed.kind == ranking.kind
    }
    if not found:
        message = f"no rotations of this list are known in {ranking.competition}"
        raise missing(asked, ranking.competition, message)
    return chosen(session, found, f"session in {ranking.competition}")
