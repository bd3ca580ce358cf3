"""The scorer's desk: the meet as its files have it now, and each slip on its way into the marks.

What a slip would make of the meet is checked and judged before it is written; what the checks
refuse is refused, what is unusual is asked back, and the answer is of what was judged.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

from resultsgen.entering.marks_file import MarksFile, opened, torn_files
from resultsgen.entering.marks_rows import (
    NotWrittenError,
    RowLayout,
    cells_of,
    layout_for,
    layout_of,
)
from resultsgen.entering.meet_now import MeetNow
from resultsgen.entering.replies import asked_back, sentence
from resultsgen.entering.routines import (
    MarkEntry,
    RoutineMeant,
    Up,
    all_up,
    bib_and_name,
    understood,
    who_is_up,
    with_marks,
)
from resultsgen.entering.slips import Known, Slip, SlipError, read_slip, with_said
from resultsgen.live.competition import live
from resultsgen.meet.marks import show_mark
from resultsgen.meet.parts import SECOND_VAULT
from resultsgen.meet.problems import MeetProblems, Problem
from resultsgen.reading.entered import EnteredMark, entered_marks, is_worn, lost_marks, told_of
from resultsgen.reading.settings import read_settings
from resultsgen.reading.words import words
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import Results
from resultsgen.views.live.needs import need_line
from resultsgen.views.words.wording import wording


@dataclass(frozen=True)
class Answer:
    """What became of a slip."""

    text: str = ""
    written: bool = False
    questions: tuple[str, ...] = ()
    """What is unusual; nothing is written before it is confirmed."""
    refused: tuple[str, ...] = ()
    """What cannot be right, whatever anybody confirms."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class WrittenRow:
    """A row that was written here: as it stands, and what stood there before."""

    source: str
    row: str
    before: str
    entry: MarkEntry


