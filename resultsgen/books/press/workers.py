"""The press: HTML becomes PDF in processes of their own, on all cores.

The renderer is a program within the program: it can run out of memory or crash, so it never runs
in this process. A worker is a fresh Python that reads jobs from its standard input and writes
what it made to its standard output; when its input ends, for whatever reason, so does the worker.
One that has nothing to do is kept for the next build of the same process, if there is one.
"""

from __future__ import annotations

import contextlib
import functools
import gc
import json
import os
import pickle
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import IO, Any, Literal

from resultsgen.books.press import PressError, RendererMissingError
from resultsgen.books.press.open_places import NotJoinableError
from resultsgen.books.press.renderer import Renderer, explain_missing_renderer
from resultsgen.files.cache import key_of
from resultsgen.theme import fonts

NOT_JOINABLE = b""
"""What comes of a unit that cannot be joined, such as one with a letter of another font."""


@dataclass(frozen=True)
class PressJob:
    """What is to be rendered: its name for people, its HTML, and what is to be made of it."""

    name: str
    html: str
    make: Literal["book", "unit", "page numbers"] = "book"


@dataclass(frozen=True)
class BookLook:
    """What all sections share: style sheets, and assets (media type, bytes) by address."""

    css: tuple[str, ...]
    assets: Mapping[str, tuple[str, bytes]]

    @cached_property
    def key(self) -> str:
        """Changes when any of it does."""
        parts = (part for name in sorted(self.assets) for part in (name, *self.assets[name]))
        return key_of(*self.css, *parts)


@dataclass(frozen=True)
class FontJob:
    """A font to cut down to some letters: the library that does it takes much memory."""

    font: Path
    needed: frozenset[str]

    def done(self) -> tuple[bytes, fonts.Alphabet]:
        """The small font, and the glyph and width of each of its letters."""
        small = fonts.subset(self.font, self.needed, "ttf")
        return small, fonts.alphabet(small)


@dataclass(frozen=True)
class GlyphJob:
    """Glyphs of a font, whose outlines are asked for alone."""

    font: bytes = field(repr=False)
    shown: frozenset[int]

    def done(self) -> bytes:
        """The font file with these."""
        return fonts.glyphs_alone(self.font, self.shown)


@dataclass
class Worker:
    """A process that renders, and the key of the look that it is set up for."""

    process: subprocess.Popen[bytes]
    look: str = ""

    def answer(self, name: str, *messages: object) -> Any:
        """What it answers to the last of these messages, which is about something of this name."""
        try:
            for message in messages:
                _send(self.process.stdin, message)
            outcome, made = pickle.load(self.process.stdout)  # type: ignore[arg-type]
        except (EOFError, OSError, pickle.UnpicklingError) as problem:
            raise PressError(_crash(name, self.process)) from problem
        if outcome == "missing":
            raise RendererMissingError(made)
        if outcome == "failed":
            raise PressError(f"{name}: {made}")
        return made

    def end(self) -> None:
        """Whatever it is doing, it ends."""
        self.process.kill()
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe:
                # What was still on its way to a worker that is gone cannot be delivered.
                with contextlib.suppress(OSError):
                    pipe.close()


READY = "load the renderer"
"""What a worker is told when there may be nothing to render yet."""

AT_HAND: list[Worker] = []
"""Workers that have nothing to do, for the next press of this process; they end with it."""


def get_ready(workers: int = 0) -> None:
    """Start workers that load the renderer while this process is still at something else."""
    while len(AT_HAND) < (workers or os.cpu_count() or 1):
        worker = Worker(_start())
        # One that has ended already is told of when there is something for it to do.
        with contextlib.suppress(OSError):
            _send(worker.process.stdin, READY)
        AT_HAND.append(worker)


class Workers:
    """Workers that render; use it in a `with` block, and none is left behind where it fails."""

    def __init__(self, look: BookLook, workers: int = 0) -> None:
        self._look = look
        self._most = workers or os.cpu_count() or 1
        self._working: list[Worker] = []
        self._cutting: list[Worker] = []
        """The one that cuts fonts while all others render; it need not load the renderer."""
        self._lock = threading.Lock()
        self._closed = False

    def __enter__(self) -> Workers:
        return self

    def __exit__(self, failed: object = None, *rest: object) -> None:
        with self._lock:
            self._closed = True
        for worker in (*self._working, *self._cutting, *(AT_HAND if failed else ())):
            worker.end()

    def outlines(self, font: bytes, shown: frozenset[int]) -> bytes:
        """The font file with the outlines of these glyphs alone."""
        if not self._cutting:
            self._cutting.append(Worker(_start()))
        made: bytes = self._cutting[0].answer("the fonts of the books", GlyphJob(font, shown))
        return made

    def rendered(self, jobs: Iterable[PressJob]) -> Iterator[tuple[PressJob, Any]]:
        """Each job with what was made of it, in the order in which they are ready.

        They are begun in the order given, and go on while nobody asks for the next.
        """
        waiting = list(jobs)
        if not waiting:
            return
        executor = ThreadPoolExecutor(min(self._most, len(waiting)))
        try:
            futures = {executor.submit(self._render, job): job for job in waiting}
            for future in as_completed(futures):
                yield futures[future], future.result()
        except BaseException as failed:
            # Closed after the last of them is no failure: the workers stay for the next build.
            if not all(future.done() for future in futures):
                self.__exit__(failed)
            raise
        finally:
            executor.shutdown(cancel_futures=True)

    def _render(self, job: PressJob) -> Any:
        """Hand a job to a worker that has nothing to do, and wait for it."""
        with self._lock:
            if self._closed:
                raise PressError("the press is closed")
            worker = _at_hand()
            self._working.append(worker)
        set_up = () if worker.look == self._look.key else (self._look,)
        worker.look = self._look.key
        made = worker.answer(job.name, *set_up, job)
        with self._lock:
            self._working.remove(worker)
            AT_HAND.append(worker)
        return made


