"""Facts of the running meet for Markdown pages: how it stood, how the lead went, what is needed."""

from __future__ import annotations

from resultsgen.live.competition import live
from resultsgen.live.standings import LiveSession
from resultsgen.scoring.results import Line, Ranking
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.standings import listed_sessions
from resultsgen.views.live.need_words import NeedWords
from resultsgen.views.people.finding import (
    Asked,
    Entry,
    chosen,
    entry,
    found_gymnasts,
    found_line,
    found_list,
    missing,
)
from resultsgen.views.words.wording import Wording, wording


def standing(
    asked: Asked,
    competition: str = "",
    rotation: int = 0,
    list: str = "all-around",
    session: str = "",
) -> tuple[Entry, ...]:
    """The rows of those who had done most apparatus after a rotation; of the last if not said."""
    ranking = found_list(asked, competition, list)
    by_session = _session(asked, ranking, session)
    after = {one.rotation: one for one in by_session.standings}
    if rotation not in (0, *after) or not after:
        there_are = ", ".join(map(str, after)) or "none yet"
        message = f"there is no rotation {rotation or ''}; there are: {there_are}"
        raise missing(asked, ranking.competition, message)
    found = after[rotation or max(after)].leading
    return tuple(
        entry(ranking.by_key[one.key], one.place, one.total, asked.language) for one in found
    )


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
    now = live(asked.results)[ranking.competition]
    keys = {one.key for one in found_gymnasts(asked, who)}
    own = [need for gymnast in now.needs if gymnast.key in keys for need in gymnast.needs]
    about = [need for need in own if (need.aim, need.list) == ("lead", ranking.id)]
    names = {key: shown_name(one, _words(asked)) for key, one in asked.results.gymnasts.items()}
    if not about:
        return _nothing_needed(asked, ranking, found_line(asked, ranking, who))
    highest = now.bound.mark if now.bound else None
    return NeedWords(about[-1], names.__getitem__, _words(asked), highest).sentence


def _nothing_needed(asked: Asked, ranking: Ranking, line: Line) -> str:
    """Why a list asks nothing of a gymnast; of an apparatus whose turn is later, not yet known."""
    who, words = asked.results.gymnasts[line.key], _words(asked)
    name = shown_name(who, words)
    if who.guest or line.status:
        return words.say("{name} takes no place.", name=name)
    if who.key in ranking.coming:
        raise missing(asked, ranking.competition, f"{name} has another apparatus to do first")
    head = words.list_name(ranking.id) if ranking.kind == "apparatus" else ""
    return words.language.headed(head, words.say("{name} has no mark to come.", name=name))


def leading(asked: Asked, competition: str) -> list[str]:
    """Who leads an all-around with marks to come."""
    now = live(asked.results)[competition].lists.get("all-around")
    people = asked.results.gymnasts
    return [shown_name(people[key], _words(asked)) for key in now.leading] if now else []


def _words(asked: Asked) -> Wording:
    return wording(asked.results.meet.settings, asked.language)


def _session(asked: Asked, ranking: Ranking, session: str) -> LiveSession:
    """The one session that is meant; with no name, the only one there is."""
    one = asked.results.competition(ranking.competition)
    found = {
        told.session: told
        for listed, told in listed_sessions(asked.results, one)
        if listed.kind == ranking.kind
    }
    if not found:
        message = f"no rotations of this list are known in {ranking.competition}"
        raise missing(asked, ranking.competition, message)
    return chosen(session, found, f"session in {ranking.competition}")