@dataclass
class Desk(MeetNow):
    """One meet folder in which marks are entered; `into` names the file for them."""

    into: str = ""
    told: list[Problem] = field(default_factory=list)
    """What of the problems was shown last."""
    written: list[WrittenRow] = field(default_factory=list)
    shown: set[tuple[Gymnast, str]] | None = None
    """Who was up when that was shown last; None: it was shown to nobody."""
    last: tuple[str, str] = ("", "")
    """Competition and apparatus of the slip that was understood last, entered or not."""

    def lost(self, but: MarkEntry | None = None) -> list[tuple[str, EnteredMark]]:
        """What was entered and stands in no file any more, with the file into which it was; *but*
        what is being entered."""
        meet = self.look().meet
        journals = (
            (source, entered_marks(self.folder, source))
            for source in meet.settings.sources("marks")
        )
        return [
            (source, one)
            for source, one in lost_marks(journals, self.rows, meet.entries)
            if not but or one.routine != _kept(but).routine
        ]

    def gone(self, but: MarkEntry | None = None) -> tuple[str, ...]:
        """The same in sentences; beside an entry not of who is taken off the roster, which is no
        slip of an editor."""
        with suppress(MeetProblems, OSError):
            entries = self.look().meet.entries
            return tuple(
                told_of(one, source, entries)
                for source, one in self.lost(but)
                if not but or is_worn(one.bib, entries)
            )
        return ()

    def again(self, lost: EnteredMark) -> Answer:
        """Enter what was lost once more."""
        return self.enter(lost.whose, lost.said, None)

    def leave_out(self, source: str, lost: EnteredMark) -> Answer:
        """Take what was lost for done with."""
        return self._safely(lambda: self._leave_out(source, lost))

    def _leave_out(self, source: str, lost: EnteredMark) -> Answer:
        with self._file(source) as file:
            file.keep(EnteredMark(*lost.routine))
        return Answer(written=True)

    def up(self) -> list[Up]:
        """Who is up on each apparatus of each competition, to be shown: a slip without a bib is of
        one of them."""
        ups = all_up(self.look())
        self.shown = {(one.routine.gymnast, one.routine.part) for one in ups}
        return ups

    def bare(self) -> RoutineMeant | None:
        """Whose mark it is where nobody is named; None where that is to be said."""
        try:
            return who_is_up(self.look(), Slip(), self.last)
        except SlipError:
            return None

    def need(self, routine: RoutineMeant) -> str:
        """What somebody who is up needs, in one line; empty where nothing is in reach."""
        judged = self.look()
        said = wording(judged.meet.settings)
        return need_line(judged, routine.judged, routine.gymnast.key, said, routine.apparatus)

    def named(self, gymnast: Gymnast) -> str:
        """Bib and name; the bib alone where the name is withheld."""
        return bib_and_name(gymnast, wording(self.look().meet.settings))

    def completions(self) -> list[tuple[str, str]]:
        """Every bib that starts somewhere, and how it is shown."""
        running = with_marks(self.look())
        people = {who.bib: who for one in running for who in one.entries.people.values()}
        return [(bib, self.named(gymnast)) for bib, gymnast in people.items()]

    def apparatus(self) -> list[tuple[str, str]]:
        """Every apparatus by its code, and how it is shown; a second vault where there is one."""
        words = wording(self.look().meet.settings)
        each = [one.entries.competition for one in with_marks(self.look())]
        codes = dict.fromkeys(code for one in each for code in one.apparatus)
        if any(one.competition.vaults == 2 for one in each):
            codes[SECOND_VAULT] = None
        return [(code.lower(), f"{code} {words.apparatus(code)}") for code in codes]

    def torn(self) -> list[tuple[RowLayout, str]]:
        """Each file of marks that ends in the middle of a row, with that row."""
        settings = read_settings(self.folder)[0]
        return torn_files(self.folder, settings) if settings else []

    def mend(self, layout: RowLayout, last: str, *, whole: bool) -> None:
        """Give a torn row its end, or take it out, if it stands as it was shown."""
        with opened(self.folder, layout) as file:
            if file.torn() == last:
                file.mend(whole=whole)

    def known(self) -> Known:
        """The words that a slip may use here."""
        judged = self.look()
        settings = judged.meet.settings
        each = [words(settings).narrowed([one.discipline]) for one in settings.competitions]
        rules = [judged.meet.rule_sets[one.id] for one in settings.competitions]
        return Known(
            lambda word: any(one.apparatus_and_vault(word) for one in each),
            frozenset(entry.bib for entry in judged.meet.entries),
            each[0].statuses,
            words(settings).short_for,
            all(rule.marks.composition == "single" for rule in rules),
        )

    def enter(
        self, line: str, said: Mapping[str, str] | None = None, yes: Collection[str] | None = ()
    ) -> Answer:
        """Write what a slip says, in a line and by name; *yes* are the questions that are
        confirmed, None: any."""
        return self._safely(
            lambda: self._enter(with_said(read_slip(line, self.known()), said or {}), yes)
        )

    def _enter(self, slip: Slip, yes: Collection[str] | None) -> Answer:
        asked_of = self._entry(slip)
        self.last = asked_of.routine.competition, asked_of.routine.apparatus
        layout = layout_for(self.folder, self.look(), asked_of, self.into)
        with opened(self.folder, layout) as file:
            # Others may have written since; while the file is ours, nobody does.
            if last := file.torn():
                raise NotWrittenError(TORN.format(source=layout.source, last=last))
            judged, entry = self.look(), self._entry(slip)
            line = entry.before.line if entry.before else file.next_line()
            after, refused, notes = self.tried(judged.meet, entry.row(layout.source, line))
            if refused:
                return Answer(refused=refused)
            asked = tuple(asked_back(judged, entry))
            if yes is not None and not set(asked) <= set(yes):
                return Answer(questions=asked)
            notes += self.gone(entry)
            self._write(file, judged, entry)
        one = entry.routine
        running, words = live(after)[one.competition], wording(judged.meet.settings)
        told = sentence(running, one, entry.made, words)
        return Answer(told, written=True, notes=notes)

    def _entry(self, slip: Slip) -> MarkEntry:
        entry = understood(self.look(), slip, self.last, self.rows)
        one = entry.routine
        if not slip.bib and self.shown is not None and (one.gymnast, one.part) not in self.shown:
            raise SlipError(
                f"meanwhile somebody else entered a mark, and {self.named(one.gymnast)} is up; "
                "write it again"
            )
        return entry

    def _write(self, file: MarksFile, judged: Results, entry: MarkEntry) -> None:
        cells, layout = cells_of(entry, judged.meet, file.layout), file.layout
        kept = _kept(entry)
        file.keep(kept)  # First: whatever becomes of the file, the mark is not lost unnoticed.
        try:
            if entry.before:
                old, row = file.exchange_at(entry.before.line, cells)
            else:
                old, row = "", layout.row(cells)
                file.append(row)
        except (OSError, NotWrittenError, UnicodeError):
            with suppress(OSError):
                file.keep(EnteredMark(*kept.routine))
            raise
        self.written.append(WrittenRow(layout.source, row, old, entry))

    def undo(self) -> Answer:
        """Take back the last row that was written here, if it still stands as it was written."""
        if not self.written:
            return Answer(refused=("nothing was entered here that could be taken back",))
        return self._safely(self._undo)

    def _undo(self) -> Answer:
        last = self.written[-1]
        settings = self.look().meet.settings
        with self._file(last.source) as file:
            self.written.pop()
            if not file.exchange(last.row, last.before):
                raise NotWrittenError(
                    f"{last.row.strip()} does not stand in {last.source} as it was written; "
                    "nothing was taken back"
                )
            file.keep(EnteredMark(*_kept(last.entry).routine))
        one, made, before = last.entry.routine, last.entry.made, last.entry.before
        self.last = one.competition, one.apparatus
        words = wording(settings)
        again = f"; it is {show_mark(before.mark) or before.status} again" if before else ""
        head = f"Taken back: {bib_and_name(one.gymnast, words)}, {words.apparatus(one.part)}"
        return Answer(f"{head} {show_mark(made.mark) or made.status}{again}.", written=True)

    @contextmanager
    def _file(self, source: str) -> Iterator[MarksFile]:
        """A file of marks, for this process alone."""
        layout = layout_of(self.folder, self.look().meet.settings, source)
        if isinstance(layout, str):
            raise NotWrittenError(f"{source} {layout}")
        with opened(self.folder, layout) as file:
            yield file

    def _safely(self, do: Callable[[], Answer]) -> Answer:
        """What is done; why not, where something is wrong with the slip, the file or the folder."""
        try:
            return do()
        except (SlipError, NotWrittenError) as refusal:
            return Answer(refused=(str(refusal),))
        except MeetProblems as found:
            return Answer(refused=tuple(map(str, found.problems)))
        except UnicodeError:
            return Answer(refused=("the file of the marks holds what its encoding does not have",))
        except OSError as error:
            return Answer(refused=(self.unopened(error),))

    def unopened(self, error: OSError) -> str:
        """Which file or folder the system does not give, and why."""
        return f"{error.filename or self.folder}: {error.strerror}"


TORN = (
    "{source} ends in the middle of a row, as after a power cut: {last!r}; mend that line, or "
    "start `resultsgen mark` without a mark, which asks for it"
)


def _kept(entry: MarkEntry) -> EnteredMark:
    """A mark as the journal has it."""
    one, made, before = entry.routine, entry.made, entry.before
    parts = (made.mark, made.d, made.e, made.penalty, made.bonus)
    was = (show_mark(before.mark) or before.status) if before else ""
    told = (show_mark(part) for part in parts)
    whose = one.competition, one.gymnast.bib, one.apparatus, str(one.vault)
    return EnteredMark._make((*whose, *told, made.status, was))
