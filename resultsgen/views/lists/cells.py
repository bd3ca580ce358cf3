"""The cells that all tables share: place, name, mark, total and cut."""

from __future__ import annotations

from resultsgen.history.publication import PublishedMark
from resultsgen.language import to_say
from resultsgen.rules.cuts import Verdict
from resultsgen.scoring.results import CutLine, CutResult, Gymnast, Line, Routine, Team
from resultsgen.views.lists.cut_words import cut_mark
from resultsgen.views.lists.table import Cell, Column
from resultsgen.views.site.addresses import club_target, gymnast_target
from resultsgen.views.words.notes import Notes
from resultsgen.views.words.wording import Wording
from resultsgen.views.words.words import STATUS_WORDS

NOT_YET = "·"
NO_PLACE = "–"
EMPTY = Cell("")


def shown_name(who: Gymnast | Team, wording: Wording) -> str:
    """Family name first, as the roster writes it; the bib alone where the name is withheld."""
    return who.name if who.published else wording.say("Bib {bib}", bib=who.id)


def name_cell(who: Gymnast | Team, wording: Wording) -> Cell:
    """The gymnast, with club and federation (and the year of birth, where it is published).

    The club of a withheld gymnast stays: a club has many gymnasts, and the team list needs it.
    """
    if who.kind == "team":
        return Cell(who.name)
    gymnast = who
    year = str(gymnast.birth_year) if gymnast.birth_year and gymnast.published else ""
    below = dict.fromkeys(filter(None, (gymnast.club, gymnast.federation, year)))
    return Cell(shown_name(gymnast, wording), ", ".join(below), target=gymnast_target(gymnast))


def club_cell(club: str) -> Cell:
    """The club, leading to its page."""
    return Cell(club, target=club_target(club) if club else "")


def place_cell(place: int | None, guest: bool, note: str, wording: Wording) -> Cell:
    """The place; the word "guest" or a dash where there is none."""
    if place is not None:
        return Cell(str(place), note=note)
    if guest:
        return Cell(wording.say("guest"), note=note)
    return Cell(NO_PLACE, note=note, about=wording.say("no place"))


def status_cell(status: str, wording: Wording) -> Cell:
    """DNS, DNF, DSQ or WDR where a mark would stand."""
    return Cell(status, about=wording.say(STATUS_WORDS[status]))


def no_mark_cell(wording: Wording) -> Cell:
    """A dot where there is no mark yet, or none to come."""
    return Cell(NOT_YET, about=wording.say("no mark"))


def parts_of(routine: Routine | PublishedMark, wording: Wording) -> str:
    """What a mark is made of, as far as it was given: D 5.4 E 8.100 P −0.1."""
    language = wording.language
    parts = (
        ("D", "", routine.d, language.short),
        ("E", "", routine.e, language.mark),
        ("P", "−", routine.penalty or None, language.short),
        ("B", "+", routine.bonus or None, language.short),
    )
    # No line may be broken inside a pair, only between two of them.
    return " ".join(
        f"{code}\u00a0{sign}{show(value)}" for code, sign, value, show in parts if value is not None
    )


def mark_columns(parts: tuple[str, ...], wording: Wording) -> tuple[Column, ...]:
    """A column for the mark on each apparatus.

    Up to four leave room in a book for D, E and penalty in one line below the mark.
    """
    width = 1.5 if len(parts) <= 4 else 1.0
    return tuple(Column(wording.apparatus(part), "mark", part, width) for part in parts)


def mark_cell(
    routine: Routine | None, notes: Notes, wording: Wording, *, counts: bool = True
) -> Cell:
    """A mark with its parts and its place, or what stands in its place."""
    if routine is None or (routine.mark is None and not routine.status):
        return no_mark_cell(wording)
    if routine.mark is None:
        return status_cell(routine.status, wording)
    return Cell(
        wording.language.mark(routine.mark),
        sub=parts_of(routine, wording),
        place=f"({routine.place})" if routine.place is not None else "",
        note=parts_note(routine, notes, wording),
        dropped=not counts,
    )


def parts_note(routine: Routine, notes: Notes, wording: Wording) -> str:
    """The note that a mark and its parts do not agree; the mark is what counts."""
    if routine.parts_give is None:
        return ""
    return notes.mark_of(
        wording.say(
            "The parts of this mark give {parts}; the mark {mark} is what counts.",
            parts=wording.language.mark(routine.parts_give),
            mark=wording.language.mark(routine.mark),
        )
    )


def total_cell(line: Line, wording: Wording) -> Cell:
    """The total, and of how many marks where some lack; a status; or what there is so far."""
    if line.total is not None:
        return Cell(wording.language.mark(line.total), sub=_of_how_many(line, wording))
    if line.status:
        return status_cell(line.status, wording)
    if line.so_far is None:
        return no_mark_cell(wording)
    after = wording.say("after {done} of {all}", done=line.done, all=line.needed)
    return Cell(wording.language.mark(line.so_far), sub=after)


def _of_how_many(line: Line, wording: Wording) -> str:
    """Of how many marks a total is that lacks some; empty where it has all."""
    if line.done == line.needed:
        return ""
    return wording.language.count(
        "{n} mark of {all}", "{n} marks of {all}", line.done, all=line.needed
    )


def cut_cell(line: CutLine | None, notes: Notes, wording: Wording, *, team: bool) -> Cell:
    """What a cut means for one line of the list, of a gymnast or of a team."""
    if line is None:
        return EMPTY
    note = ""
    if line.withdrawn and line.verdict.outcome == "qualified":
        note = notes.mark_of(wording.say("Qualified, but does not start."))
    elif line.withdrawn:
        note = notes.mark_of(wording.say("Withdrew."))
    elif line.called_up:
        told = to_say("Called up in place of a gymnast who withdrew.")
        if team:
            told = to_say("Called up in place of a team that withdrew.")
        note = notes.mark_of(wording.say(told))
    return Cell(cut_mark(line.verdict), note=note, about=cut_words(line.verdict, wording))


def cut_words(verdict: Verdict, wording: Wording) -> str:
    """The code of a cut in words."""
    if verdict.outcome == "qualified":
        return wording.say("qualified")
    return wording.say("reserve {n}", n=verdict.number) if verdict.outcome == "reserve" else ""


def cut_title(cut: CutResult, wording: Wording) -> str:
    """The name of a cut; while marks are to come, that it only stands so for now."""
    if cut.final:
        return cut.cut.name
    return wording.say("{cut} (as it stands)", cut=cut.cut.name)
