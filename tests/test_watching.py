"""A meet folder watched: served on this machine, built again on a change, problems on the page."""

import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.request
from pathlib import Path
from urllib.error import HTTPError

import pytest
from playwright.sync_api import expect
from test_cli import RUN, environment

from resultsgen.cli import main
from resultsgen.files.lock import locked
from resultsgen.files.manifest import MARKER
from resultsgen.files.staging import working_folder
from resultsgen.publishing import watching as watching_module
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.stages import Stages
from resultsgen.publishing.starter import new_meet
from resultsgen.publishing.watching import (
    NOTHING_YET,
    News,
    Watched,
    attempt,
    is_read,
    pages,
    served,
    with_script,
)


def got(address: str) -> tuple[int, str, str]:
    """Status, body and type of what a browser is given."""
    try:
        with urllib.request.urlopen(address) as answer:
            return answer.status, answer.read().decode(), answer.headers["content-type"]
    except HTTPError as error:
        return error.code, error.read().decode(), error.headers["content-type"]


@pytest.fixture
def preview(tmp_path):
    folder = tmp_path / "preview"
    (folder / "static").mkdir(parents=True)
    (folder / MARKER).write_text("{}")
    (folder / "index.html").write_text("<html><head></head><body>first</body></html>")
    (folder / "404.html").write_text("<html><head></head><body>not here</body></html>")
    (folder / "static/a.css").write_text("body{}")
    (tmp_path / "secret.txt").write_text("secret")
    return folder


def test_pages_are_served_with_the_script_and_files_as_they_are(preview):
    with served(pages(preview, News()), 0) as address:
        assert address.startswith("http://127.0.0.1:")
        status, body, _ = got(address)
        assert (status, "first" in body, "watch.js" in body) == (200, True, True)
        assert got(f"{address}static/a.css")[:2] == (200, "body{}")
        status, body, _ = got(f"{address}no-such-page.html")
        assert (status, "not here" in body, "watch.js" in body) == (404, True, True)
        assert got(f"{address}-watch/watch.js")[2].startswith("text/javascript")
    assert "watch.js" not in (preview / "index.html").read_text()


def test_a_folder_that_no_build_made_is_not_served(preview):
    """Its scripts would stand beside the form for marks, and its files are nobody's business."""
    (preview / MARKER).unlink()
    with served(pages(preview, News()), 0) as address:
        for way in ("", "static/a.css"):
            status, body, _ = got(address + way)
            assert (status, "Nothing to show yet" in body) == (404, True)


def answer(address: str, way: str, host: str) -> bytes:
    """The whole answer to somebody who asks for a way under any name of a host."""
    here, port = address.removeprefix("http://").rstrip("/").split(":")
    with socket.create_connection((here, int(port))) as asking:
        asking.sendall(f"GET /{way} HTTP/1.1\r\n{host}Connection: close\r\n\r\n".encode())
        return b"".join(iter(lambda: asking.recv(9000), b""))


def test_nothing_beside_the_preview_is_served(preview):
    with served(pages(preview, News()), 0) as address:
        for way in ("../secret.txt", "%2e%2e/secret.txt", "static/../../secret.txt"):
            found = answer(address, way, "Host: localhost\r\n")
            assert b" 404 " in found.splitlines()[0]
            assert b"secret" not in found


def test_only_who_asks_for_this_machine_is_answered(preview):
    """A foreign page can give its own name this machine's address, and would read the preview."""
    with served(pages(preview, News()), 0) as address:
        for host in ("localhost", "localhost:8000", "127.0.0.1", "127.0.0.1:1", "LOCALHOST"):
            assert b" 200 " in answer(address, "", f"Host: {host}\r\n").splitlines()[0]
        for host in ("evil.example", "localhost.evil.example", "127.0.0.1.evil.example", "x", ""):
            for way in ("", "static/a.css", "-watch/news", "-watch/watch.js"):
                found = answer(address, way, f"Host: {host}\r\n")
                assert b" 400 " in found.splitlines()[0]
                assert b"body" not in found
        assert b" 400 " in answer(address, "", "").splitlines()[0]


