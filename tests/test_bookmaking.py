"""How books are rendered: what the renderer may read, what happens when it fails, what is kept."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import threading
from base64 import b64encode
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from resultsgen.books.press import PressError, RendererMissingError, workers
from resultsgen.books.press.renderer import explain_missing_renderer
from resultsgen.books.press.workers import BookLook, PressJob, Workers
from resultsgen.books.tables import TOGETHER, typeset
from resultsgen.files import cache as cache_module
from resultsgen.files.cache import Cache, cache_folder, key_of
from resultsgen.publishing import machine
from resultsgen.theme.fonts import ALWAYS, subset
from resultsgen.views.lists.table import Cell, Column, Row, Table

FONT = Path(__file__).parents[1] / "themes" / "standard" / "fonts" / "NotoSans-SemiCondensed.ttf"
FACE = "@font-face { font-family: Noto; src: url(asset:font.ttf) } html { font-family: Noto }"


def plain_type(css: str = "") -> BookLook:
    return BookLook((FACE, css), {"font.ttf": ("font/ttf", subset(FONT, ALWAYS, "ttf"))})


def page(body: str, head: str = "") -> PressJob:
    html = f'<html lang="en"><head><title>A</title>{head}</head><body>{body}</body></html>'
    return PressJob("A book", html)


def rendered(sheet: PressJob, type: BookLook | None = None) -> bytes:
    with Workers(type or plain_type(), 1) as press:
        return next(iter(press.rendered([sheet])))[1]


@pytest.fixture(autouse=True)
def nobody_at_hand(monkeypatch):
    """Each test starts its own workers, and ends them."""
    kept: list[workers.Worker] = []
    monkeypatch.setattr(workers, "AT_HAND", kept)
    yield
    for worker in kept:
        worker.end()


# How columns are balanced

TABLES = """
from weasyprint import HTML
from weasyprint.layout import block
from resultsgen.books.press.renderer import explain_missing_renderer

laid_out, columns = block.block_box_layout, []

def counted(context, box, *others, **more):
    columns.append(box) if box.is_column else None
    return laid_out(context, box, *others, **more)

def told(tables):
    half = "<div><table>{}</table></div>".format
    halves = "".join(half("<tr><td>A</td></tr>" * rows) for rows in tables)
    css = "<style>td { height: 30px } div div { break-inside: avoid }</style>"
    page = f"{css}<body>" + "<p>B</p>" * 3 + f"<div style='columns: 2'>{halves}</div><p>C</p>"
    columns.clear()
    document = HTML(string=page).render()
    boxes = (box for page in document.pages for box in page._page_box.descendants())
    cells = [(box.position_x, box.position_y) for box in boxes if box.element_tag == "td"]
    print(len(columns), cells)

block.block_box_layout = counted
for _ in range(2):
    for tables in ((2, 1, 3, 2), (4, 1), (1, 1, 1, 4)):
        told(tables)
    explain_missing_renderer()
