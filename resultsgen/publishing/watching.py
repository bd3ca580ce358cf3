"""A meet folder watched while it is written: built or published, served on this machine only, again
when a file changes, and the open page reloaded.

Only what is served gets the script; the files stay as they are published.
"""

from __future__ import annotations

import errno
import gc
import json
import os
import signal
import socket
import tempfile
import threading
import time
import traceback
from collections.abc import AsyncIterator, Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from resultsgen.files.lock import AnotherBuildError
from resultsgen.files.manifest import HIDDEN, MARKER, is_input
from resultsgen.files.markup import WITHIN
from resultsgen.meet.problems import MeetProblems, NotPublishedError
from resultsgen.publishing.build_options import BuildOptions, Published
from resultsgen.publishing.stages import OvertakenError, Stages
from resultsgen.theme.theme import ThemeError, chosen_theme

if TYPE_CHECKING:
    from starlette.routing import BaseRoute, Mount

LOOK = 100
"""Thousandths of a second between two looks where nothing has changed."""

ALL = 10
"""At each look of so many everything is looked at."""

AGAIN = 1
"""Seconds until it is tried again where the machine or another build was in the way."""

SETTLED = 20
"""Thousandths of a second without a further change, after which what was changed is read."""

FAULT = "A fault of this program, which the next change may pass by; please report it: "

Tell = Callable[[str], None]
"""Told each line that the person at the table should read."""


def watch(
    meet_folder: Path,
    options: BuildOptions,
    port: int,
    tell: Tell,
    out: Path | None,
    more: Sequence[BaseRoute] = (),
) -> None:
    """Serve the meet until interrupted, published into *out* if that is named, else as a preview;
    *more* is answered at another port: a page in *out* that we did not make must not speak for it.

    OSError where the port is taken.
    """
    with tempfile.TemporaryDirectory(prefix="resultsgen-") as kept:
        folder, news = out or Path(kept) / "preview", News()
        with served(pages(folder, news), port) as address, served([*more, own()], 0) as beside:
            into = f", publishing into {out}" if out else ""
            marks = f"; enter marks at {beside}{OWN}/mark" if more else ""
            tell(f"Watching {meet_folder}{into}; look at {address} (Ctrl-C ends it){marks}")
            follow(meet_folder, Stages(meet_folder, folder, options), options.theme, news, tell)


def follow(meet_folder: Path, stages: Stages, theme: str, news: News, tell: Tell) -> None:
    """Take each step that is to be done; changes go first."""
    watched, interrupted = Watched(meet_folder, theme), threading.Event()

    def interrupt(*given: Any) -> None:
        interrupted.set()
        signal.default_int_handler(*given)

    signal.signal(signal.SIGINT, interrupt)
    gc.disable()  # What lies about is cleared away once there is nothing else to do.
    for changed in watched.looks():
        if interrupted.is_set():  # Python drops what is raised while things are cleared away.
            raise KeyboardInterrupt
        if changed:
            stages.begin()
        if changed or stages.left:
            attempt(stages, watched.changed, news, tell)
            if not stages.left:
                gc.collect()


def attempt(stages: Stages, changed: Callable[[], bool], news: News, tell: Tell) -> None:
    """Do what is next, and tell how it went; what was good before stays."""
    try:
        built = stages.go_on(changed)
    except OvertakenError:
        stages.begin()
        return
    except MeetProblems as found:
        lines, stages.left = tuple(str(problem) for problem in found.problems), ()
    except ThemeError as problem:
        lines, stages.left = (str(problem.args[0]),), ()
    except (AnotherBuildError, OSError) as problem:  # It is tried again.
        lines = (str(problem),)
        time.sleep(AGAIN)
    except NotPublishedError as problem:
        lines, stages.left = (str(problem),), ()
    except Exception:  # A meet goes on, and so does who publishes it.
        lines, stages.left = (FAULT + traceback.format_exc(),), ()
    else:
        for line in _said(built, stages.left):
            tell(line)
        news.told(built.held, changed=built.changed > 0)
        return
    if news.state[1] != lines:
        for line in (*lines, f"{len(lines)} to mend; the last good build stays."):
            tell(line)
    news.told(lines)