def test_before_the_first_good_build_there_is_a_page_that_waits(tmp_path):
    with served(pages(tmp_path / "nothing", News()), 0) as address:
        status, body, _ = got(address)
    assert (status, body) == (404, with_script(NOTHING_YET))


def test_a_port_that_is_taken_is_an_error_of_the_system(tmp_path):
    with (
        served(pages(tmp_path, News()), 0) as address,
        pytest.raises(OSError, match="in use"),
        served([], int(address.rstrip("/").rpartition(":")[2])),
    ):
        pass


def test_the_news_say_how_many_builds_there_were_and_what_is_to_mend():
    news = News()
    news.told((), changed=True)
    news.told(("roster.csv:2: a \n line",))
    assert news.line() == 'data: {"build": 1, "problems": ["roster.csv:2: a \\n line"]}\n\n'


@pytest.mark.parametrize(
    ("name", "read"),
    [
        ("roster.csv", True),
        ("pages/recap.md", True),
        (".roster.csv.swp", False),
        ("~$roster.xlsx", False),
        (".output.resultsgen/next/index.html", False),
        ("output", False),  # A publication is put in the place of the one before.
        ("output/index.html", False),
        ("output/data/marks.csv", False),
    ],
)
def test_only_what_is_read_calls_for_a_build(tmp_path, name, read):
    (tmp_path / "output").mkdir()
    (tmp_path / "output/.resultsgen.json").touch()
    assert is_read(tmp_path / name, (tmp_path,)) is read
    assert not is_read(Path("/elsewhere") / name, (tmp_path,))


def test_what_is_being_published_is_no_change(tmp_path):
    watched, being_made = Watched(tmp_path, ""), tmp_path / ".output.resultsgen/next"
    watched.changed()
    being_made.mkdir(parents=True)
    (being_made / "index.html").touch()
    assert not watched.changed()
    (tmp_path / "roster.csv").touch()
    assert watched.changed()


def test_a_folder_that_cannot_be_watched_is_told(tmp_path):
    folder = tmp_path / os.fsdecode(b"meet\xff")
    folder.mkdir()
    with pytest.raises(OSError, match="rename it to watch it"):
        Watched(folder, "")


def test_a_file_whose_name_is_no_utf8_calls_for_one_build_and_reading_it_for_none(tmp_path):
    """The system's news of such a file cannot be told, not even that it was only read."""
    odd, told = tmp_path / os.fsdecode(b"notes\xff.txt"), []

    def write() -> None:
        for file in (odd, tmp_path / "roster.csv", tmp_path / "end.csv"):
            time.sleep(1)
            file.write_text("new")

    writing = threading.Thread(target=write)
    for _ in filter(None, Watched(tmp_path, "").looks()):
        names = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
        told.append(len(names))
        if not told[1:]:
            writing.start()
        if "end.csv" in names:
            break
    writing.join()
    assert told == [0, 1, 2, 3]


def test_what_was_in_the_way_is_tried_again_and_what_is_wrong_waits_for_a_change(
    tmp_path, monkeypatch
):
    monkeypatch.setattr(watching_module, "AGAIN", 0)
    new_meet(tmp_path / "meet")
    out, said, news = tmp_path / "out", [], News()
    stages = Stages(tmp_path / "meet", out, BuildOptions(books=False))
    stages.begin()
    with locked(working_folder(out)):
        for _ in range(2):
            attempt(stages, lambda: False, news, said.append)
    assert (len(said), stages.left != ()) == (2, True)
    assert "another build" in said[0]
    attempt(stages, lambda: False, news, said.append)
    assert ((out / "index.html").exists(), stages.left, news.state) == (True, (), (1, ()))
    (tmp_path / "meet/meet.toml").write_text("title = 1\n")
    stages.begin()
    attempt(stages, lambda: False, news, said.append)
    assert (stages.left, said[-1]) == (
        (),
        f"{len(news.state[1])} to mend; the last good build stays.",
    )
    assert news.state[0] == 1


