"""The medals by club and by federation: as a page, and as tables of the complete book."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from resultsgen.scoring.medals import MedalCount, finals, medal_counts
from resultsgen.scoring.results import Results
from resultsgen.views.lists.page_parts import PagePart, TablePart, by_content, parted
from resultsgen.views.lists.places import place_column
from resultsgen.views.lists.sections import BookSubject, Section
from resultsgen.views.lists.table import Cell, Column, Table, TableNote, plain_table
from resultsgen.views.people.titles import MEDAL_NAMES
from resultsgen.views.site.addresses import club_target
from resultsgen.views.words.wording import Wording

MEDALS = "medals"


@dataclass(frozen=True)
class MedalView:
    """The rule by which medals are counted, and a table of each kind of body."""

    rule: tuple[str, ...]
    tables: tuple[Table, ...]


def has_medals(results: Results) -> bool:
    return MEDALS in results.meet.settings.handouts


def medal_view(results: Results, wording: Wording) -> MedalView:
    """All medals so far; lists that are not finished are said not to be counted."""
    say, count = wording.say, wording.language.count
    rule = [
        say("The first three places of every finished list of the finals are counted."),
        say("Gymnasts who share a place each get its medal; a team has one medal."),
    ]
    own = (judged.competition for judged in results.competitions)
    if apart := [
        wording.called(one.title) for one in own if one.phase == "final" and not one.medals
    ]:
        listed = wording.language.listed(apart)
        rule.append(say("Not awarded, and not counted: {competitions}.", competitions=listed))
    if to_come := sum(ranking.to_come > 0 for _, ranking in finals(results)):
        left = count(
            "{n} list is not finished, and not counted yet.",
            "{n} lists are not finished, and not counted yet.",
            to_come,
        )
        rule.append(left)
    tables = (_table(each, wording) for each in medal_counts(results))
    return MedalView(tuple(rule), tuple(tables))


def medal_parts(view: MedalView, wording: Wording) -> Iterator[tuple[PagePart, MedalView]]:
    """The page part by part; one where all of it fits."""

    def show(pieces: tuple[TablePart, ...], _: int) -> MedalView:
        return replace(view, tables=tuple(piece.table for piece in pieces))

    return parted(view, view.tables, show, by_content, wording)


def medal_chapter(subject: BookSubject) -> Iterator[Section]:
    """The medals in the complete book."""
    title = subject.wording.say("Medals")
    if has_medals(subject.results):
        view = medal_view(subject.results, subject.wording)
        below = " ".join(view.rule)
        yield Section(
            MEDALS, "list", title, title, below, tables=view.tables, captioned=True,
            beside="tables", leads=True,
        )  # fmt: skip


def medal_columns(wording: Wording) -> tuple[Column, ...]:
    """Gold, silver and bronze."""
    return tuple(Column(label, "number") for label in map(wording.say, MEDAL_NAMES))


def _table(count: MedalCount, wording: Wording) -> Table:
    say, is_club = wording.say, count.by == "club"
    columns = (
        place_column(wording),
        Column(say("Club") if is_club else say("Federation"), "name", width=2.6),
        *medal_columns(wording),
        Column(say("All"), "total"),
    )
    rows: Iterator[tuple[Cell | str, ...]] = (
        (
            str(line.place),
            Cell(line.body, target=club_target(line.body) if is_club else ""),
            *map(str, (*line.medals, sum(line.medals))),
        )
        for line in count.lines
    )
    caption = say("Medals by club") if is_club else say("Medals by federation")
    table = plain_table(f"medals-{count.by}", caption, columns, rows, count.by, 1)
    return replace(table, notes=tuple(TableNote("", note) for note in _notes(count, wording)))


def _notes(count: MedalCount, wording: Wording) -> Iterator[str]:
    gold, silver, bronze = count.of_none
    if any(count.of_none):
        yield wording.say(
            "Without a club, or of a mixed team: {gold} gold, {silver} silver, {bronze} bronze."
            if count.by == "club"
            else "Without a federation, or of a mixed team: "
            "{gold} gold, {silver} silver, {bronze} bronze.",
            gold=gold, silver=silver, bronze=bronze,
        )  # fmt: skip
    elif not count.lines:
        yield wording.say("No medal has been won yet.")
