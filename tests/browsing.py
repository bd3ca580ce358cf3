"""Pages in a real browser: a folder and its address, and what a page complains of."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

from playwright.sync_api import Browser, Page, Response

ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


class Quiet(SimpleHTTPRequestHandler):
    """Serves a folder, in any folder of the host, and says nothing."""

    def translate_path(self, path: str) -> str:
        """The file of an address, whatever the folder in which the site is published."""
        found = super().translate_path(path)
        inner = path.lstrip("/").partition("/")[2]
        return found if Path(found).exists() or not inner else super().translate_path(f"/{inner}")

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a folder on this machine, while it is served."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()


OFTEN = """(() => {
    const later = setTimeout;
    window.setTimeout = (what, time, ...more) => later(what, time === 20000 ? 100 : time, ...more);
})()"""
"""Lets a page ask for news ten times a second."""


def opened(browser: Browser, width: int, **options: object) -> tuple[Page, list[str], list[str]]:
    """A page of this width; what the browser complains of, and what it asks for."""
    page = browser.new_context(viewport={"width": width, "height": 800}, **options).new_page()
    complaints: list[str] = []
    asked: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto = partial(_go, page.goto, page)  # type: ignore[method-assign]
    return page, complaints, asked


def _go(goto: Callable[[str], Response | None], page: Page, address: str) -> Response | None:
    """Go to a page and wait until it is seen, as a person would."""
    answer = goto(address)
    page.locator("h1").first.wait_for()
    return answer