def _at_hand() -> Worker:
    """A worker that has nothing to do, or a new one."""
    # Several threads ask at a time: who finds none left has not looked before.
    with contextlib.suppress(IndexError):
        while True:
            worker = AT_HAND.pop()
            if worker.process.poll() is None:
                return worker
    return Worker(_start())


def cut_fonts(jobs: Sequence[FontJob]) -> list[tuple[bytes, fonts.Alphabet]]:
    """What comes of these jobs, on which all workers are that are at hand."""

    def cut(job: FontJob) -> tuple[bytes, fonts.Alphabet]:
        worker = _at_hand()
        made: tuple[bytes, fonts.Alphabet] = worker.answer("the fonts of the books", job)
        AT_HAND.append(worker)
        return made

    with ThreadPoolExecutor(len(AT_HAND) or 1) as executor:
        return list(executor.map(cut, jobs))


@functools.cache
def _scratch() -> tempfile.TemporaryDirectory[str]:
    """Where workers put the fonts they work with; it goes when this process ends."""
    return tempfile.TemporaryDirectory(prefix="resultsgen-", ignore_cleanup_errors=True)


def _start() -> subprocess.Popen[bytes]:
    """A fresh Python that finds the same modules as this one; Ctrl-C is for this one to handle."""
    work = "import sys; from resultsgen.books.press.workers import work; work(sys.argv[1])"
    command = [sys.executable, "-P", "-c", work, _scratch().name]
    path = os.pathsep.join(filter(None, sys.path))
    return subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": path},
        start_new_session=True,
    )


def _send(pipe: IO[bytes] | None, message: object) -> None:
    assert pipe is not None
    pickle.dump(message, pipe, pickle.HIGHEST_PROTOCOL)
    pipe.flush()


def _crash(name: str, worker: subprocess.Popen[bytes]) -> str:
    """What to say of a worker that ended before it answered."""
    worker.kill()
    code = worker.wait()
    ended = f"signal {-code}" if code < 0 else f"exit code {code}"
    return f"{name}: the renderer broke down ({ended}); no font, or too little memory?"


def serve(source: IO[bytes], target: IO[bytes]) -> None:
    """The work of one worker: to be set up for a look, then to render its jobs, and so on."""
    render: Callable[[PressJob], tuple[str, Any]] | None = None
    while True:
        try:
            message: BookLook | PressJob | FontJob | GlyphJob | str = pickle.load(source)
        except EOFError:
            return
        if isinstance(message, BookLook):
            render = _render_function(message)
        elif isinstance(message, FontJob | GlyphJob):
            _send(target, ("made", message.done()))
        elif message == READY:
            explain_missing_renderer()
        elif render and isinstance(message, PressJob):
            _send(target, render(message))


def _render_function(look: BookLook) -> Callable[[PressJob], tuple[str, Any]]:
    """A function that renders one job; every kind of failure is an answer."""
    gc.unfreeze()
    try:
        renderer = Renderer(look.css, look.assets)
    except RendererMissingError as missing:
        explanation = str(missing)
        return lambda job: ("missing", explanation)
    except Exception as problem:
        told = f"the style of the books: {problem}"
        return lambda job: ("failed", told)

    # What is there now stays, so that nobody need look at it after each job.
    gc.collect()
    gc.freeze()

    def render(job: PressJob) -> tuple[str, Any]:
        # Rendering makes millions of short-lived objects in cycles; looking for them after each
        # job and not during it makes a third less work of it.
        gc.disable()
        try:
            return "made", _made(renderer, job)
        except Exception as problem:
            return "failed", str(problem)
        finally:
            gc.enable()
            gc.collect()

    return render


def _made(renderer: Renderer, job: PressJob) -> bytes:
    """What was asked for: a PDF, a unit in the form in which it is kept, or page numbers."""
    if job.make == "page numbers":
        return json.dumps(renderer.page_numbers(job.html)).encode()
    if job.make == "book":
        return renderer.book(job.html)
    try:
        return pickle.dumps(renderer.unit(job.html))
    except NotJoinableError:
        return NOT_JOINABLE


def work(scratch: str) -> None:
    """Answers go where standard output went; what the renderer prints does not get among them."""
    tempfile.tempdir = scratch
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    # Whoever started this has ended, perhaps while waiting for an answer and without clearing up.
    with contextlib.suppress(BrokenPipeError):
        serve(sys.stdin.buffer, answers)
    shutil.rmtree(scratch, ignore_errors=True)
    # The renderer's own clearing up at the end prints complaints and does nothing of use.
    os._exit(0)