"""


def test_columns_are_those_of_the_renderer_and_found_in_a_few_steps():
    done = subprocess.run(
        [sys.executable, "-c", TABLES],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    told = [line.partition(" ") for line in done.stdout.splitlines()]
    counts = [int(count) for count, *_ in told]
    cells = [where for *_, where in told]
    assert cells[:3] == cells[3:]
    assert sum(counts[3:]) < sum(counts[:3]) / 4


# What it may read


@pytest.fixture(scope="module")
def answer():
    """What one process of the press, set up once, answers to a job."""
    worker = workers.Worker(workers._start())
    look = [plain_type()]

    def answer(job: PressJob) -> bytes:
        messages = (*look, job)
        look.clear()
        return worker.answer(job.name, *messages)

    yield answer
    worker.end()


@pytest.fixture
def server():
    """A server that counts who asks."""
    asked = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            asked.append(self.path)
            self.send_error(404)

        def log_message(self, *_):
            pass

    with HTTPServer(("127.0.0.1", 0), Handler) as running:
        threading.Thread(target=running.serve_forever, daemon=True).start()
        running.asked = asked
        running.address = f"http://127.0.0.1:{running.server_port}/x.png"
        yield running
        running.shutdown()


def svg_with(address: str) -> str:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">'
        f'<image href="{address}" width="9" height="9"/></svg>'
    )
    return f"data:image/svg+xml;base64,{b64encode(svg.encode()).decode()}"


WAYS_IN = {
    "a picture": lambda address: page(f'<img alt="x" src="{address}">'),
    "an object": lambda address: page(f'<object data="{address}"></object>'),
    "a picture in a picture": lambda address: page(f'<img alt="x" src="{svg_with(address)}">'),
    "a style sheet": lambda address: page("x", f'<link rel="stylesheet" href="{address}">'),
    "an import": lambda address: page("x", f'<style>@import "{address}";</style>'),
    "a background": lambda address: page(f'<p style="background: url({address})">x</p>'),
    "a font": lambda address: page(
        "x", f"<style>@font-face {{ font-family: F; src: url({address}) }}</style>"
    ),
    "an attachment": lambda address: page("x", f'<link rel="attachment" href="{address}">'),
}


@pytest.mark.parametrize("way", WAYS_IN)
def test_nothing_is_fetched_from_the_network(way, server, answer):
    with pytest.raises(PressError, match=r"A book: .*may not read http://127"):
        answer(WAYS_IN[way](server.address))
    assert server.asked == []


@pytest.mark.parametrize("way", WAYS_IN)
@pytest.mark.parametrize("spelling", ["file://", "FILE://"])
def test_no_file_is_read(way, spelling, tmp_path, answer):
    secret = tmp_path / "secret.png"
    secret.write_text("secret", encoding="utf-8")
    with pytest.raises(PressError, match=r"(?i)A book: .*may not read file:"):
        answer(WAYS_IN[way](f"{spelling}{secret}"))


@pytest.mark.parametrize("address", ["asset:other.ttf", "asset:../font.ttf", "ftp://x/y", "x.png"])
def test_only_the_assets_that_were_handed_over_are_read(address, answer):
    with pytest.raises(PressError, match="A book"):
        answer(page(f'<img alt="x" src="{address}">'))


def test_a_theme_may_not_read_more_than_a_page():
    with pytest.raises(PressError, match=r"the style of the books: .*may not read file:"):
        rendered(page("x"), plain_type('@import "file:///etc/passwd";'))


def test_a_link_to_nothing_is_an_error(answer):
    with pytest.raises(PressError, match="nowhere"):
        answer(page('<a href="#nowhere">x</a>'))


# When it fails


def ends_with(monkeypatch: pytest.MonkeyPatch, code: str) -> list[subprocess.Popen[bytes]]:
    """Let workers be a program that does *code*; the list fills with those that were started."""
    started: list[subprocess.Popen[bytes]] = []

    def start() -> subprocess.Popen[bytes]:
        pipe = subprocess.PIPE
        command = [sys.executable, "-c", code]
        started.append(subprocess.Popen(command, stdin=pipe, stdout=pipe))
        return started[-1]

    monkeypatch.setattr(workers, "_start", start)
    return started


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("import os; os.kill(os.getpid(), 11)", "signal 11"),
        ("import os; os._exit(3)", "exit code 3"),
        ("import sys, os; sys.stdin.buffer.read(9); os.kill(os.getpid(), 11)", "signal 11"),
    ],
)
def test_a_renderer_that_breaks_down_is_told_with_its_book(monkeypatch, code, told):
    started = ends_with(monkeypatch, code)
    with pytest.raises(PressError, match=f"A book: the renderer broke down \\({told}\\)"):
        rendered(page("x"))
    assert all(worker.poll() is not None for worker in started)


def test_the_renderer_really_runs_elsewhere():
    assert "weasyprint" not in sys.modules or rendered(page("x")).startswith(b"%PDF-")
    assert rendered(page("x")).startswith(b"%PDF-")


def test_a_worker_is_kept_for_the_next_build_of_the_process():
    rendered(page("x"))
    (worker,) = workers.AT_HAND
    rendered(page("y"))
    assert [one.process for one in workers.AT_HAND] == [worker.process]
    assert worker.process.poll() is None


def test_no_worker_is_left_behind_when_the_work_is_interrupted(monkeypatch):
    started = []
    real = workers._start
    monkeypatch.setattr(workers, "_start", lambda: started.append(real()) or started[-1])
    sheets = [PressJob(f"Book {n}", page(f"<p>{n}</p>" * 300).html) for n in range(6)]
    with Workers(plain_type(), 2) as press:
        work = press.rendered(sheets)
        next(work)
        with pytest.raises(KeyboardInterrupt):
            work.throw(KeyboardInterrupt)
    assert started
    assert all(worker.poll() is not None for worker in started)


PRINTING_AND_FAILING = """
print("a paragraph of advice")
raise OSError("cannot load library 'libpango-1.0-0'")
"""


def test_a_missing_library_is_explained_for_every_system(monkeypatch, tmp_path, capfd):
    (tmp_path / "weasyprint.py").write_text(PRINTING_AND_FAILING, encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    explained = explain_missing_renderer()
    for words in (
        "apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0",
        "dnf install pango",
        "brew install pango",
        "WEASYPRINT_DLL_DIRECTORIES",
    ):
        assert words in explained
    with pytest.raises(RendererMissingError, match="apt install"):
        rendered(page("x"))
    assert capfd.readouterr() == ("", "")


def test_a_missing_package_is_explained(monkeypatch):
    for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    assert 'pip install "weasyprint>=70,<71"' in explain_missing_renderer()


def test_a_process_of_the_press_loads_nothing_but_the_press():
    script = (
        "import sys, resultsgen.books.press.workers\n"
        "print(*(name for name in sys.modules if name.startswith('resultsgen.')))"
    )
    path = os.pathsep.join(filter(None, sys.path))
    told = subprocess.run(
        [sys.executable, "-c", script], env={**os.environ, "PYTHONPATH": path},
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    rooms = {name.split(".")[1] for name in told.stdout.split()}
    assert rooms == {"books", "files", "meet", "theme"}
    assert "resultsgen.meet.settings" not in told.stdout.split()


def test_nothing_is_missing_here():
    assert explain_missing_renderer() is None


# Tables on paper


def table(*kinds: str, width: float = 1.0) -> Table:
    columns = (Column("Place", "place", width=0.5), Column("Gymnast", "name", width=width))
    rows = tuple(Row((Cell(str(n)), Cell(f"N{n}")), kind) for n, kind in enumerate(kinds))
    return Table("t", "A table", columns, rows)


def test_widths_add_up_and_a_table_is_never_wider_than_the_page():
    for width in (1.0, 2.6, 30.0):
        made = typeset(table("ranked", width=width), ())
        assert sum(float(column.width) for column in made.columns) == pytest.approx(100, abs=0.1)
        assert 0 < float(made.width) <= 100


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4, 6, 7, 40])
def test_every_row_is_set_once_and_the_last_ones_stay_together(count):
    blocks = typeset(table(*["ranked"] * count), ()).blocks
    names = [row.cells[1].text for block in blocks for row in block.rows]
    assert names == [f"N{number}" for number in range(count)]
    last = [block for block in blocks if block.rows][-1:]
    assert all(block.together for block in last)
    assert all(len(block.rows) >= min(count, 1) for block in last)
    assert count < 2 * TOGETHER or len(last[0].rows) == TOGETHER


def test_a_team_and_its_gymnasts_are_one_block():
    made = typeset(table("team", "member", "member", "team", "member"), ())
    assert [len(block.rows) for block in made.blocks] == [3, 2]
    assert all(block.together for block in made.blocks)


def test_the_first_row_without_a_place_is_set_apart():
    styles = [row.style for block in typeset(table("ranked", "unranked", "unranked"), ()).blocks
              for row in block.rows]  # fmt: skip
    assert styles == ["ranked", "unranked first", "unranked"]


def test_a_cell_leads_only_to_what_the_book_has():
    leading = Table("t", "A", (Column("N", "name"),), (Row((Cell("x", target="list:a/VT"),)),))
    (inside,) = [r.cells[0].anchor for b in typeset(leading, {"list:a/VT"}).blocks for r in b.rows]
    (outside,) = [r.cells[0].anchor for b in typeset(leading, ()).blocks for r in b.rows]
    assert (inside, outside) == ("list:a/VT", "")


# What is kept


def test_what_was_kept_is_found_again_and_nothing_else(tmp_path):
    cache = Cache(tmp_path)
    cache.put(key_of("a"), b"made of a")
    assert Cache(tmp_path).get(key_of("a")) == b"made of a"
    assert cache.get(key_of("b")) is None


@pytest.mark.parametrize(
    "spoil", [lambda d: b"", lambda d: d[:-1], lambda d: d[:40] + b"x" + d[41:]]
)
def test_an_entry_that_is_not_as_it_was_written_is_thrown_away(tmp_path, spoil):
    cache = Cache(tmp_path)
    cache.put(key_of("a"), b"made of a, and rather longer than a digest")
    (entry,) = [path for path in tmp_path.rglob("*") if path.is_file()]
    entry.write_bytes(spoil(entry.read_bytes()))
    assert cache.get(key_of("a")) is None
    assert not entry.exists()


def test_an_entry_is_taken_only_under_the_key_it_was_made_for(tmp_path):
    cache = Cache(tmp_path)
    cache.put(key_of("a"), b"made of a")
    cache.put(key_of("b"), b"made of b")
    entries = {path.name: path for path in tmp_path.rglob("*") if path.is_file()}
    entries[key_of("a")[2:]].replace(entries[key_of("b")[2:]])
    assert cache.get(key_of("b")) is None


def test_nobody_else_sees_or_makes_what_is_kept(tmp_path):
    Cache(tmp_path / "own" / "cache").put(key_of("a"), b"a")
    made = [tmp_path / "own" / "cache", *(tmp_path / "own" / "cache").rglob("*")]
    assert all(path.stat().st_mode & 0o077 == 0 for path in made)


@pytest.mark.parametrize("mode", [0o770, 0o707, 0o777, 0o1777])
def test_what_others_could_have_written_is_neither_taken_nor_run(tmp_path, monkeypatch, mode):
    """Compiled templates are among what is kept: to take them is to run them."""
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "cache"))
    Cache(tmp_path / "cache").put(key_of("a"), b"a")
    (tmp_path / "cache").chmod(mode)
    assert Cache(tmp_path / "cache").get(key_of("a")) is None
    assert not Cache(tmp_path / "cache").has(key_of("a"))
    assert "not used" in machine.kept().advice
    (tmp_path / "cache").chmod(0o755)
    assert Cache(tmp_path / "cache").get(key_of("a")) == b"a"
    somebody = os.geteuid() + 1
    monkeypatch.setattr(os, "geteuid", lambda: somebody)
    assert Cache(tmp_path / "cache").get(key_of("a")) is None


def test_without_a_home_nothing_is_kept(monkeypatch):
    def no_home() -> Path:
        raise RuntimeError("Could not determine home directory.")

    for name in ("RESULTSGEN_CACHE", "XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", no_home)
    assert cache_folder() is None
    assert "for want of a home" in machine.kept().advice


def test_keys_tell_where_one_part_ends():
    assert key_of("ab", "c") != key_of("a", "bc") != key_of("abc")
    assert key_of("a", b"b") == key_of(b"a", "b")


def test_what_was_longest_unused_goes_first(tmp_path):
    import os

    cache = Cache(tmp_path)
    for age, name in enumerate("abc"):
        cache.put(key_of(name), bytes(1000))
        (path,) = [p for p in tmp_path.rglob("*") if p.is_file() and key_of(name)[2:] == p.name]
        os.utime(path, (age, age))
    assert cache.get(key_of("a")) is not None, "used again just now"
    cache.prune(2500)
    assert [cache.get(key_of(name)) is not None for name in "abc"] == [True, False, True]


def test_a_cache_that_cannot_be_written_keeps_nothing(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    for cache in (Cache(tmp_path / "file"), Cache(None)):
        cache.put(key_of("a"), b"a")
        assert cache.get(key_of("a")) is None
        cache.prune()


def test_a_full_disk_leaves_no_half_of_an_entry(tmp_path, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(cache_module.os, "replace", full)
    cache = Cache(tmp_path)
    cache.put(key_of("a"), b"a")
    assert cache.get(key_of("a")) is None
    assert not cache.has(key_of("a"))
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]


def test_the_cache_is_the_users_and_can_be_named_or_turned_off(monkeypatch, tmp_path):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path))
    assert cache_folder() == tmp_path
    monkeypatch.setenv("RESULTSGEN_CACHE", "none")
    assert cache_folder() is None
    monkeypatch.delenv("RESULTSGEN_CACHE")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert cache_folder() == tmp_path / "xdg" / "resultsgen"
