"""The columns and cells that all tables share, and the codes in them in words."""

from __future__ import annotations

from resultsgen.history.publication import PublishedMark
from resultsgen.language import to_say
from resultsgen.meet.competition import Ranked
from resultsgen.scoring.ranking import CutLine, Gymnast, Line, Routine, Team
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.codes import NOT_YET, PARTS, STATUS_WORDS
from resultsgen.views.lists.table import Cell, Column, Notes
from resultsgen.views.site.addresses import club_target, gymnast_target
from resultsgen.views.words.wording import Wording

EMPTY = Cell("")


def name_column(of_teams: bool, wording: Wording, width: float = 2.6) -> Column:
    """Whose row it is."""
    return Column(wording.say("Team") if of_teams else wording.say("Gymnast"), "name", width=width)


def mark_columns(parts: tuple[str, ...], wording: Wording) -> tuple[Column, ...]:
    """A column for the mark on each apparatus.

    Up to four leave room in a book for D, E and penalty in one line below the mark.
    """
    width = 1.5 if len(parts) <= 4 else 1.0
    return tuple(Column(wording.apparatus(part), "mark", part, width) for part in parts)


def part_columns(routines: list[Routine]) -> tuple[Column, ...]:
    """A column for each part of a mark that at least one routine gives."""
    parts = (
        ("D", any(routine.d is not None for routine in routines)),
        ("E", any(routine.e is not None for routine in routines)),
        ("P", any(routine.penalty for routine in routines)),
        ("B", any(routine.bonus for routine in routines)),
    )
    return tuple(Column(code, "number", width=0.7) for code, given in parts if given)


def shown_name(who: Gymnast | Team, wording: Wording) -> str:
    """A gymnast's name in the order of the meet, or the bib where it is withheld; or a team's."""
    if not who.published:
        return wording.bib(who.id)
    return who.name if who.kind == "team" else wording.name(who.family, who.given)


def bib_columns(wording: Wording) -> tuple[Column, ...]:
    """The column of the bibs, where they are shown."""
    return (Column(wording.say("Bib"), "text", width=0.5),) if wording.bibs_worn else ()


def bib_cells(who: Gymnast, wording: Wording) -> tuple[Cell, ...]:
    """What stands in it."""
    return (Cell(who.bib),) if wording.bibs_worn else ()


def name_cell(who: Gymnast | Team, wording: Wording) -> Cell:
    """The gymnast, with club and federation (and the year of birth, where it is published).

    The club of a withheld gymnast stays: a club has many gymnasts, and the team list needs it.
    """
    if who.kind == "team":
        return Cell(who.name)
    year = str(who.birth_year) if who.birth_year and who.published else ""
    below = dict.fromkeys(filter(None, (who.club, who.federation, year)))
    by = who.name if wording.names == "given first" and who.published else ""
    return Cell(shown_name(who, wording), ", ".join(below), target=gymnast_target(who), by=by)


def team_cell(name: str, judged: CompetitionResults) -> Cell:
    """The team, leading to the page of the club that it is."""
    by_club = judged.competition.team is not None and judged.competition.team.by == "club"
    return Cell(name, target=club_target(name) if by_club else "")


def lines_of(judged: CompetitionResults, kind: Ranked, wording: Wording) -> dict[int, Cell]:
    """The name of each line of a list of such a kind, by key of gymnast or team."""
    if kind != "team":
        return {start.gymnast.key: name_cell(start.gymnast, wording) for start in judged.starts}
    return {
        line.key: team_cell(line.id, judged) for line in (judged.team.lines if judged.team else ())
    }


def status_cell(status: str, wording: Wording) -> Cell:
    """DNS, DNF, DSQ or WDR where a mark would stand; a dot where there is none yet or to come."""
    if status:
        return Cell(status, about=wording.say(STATUS_WORDS[status]))
    return Cell(NOT_YET, about=wording.say("no mark"))