def _said(built: Published, left: tuple[str, ...]) -> Iterator[str]:
    """Each note once all is done, and how much was new."""
    follow = f"; {' and '.join(left)} follow" if left else ""
    if not left:
        yield from (f"note: {note}" for note in built.notes)
    yield from (f"held back: {problem}" for problem in built.held)
    mend = f"{len(built.held)} to mend" if built.held else "no problems"
    yield (
        f"Built: publication {built.number}, {built.changed} of {built.files} files new or "
        f"changed; {mend}{follow}."
    )


class Watched:
    """The folders that are read, and whether something in them is otherwise than it was.

    The watching begins before the first answer, so that no change is lost while it is dealt with.
    """

    def __init__(self, meet_folder: Path, theme: str) -> None:
        self._folders = (meet_folder.resolve(), *_theme_folders(theme, meet_folder))
        self._seen: frozenset[tuple[str, int, int]] | None = None
        for folder in self._folders:
            if os.fsencode(folder).decode("utf-8", "replace") != str(folder):
                told = "its name is no UTF-8; rename it to watch it"
                raise OSError(errno.EILSEQ, told, str(folder))

    def looks(self) -> Iterator[bool]:
        """Whether something has changed, at each look; yes at the first.

        The system tells nothing of what another machine writes into a shared folder, nor once it
        was begun anew: so everything is looked at now and then.
        """
        while True:
            for number, told in enumerate(_looks(self._folders)):
                now = _state(self._folders) if told or number % ALL == 0 else self._seen
                changed, self._seen = told or now != self._seen, now
                yield changed

    def changed(self) -> bool:
        """Whether something has changed since it was last asked or looked."""
        before, self._seen = self._seen, _state(self._folders)
        return before != self._seen


def _looks(folders: tuple[Path, ...]) -> Iterator[bool]:
    """Whether something has changed, at each look; it ends where that cannot be told."""
    from watchfiles import DefaultFilter, watch

    class Read(DefaultFilter):
        """Everything but hidden files, editors' leftovers and published folders."""

        def __call__(self, change: object, path: str) -> bool:
            return super().__call__(change, path) and is_read(Path(path), folders)  # type: ignore

    looks = watch(
        *folders,
        watch_filter=Read(),
        debounce=300,
        step=SETTLED,
        rust_timeout=LOOK,
        yield_on_timeout=True,
    )
    try:
        yield from map(bool, looks)
    except RuntimeError as error:
        # So it ends at a file whose name is no UTF-8, even where that is only read.
        if "decode path" not in str(error):
            raise


def _state(folders: tuple[Path, ...]) -> frozenset[tuple[str, int, int]]:
    """Every file of the folders that is not published, with its size and when it was written."""
    found = set()
    for folder in folders:
        for place, inner, names in os.walk(folder):
            if MARKER in names:
                inner.clear()
                continue
            inner[:] = [name for name in inner if not name.startswith(HIDDEN)]
            for path in (os.path.join(place, n) for n in names if not n.startswith(HIDDEN)):
                with suppress(OSError):
                    status = os.lstat(path)
                    found.add((path, status.st_size, status.st_mtime_ns))
    return frozenset(found)


def _theme_folders(theme: str, meet_folder: Path) -> tuple[Path, ...]:
    """The folders of a theme that is asked for by name; the meet's own lies in the meet folder."""
    try:
        return chosen_theme(theme, "", "", meet_folder).folders if theme else ()
    except ThemeError:
        return ()


def is_read(path: Path, folders: tuple[Path, ...]) -> bool:
    """Whether a changed file can change what is built: not hidden, and nothing we published."""
    for folder in folders:
        if path.is_relative_to(folder):
            return is_input(folder, path.relative_to(folder))
    return False


HOST = "127.0.0.1"
NAMES = (HOST, "localhost")
"""What this machine is asked for by; under any other name a page from elsewhere may be asking."""

OWN = "-watch"
"""The folder of addresses that the site itself never has."""

ALLOWED = "default-src 'none'; "
"""How every page's policy begins; the reloading page may also ask this server for news."""

