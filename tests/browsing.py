"""Pages in a real browser: a folder and its address, and what a page complains of."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
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


@dataclass
class Tab:
    """A tab that is used by one test after the other, as it takes a second to open one."""

    page: Page
    complaints: list[str]
    asked: list[str]


_tabs: dict[object, Tab] = {}


def opened(
    browser: Browser,
    width: int,
    script: str = "",
    clock: bool = False,
    color_scheme: str = "light",
    reduced_motion: str = "no-preference",
    forced_colors: str = "none",
    **options: object,
) -> tuple[Page, list[str], list[str]]:
    """A page of this width; what the browser complains of, and what it asks for.

    With the same script, clock and options it is always the same tab, as if it were new.
    """
    of = (browser, script, clock, *sorted(options.items()))
    if of not in _tabs or _tabs[of].page.is_closed():
        _tabs[of] = _new_tab(browser, script, clock, options)
    tab = _tabs[of]
    tab.page.unroute_all()
    Page.goto(tab.page, "about:blank")
    tab.page.mouse.move(0, 0)
    tab.page.set_viewport_size({"width": width, "height": 800})
    tab.page.emulate_media(
        media="null",
        color_scheme=color_scheme,
        reduced_motion=reduced_motion,
        forced_colors=forced_colors,
    )
    tab.complaints, tab.asked = [], []
    return tab.page, tab.complaints, tab.asked


def _new_tab(browser: Browser, script: str, clock: bool, options: dict[str, object]) -> Tab:
    """A tab; in it a script runs before those of each page, and a test may set the clock."""
    page = browser.new_context(**options).new_page()
    tab = Tab(page, [], [])
    page.on("console", lambda message: tab.complaints.append(message.text))
    page.on("pageerror", lambda error: tab.complaints.append(str(error)))
    page.on("request", lambda request: tab.asked.append(request.url))
    if script:
        page.add_init_script(script)
    if clock:
        page.clock.install()
    page.goto = partial(_go, page.goto, page)  # type: ignore[method-assign]
    return tab


def _go(goto: Callable[[str], Response | None], page: Page, address: str) -> Response | None:
    """Go to a page and wait until it is seen, as a person would."""
    answer = goto(address)
    page.locator("h1").first.wait_for()
    return answer
