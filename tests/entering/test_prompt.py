"""The prompt in a terminal, as the person at the table meets it."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

from test_cli import RUN, environment
from test_desk import HEADING, desk, held

STEERING = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]|\x1b[=>]|\r")


class Terminal:
    """A terminal in which the prompt runs; what it shows is read as plain text."""

    def __init__(self, folder: Path) -> None:
        self.pid, self.end = pty.fork()
        if not self.pid:
            arguments = [sys.executable, "-c", RUN, "mark", str(folder)]
            os.execve(sys.executable, arguments, environment(TERM="xterm"))
        fcntl.ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 200, 0, 0))
        self.text = ""

    def until(self, pattern: str, seconds: float = 60) -> str:
        """What is shown up to a text that is waited for."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if found := re.search(pattern, self.text):
                shown, self.text = self.text[: found.end()], self.text[found.end() :]
                return shown
            if select.select([self.end], [], [], 0.1)[0]:
                try:
                    read = os.read(self.end, 65536)
                except OSError:
                    read = b""
                if b"\x1b[6n" in read:  # It asks where the cursor is.
                    os.write(self.end, b"\x1b[1;1R")
                self.text += STEERING.sub("", read.decode("utf-8", "replace"))
        raise AssertionError(f"{pattern} is not shown, but {self.text}")

    def type(self, line: str) -> None:
        os.write(self.end, line.encode() + b"\r")

    def ended(self) -> int:
        """The exit code."""
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])


def test_marks_are_entered_asked_back_and_taken_back(tmp_path):
    desk(tmp_path, HEADING + "102,BB,12.000,4.000,8.000,,,,\n102,VT,12.")
    at = Terminal(tmp_path)
    at.until("ends in the middle of a row, as after a power cut: '102,VT,12.'")
    at.type("out")
    at.until("It is out; enter it again")
    at.until("VT, squad A: 101 Vale Ada; then 102 Torr Bea")
    at.until("\n>")
    at.type("101 vt 4.9 7.75 .1")
    at.until(r"101 Vale Ada, Vault 12\.550 \(4\.900 \+ 7\.750 - 0\.100\): 1st place")
    at.until("102 VT >")
    at.type("7.75 4.9")
    at.until(r"D 7\.750 is higher than E 4\.900: exchanged\?")
    at.until("Enter it as it stands")
    at.type("")
    at.until("Not entered")
    assert held(tmp_path).count("102,VT") == 0
    at.type("7.75 4.9")
    at.until("Enter it as it stands")
    at.type("y")
    at.until("102 Torr Bea, Vault 12.650")
    at.type("undo")
    at.until("Taken back: 102 Torr Bea, Vault 12.650")
    at.until("102 VT >")
    os.write(at.end, b"101 vt 9 9\x03")  # Ctrl-C empties the line.
    at.type("999 vt 9 9")
    at.until("Not entered: nobody wears 999")
    (tmp_path / "roster.csv").rename(tmp_path / "away.csv")
    at.type("next")
    at.until("to mend: roster.csv is missing")
    (tmp_path / "away.csv").rename(tmp_path / "roster.csv")
    at.type("next")
    at.until("VT, squad A: 102 Torr Bea")
    at.type("quit")
    at.until("1 mark entered")
    assert at.ended() == 0
    rows = "102,BB,12.000,4.000,8.000,,,,\n101,VT,12.550,4.900,7.750,0.100,,,\n"
    assert held(tmp_path) == HEADING + rows


def test_a_prompt_that_is_killed_has_lost_nothing(tmp_path):
    desk(tmp_path)
    at = Terminal(tmp_path)
    at.until("\n>")
    at.type("101 vt 4.9 7.75")
    at.until("101 Vale Ada, Vault 12.650")
    os.kill(at.pid, signal.SIGKILL)
    at.ended()
    assert held(tmp_path) == HEADING + "101,VT,12.650,4.900,7.750,,,,\n"


def piped(folder: Path, lines: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", RUN, "mark", str(folder)],
        input=lines,
        capture_output=True,
        text=True,
        check=False,
        env=environment(),
    )


def test_slips_may_come_through_a_pipe(tmp_path):
    desk(tmp_path)
    lines = "101 vt 4.9 7.75\n4.5 8\nhelp\n203 vt 3 2\ny\n"
    done = piped(tmp_path, lines)
    assert "102 Torr Bea, Vault 12.500" in done.stdout
    assert "Enter it as it stands" not in held(tmp_path)
    assert done.stdout.endswith("3 marks entered, all of them on the disk.\n")
    assert held(tmp_path).count("\n") == 4
    assert done.returncode == 0


def test_a_folder_that_cannot_be_read_is_told_with_all_that_is_to_mend(tmp_path):
    desk(tmp_path)
    (tmp_path / "roster.csv").write_text("bib\n")
    done = piped(tmp_path, "")
    assert "roster.csv" in done.stdout
    assert done.returncode == 1