NOTHING_YET = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>Nothing to show yet</title></head>
<body><h1>Nothing to show yet</h1></body></html>
"""

PULSE = 0.1
"""Seconds between two looks at the news."""


class News:
    """How many builds changed something, and what is to mend now; told and read by threads."""

    def __init__(self) -> None:
        self.state: tuple[int, tuple[str, ...]] = (0, ())

    def told(self, problems: tuple[str, ...], *, changed: bool = False) -> None:
        """One more build is over."""
        self.state = (self.state[0] + changed, problems)

    def line(self) -> str:
        """The state as one event of a stream (WHATWG HTML, server-sent events)."""
        number, problems = self.state
        return f"data: {json.dumps({'build': number, 'problems': problems})}\n\n"


@contextmanager
def served(routes: Sequence[BaseRoute], port: int) -> Iterator[str]:
    """Serve routes from another thread; give their address. OSError where the port is taken."""
    import uvicorn
    from starlette.applications import Starlette
    from starlette.middleware import Middleware
    from starlette.middleware.trustedhost import TrustedHostMiddleware

    with socket.socket() as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((HOST, port))
        listening.listen()
        known = Middleware(TrustedHostMiddleware, allowed_hosts=NAMES, www_redirect=False)
        ask = uvicorn.Config(
            Starlette(routes=list(routes), middleware=[known]),
            log_level="critical",
            timeout_graceful_shutdown=0,
            lifespan="off",
        )
        server = uvicorn.Server(ask)
        thread = threading.Thread(target=server.run, args=([listening],), daemon=True)
        thread.start()
        try:
            yield f"http://{HOST}:{listening.getsockname()[1]}/"
        finally:
            server.should_exit = True
            thread.join(timeout=5)


def own() -> Mount:
    """Where our own script and style are asked for."""
    from starlette.routing import Mount
    from starlette.staticfiles import StaticFiles

    return Mount(f"/{OWN}", StaticFiles(directory=Path(__file__).parent / "watch_page"))


def pages(folder: Path, news: News) -> list[BaseRoute]:
    """What answers the browser: the news, our script and style, and the pages of a folder."""
    from starlette.responses import StreamingResponse
    from starlette.routing import Mount, Route

    async def tell(_: Any) -> StreamingResponse:
        return StreamingResponse(_events(news), media_type="text/event-stream")

    return [Route(f"/{OWN}/news", tell), own(), Mount("/", _pages(folder))]


async def _events(news: News) -> AsyncIterator[str]:
    """The state at once, and again whenever it changes."""
    import asyncio

    before = None
    while True:
        if news.state != before:
            before = news.state
            yield news.line()
        await asyncio.sleep(PULSE)


def _pages(folder: Path) -> Any:
    """The files of the folder, which may not be there yet; pages get the script."""
    from starlette.responses import FileResponse, HTMLResponse, Response
    from starlette.staticfiles import StaticFiles

    class Pages(StaticFiles):
        async def get_response(self, path: str, scope: Any) -> Response:
            if not (folder / MARKER).exists():  # What stands there is not ours.
                return HTMLResponse(with_script(NOTHING_YET), 404)
            answer = await super().get_response(path, scope)
            if isinstance(answer, FileResponse) and str(answer.path).endswith(".html"):
                page = Path(answer.path).read_text(encoding="utf-8")
                no_copy = {"cache-control": "no-store"}
                return HTMLResponse(with_script(page), answer.status_code, headers=no_copy)
            return answer

    pages = Pages(directory=folder, html=True, check_dir=False)
    pages.config_checked = True  # The folder may come later.
    return pages


def with_script(page: str) -> str:
    """A page that asks for news: its policy allows that, and its head has our script and style."""
    head = (
        f'<link rel="stylesheet" href="/{OWN}/watch.css">'
        f'<script src="/{OWN}/watch.js" defer></script></head>'
    )
    allowed = ALLOWED if "connect-src" in page[:WITHIN] else f"{ALLOWED}connect-src 'self'; "
    return page.replace(ALLOWED, allowed, 1).replace("</head>", head, 1)
