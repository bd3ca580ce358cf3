"""What each chapter of a result book shows, section by section."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.corrections.corrections import correction_tables
from resultsgen.views.lists.cells import name_cell
from resultsgen.views.lists.competitions import state, when
from resultsgen.views.lists.places import place_column
from resultsgen.views.lists.qualification import qualification_tables
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.rules import rule_sets
from resultsgen.views.lists.sections import BookSubject, Content, Section
from resultsgen.views.lists.spreads import marks_of, spread_of_marks
from resultsgen.views.lists.standings import (
    ListedSession,
    listed_sessions,
    rotation_table,
    session_story,
)
from resultsgen.views.lists.start_lists import start_list_tables
from resultsgen.views.lists.table import Cell, Column, Row, Table, TableNote, plain_table
from resultsgen.views.live.costs import explanations, of_routines
from resultsgen.views.live.needs_sheet import printed_sheet
from resultsgen.views.people.clubs import ClubEntry, ClubView, narrowed_table
from resultsgen.views.press.press import press_sheet
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import ANNOUNCER, QUALIFICATION, STANDINGS, START_LIST
from resultsgen.views.words.wording import Wording


def rules(subject: BookSubject) -> Iterator[Section]:
    """The rules applied, in plain words: each rule set once, and where competitions differ."""
    title = subject.wording.say("Rules applied")
    for number, one in enumerate(rule_sets(subject.competitions, subject.wording), start=1):
        yield Section(
            f"rules-{number}", "rules", title, title, one.about, title, one.title or title,
            tables=one.differences, captioned=True, content=one.passages, flows=3,
        )  # fmt: skip


def start_lists(subject: BookSubject) -> Iterator[Section]:
    """Who starts, competition by competition, in squads, where that is decided."""
    wording = subject.wording
    for one in subject.competitions:
        if not one.waits_for and (tables := start_list_tables(one, wording)):
            title = wording.say("Start list")
            if len({table.notes for table in tables}) == 1:
                tables = (*(replace(table, notes=()) for table in tables[:-1]), tables[-1])
            section = _of_competition(one, START_LIST, "list", title, wording, tables)
            yield replace(
                section, chapter=wording.say("Start lists"), captioned=len(tables) > 1, flows=5,
                beside="tables" if len(tables) > 1 else "sections",
            )  # fmt: skip


def all_results(subject: BookSubject) -> Iterator[Section]:
    """Every list of every competition that has begun: team, all-around, how the marks lie, and
    two beside each other those of each apparatus."""
    wording = subject.wording
    for one in filter(lambda judged: judged.started, subject.competitions):
        for ranking in filter(None, (one.team, one.all_around)):
            yield replace(_list(one, ranking, wording), flows=3)
        if one.all_around:
            yield from (replace(section, flows=3) for section in _marks(one, wording))
        for ranking in one.by_apparatus.values():
            section = _list(one, ranking, wording)
            yield replace(_without_clubs(section, one, wording), beside="sections")
        if not one.all_around:
            yield from (replace(section, beside="sections") for section in _marks(one, wording))


def _marks(judged: CompetitionResults, wording: Wording) -> Iterator[Section]:
    """How the marks of a competition lie, in a picture."""
    if chart := spread_of_marks(marks_of(judged, wording), wording):
        title = wording.say("How the marks lie")
        yield _beside_lists(
            _of_competition(judged, "marks", "spread", title, wording, content=chart)
        )


def the_list(subject: BookSubject) -> Iterator[Section]:
    """The one list that the book is about."""
    if subject.competition and subject.ranking:
        yield replace(_list(subject.competition, subject.ranking, subject.wording), flows=3)


def standings(subject: BookSubject) -> Iterator[Section]:
    """How it stood after each rotation, where rotations are known; in the book of one list, it."""
    wording = subject.wording
    for one in subject.competitions:
        told = [
            ListedSession(one, listed, session, wording)
            for listed, session in listed_sessions(one)
            if subject.ranking is None or listed.kind == subject.ranking.id
        ]
        if told:
            title = wording.say("Standings by rotation")
            section = _of_competition(
                one, STANDINGS, "standings", title, wording, tuple(map(rotation_table, told)),
                content=tuple(map(session_story, told)),
            )  # fmt: skip
            section = replace(section, flows=3)
            yield _beside_lists(section) if subject.ranking else section


def qualification(subject: BookSubject) -> Iterator[Section]:
    """Who qualifies and why; in the book of one list, by that list."""
    wording = subject.wording
    for one in subject.competitions:
        tables = qualification_tables(one, wording, noted=True) if one.started else ()
        if subject.ranking:
            prefix = f"cut-{subject.ranking.id}-"
            tables = tuple(table for table in tables if table.id.startswith(prefix))
        if tables:
            title = wording.say("Qualification")
            section = _of_competition(one, QUALIFICATION, "list", title, wording, tables)
            section = _legend_once(_without_clubs(section, one, wording))
            section = replace(section, flows=5, beside="tables")
            yield _beside_lists(section) if subject.ranking else section


def corrections(subject: BookSubject) -> Iterator[Section]:
    """What was corrected since the first publication, and what that moved."""
    say = subject.wording.say
    tables = tuple(correction_tables(subject.results, subject.wording))
    if tables:
        title = say("Corrections since the first publication")
        below = say("Publication {n}", n=subject.results.history.number)
        yield Section("corrections", "list", title, title, below, tables=tables, captioned=True)


def incidents(subject: BookSubject) -> Iterator[Section]:
    """What incidents cost, competition by competition: an explanation, no part of the results."""
    say, tables = subject.wording.say, []
    columns = (
        Column(say("Gymnast"), "name", width=2.2),
        Column(say("What happened"), "text", width=2.2),
        Column(say("Without it"), "text", width=4.6),
    )
    own = say("The deduction is as the meet gives it.")
    told = explanations(subject.results, subject.wording)
    for one in subject.competitions:
        if these := of_routines(told, one.competition.id):
            name = f"incidents-{one.competition.id}"
            rows = (
                (
                    Cell(each.name, each.routine, target=each.target),
                    "; ".join(each.happened),
                    " ".join(each.sentences),
                )
                for each in these
            )
            caption = subject.wording.called(one.competition.title)
            table = plain_table(name, caption, columns, rows, name, 1)
            # Whose explanation a common figure is stands on the site: a book is a federation's own.
            notes = (TableNote("", own),) if any(own in each.sources for each in these) else ()
            tables.append(replace(table, notes=notes))
    if tables:
        title = say("What incidents cost")
        below = say("An explanation, not a result: nothing here changes a mark or a place.")
        yield Section(
            "incidents", "list", title, title, below, tables=tuple(tables), captioned=True
        )


def press(subject: BookSubject) -> Iterator[Section]:
    """One competition on one sheet: the first of each list, and what is worth telling."""
    one, wording = subject.competition, subject.wording
    if one and one.started:
        table, sheet = press_sheet(subject.results, one, wording)
        title = wording.say("Press summary")
        yield _sheet(_alone(one, "press", "press", title, wording, (table,), sheet), one, wording)


def needs(subject: BookSubject) -> Iterator[Section]:
    """The needs sheet of one competition with marks to come: one page for the announcer."""
    one, wording = subject.competition, subject.wording
    if one and one.in_progress:
        sheet, title = printed_sheet(subject.results, one, wording), wording.say("What is needed")
        yield _sheet(_alone(one, ANNOUNCER, "needs", title, wording, (), sheet), one, wording)


def the_club(subject: BookSubject) -> Iterator[Section]:
    """A club: what it did in the whole meet, then all its marks by competition."""
    club, wording = subject.club, subject.wording
    if club is None:
        return
    say = wording.say
    if tables := tuple(table for table in _glance_tables(club, wording) if table.rows):
        yield Section(
            "glance", "list", say("At a glance"), club.name, club.gymnasts, club.name,
            say("At a glance"), tables, captioned=True,
        )  # fmt: skip
    if club.telling:
        columns = (Column(say("List"), "name", width=2.4), Column(say("Fact"), "text", width=5))
        facts = ((fact.about, fact.sentence) for fact in club.telling)
        title = say("Worth telling")
        table = plain_table("facts", title, columns, facts, "fact")
        yield Section("telling", "list", title, club.name, "", club.name, title, (table,))
    for number, entry in enumerate(club.entries, start=1):
        name = entry.title.text
        yield Section(
            f"entry-{number}", "list", name, f"{club.name} · {name}", entry.when, club.name, name,
            _entry_tables(entry, wording), captioned=True,
        )  # fmt: skip


def _glance_tables(club: ClubView, wording: Wording) -> Iterator[Table]:
    say, listed = wording.say, wording.language.listed
    columns: tuple[Column, ...] = (
        place_column(wording),
        Column(say("Name"), "name", width=2.2),
        Column(say("Total"), "total"),
        Column(say("List"), "text", width=1.6),
        Column(say("Competition"), "text", width=2.2),
    )
    places = (
        (each.place, each.name, each.total, each.list.text, each.competition)
        for each in club.placings
    )
    yield plain_table("places", say("First three places"), columns, places, "place")
    columns = (
        Column(say("Final"), "name", width=2.6),
        Column(say("Starts"), "text", width=2.6),
        Column(say("In reserve"), "text", width=2.2),
    )
    finals = (
        (each.title.text, listed(each.starting), listed(each.waiting)) for each in club.finals
    )
    yield plain_table("finals", say("In the finals"), columns, finals, "final")
    columns = (
        Column(say("Apparatus"), "name", width=1.8),
        Column(say("Mark"), "total", width=0.9),
        Column(say("Gymnast"), "text", width=2.4),
        Column(say("Competition"), "text", width=2.3),
    )
    best = ((each.apparatus, each.mark, each.names, each.competition) for each in club.best_marks)
    yield plain_table("best-marks", say("Best marks"), columns, best, "best")


def _entry_tables(entry: ClubEntry, wording: Wording) -> tuple[Table, ...]:
    """The club's rows of the lists of a competition.

    Where the gymnasts have a list of their own, teams are a row each: no mark is told twice.
    """
    if len(entry.tables) == 1:
        return entry.tables
    return tuple(
        narrowed_table(table, tuple(row for row in table.rows if row.kind != "member"), wording)
        for table in entry.tables
    )


def _beside_lists(section: Section) -> Section:
    """A section among the lists of its competition, which names the chapter."""
    return replace(section, below="", chapter=section.entry, entry="")


def _without_clubs(section: Section, judged: CompetitionResults, wording: Wording) -> Section:
    """Beside the names the federation alone, where there is one: clubs stand in other lists."""
    starters = (start.gymnast for start in judged.starts if start.gymnast.federation)
    short = {name_cell(who, wording).sub: who.federation for who in starters}

    def shortened(row: Row) -> Row:
        cells = (cell._replace(sub=short.get(cell.sub, cell.sub)) for cell in row.cells)
        return row._replace(cells=tuple(cells))

    tables = (replace(one, rows=tuple(map(shortened, one.rows))) for one in section.tables)
    return replace(section, tables=tuple(tables))


def _legend_once(section: Section) -> Section:
    """The codes of all tables below the last of them."""
    codes = {words: code for table in section.tables for code, words in table.legend}
    for table in section.tables:
        for code, words in table.legend:
            codes[words] = max(code, codes[words], key=len)
    legend = {code: words for words, code in codes.items()}
    *tables, last = (replace(table, legend=()) for table in section.tables)
    return replace(section, tables=(*tables, replace(last, legend=tuple(legend.items()))))


def _list(judged: CompetitionResults, ranking: Ranking, wording: Wording) -> Section:
    title, table = wording.list_name(ranking.id), list_table(judged, ranking, wording)
    section = _alone(judged, ranking.id, "list", title, wording, (table,))
    return replace(section, chapter=wording.called(judged.competition.title))


def _of_competition(
    judged: CompetitionResults, name: str, template: str, title: str, wording: Wording,
    tables: tuple[Table, ...] = (), content: Content = (),
) -> Section:  # fmt: skip
    """What there is one of for each competition, in a chapter of its own."""
    return replace(
        _alone(judged, name, template, title, wording, tables, content),
        below=when(judged, wording), chapter=title, captioned=bool(tables),
        entry=wording.called(judged.competition.title),
    )  # fmt: skip


def _sheet(section: Section, judged: CompetitionResults, wording: Wording) -> Section:
    """What is handed out by itself says of which competition it is."""
    below = " · ".join((wording.called(judged.competition.title), section.below))
    return replace(section, below=below)


def _alone(
    judged: CompetitionResults, name: str, template: str, title: str, wording: Wording,
    tables: tuple[Table, ...] = (), content: Content = (),
) -> Section:  # fmt: skip
    """A section about a competition, with when it is and how far below its title."""
    whole = wording.called(judged.competition.title)
    below = " · ".join(filter(None, (when(judged, wording), state(judged, wording))))
    return Section(
        list_target(judged.competition.id, name), template, title, f"{whole} · {title}", below,
        tables=tables, content=content,
    )  # fmt: skip
