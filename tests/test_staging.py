"""A published folder is replaced whole or not at all, whatever happens to the build."""

from __future__ import annotations

import ctypes
import errno
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from hashlib import sha256
from pathlib import Path

import pytest
import versions
from versions import PAGES, build, write_version

from resultsgen.files import replacing, staging
from resultsgen.files.lock import AnotherBuildError, locked
from resultsgen.files.manifest import MANIFEST, MARKER, ManifestError, otherwise, verified
from resultsgen.files.replacing import replace_file, sync_folder
from resultsgen.files.staging import OutputError, made_files, staged
from resultsgen.meet.problems import NotPublishedError
from resultsgen.publishing.notes import carried_over


def published(target: Path) -> dict[str, str]:
    """Every file of a folder and what it says."""
    return {
        path.relative_to(target).as_posix(): path.read_text()
        for path in sorted(target.rglob("*"))
        if path.is_file()
    }


def version_of(target: Path) -> set[str]:
    """The versions that the pages of a folder show; one if it is no mixture."""
    return {text.splitlines()[0] for name, text in published(target).items() if "part" in name}


def left_beside(target: Path) -> list[str]:
    return [path.name for path in target.parent.iterdir() if path != target]


def test_a_new_folder_is_put_in_place_with_a_marker_that_lists_its_files(tmp_path):
    target = tmp_path / "new" / "cup"
    made = build(target, 1)
    assert (made.files, made.changed) == (PAGES + 3, PAGES + 3)
    marker = json.loads((target / MARKER).read_text())
    assert set(marker["files"]) == set(published(target)) - {MARKER}
    assert marker["made_by"] == "resultsgen"
    assert left_beside(target) == []


def test_the_last_look_is_told_what_a_page_is_alike_only_of_one_that_is_as_it_was_written(tmp_path):
    told: dict[str, str] = {}
    with staged(tmp_path / "cup", last_look=lambda _, digests: told.update(digests)) as new:
        for name in ("a.html", "b.html"):
            (new.folder / name).write_bytes(name.encode())
            new.alike[sha256(name.encode()).hexdigest()] = f"like {name}"
        (new.folder / "b.html").write_bytes(b"another")
    assert told["a.html"] == "like a.html"
    assert told["b.html"] == sha256(b"another").hexdigest()


def test_a_folder_is_closed_on_a_system_that_does_not_put_folders_on_the_disk(
    tmp_path, monkeypatch
):
    """What is entered all day long would else run out of files that may be open."""
    closed: list[int] = []
    close = os.close
    monkeypatch.setattr(os, "fsync", lambda _: os.stat(tmp_path / "nowhere"))
    monkeypatch.setattr(os, "close", lambda one: closed.append(one) or close(one))
    sync_folder(tmp_path)
    assert len(closed) == 1


def test_the_marker_holds_the_sha256_of_every_file(tmp_path):
    build(tmp_path / "cup", 1)
    for name, digest in json.loads((tmp_path / "cup" / MARKER).read_text())["files"].items():
        # coreutils' own sha256sum is the other opinion.
        shown = subprocess.run(
            ["sha256sum", tmp_path / "cup" / name], capture_output=True, text=True, check=True
        )
        assert digest == "sha256:" + shown.stdout.split()[0]


