"""Pictures: what they hold decides, not their name; nothing that runs or fetches is published."""

from __future__ import annotations

import os
from base64 import b64encode
from pathlib import Path

import pytest
from folders import picture

from resultsgen.files.opening import UnreadableError, largest_of
from resultsgen.files.svg import safe_svg
from resultsgen.reading.pages import read_assets

PICTURES = {
    "a.png": picture("PNG"),
    "B.JPG": picture("JPEG"),
    "c.jpeg": picture("JPEG"),
    "d-1_2.gif": picture("GIF"),
    "e.webp": picture("WEBP"),
    "f.svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>",
}


def write(folder: Path, name: str, held: bytes) -> None:
    (folder / "assets").mkdir(exist_ok=True)
    (folder / "assets" / name).write_bytes(held)


def test_pictures_of_every_kind(tmp_path: Path) -> None:
    for name, held in PICTURES.items():
        write(tmp_path, name, held)
    for name in (".DS_Store", "Thumbs.db"):
        write(tmp_path, name, b"left by a system")
    assets, sizes, problems = read_assets(tmp_path)
    assert not problems
    assert {name: (one.width, one.height) for name, one in sizes.items()} == dict.fromkeys(
        sorted({*PICTURES} - {"f.svg"}), (3, 2)
    )
    assert assets == {name: tmp_path / "assets" / name for name in sorted(PICTURES)}


def test_no_assets_is_no_problem(tmp_path: Path) -> None:
    assert read_assets(tmp_path) == ({}, {}, [])


@pytest.mark.parametrize(
    ("name", "held", "code"),
    [
        ("a.html", b"<script>", "no-picture"),
        ("a.png", b"<svg/>", "no-picture"),
        ("a.jpg", PICTURES["a.png"], "no-picture"),
        ("a.png", b"", "no-picture"),
        ("a b.png", PICTURES["a.png"], "picture-name"),
        ("é.png", PICTURES["a.png"], "picture-name"),
        ("a.png", PICTURES["a.png"][:-20], "no-picture"),
        ("a.gif", b"GIF89a....", "no-picture"),
        ("a.png", PICTURES["a.png"] + bytes(largest_of("a.png")), "picture-too-large"),
        ("a.svg", b"GIF89a", "unsafe-picture"),
    ],
)
def test_what_is_no_picture(tmp_path: Path, name: str, held: bytes, code: str) -> None:
    write(tmp_path, name, held)
    assets, _, (problem,) = read_assets(tmp_path)
    assert (assets, problem.file, problem.code) == ({}, f"assets/{name}", code)


def test_links_out_of_the_folder_are_refused_and_links_inside_are_not(tmp_path: Path) -> None:
    folder = tmp_path / "meet"
    folder.mkdir()
    (tmp_path / "secret.png").write_bytes(PICTURES["a.png"])
    write(folder, "a.png", PICTURES["a.png"])
    (folder / "assets/b.png").symlink_to(tmp_path / "secret.png")
    (folder / "assets/c.png").symlink_to("a.png")
    assets, _, problems = read_assets(folder)
    assert set(assets) == {"a.png", "c.png"}
    assert [problem.code for problem in problems] == ["outside-the-folder"]


def test_what_is_no_file_is_not_opened(tmp_path: Path) -> None:
    (tmp_path / "assets").mkdir()
    os.mkfifo(tmp_path / "assets/a.png")  # Opening it would wait for ever.
    (tmp_path / "assets/more").mkdir()
    assets, _, problems = read_assets(tmp_path)
    assert assets == {}
    assert [problem.code for problem in problems] == ["no-picture", "no-picture"]


SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"{}>{}</svg>'
)
HARMLESS = (
    ("", '<path id="p" d="M0 0h1"/><use href="#p"/><use xlink:href="#p"/>'),
    ("", '<style>.a { fill: url(#g); clip-path: url( "#c" ) }</style>'),
    ("", '<rect fill="url(#g)" style="fill: red"/>'),
    ("", f'<image href="data:image/png;base64,{b64encode(picture()).decode()}"/>'),
    (' width="10"', "<title>On the beam</title><!-- script -->"),
)
HARMFUL = (
    ("", "<script>1</script>"),
    ("", "<SCRIPT/>"),
    ("", "<foreignObject><p/></foreignObject>"),
    (' onload="x()"', ""),
    ("", '<rect ONCLICK="x()"/>'),
    ("", '<image href="https://example.org/x.png"/>'),
    ("", '<image xlink:href="//example.org/x.png"/>'),
    ("", '<image href="photo.png"/>'),
    ("", '<a href="javascript:x()"/>'),
    ("", '<use href="other.svg#p"/>'),
    ("", '<image href="data:image/svg+xml,&lt;svg onload=x()&gt;"/>'),
    ("", "<style>@import 'https://example.org/x.css';</style>"),
    ("", "<style>.a { fill: url(https://example.org/x) }</style>"),
    ("", "<style>.a { fill: u\\72l(//example.org) }</style>"),
    ("", '<rect fill="url(//example.org/x)"/>'),
    ("", "<rect style=\"fill: url('https://example.org/x')\"/>"),
    ("", '<a><set attributeName="href" to="javascript:x()"/></a>'),
    ("", '<a><animate attributeName="xlink:href" values="javascript:x()"/></a>'),
    ("", '<rect><set attributeName="onclick" to="x()"/></rect>'),
    ("", "<iframe/>"),
)


@pytest.mark.parametrize("parts", HARMLESS)
def test_a_harmless_svg_is_taken(parts: tuple[str, str]) -> None:
    assert safe_svg(SVG.format(*parts).encode())


@pytest.mark.parametrize("parts", HARMFUL)
def test_a_harmful_svg_is_refused(parts: tuple[str, str]) -> None:
    with pytest.raises(UnreadableError) as told:
        safe_svg(SVG.format(*parts).encode())
    assert told.value.code == "unsafe-picture"


@pytest.mark.parametrize(
    "held",
    [
        '<!DOCTYPE svg [<!ENTITY a "b">]>' + SVG.format("", "&a;"),
        "<!DOCTYPE svg [ ]>" + SVG.format("", ""),
        '<?xml-stylesheet href="x.css"?>' + SVG.format("", ""),
        '<?xml version="1.0" encoding="cp037"?>' + SVG.format("", ""),
        "<html/>",
        "<svg>",
        "",
    ],
)
def test_declarations_and_what_is_no_svg_are_refused(held: str) -> None:
    with pytest.raises(UnreadableError) as told:
        safe_svg(held.encode())
    assert told.value.code == "unsafe-picture"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-7", "iso8859-1", "utf-32"])
def test_an_encoding_hides_nothing(encoding: str) -> None:
    declared = f'<?xml version="1.0" encoding="{encoding}"?>'
    for before in ("", '<?xml-stylesheet href="x.css"?>', '<!DOCTYPE svg [<!ENTITY a "b">]>'):
        held = (declared + before + SVG.format("", "<script/>")).encode(encoding)
        with pytest.raises(UnreadableError) as told:
            safe_svg(held)
        assert told.value.code == "unsafe-picture"


def test_the_declaration_that_drawing_programs_write_is_taken() -> None:
    declared = (
        '<?xml version="1.0" encoding="UTF-8"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" '
        '"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
    )
    assert safe_svg((declared + SVG.format("", "")).encode())
