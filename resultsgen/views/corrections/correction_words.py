"""Corrections and publications in words: sentences for pages, feed and tables."""

from __future__ import annotations

import datetime as dt

from resultsgen.history import Corrected, Issue
from resultsgen.history.publication import Publication
from resultsgen.meet.folder import Correction
from resultsgen.meet.marks import parse_mark
from resultsgen.views.corrections.published import Names
from resultsgen.views.lists.competitions import signatures
from resultsgen.views.words.wording import Wording


def moment(time: dt.datetime | None, wording: Wording) -> str:
    """A day and an hour; empty where nobody says when."""
    return f"{wording.language.date(time.date())}, {time:%H:%M}" if time else ""


def status_of(one: Publication, wording: Wording) -> str:
    """Provisional; or official, whether sealed, and who signed."""
    if one.state == "provisional":
        return wording.say("Provisional")
    state = wording.say("Official, sealed") if one.sealed else wording.say("Official")
    if not one.signed:
        return state
    return wording.say("{state}, signed by {names}", state=state, names=signatures(one.signed))


def publication_sentence(issue: Issue, wording: Wording) -> str:
    """What a publication changed, in numbers; of the first that it is the first."""
    count, made = wording.language.count, issue.changes
    corrected = len(issue.corrected)
    marks = [one for one in made.added if one.new and one.new.mark is not None]
    others = {(one.competition, one.key[0]) for one in made.added if one not in marks}
    told = [
        count("{n} mark added", "{n} marks added", len(marks)) if marks else "",
        count("{n} gymnast without a mark", "{n} gymnasts without a mark", len(others))
        if others
        else "",
        count("{n} gymnast added", "{n} gymnasts added", len(made.gymnasts_added))
        if made.gymnasts_added
        else "",
        count("{n} competition added", "{n} competitions added", len(made.competitions_added))
        if made.competitions_added
        else "",
        count("{n} correction", "{n} corrections", corrected) if corrected else "",
    ]
    said = ", ".join(filter(None, (*told, _withdrawals(issue, wording), _became(issue, wording))))
    if issue.publication.number == 1:
        return ", ".join(filter(None, (wording.say("The first publication"), said)))
    return said or wording.say("No mark changed")


def _withdrawals(issue: Issue, wording: Wording) -> str:
    """How many withdrew from what a cut leads to."""
    gone = [one for one in issue.changes.withdrawals if one.new and one.new.outcome == "qualified"]
    count = len({(one.competition, one.key[1]) for one in gone if one.new and not one.new.starts})
    return wording.language.count("{n} withdrawal", "{n} withdrawals", count) if count else ""


def _became(issue: Issue, wording: Wording) -> str:
    """That the results are official, sealed or provisional since this publication."""
    words = {
        "official": wording.say("the results are official now"),
        "sealed": wording.say("the results are official and sealed now"),
        "provisional": wording.say("the results are provisional again"),
    }
    return words.get(issue.became, "")


def shown(text: str, wording: Wording) -> str:
    """A mark as the language writes it; a status as it is."""
    mark = parse_mark(text)
    return text if mark is None else wording.language.mark(mark)


def why(one: Corrected, wording: Wording) -> str:
    """The reasons in words, or that none was given."""
    given = dict.fromkeys(_reason(row, wording) for row in one.reasons)
    return "; ".join(given) or wording.say("no reason given")


def _reason(row: Correction, wording: Wording) -> str:
    words = {
        "inquiry": wording.say("inquiry"),
        "entry error": wording.say("entry error"),
        "review": wording.say("review"),
    }
    return words.get(row.why.casefold(), row.why)


def decided(row: Correction) -> str:
    """Who decided, and when."""
    return ", ".join(filter(None, (row.who, row.when)))


def correction_sentence(one: Corrected, names: Names) -> str:
    """One correction in one sentence, for the pages that it touched and for the feed."""
    say, language = names.wording.say, names.wording
    values = {
        "who": names.whom(one).text,
        "where": names.what(one) if one.what else names.apparatus(one),
        "old": one.old if one.what else shown(one.old, language),
        "new": one.new if one.what else shown(one.new, language),
        "why": why(one, language),
    }
    if one.what:
        return _about_a_fact(one, names, values)
    if not one.bib or not one.apparatus:
        return _about_more(one, names, values)
    if one.gone or not one.new:
        return say("Withdrawn: {who}, {where}, {old} ({why}).", **values)
    if not one.old:
        return say("Added: {who}, {where}, {new} ({why}).", **values)
    if one.old == one.new:
        return say("Corrected: {who}, {where}, the parts of {new} ({why}).", **values)
    return say("Corrected: {who}, {where}, {new} instead of {old} ({why}).", **values)


def _about_a_fact(one: Corrected, names: Names, values: dict[str, str]) -> str:
    """A correction of what is printed of a gymnast, of a competition or of the meet."""
    say = names.wording.say
    who = names.competition(one.competition) if one.competition else values["who"]
    about = ", ".join(filter(None, (who, values["where"])))
    usual = say("as usual") if one.competition else say("nothing")
    old, new = (text or usual for text in (one.old, one.new))
    return say("Corrected: {what}: {new} instead of {old} ({why}).",
               what=about, old=old, new=new, why=values["why"])  # fmt: skip


def _about_more(one: Corrected, names: Names, values: dict[str, str]) -> str:
    """A correction of everything that a gymnast has, or of a whole competition."""
    say = names.wording.say
    if one.gone:
        where = names.competition(one.competition) if one.competition else ""
        what = ", ".join(filter(None, (values["who"] if one.bib else "", where)))
        return say("Withdrawn: {what} ({why}).", what=what, why=values["why"])
    if one.bib:
        return say(
            "Corrected: {who}, {competition} ({why}).",
            competition=names.competition(one.competition), **values,
        )  # fmt: skip
    return say(
        "Corrected: places, totals or qualifiers of {competition} ({why}).",
        competition=names.competition(one.competition), why=values["why"],
    )  # fmt: skip