def test_coreutils_check_the_list_of_all_files(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    (target / "my notes\\ and more.txt").write_text("mine")
    build(target, 1)
    check = ["sha256sum", "--check", "--strict", "--quiet", MANIFEST]
    assert subprocess.run(check, cwd=target, check=False).returncode == 0
    listed = subprocess.run(
        ["sha256sum", "--check", MANIFEST], cwd=target, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    assert len(listed) == len(published(target)) - 2
    assert verified(target).intact
    (target / "style.css").write_text("other")
    assert subprocess.run(check, cwd=target, check=False, capture_output=True).returncode == 1
    assert verified(target).changed == ("style.css",)


def test_an_unchanged_file_is_a_link_to_the_published_one_and_a_changed_one_is_new(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    same = [(target / name).stat() for name in ("style.css", "icon.svg")]
    page = (target / "part0" / "0.html").stat()
    made = build(target, 2)
    assert (made.files, made.changed) == (PAGES + 3, PAGES + 1)
    for name, was in zip(("style.css", "icon.svg"), same, strict=True):
        assert (target / name).stat().st_ino == was.st_ino
        assert (target / name).stat().st_mtime_ns == was.st_mtime_ns
    assert (target / "part0" / "0.html").stat().st_ino != page.st_ino
    assert version_of(target) == {"version 2"}
    assert left_beside(target) == []


@pytest.mark.parametrize("planted", ["other", "link"])
def test_what_is_otherwise_than_it_was_published_is_not_taken_over(tmp_path, planted):
    target = tmp_path / "cup"
    build(target, 1)
    whole, icon = published(target), target / "icon.svg"
    icon.unlink()
    if planted == "other":
        icon.write_bytes(b"<SVG/>")
    else:
        (tmp_path / "elsewhere.svg").write_bytes(b"<svg/>")
        icon.symlink_to(tmp_path / "elsewhere.svg")
    build(target, 1)
    assert published(target) == whole
    assert not icon.is_symlink()


def test_other_rights_are_given_to_new_files_and_what_is_published_keeps_its_own(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    os.link(target / "icon.svg", tmp_path / "icon.svg")
    umask = os.umask(0o077)
    try:
        build(target, 1)
    finally:
        os.umask(umask)
    assert (target / "icon.svg").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "icon.svg").stat().st_mode & 0o777 == 0o644


def test_what_is_written_twice_never_writes_into_the_published_file(tmp_path):
    before, new = tmp_path / "before", tmp_path / "new"
    staging.write(before, "a.html", b"old")
    staging.write(new, "a.html", b"old", before)
    staging.write(new, "a.html", b"new", before)
    assert (before / "a.html").read_bytes() == b"old"
    assert (new / "a.html").read_bytes() == b"new"


def test_where_links_cannot_be_made_the_new_files_stay(tmp_path, monkeypatch):
    def refuse(*_args: object, **_more: object) -> None:
        raise OSError("no links here")

    monkeypatch.setattr(os, "link", refuse)
    build(tmp_path / "cup", 1)
    (tmp_path / "cup" / "CNAME").write_text("cup.example")
    assert build(tmp_path / "cup", 1).changed == 1  # The list of all files has CNAME now.
    assert build(tmp_path / "cup", 1).changed == 0
    assert version_of(tmp_path / "cup") == {"version 1"}
    assert (tmp_path / "cup" / "CNAME").read_text() == "cup.example"


def test_a_page_that_is_no_longer_made_goes(tmp_path):
    target = tmp_path / "cup"
    with staged(target) as new:
        (new.folder / "old").mkdir()
        (new.folder / "old" / "page.html").write_text("old")
    build(target, 2)
    assert not (target / "old").exists()


@pytest.mark.parametrize("error", [ValueError, KeyboardInterrupt, SystemExit])
def test_a_build_that_ends_early_leaves_the_published_folder_as_it_was(tmp_path, error):
    target = tmp_path / "cup"
    build(target, 1)
    before = published(target)

    def interrupted() -> None:
        with staged(target) as new:
            write_version(new.folder, 2)
            raise error

    with pytest.raises(error):
        interrupted()
    assert published(target) == before
    assert left_beside(target) == []


def test_where_no_working_folder_can_be_made_nobody_waits_for_it(tmp_path):
    with pytest.raises(FileNotFoundError), locked(tmp_path / "pulled_out" / "working"):
        pass


def test_a_folder_with_files_of_somebody_else_is_refused_and_stays(tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "beam.jpg").write_text("a photo")
    with pytest.raises(OutputError, match="resultsgen did not make"):
        build(tmp_path / "photos", 1)
    assert published(tmp_path / "photos") == {"beam.jpg": "a photo"}
    assert left_beside(tmp_path / "photos") == []


def test_an_empty_folder_is_taken_with_the_mode_it_has(tmp_path):
    (tmp_path / "cup").mkdir(mode=0o750)
    build(tmp_path / "cup", 1)
    assert version_of(tmp_path / "cup") == {"version 1"}
    assert (tmp_path / "cup").stat().st_mode & 0o777 == 0o750


@pytest.mark.parametrize(
    ("output", "why"),
    [
        ("meet", "which is read"),
        (".", "which is read"),
        ("meet/pages", "which is read"),
        ("meet/assets/site", "which is read"),
        ("meet/publications", "which is read"),
        ("meet/roster.csv", "is a file"),
        ("link-to-meet", "which is read"),
    ],
)
def test_nothing_is_written_over_or_into_what_is_read(tmp_path, output, why):
    meet = tmp_path / "meet"
    (meet / "pages").mkdir(parents=True)
    (meet / "assets").mkdir()
    (meet / "roster.csv").write_text("bib")
    (tmp_path / "link-to-meet").symlink_to(meet)
    with pytest.raises(OutputError, match=why):
        build(
            tmp_path / output,
            1,
            meet,
            *(meet / name for name in ("pages", "assets", "publications")),
        )
    assert published(meet) == {"roster.csv": "bib"}


def test_the_output_may_be_a_folder_of_its_own_in_the_meet_folder(tmp_path):
    (tmp_path / "pages").mkdir()
    build(tmp_path / "output", 1, tmp_path, tmp_path / "pages", tmp_path / "assets")
    assert version_of(tmp_path / "output") == {"version 1"}


def test_a_link_is_followed_and_stays_a_link(tmp_path):
    build(tmp_path / "real", 1)
    (tmp_path / "link").symlink_to(tmp_path / "real")
    build(tmp_path / "link", 2)
    assert (tmp_path / "link").is_symlink()
    assert version_of(tmp_path / "real") == {"version 2"}


def test_files_that_others_put_into_the_published_folder_stay(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    (target / "CNAME").write_text("cup.example")
    (target / ".git" / "refs" / "tags").mkdir(parents=True)
    (target / ".git" / "HEAD").write_text("ref: refs/heads/pages")
    (target / "part0" / "notes.txt").write_text("mine")
    for version in (2, 3):
        build(target, version)
        assert (target / "CNAME").read_text() == "cup.example"
        assert (target / ".git" / "refs" / "tags").is_dir()
        assert (target / "part0" / "notes.txt").read_text() == "mine"
        assert "CNAME" not in made_files(target)
    assert version_of(target) - {"mine"} == {"version 3"}


def test_what_is_carried_over_is_told_and_in_the_list_of_all_files(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    (target / ".htaccess").write_text("Options -Indexes")
    (target / ".git").mkdir()
    (target / ".git" / "HEAD").write_text("ref: refs/heads/pages")
    assert build(target, 2).carried == (".git/HEAD", ".htaccess")
    assert list(carried_over((".git/HEAD", ".git/config", "CNAME"))) == [
        "carried over from the published folder, and not made here: .git/ (2), CNAME"
    ]
    assert verified(target).intact
    (target / ".htaccess").write_text("Options +Indexes")
    assert verified(target).changed == (".htaccess",)


@pytest.mark.parametrize("planted", ["latest", "part0/latest", ".hidden"])
def test_nothing_but_a_plain_file_is_carried_over(tmp_path, planted):
    target = tmp_path / "cup"
    build(target, 1)
    (tmp_path / "secret").write_text("not to be published")
    (target / planted).symlink_to(tmp_path / "secret")
    before = published(target)
    with pytest.raises(OutputError, match="is a link, a pipe or a device"):
        build(target, 2)
    assert published(target) == before
    (target / planted).unlink()
    os.mkfifo(target / planted)
    with pytest.raises(OutputError, match="is a link, a pipe or a device"):
        build(target, 2)


def test_a_pipe_in_the_place_of_the_list_is_not_waited_for(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    (target / MANIFEST).unlink()
    os.mkfifo(target / MANIFEST)
    with pytest.raises(ManifestError, match="no list of what was published"):
        verified(target)
    assert otherwise(target, "data/") == [MANIFEST]


def test_whatever_was_added_is_found(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    (target / ".hidden").write_text("added")
    (target / "part0" / "link.html").symlink_to("0.html")
    (target / "folder").symlink_to("part0")
    os.mkfifo(target / "pipe")
    found = verified(target)
    assert found.added == (".hidden", "folder", "part0/link.html", "pipe")
    assert (found.changed, found.missing) == ((), ())


def test_a_link_to_the_same_bytes_is_not_the_file_that_was_published(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    (target / "style.css").rename(tmp_path / "elsewhere.css")
    (target / "style.css").symlink_to(tmp_path / "elsewhere.css")
    assert verified(target).changed == ("style.css",)


def test_a_line_twice_and_a_marker_that_disagrees_are_told(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    listed = (target / MANIFEST).read_text()
    marker = (target / MARKER).read_text()
    (target / MARKER).write_text(marker.replace('"style.css"', '"other.css"'))
    assert verified(target).changed == (MARKER,)
    (target / MARKER).unlink()  # A copy without hidden files is as good.
    assert verified(target).intact
    (target / "style.css").write_text("other")
    digest = sha256(b"other").hexdigest()
    (target / MANIFEST).write_text(f"{listed}{digest}  style.css\n")
    with pytest.raises(ManifestError, match=r"names style\.css once more"):
        verified(target)


def test_a_page_never_takes_the_place_of_somebody_elses_file(tmp_path):
    target = tmp_path / "cup"
    with staged(target) as new:
        (new.folder / "index.html").write_text("home")
    (target / "style.css").write_text("mine")
    with pytest.raises(OutputError, match=r"style\.css was not made by resultsgen"):
        build(target, 2)
    assert published(target).keys() == {"index.html", "style.css", MARKER, MANIFEST}
    assert left_beside(target) == []


@pytest.mark.parametrize("umask", [0o077, 0o002, 0o022])
def test_modes_follow_the_umask_however_a_file_was_made(tmp_path, umask):
    before = os.umask(umask)
    try:
        for version in (1, 2):
            with staged(tmp_path / "cup") as new:
                write_version(new.folder, version)
                (new.folder / "style.css").chmod(0o600)
    finally:
        os.umask(before)
    there = [path for path in (tmp_path / "cup").rglob("*") if path.name != MARKER]
    modes = {path.stat().st_mode & 0o777 for path in there if path.is_file()}
    folders = {path.stat().st_mode & 0o777 for path in (tmp_path / "cup", *there) if path.is_dir()}
    assert (modes, folders) == ({0o666 & ~umask}, {0o777 & ~umask})


def test_a_second_build_at_the_same_time_says_so_and_disturbs_nothing(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    with staged(target) as first:
        write_version(first.folder, 2)
        with pytest.raises(AnotherBuildError, match=f"process {os.getpid()}"):
            build(target, 3)
    assert version_of(target) == {"version 2"}


def test_what_an_ended_build_left_behind_is_cleared_and_only_that(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    work = staging.working_folder(target)
    (work / "next" / "half").mkdir(parents=True)
    (work / "previous").mkdir()
    (work / "lock").write_text("1")
    (tmp_path / ".other.resultsgen" / "next").mkdir(parents=True)
    build(target, 2)
    assert version_of(target) == {"version 2"}
    assert left_beside(target) == [".other.resultsgen"]


def test_while_it_is_built_nobody_else_sees_the_new_folder(tmp_path):
    with staged(tmp_path / "cup") as new:
        assert new.folder.parent.stat().st_mode & 0o777 == 0o700
        assert (new.folder.parent / "lock").stat().st_mode & 0o777 == 0o600


@pytest.fixture
def received(tmp_path) -> Path:
    """A target whose working folder came along with it, and beside it what is somebody's own."""
    (tmp_path / "own" / "next").mkdir(parents=True)
    (tmp_path / "own" / "previous").mkdir()
    (tmp_path / "own" / "next" / "thesis.txt").write_text("mine")
    (tmp_path / "own" / "previous" / "letter.txt").write_text("mine")
    (tmp_path / "own" / "lock").write_text("mine")
    return tmp_path / "cup"


def refused(target: Path) -> str:
    """How a build is refused that leaves everything beside it as it was."""
    before = published(target.parent / "own")
    with pytest.raises(NotPublishedError) as told:
        build(target, 1)
    assert published(target.parent / "own") == before
    assert not target.exists()
    return str(told.value)


def test_a_working_folder_that_is_a_link_is_refused(received):
    work = staging.working_folder(received)
    work.symlink_to(received.parent / "own")
    assert f"{work} is a link" in refused(received)
    assert work.is_symlink()


@pytest.mark.parametrize("name", ["lock", "next", "previous", "placing"])
def test_a_link_in_the_working_folder_is_refused(received, name):
    work = staging.working_folder(received)
    work.mkdir()
    (work / name).symlink_to(received.parent / "own" / name)
    assert f"{work / name} is a link" in refused(received)


def test_a_lock_that_is_another_files_second_name_or_no_file_is_refused(received):
    work = staging.working_folder(received)
    work.mkdir()
    os.link(received.parent / "own" / "lock", work / "lock")
    assert f"{work / 'lock'} is no file of its own" in refused(received)
    (work / "lock").unlink()
    os.mkfifo(work / "lock")
    assert f"{work / 'lock'} is no file of its own" in refused(received)
    shutil.rmtree(work)
    work.write_text("")
    assert f"{work} is no folder" in refused(received)


def test_a_working_folder_of_another_user_is_refused(received, monkeypatch):
    staging.working_folder(received).mkdir()
    somebody = os.geteuid() + 1
    monkeypatch.setattr(os, "geteuid", lambda: somebody)
    assert "belongs to another user" in refused(received)


def test_what_no_build_made_is_not_brought_back(received):
    work = staging.working_folder(received)
    work.mkdir()
    (received.parent / "own" / "previous").rename(work / "previous")
    assert "resultsgen did not make" in refused(received)
    assert (work / "previous" / "letter.txt").exists()


def test_a_target_that_leads_round_in_a_circle_is_refused(received):
    received.symlink_to(received.name)
    assert "a link that leads nowhere" in refused(received)


@pytest.mark.parametrize(
    ("theirs", "ours"),
    [("STYLE.css", "style.css"), ("Part0", "part0"), ("re\u0301sume\u0301", "r\u00e9sum\u00e9")],
)
def test_two_names_that_are_one_elsewhere_are_refused(tmp_path, theirs, ours):
    target = tmp_path / "cup"
    build(target, 1)
    (target / theirs).mkdir()
    if not (target / ours).exists():
        (target / ours).write_text("mine")
    with pytest.raises(OutputError, match="would be one file"):
        build(target, 2)
    assert version_of(target) == {"version 1"}


@pytest.fixture
def no_exchange(monkeypatch):
    """A system that cannot exchange two folders in one step."""
    monkeypatch.setattr(staging, "exchange", lambda one, other: False)


@pytest.mark.usefixtures("no_exchange")
def test_without_an_exchange_the_folder_is_moved_aside_and_the_new_one_in(tmp_path):
    build(tmp_path / "cup", 1)
    build(tmp_path / "cup", 2)
    assert version_of(tmp_path / "cup") == {"version 2"}
    assert left_beside(tmp_path / "cup") == []


@pytest.mark.usefixtures("no_exchange")
def test_without_an_exchange_the_build_says_so(tmp_path):
    assert build(tmp_path / "cup", 1).note == ""
    assert build(tmp_path / "cup", 2).note == staging.MOVED


@pytest.mark.parametrize("reason", [errno.EINVAL, errno.EPERM, errno.ENOSYS, errno.EXDEV])
def test_whatever_the_system_answers_to_an_exchange_the_folder_is_replaced(
    tmp_path, monkeypatch, reason
):
    class Libc:
        def renameat2(self, *_: object) -> int:
            ctypes.set_errno(reason)
            return -1

        renamex_np = renameat2

    monkeypatch.setattr(ctypes, "CDLL", lambda *_, **__: Libc())
    build(tmp_path / "cup", 1)
    build(tmp_path / "cup", 2)
    assert version_of(tmp_path / "cup") == {"version 2"}
    assert left_beside(tmp_path / "cup") == []


@pytest.fixture
def overlay(monkeypatch, no_exchange):
    """A published folder that lies in a lower layer of an overlay: it cannot be moved."""
    rename = os.rename

    def across_layers(old: Path, new: Path) -> None:
        if Path(old).is_dir() and Path(old).name not in ("next", "placing"):
            raise OSError(errno.EXDEV, os.strerror(errno.EXDEV), str(old))
        rename(old, new)

    monkeypatch.setattr(os, "rename", across_layers)


@pytest.mark.usefixtures("overlay")
def test_a_folder_that_cannot_be_moved_is_replaced_file_by_file(tmp_path):
    target = tmp_path / "cup"
    with staged(target) as new:
        (new.folder / "part0").write_text("a file where a folder comes")
        (new.folder / "style.css" / "deep").mkdir(parents=True)
        (new.folder / "style.css" / "deep" / "old.txt").write_text("a folder where a file comes")
    (target / "CNAME").write_text("cup.example")
    assert build(target, 1).note == staging.REPLACED
    made = build(target, 2)
    assert (made.changed, made.note) == (PAGES + 1, staging.REPLACED)
    assert version_of(target) == {"version 2"}
    assert (target / "CNAME").read_text() == "cup.example"
    assert verified(target).intact
    assert left_beside(target) == []


@pytest.mark.usefixtures("overlay")
@pytest.mark.parametrize("ended_after", range(0, PAGES + 6, 3))
def test_a_folder_replaced_in_part_is_replaced_whole_by_the_next_build(
    tmp_path, monkeypatch, ended_after
):
    target = tmp_path / "cup"
    build(target, 1)
    replaced, left = os.replace, [ended_after]

    def killed(old: Path, new: Path) -> None:
        if Path(old).name == staging.ON_ITS_WAY:
            left[0] -= 1
            if left[0] < 0:
                raise KeyboardInterrupt
        replaced(old, new)

    def written() -> None:
        with staged(target) as new:
            write_version(new.folder, 2)
            (new.folder / "new.html").write_text("a page that is new")

    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", killed)
        with pytest.raises(KeyboardInterrupt):
            written()
    written()
    assert version_of(target) == {"version 2"}
    assert set(published(target)) == made_files(target)
    assert left_beside(target) == []


@pytest.mark.usefixtures("no_exchange")
def test_without_an_exchange_a_failing_second_step_undoes_the_first(tmp_path, monkeypatch):
    target = tmp_path / "cup"
    build(target, 1)
    rename = os.rename

    def fails_for_the_new_folder(old: Path, new: Path) -> None:
        if Path(old).name == "next":
            raise PermissionError("held open")
        rename(old, new)

    monkeypatch.setattr(os, "rename", fails_for_the_new_folder)
    with pytest.raises(PermissionError):
        build(target, 2)
    assert version_of(target) == {"version 1"}


def test_a_folder_moved_aside_by_a_killed_build_is_brought_back(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    work = staging.working_folder(target)
    work.mkdir()
    target.rename(work / "previous")

    def fails() -> None:
        with staged(target):
            assert version_of(target) == {"version 1"}
            raise ValueError("a mark is missing")

    with pytest.raises(ValueError, match="a mark is missing"):
        fails()
    assert version_of(target) == {"version 1"}


READER = """
import sys
from pathlib import Path

target, pages = Path(sys.argv[1]), int(sys.argv[2])
seen = reads = 0
print("ready", flush=True)
while not (target.parent / "stop").exists():
    for number in range(pages):
        text = (target / f"part{number % 3}" / f"{number}.html").read_text()
        lines = text.splitlines()
        assert len(lines) == 200 and len(set(lines)) == 1, "half a page"
        version = int(lines[0].split()[1])
        assert version >= seen, f"version {version} after {seen}"
        seen, reads = version, reads + 1
print(seen, reads)
"""


def test_a_reader_never_meets_a_mixture_or_nothing(tmp_path):
    """Whoever has read a page of a version never afterwards finds an older one, or none."""
    target = tmp_path / "cup"
    build(target, 0)
    reader = subprocess.Popen(
        [sys.executable, "-c", READER, str(target), str(PAGES)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert reader.stdout is not None
    reader.stdout.readline()
    for version in range(1, 201):
        build(target, version)
    (tmp_path / "stop").touch()
    told, complaint = reader.communicate(timeout=60)
    assert reader.returncode == 0, complaint
    seen, reads = map(int, told.split())
    assert seen > 100
    assert reads > 1000


@pytest.mark.parametrize("by", [signal.SIGKILL, signal.SIGTERM])
def test_killed_at_any_moment_the_published_folder_is_one_version_whole(tmp_path, by):
    target = tmp_path / "cup"
    build(target, 0)
    chance = random.Random(7)
    for attempt in range(12):
        builder = subprocess.Popen(
            [sys.executable, versions.__file__, target, str(attempt * 1000)],
            stdout=subprocess.PIPE,
        )
        assert builder.stdout is not None
        builder.stdout.readline()
        time.sleep(chance.uniform(0, 0.05))
        builder.send_signal(by)
        builder.communicate()
        assert builder.returncode == -by
        assert len(version_of(target)) == 1
        assert set(published(target)) == made_files(target)
    build(target, 99_999)
    assert version_of(target) == {"version 99999"}
    assert left_beside(target) == []


def test_on_linux_two_folders_change_places_in_one_step(tmp_path):
    if sys.platform != "linux":
        return
    (tmp_path / "one").mkdir()
    (tmp_path / "other" / "inside").mkdir(parents=True)
    assert staging.exchange(tmp_path / "one", tmp_path / "other")
    assert (tmp_path / "one" / "inside").is_dir()
    assert not staging.exchange(tmp_path / "one", tmp_path / "missing")


def test_a_file_whose_name_is_no_utf8_is_listed_by_its_bytes(tmp_path):
    target = tmp_path / "cup"
    build(target, 1)
    named = target / os.fsdecode(b"notes\xff.txt")
    named.write_text("mine")
    build(target, 1)
    assert verified(target).intact
    check = ["sha256sum", "--check", "--strict", "--quiet", MANIFEST]
    assert subprocess.run(check, cwd=target, check=False).returncode == 0
    named.write_text("other")
    assert verified(target).changed == (named.name,)


def test_what_a_killed_process_left_beside_a_file_goes_with_the_next_write(tmp_path):
    (tmp_path / ".marks.csv.ab12_x9z.new").write_text("half")
    (tmp_path / ".other.csv.ab12_x9z.new").write_text("of another")
    replace_file(tmp_path / "marks.csv", b"bib\n")
    assert published(tmp_path) == {".other.csv.ab12_x9z.new": "of another", "marks.csv": "bib\n"}


def test_a_full_disk_is_told_with_the_file_and_how_to_mend_it(tmp_path, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(replacing.os, "fsync", full)
    monkeypatch.setattr(Path, "write_bytes", full)
    for write in (replace_file, lambda path, data: staging.write(path.parent, path.name, data)):
        with pytest.raises(OSError, match="make room on that disk") as told:
            write(tmp_path / "marks.csv", b"bib\n")
        assert told.value.filename == str(tmp_path / "marks.csv")
    assert not [*tmp_path.iterdir()]
