"""Work that two processes share: nothing is lost whatever becomes of the copy."""

from __future__ import annotations

import fcntl
import os
import signal
import subprocess
import sys
import time
from functools import partial

import pytest

from resultsgen.website import side_by_side as module
from resultsgen.website.side_by_side import MOST, WORTH, beside, side_by_side

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="no copy is made here")


@pytest.fixture(autouse=True)
def copied(monkeypatch):
    monkeypatch.setattr(module, "_may_be_copied", lambda: True)


def by_whom(folder, number):
    """What each does: it tells what process did it, also by a file."""
    (folder / str(os.getpid())).touch()
    return number, os.getpid()


def until(true):
    for _ in range(3000):
        if true():
            return
        time.sleep(0.01)
    raise AssertionError("it never came")


@pytest.mark.parametrize("many", [WORTH, 2 * MOST + 1])
def test_both_do_their_part_and_each_is_done_once(tmp_path, many):
    with side_by_side([partial(by_whom, tmp_path, number) for number in range(many)]) as done:
        until(lambda: [*tmp_path.iterdir()])
        found = done()
    assert [number for number, _ in found] == [*range(many)]
    assert any(process != os.getpid() for _, process in found)


def test_what_the_copy_fails_at_is_done_here(tmp_path):
    here = os.getpid()

    def fails_there(number):
        if os.getpid() != here:
            (tmp_path / "failed").touch()
            raise MemoryError
        return number

    try:
        with side_by_side([partial(fails_there, number) for number in range(WORTH)]) as done:
            until((tmp_path / "failed").exists)
            assert done() == [*range(WORTH)]
    finally:
        (tmp_path / str(os.getpid())).touch()
    assert {one.name for one in tmp_path.iterdir()} == {"failed", str(here)}


def test_what_is_done_beside_is_told_once_and_nothing_where_it_failed():
    with beside(os.getpid) as told:
        assert told() not in (None, os.getpid())
        assert told() is None
    with beside(partial(int, "no number")) as told:
        assert told() is None


def test_what_goes_wrong_is_told_and_no_copy_is_left(monkeypatch):
    fork, copies = os.fork, []
    monkeypatch.setattr(module.os, "fork", lambda: copies.append(fork()) or copies[-1])

    def wrong():
        raise ValueError("wrong everywhere")

    told = pytest.raises(ValueError, match="wrong everywhere")
    with told, side_by_side([wrong] * WORTH) as done:
        done()
    with pytest.raises(KeyError), side_by_side([partial(time.sleep, 60)] * WORTH):
        raise KeyError
    assert len(copies) == 2
    for copy in copies:
        with pytest.raises(ProcessLookupError):
            os.kill(copy, 0)


def test_without_a_c_library_it_is_the_same(monkeypatch):
    def none_to_be_had(name):
        raise OSError("Dynamic loading not supported")

    monkeypatch.setattr("ctypes.CDLL", none_to_be_had)
    with beside(os.getpid) as told:
        assert told() not in (None, os.getpid())


@pytest.mark.parametrize("many", [WORTH - 1, WORTH])
def test_alone_it_is_the_same(monkeypatch, many):
    def none_to_be_had():
        assert many == WORTH
        raise BlockingIOError

    monkeypatch.setattr(module.os, "fork", none_to_be_had)
    with side_by_side([partial(int, str(number)) for number in range(many)]) as done:
        assert done() == [*range(many)]


def test_in_the_smallest_pipe_there_is_room_for_the_numbers(monkeypatch):
    def small():
        reading, writing = made()
        fcntl.fcntl(writing, fcntl.F_SETPIPE_SZ, 4096)
        os.set_blocking(writing, False)  # Else it waits for ever where there is no room.
        return reading, writing

    made = os.pipe
    many = 4 * MOST + 1
    monkeypatch.setattr(module.os, "pipe", small)
    with module._numbers(many) as numbers:
        assert [*module._taken(numbers, many)] == [*range(many)]


def test_where_nobody_is_told_of_ended_processes_it_is_the_same():
    before = signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    try:
        with side_by_side([partial(int, str(number)) for number in range(WORTH)]) as done:
            assert done() == [*range(WORTH)]
    finally:
        signal.signal(signal.SIGCHLD, before)


KILLED = """
import os, signal
from resultsgen.website import side_by_side as module
reading, writing = os.pipe()
module._may_be_copied = lambda: True
with module.side_by_side([lambda: bytes(os.write(writing, b'.') * 10**5)] * 20):
    os.read(reading, 1)
    os.kill(os.getpid(), signal.SIGKILL)
"""


def test_a_copy_ends_when_the_other_was_killed():
    # It is gone once nobody has the other end of what it would print.
    subprocess.run([sys.executable, "-c", KILLED], stdout=subprocess.PIPE, timeout=60, check=False)
