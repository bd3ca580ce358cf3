"""Marks entered at a terminal: one after the other at a prompt, or one as a command."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from typing import TYPE_CHECKING

from resultsgen.cli.terminal import print_line
from resultsgen.meet.problems import MeetProblems, Problem

if TYPE_CHECKING:
    from prompt_toolkit.completion import Completer
    from prompt_toolkit.document import Document

    from resultsgen.entering.desk import Answer, Desk

Ask = Callable[[str], str]
"""Asks for a line; EOFError where no more comes."""

HELP = """\
103 fx 4.9 7.75 .1   bib, apparatus, D, E, penalty
4.9 7.75             of the one whose bib stands before the >
103 vt2 4.4 8.7      the second vault; 103 fx 12.550 the mark alone; 103 fx DNS
+.2  =12.65  @ID     a bonus; the mark, to be compared; the competition, where a bib is in several
r2                   the rotation, where the file has a column for it; once for a squad
undo                 takes back the last mark that was entered here
again                enters again what was entered and stands in its file no more
next                 who is up in each squad
quit                 ends it; every mark is on the disk already. Ctrl-C empties the line"""


def mark_once(desk: Desk, slip: list[str], said: Mapping[str, str], *, yes: bool) -> bool:
    """Enter one mark; whether it was written."""
    answer = desk.enter(" ".join(slip), said, None if yes else ())
    tell(answer)
    if answer.questions:
        print_line("Nothing was entered; if it is right as it stands, say --yes.")
    return answer.written


def tell(answer: Answer) -> None:
    for line in answer.refused:
        print_line(f"Not entered: {line}")
    for line in (*answer.questions, answer.text):
        if line:
            print_line(line)
    for line in answer.notes:
        print_line(f"note: {line}")


def mark_many(desk: Desk) -> bool:
    """Enter marks until there are no more; whether the meet could be read at first."""
    ask = _asker(desk) if sys.stdin.isatty() else _from_stream
    try:
        _mend(desk, ask)
        _tell_lost(desk)
        tell_up(desk)
    except MeetProblems as found:
        _tell_problems(desk, found.problems)
        return False
    print_line("Write bib, apparatus, D, E, penalty; help shows more, quit ends it.")
    with suppress(EOFError, KeyboardInterrupt):
        while True:
            message = _before(desk)
            with suppress(MeetProblems):  # They are told before the next line.
                _one(desk, ask, ask(message).strip())
    _tell_lost(desk)
    many = len(desk.written)
    print_line(f"{many} mark{'' if many == 1 else 's'} entered, all of them on the disk.")
    return True


def _tell_problems(desk: Desk, problems: list[Problem]) -> None:
    """What is to mend, once."""
    for problem in problems if problems != desk.told else ():
        print_line(f"to mend: {problem}")
    desk.told = problems


def _one(desk: Desk, ask: Ask, line: str) -> None:
    """Do what a line says."""
    commands: dict[str, Callable[[], None]] = {
        "": lambda: None,
        "help": tell_help,
        "?": tell_help,
        "next": lambda: tell_up(desk),
        "undo": lambda: tell(desk.undo()),
        "again": lambda: _again(desk, ask),
    }
    if line.casefold() in ("quit", "exit"):
        raise EOFError
    if command := commands.get(line.casefold()):
        command()
        return
    answer = desk.enter(line)
    if answer.questions:
        for question in answer.questions:
            print_line(f"  {question}")
        if ask("  Enter it as it stands? y, or Enter for no: ").strip().casefold() != "y":
            print_line("Not entered; the arrow up brings the line back.")
            return
        answer = desk.enter(line, yes=answer.questions)
    tell(answer)
    up = desk.bare()
    if up and (need := desk.need(up)):
        print_line(f"  Up: {desk.named(up.gymnast)}. {need}")


def _tell_lost(desk: Desk) -> None:
    """What was entered and is there no more."""
    for line in desk.gone():
        print_line(f"note: {line}")


def _again(desk: Desk, ask: Ask) -> None:
    """Enter again what is there no more, if that is not meant."""
    lost = desk.lost()
    for source, one in lost:
        vault = one.vault if one.apparatus == "VT" and one.vault == "2" else ""
        print_line(f"{one.bib} {one.apparatus}{vault} {one.made}, {one.competition}")
        said = ask("  Enter it again? y, out if it is done with, or Enter to leave it: ")
        if said.strip().casefold() in ("y", "out"):
            tell(desk.again(one) if said.strip().casefold() == "y" else desk.leave_out(source, one))
    if not lost:
        print_line("All that was entered stands in its file.")


def tell_help() -> None:
    for line in HELP.splitlines():
        print_line(line)


def _mend(desk: Desk, ask: Ask) -> None:
    """Tell of what a power cut left of a row, and have it decided."""
    for layout, last in desk.torn():
        print_line(f"{layout.source} ends in the middle of a row, as after a power cut: {last!r}")
        said = ""
        while said not in ("whole", "out"):
            said = ask("  Write whole if nothing of it is missing, or out to take it out: ")
            said = said.strip().casefold()
        desk.mend(layout, last, whole=said == "whole")
        print_line("It stands as a row." if said == "whole" else "It is out; enter it again.")


def tell_up(desk: Desk) -> None:
    for line in up_lines(desk, needs=True):
        print_line(line)


def up_lines(desk: Desk, *, needs: bool = False) -> Iterator[str]:
    """Who is up, a line for each apparatus, and below it what she needs."""
    ups = desk.up()
    several = len({one.routine.competition for one in ups}) > 1
    for one in ups:
        squad = f", squad {one.squad}" if one.squad else ""
        title = f"{one.routine.judged.competition.title}, " if several else ""
        then = f"; then {desk.named(one.then)}" if one.then else ""
        yield f"{title}{one.routine.part}{squad}: {desk.named(one.routine.gymnast)}{then}"
        if needs and (need := desk.need(one.routine)):
            yield f"    {need}"


def _before(desk: Desk) -> str:
    """What stands before the line: whose mark it is if nobody is named."""
    try:
        desk.up()
        up = desk.bare()
    except MeetProblems as found:
        _tell_problems(desk, found.problems)
        print_line("No mark can be entered before that is mended.")
        return "> "
    _tell_problems(desk, desk.problems)
    return f"{up.gymnast.bib} {up.part} > " if up else "> "


def _from_stream(_: str) -> str:
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line


def _asker(desk: Desk) -> Ask:
    """Asks at a terminal, where bibs, apparatus and commands are completed."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.key_binding import KeyBindings

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    keys = KeyBindings()
    keys.add("c-c")(lambda event: event.current_buffer.reset())  # No slip of the hand ends it.
    slips: PromptSession[str] = PromptSession(key_bindings=keys)
    answers: PromptSession[str] = PromptSession(key_bindings=keys)

    def ask(message: str) -> str:
        if not message.endswith("> "):
            return answers.prompt(message)
        below, completer = None, None
        with suppress(MeetProblems):
            below, completer = "\n".join(up_lines(desk)) or None, _completer(desk)
        return slips.prompt(message, completer=completer, bottom_toolbar=below)

    return ask


def _completer(desk: Desk) -> Completer:
    from prompt_toolkit.completion import Completer, Completion

    first = [
        *desk.completions(),
        *((word, word) for word in ("undo", "again", "next", "help", "quit")),
    ]
    second = desk.apparatus()

    class Slips(Completer):
        def get_completions(self, document: Document, _: object) -> Iterator[Completion]:
            words = document.text_before_cursor.split(" ")
            known = {1: first, 2: second}.get(len(words), ())
            for text, shown in known if words[-1] else ():
                parts = shown.casefold().split()
                if any(part.startswith(words[-1].casefold()) for part in parts):
                    yield Completion(text, -len(words[-1]), display=shown)

    return Slips()
