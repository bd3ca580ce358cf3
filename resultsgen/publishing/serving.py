"""The preview as a website on this machine: pages that reload themselves and show problems.

Only what is served gets the script; the files of the preview stay as they would be published.
"""

from __future__ import annotations

import json
import socket
import threading
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from starlette.applications import Starlette

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
    """How many builds there were and what the last one had to mend; told and read by threads."""

    def __init__(self) -> None:
        self.state: tuple[int, tuple[str, ...]] = (0, ())

    def told(self, problems: tuple[str, ...]) -> None:
        """One more build is over."""
        self.state = (self.state[0] + 1, problems)

    def line(self) -> str:
        """The state as one event of a stream (WHATWG HTML, server-sent events)."""
        number, problems = self.state
        return f"data: {json.dumps({'build': number, 'problems': problems})}\n\n"


@contextmanager
def served(folder: Path, news: News, port: int) -> Iterator[str]:
    """Serve a folder from another thread; give its address. OSError where the port is taken."""
    import uvicorn

    with socket.socket() as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((HOST, port))
        listening.listen()
        ask = uvicorn.Config(
            application(folder, news),
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


def application(folder: Path, news: News) -> Starlette:
    """What answers the browser: the news, our script and style, and the pages."""
    from starlette.applications import Starlette
    from starlette.middleware import Middleware
    from starlette.middleware.trustedhost import TrustedHostMiddleware
    from starlette.responses import StreamingResponse
    from starlette.routing import Mount, Route
    from starlette.staticfiles import StaticFiles

    async def tell(_: Any) -> StreamingResponse:
        return StreamingResponse(_events(news), media_type="text/event-stream")

    own = StaticFiles(directory=Path(__file__).parent / "watch_page")
    routes = [
        Route(f"/{OWN}/news", tell),
        Mount(f"/{OWN}", own),
        Mount("/", _pages(folder)),
    ]
    known = Middleware(TrustedHostMiddleware, allowed_hosts=NAMES, www_redirect=False)
    return Starlette(routes=routes, middleware=[known])


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
            if not (folder / "index.html").exists():
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
    policy = f"{ALLOWED}connect-src 'self'; "
    return page.replace(ALLOWED, policy, 1).replace("</head>", head, 1)