def test_a_fault_of_ours_is_told_whole_and_ends_nothing(tmp_path, monkeypatch):
    new_meet(tmp_path / "meet")
    said, news = [], News()
    stages = Stages(tmp_path / "meet", tmp_path / "out", BuildOptions(books=False))
    with monkeypatch.context() as broken:
        broken.setattr("resultsgen.publishing.stages.publish", lambda *_: [][0])
        stages.begin()
        attempt(stages, lambda: False, news, said.append)
    assert "IndexError: list index out of range" in said[0]
    assert said[1:] == ["1 to mend; the last good build stays."]
    stages.begin()
    attempt(stages, lambda: False, news, said.append)
    assert (tmp_path / "out/index.html").exists()
    assert news.state[1] == ()


def test_a_change_overtakes_what_is_made_behind_the_pages(tmp_path):
    new_meet(tmp_path / "meet")
    stages = Stages(tmp_path / "meet", tmp_path / "out", BuildOptions(books=False))
    stages.begin()
    attempt(stages, lambda: False, News(), lambda _: None)
    stages.begin()
    attempt(stages, lambda: True, News(), lambda _: None)
    assert stages.left == ("tables",)
    attempt(stages, lambda: True, News(), lambda _: None)
    assert stages.left == ("pages", "tables")


@pytest.fixture
def watched(tmp_path):
    """A starting folder, watched by the command; its address."""
    meet = tmp_path / "meet"
    new_meet(meet)
    command = [sys.executable, "-c", RUN, "watch", str(meet), "--port", "0"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env=environment()
    ) as watching:
        first = watching.stdout.readline()
        address = re.search(r"http://127\.0\.0\.1:\d+/", first).group()
        try:
            yield meet, address, watching
        finally:
            watching.send_signal(signal.SIGINT)
            watching.wait(timeout=30)


def test_an_open_page_follows_the_folder(browser, watched):
    """It reloads after a change, shows what is to mend, and goes on once that is mended."""
    meet, address, watching = watched
    settings = meet / "meet.toml"
    good = settings.read_text(encoding="utf-8")
    assert watching.stdout.readline().startswith("Built: ")
    page = browser.new_page()
    complaints = []
    page.on("console", lambda told: complaints.append(told.text))
    page.goto(address)
    wait = 30_000
    changed = re.sub(r'(?m)^title = ".*"', 'title = "Renamed while open"', good, count=1)
    settings.write_text(changed, encoding="utf-8")
    expect(page).to_have_title(re.compile("Renamed while open"), timeout=wait)
    settings.write_text(changed + "\nnonsense = <b>1</b>", encoding="utf-8")
    expect(page.get_by_role("alert")).to_contain_text("meet.toml", timeout=wait)
    expect(page).to_have_title(re.compile("Renamed while open"))
    settings.write_text(good, encoding="utf-8")
    expect(page.get_by_role("alert")).to_have_count(0, timeout=wait)
    expect(page).not_to_have_title(re.compile("Renamed while open"), timeout=wait)
    page.close()
    assert complaints == []


def test_the_command_ends_well_and_leaves_nothing(watched, tmp_path):
    meet, _, watching = watched
    watching.stdout.readline()
    begun = time.monotonic()
    watching.send_signal(signal.SIGINT)
    assert watching.wait(timeout=30) == 0
    assert time.monotonic() - begun < 25
    assert not (meet / "output").exists()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["meet"]


def test_where_to_publish_is_named_with_publish_only(tmp_path, capsys):
    new_meet(tmp_path / "meet")
    assert main(["watch", str(tmp_path / "meet"), "-o", str(tmp_path / "out")]) == 2
    assert "--publish" in capsys.readouterr().err
