"""Tables over several meets: a series round by round with its chart, and who qualifies."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from resultsgen.season.criteria import RoundPart
from resultsgen.season.qualifying import Qualification, QualifyingLine
from resultsgen.season.series import Round, SeriesLine, SeriesTable, shown_points
from resultsgen.season.settings import TEAM, SeriesSettings
from resultsgen.views.lists.charts import Course, OrderChart
from resultsgen.views.lists.codes import codes
from resultsgen.views.lists.places import NO_PLACE, moved_cell, place_column
from resultsgen.views.lists.table import Cell, Column, Row, Table, plain_table
from resultsgen.views.season.bests import records_of
from resultsgen.views.season.meets import days
from resultsgen.views.season.page import SeasonText, SeasonView, SeriesFirst
from resultsgen.views.season.series_words import (
    not_counted,
    qualifying_sentence,
    rules,
    shown,
    standing,
    state,
    tie_sentence,
)
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.views.site.addresses import Link

DRAWN, FIRST = 10, 5
"""So many lines the chart of a series has, and so many its table on the first page."""


def series_view(held: SeriesTable, subject: SeasonSubject) -> SeasonView:
    """The page of a series."""
    say = subject.wording.say
    ties = tuple(tie_sentence(tie, held, subject.called, subject.language) for tie in held.ties)
    told = tuple(standing(held, subject.called, subject.language))
    texts = (
        SeasonText(say("Table"), series_table(held, subject) if held.lines else None, told),
        SeasonText(say("The order after each round"), chart=_chart(held, subject)),
        SeasonText(say("Matches"), _matches(held, subject)),
        SeasonText(say("Ties"), sentences=ties),
        SeasonText(say("Rounds"), _rounds(held, subject)),
        *_records(held, subject),
        SeasonText(say("Rules"), sentences=tuple(rules(held.settings, subject.language))),
    )
    return _view("series", held, texts, subject)


def _view(
    kind: str, held: SeriesTable, texts: Iterable[SeasonText], subject: SeasonSubject
) -> SeasonView:
    """The texts in which something stands; before the first round there is no table."""
    settings, series = held.settings, Link(subject.wording.say("Series"), "page:series")
    shown_texts = (one for one in texts if one.table or one.chart or one.sentences)
    return SeasonView(
        settings.title, f"{kind}:{settings.id}", tuple(shown_texts), (series,),
        (after(held, subject),),
    )  # fmt: skip


def _records(held: SeriesTable, subject: SeasonSubject) -> Iterator[SeasonText]:
    """The records of its rounds; those of a series of matches too."""
    group = next(
        one for one in subject.records if (one.kind, one.id) == ("series", held.settings.id)
    )
    table = records_of(group, "records", subject)
    if table.rows:
        yield SeasonText(subject.wording.say("Records"), table, sorts=True)


def after(held: SeriesTable, subject: SeasonSubject) -> str:
    """How many of its rounds were held."""
    say, rounds = subject.wording.say, len(held.rounds)
    if held.over:
        return subject.language.count("Final, {n} round", "Final, {n} rounds", rounds)
    return say("After {n} of {rounds} rounds", n=len(held.held), rounds=rounds)


def series_table(held: SeriesTable, subject: SeasonSubject) -> Table:
    """Each line with what its rounds gave, what counts, and what is decided."""
    say, many = subject.wording.say, len(held.held)
    words = [state(line, held, subject.language) for line in held.lines]
    columns = (
        place_column(subject.wording),
        Column(_kind(held, subject), "name", width=2.6),
        *((Column(say("Moved"), "number", width=0.6),) if many > 1 else ()),
        *(Column(say("Round {n}", n=number), "mark", str(number)) for number in range(1, many + 1)),
        Column(say("Behind the first"), "number", say("Behind")),
        Column(say("Sum"), "total"),
        *((Column(say("What is decided"), "text"),) if any(words) else ()),
    )
    ends = _ends(held, subject)
    rows = tuple(
        Row(
            (
                Cell(str(line.place or NO_PLACE)),
                line_cell(line.who, subject),
                *((_moved(line, subject),) if many > 1 else ()),
                *(_part(part, held, subject) for part in line.parts),
                Cell(shown(line.behind, held.settings, subject.language) if line.behind else ""),
                Cell(shown(line.sum, held.settings, subject.language)),
                *((Cell(told),) if any(words) else ()),
            ),
            "ranked" if line.place else "unranked",
            f"line-{number}",
            cut=ends.get(number, ""),
        )
        for number, (line, told) in enumerate(zip(held.lines, words, strict=True), start=1)
    )
    dropped = any(part and not part.counts for line in held.lines for part in line.parts)
    legend = (
        *(
            ((say("beside the points"), say("the place in that round")),)
            if held.settings.count != "matches"
            else ()
        ),
        *(
            ((say("struck through"), say("one of the rounds that do not count")),)
            if dropped
            else ()
        ),
    )
    return Table("series", held.settings.title, columns, rows, legend=legend if rows else ())


def _kind(held: SeriesTable, subject: SeasonSubject) -> str:
    say = subject.wording.say
    named = {"gymnasts": say("Gymnast"), "teams": say("Team"), "clubs": say("Club")}
    return named[held.settings.of]


def line_cell(who: str, subject: SeasonSubject) -> Cell:
    """Whose a line is."""
    if career := subject.season.by_key.get(who):
        return subject.who(career, next(iter(career.clubs), ""))
    return subject.body(who)


def _moved(line: SeriesLine, subject: SeasonSubject) -> Cell:
    known = line.before is not None and line.place is not None
    return moved_cell(line.before - line.place if known else None, subject.wording)  # type: ignore[operator]


def _part(part: RoundPart | None, held: SeriesTable, subject: SeasonSubject) -> Cell:
    if part is None:
        return Cell("")
    text = shown(part.value, held.settings, subject.language)
    about = "" if part.counts else subject.wording.say("{mark}, does not count", mark=text)
    return Cell(text, place=str(part.place or ""), dropped=not part.counts, about=about)


def _ends(held: SeriesTable, subject: SeasonSubject) -> dict[int, str]:
    """Below which lines of the table one is drawn, and what it means."""
    settings, say = held.settings, subject.wording.say
    placed = [number for number, line in enumerate(held.lines, start=1) if line.place]
    if not isinstance(settings, SeriesSettings):
        return {}
    if settings.up and settings.down and settings.up + settings.down > len(placed):
        return {}  # More are to come, or it is told.
    found = {}
    if 0 < settings.down < len(placed):
        found[len(placed) - settings.down] = say("Relegation below this line")
    if 0 < settings.up < len(placed):
        found[settings.up] = say("Promotion above this line")
    return found


def _chart(held: SeriesTable, subject: SeasonSubject) -> OrderChart | None:
    """The places of the first after each round; of one round, or without any place, none."""
    if len(held.held) < 2:
        return None
    first = [line for line in held.lines if line.place][:DRAWN]
    if not first:
        return None
    courses = tuple(
        Course(subject.called(line.who), tuple(places.get(line.who) for places in held.order))
        for line in first
    )
    order = ", ".join(f"{line.place} {subject.called(line.who)}" for line in first)
    text = subject.wording.say("The places after each round. At the end: {order}.", order=order)
    steps = tuple(str(number) for number in range(1, len(held.held) + 1))
    return OrderChart(text, steps, courses)


def _rounds(held: SeriesTable, subject: SeasonSubject) -> Table:
    """Every round with its meet, also those to come."""
    say, first = subject.wording.say, held.settings.count != "matches"
    columns = (
        Column(say("Round"), "number"),
        Column(say("Meet"), "name", width=2.6),
        Column(say("When"), "text", width=2),
        *((Column(say("First"), "text", width=2),) if first else ()),
    )
    rows = (
        (
            str(number),
            _meet(one, subject),
            _when(one, subject),
            *((Cell(subject.language.listed(_first(one, subject))),) if first else ()),
        )
        for number, one in enumerate(held.rounds, start=1)
    )
    return plain_table("rounds", say("Rounds"), columns, rows, "round")


def _matches(held: SeriesTable, subject: SeasonSubject) -> Table | None:
    """Every match of a league, the best team of each first."""
    say, language = subject.wording.say, subject.language
    columns = (
        Column(say("Round"), "number"),
        Column(say("Match"), "name", width=3),
        Column(say("Totals"), "text", width=2),
        Column(say("Set points"), "text"),
        Column(say("Points"), "text"),
    )
    rows = [
        (
            str(number),
            Cell(
                " – ".join(side.who for side in match.sides),
                target=subject.row_target(one.meet, match.competition, TEAM),
            ),
            " : ".join(language.mark(side.total) or NO_PLACE for side in match.sides),
            " : ".join(shown_points(side.sets, language.point) for side in match.sides),
            " : ".join(shown_points(side.points, language.point) for side in match.sides),
        )
        for number, one in enumerate(held.rounds, start=1)
        for match in one.matches
    ]
    return plain_table("matches", say("Matches"), columns, rows, "match") if rows else None


def _meet(one: Round, subject: SeasonSubject) -> Cell:
    say = subject.wording.say
    words = {"held": "", "running": say("Marks are still to come"), "to come": say("To come")}
    target = f"meet:{one.meet}" if one.meet in subject.meets else ""
    return Cell(one.title, words[one.state], target=target)


def _when(one: Round, subject: SeasonSubject) -> str:
    if meet := subject.meets.get(one.meet):
        return days(meet, subject)
    calendar = subject.season.settings.calendar
    return next(
        (subject.language.dates(each.dates) for each in calendar if each.id == one.meet), ""
    )


def _first(one: Round, subject: SeasonSubject) -> list[str]:
    """Who was first; where the name is withheld, under the bib that was hers there."""
    if one.state != "held":
        return []
    return [
        who if part.entry is None else subject.name(subject.career[one.meet, part.entry])
        for who, part in one.parts.items()
        if part.place == 1
    ]


def first_of_series(held: SeriesTable, subject: SeasonSubject) -> SeriesFirst:
    """The first of a series, and how far it is."""
    settings = held.settings
    rows = tuple(
        (str(line.place), line_cell(line.who, subject), shown(line.sum, settings, subject.language))
        for line in held.lines[:FIRST]
        if line.place
    )
    return SeriesFirst(settings.title, f"series:{settings.id}", after(held, subject), rows)


def qualification_view(held: Qualification, subject: SeasonSubject) -> SeasonView:
    """The page of a qualification: each with the reason why, or why not."""
    say, title = subject.wording.say, subject.wording.say("Qualification")
    if not held.over:
        title = say("{cut} (as it stands)", cut=title)
    running = tuple(not_counted(held.ranking, subject.language))
    texts = (
        SeasonText(title, _qualifying(held, subject) if held.lines else None, running),
        SeasonText(say("Rounds"), _rounds(held.ranking, subject)),
        SeasonText(say("Rules"), sentences=tuple(rules(held.settings, subject.language))),
    )
    return _view("qualification", held.ranking, texts, subject)


def _qualifying(held: Qualification, subject: SeasonSubject) -> Table:
    say, language = subject.wording.say, subject.language
    columns = (
        place_column(subject.wording),
        Column(_kind(held.ranking, subject), "name", width=2.6),
        Column(say("Sum"), "total"),
        Column(say("Qualification"), "cut"),
        Column(say("Why"), "text", width=3),
    )
    rows = tuple(
        Row(
            (
                Cell(str(one.line.place or NO_PLACE)),
                line_cell(one.line.who, subject),
                Cell(shown(one.line.sum, held.settings, language)),
                _code(one, subject),
                Cell(qualifying_sentence(one, held, subject.called, language)),
            ),
            "ranked" if one.line.place else "unranked",
            f"line-{number}",
        )
        for number, one in enumerate(held.lines, start=1)
    )
    legend = codes([(columns, rows)], subject.wording)
    return Table("qualification", held.settings.title, columns, rows, legend=legend)


def _code(one: QualifyingLine, subject: SeasonSubject) -> Cell:
    say = subject.wording.say
    if one.outcome == "qualified":
        return Cell("Q", about=say("qualified"))
    if one.outcome == "reserve":
        return Cell(f"R{one.number}", about=say("reserve {n}", n=one.number))
    return Cell("", about=say("not qualified"))


def tables_over_meets(subject: SeasonSubject) -> Iterator[SeasonView]:
    """The page of each series and of each qualification."""
    for held in subject.season.series:
        yield series_view(held, subject)
    for one in subject.season.qualifications:
        yield qualification_view(one, subject)