def mark_cell(
    routine: Routine | None, notes: Notes, wording: Wording, *, counts: bool = True
) -> Cell:
    """A mark with its parts and its place, or what stands in its place."""
    if routine is None or routine.mark is None:
        return status_cell(routine.status if routine else "", wording)
    return Cell(
        wording.language.mark(routine.mark),
        sub=parts_of(routine, wording),
        place=str(routine.place or ""),
        note=parts_note(routine, notes, wording),
        dropped=not counts,
    )


def parts_of(routine: Routine | PublishedMark, wording: Wording) -> str:
    """What a mark is made of, as far as it was given: D 5.4 E 8.100 P −0.1."""
    # No line may be broken inside a pair, only between two of them.
    return " ".join(
        f"{code}\u00a0{text}" for code in PARTS if (text := part_text(routine, code, wording))
    )


def part_text(routine: Routine | PublishedMark, code: str, wording: Wording) -> str:
    """One part of a mark as it is printed: a penalty with its minus, a bonus with its plus."""
    language = wording.language
    if code == "D":
        return language.short(routine.d)
    if code == "E":
        return language.mark(routine.e)
    if code == "P":
        return language.short(-routine.penalty) if routine.penalty else ""
    return f"+{language.short(routine.bonus)}" if routine.bonus else ""


def part_cell(routine: Routine | None, code: str, notes: Notes, wording: Wording) -> Cell:
    """The D score, E score, penalty or bonus of a routine; empty where it has none."""
    if routine is None or routine.mark is None:
        return EMPTY
    note = parts_note(routine, notes, wording) if code == "E" else ""
    return Cell(part_text(routine, code, wording), note=note)


def parts_note(routine: Routine, notes: Notes, wording: Wording) -> str:
    """The note that a mark and its parts do not agree; the mark is what counts."""
    if routine.parts_give is None:
        return ""
    parts, mark = wording.language.mark(routine.parts_give), wording.language.mark(routine.mark)
    words = to_say("The parts of this mark give {parts}; the mark {mark} is what counts.")
    return notes.mark_of(wording.say(words, parts=parts, mark=mark))


def marks_to_come(line: Line, wording: Wording) -> str:
    """How many marks of a team are to come; nothing once none is, and of a gymnast."""
    if not line.to_come:
        return ""
    return wording.language.count("{n} mark to come", "{n} marks to come", line.to_come)


def total_cell(line: Line, wording: Wording) -> Cell:
    """The total, and of how many marks where some lack; a status; or what there is so far."""
    language = wording.language
    if line.total is not None and line.done == line.needed:
        return Cell(language.mark(line.total))
    if line.total is not None:
        few = language.count("{n} mark of {all}", "{n} marks of {all}", line.done, all=line.needed)
        return Cell(language.mark(line.total), sub=few)
    if line.status or line.so_far is None:
        return status_cell(line.status, wording)
    if line.kind == "gymnast":
        after = wording.say("after {done} of {all}", done=line.done, all=line.needed)
    else:
        after = marks_to_come(line, wording)
    return Cell(language.mark(line.so_far), sub=after)


def cut_cell(
    line: CutLine,
    state: tuple[str, str],
    notes: Notes,
    wording: Wording,
    *,
    team: bool,
    so_far: bool,
) -> Cell:
    """What a cut means for one line of the list, of a gymnast or of a team: code and words."""
    words, (code, about) = "", state
    sure = not so_far or code == "Q"
    if line.withdrawn and line.verdict.outcome == "qualified" and sure:
        words = to_say("Qualified, but does not start.")
    elif line.withdrawn:
        words = to_say("Withdrew.")
    elif line.called_up and team:
        words = to_say("Called up in place of a team that withdrew.")
        if not sure:
            words = to_say("As it stands, called up in place of a team that withdrew.")
    elif line.called_up:
        words = to_say("Called up in place of a gymnast who withdrew.")
        if not sure:
            words = to_say("As it stands, called up in place of a gymnast who withdrew.")
    return Cell(code, note=notes.mark_of(wording.say(words)), about=about)
