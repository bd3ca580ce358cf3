"""Pictures of strangers: nothing is published of them but what is seen, and none costs much."""

from __future__ import annotations

import io
import re
import resource
import struct
import subprocess
import sys
import time
import tracemalloc
import zlib
from base64 import b64encode
from contextlib import suppress
from pathlib import Path

import pytest
from folders import judged, picture, write_folder
from PIL import Image, ImageChops, ImageCms, ImageSequence, ImageStat, PngImagePlugin

from resultsgen.files.cache import Cache
from resultsgen.files.opening import UnreadableError
from resultsgen.files.pictures import FORMATS, ORIENTATION, rewritten, size_of
from resultsgen.files.svg import SVG, safe_svg
from resultsgen.meet.pages import Size
from resultsgen.meet.problems import MeetProblems
from resultsgen.reading.meet import read_meet
from resultsgen.views.site.home import meet_view
from resultsgen.views.words.wording import wording
from resultsgen.website.meet_pages import rendered_pages
from resultsgen.website.writing import published_pictures

SECRET = b"Anna Secret"
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def upright(width: int = 60, height: int = 40) -> Image.Image:
    """A picture whose left is red and whose right is blue, darker towards its foot."""
    made = Image.new("RGB", (width, height))
    for x in range(width):
        for y in range(height):
            shade = 255 - 4 * y
            made.putpixel((x, y), (shade, 0, 0) if x < width // 2 else (0, 0, shade))
    return made


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    target = io.BytesIO()
    image.save(target, kind, **options)
    return target.getvalue()


def with_secrets(kind: str, orientation: int = 1) -> bytes:
    """A photograph with all that cameras and programs write into it, and more behind its end."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[0x010E] = exif[0x013B] = exif[0x8298] = SECRET.decode()
    exif[0x8825] = {1: "N", 2: (47.0, 3.0, 21.0), 29: SECRET.decode()}
    xmp = b"<x:xmpmeta>" + SECRET + b"</x:xmpmeta>"
    options: dict[str, object] = {"exif": exif, "icc_profile": PROFILE}
    if kind == "PNG":
        options["pnginfo"] = info = PngImagePlugin.PngInfo()
        info.add_text("Author", SECRET.decode())
        info.add_itxt("XML:com.adobe.xmp", xmp.decode())
    elif kind == "GIF":
        options = {"comment": SECRET}
    else:
        options["xmp"] = xmp
    if kind == "JPEG":
        options |= {"comment": SECRET, "quality": 92}
    made = saved(upright(), kind, **options)
    return made + b"PK\x03\x04" + SECRET + b"<script>"


def alike(one: bytes, other: Image.Image, by: int = 12) -> bool:
    """Both show the same, as far as an eye can tell."""
    shown = Image.open(io.BytesIO(one)).convert("RGB")
    if shown.size != other.size:
        return False
    difference = ImageChops.difference(shown, other.convert("RGB"))
    return max(ImageStat.Stat(difference).mean) <= by


ENDINGS = {".png": "PNG", ".jpg": "JPEG", ".gif": "GIF", ".webp": "WEBP"}


@pytest.mark.parametrize("kind", ENDINGS)
def test_nothing_of_a_photograph_is_published_but_what_is_seen(kind: str) -> None:
    held = with_secrets(ENDINGS[kind])
    assert SECRET in held
    made = rewritten(held, kind)
    for hidden in (SECRET, b"Exif", b"xmpmeta", b"Secret", b"script", b"PK\x03\x04"):
        assert hidden not in made
    opened = Image.open(io.BytesIO(made))
    assert dict(opened.getexif()) == {}
    assert opened.info.get("icc_profile") == (None if kind == ".gif" else PROFILE)
    assert alike(made, upright(), 60 if kind == ".gif" else 12)
    assert made == rewritten(held, kind)


@pytest.mark.parametrize("kind", [".jpg", ".png", ".webp"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_is_turned_as_the_camera_was_held(kind: str, orientation: int) -> None:
    held = with_secrets(ENDINGS[kind], orientation)
    turned = {2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180,
              4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE,
              6: Image.Transpose.ROTATE_270, 7: Image.Transpose.TRANSVERSE,
              8: Image.Transpose.ROTATE_90}  # fmt: skip
    seen = upright().transpose(turned[orientation]) if orientation > 1 else upright()
    assert alike(rewritten(held, kind), seen)
    assert size_of(held, kind) == Size(*seen.size)


def test_what_is_transparent_stays_so_and_what_moves_moves() -> None:
    clear = Image.new("RGBA", (8, 8), (0, 0, 0, 0))
    for kind in (".png", ".webp"):
        made = Image.open(io.BytesIO(rewritten(saved(clear, ENDINGS[kind]), kind)))
        assert made.convert("RGBA").getpixel((0, 0))[3] == 0
    frames = [Image.new("RGB", (8, 8), colour) for colour in ("red", "lime", "blue")]
    for kind in (".gif", ".webp", ".png"):
        held = saved(frames[0], ENDINGS[kind], save_all=True, append_images=frames[1:],
                     duration=[100, 200, 300], loop=0)  # fmt: skip
        assert size_of(held, kind) == Size(8, 8, 3)
        again = Image.open(io.BytesIO(rewritten(held + SECRET, kind)))
        colours = [one.convert("RGB").getpixel((4, 4)) for one in ImageSequence.Iterator(again)]
        assert [max(range(3), key=colour.__getitem__) for colour in colours] == [0, 1, 2]


@pytest.mark.parametrize("mode", ["L", "1", "P", "LA", "CMYK", "I;16", "RGBA"])
def test_pictures_of_every_mode_are_taken(mode: str) -> None:
    kind = ".jpg" if mode == "CMYK" else ".png"
    held = saved(Image.new(mode, (2000, 40)), ENDINGS[kind])
    assert size_of(rewritten(held, kind), kind).width == 2000
    assert size_of(rewritten(held, kind, 480), kind) == Size(480, 10)


def png_of(width: int, height: int) -> bytes:
    """A picture of one colour as small as it can be packed: 40 million pixels in 40 kB."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    packer, rows = zlib.compressobj(9), b""
    for _ in range(min(height, 1000)):
        rows += packer.compress(bytes(1 + width // 8))
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", rows + packer.flush()) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def webp_of(width: int, height: int) -> bytes:
    head = bytes(4) + (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    body = b"WEBPVP8X" + struct.pack("<I", 10) + head
    return b"RIFF" + struct.pack("<I", len(body)) + body


def gif_of(frames: int) -> bytes:
    frame = b"\0,\0\0\0\0\1\0\1\0\0\2\2D\1"
    return b"GIF89a\1\0\1\0\x80\0\0\0\0\0\xff\xff\xff!\xfe\1x" + frame * frames + b"\0;"


HUGE = {
    "a.png": png_of(60_000, 60_000),
    "a.webp": webp_of(16_000, 16_000),
    "a.gif": gif_of(200_000),
    "a.jpg": re.sub(rb"(?s)(\xff\xc0..\x08)....", lambda head: head[1] + b"\xff\xdc" * 2,
                    picture("JPEG"), count=1),
}  # fmt: skip


@pytest.mark.parametrize("name", HUGE)
def test_what_is_too_large_is_refused_before_it_is_decoded(name: str) -> None:
    begun, kind = time.process_time(), Path(name).suffix
    tracemalloc.start()
    with pytest.raises(UnreadableError, match="the most is 30 million") as told:
        size_of(HUGE[name], kind)
    assert told.value.code == "picture-too-large"
    assert tracemalloc.get_traced_memory()[1] < 50_000_000
    tracemalloc.stop()
    assert time.process_time() - begun < 2


@pytest.mark.parametrize("kind", FORMATS)
def test_what_is_spoilt_is_told_and_never_raised(kind: str) -> None:
    import random

    chance, name = random.Random(5), FORMATS[kind][0]
    whole = with_secrets(name)
    for _ in range(60):
        spoilt = bytearray(whole[: chance.randrange(len(whole))])
        for _ in range(chance.randrange(6)):
            if spoilt:
                spoilt[chance.randrange(len(spoilt))] = chance.randrange(256)
        with suppress(UnreadableError):
            rewritten(bytes(spoilt), kind)


MEET = """
== meet.toml ==
title = "Cup"
logo = "logo.png"

[[competition]]
id = "women"
title = "Women"
discipline = "women"
apparatus = ["VT"]
ranks = ["apparatus"]
== roster.csv ==
bib,family_name
1,Alder
2,Birch
== marks.csv ==
bib,apparatus,mark
1,VT,13.100
2,VT,12.100
== pages/recap.md ==
+++
title = "Recap"
+++
![The hall](assets/hall.jpg) ![Cup](assets/cup.svg) ![Small](assets/small.png)
"""


def test_a_meet_offers_its_pictures_in_sizes_that_phones_can_load(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "meet", MEET)
    (folder / "assets").mkdir()
    hall = saved(Image.new("RGB", (1000, 2000)), "JPEG", exif=b"Exif\0\0" + SECRET)
    held = {"hall.jpg": hall, "small.png": picture(), "logo.png": picture(size=(600, 240)),
            "cup.svg": f'<svg xmlns="{SVG}"><metadata>x</metadata></svg>'.encode()}  # fmt: skip
    for name, data in held.items():
        (folder / "assets" / name).write_bytes(data)
    results = judged(folder)
    (page,), problems = rendered_pages(results)
    assert problems == []
    shown = [
        dict(re.findall(r'(\w+)="([^"]*)"', tag)) for tag in re.findall("<img[^>]*>", page.html)
    ]
    assert shown == [
        {"alt": "The hall", "src": "../assets/hall.jpg", "width": "1000", "height": "2000",
         "srcset": "../assets/480/hall.jpg 480w, ../assets/960/hall.jpg 960w, "
         "../assets/hall.jpg 1000w", "sizes": "(min-width: 44rem) 42rem, 92vw"},
        {"alt": "Cup", "src": "../assets/cup.svg"},
        {"alt": "Small", "src": "../assets/small.png", "width": "3", "height": "2"},
    ]  # fmt: skip
    assert meet_view(results, wording(results.meet.settings)).logo == "asset:logo/logo.png"
    kept = Cache(tmp_path / "cache")
    made = dict(published_pictures(results.meet, kept))
    sizes = {
        name: Image.open(io.BytesIO(data)).size for name, data in made.items() if "svg" not in name
    }
    assert sizes == {
        "hall.jpg": (1000, 2000), "480/hall.jpg": (480, 960), "960/hall.jpg": (960, 1920),
        "small.png": (3, 2), "logo.png": (600, 240), "logo/logo.png": (300, 120),
        "480/logo.png": (480, 192),
    }  # fmt: skip
    assert not any(SECRET in data for data in made.values())
    assert dict(published_pictures(results.meet, Cache(None))) == made
    with pytest.MonkeyPatch.context() as patched:  # What is kept is neither made nor kept anew.
        patched.setattr("resultsgen.files.pictures.rewritten", None)
        patched.setattr(Cache, "put", None)
        assert dict(published_pictures(results.meet, kept)) == made
    (folder / "assets/cup.svg").unlink()
    with pytest.raises(MeetProblems) as told:
        dict(published_pictures(results.meet, kept))
    assert [(one.file, one.code) for one in told.value.problems] == [
        ("assets/cup.svg", "no-such-file")
    ]


def test_a_folder_of_pictures_has_a_most(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("resultsgen.reading.pages.MOST_PIXELS", 12)
    folder = write_folder(tmp_path, MEET.replace('logo = "logo.png"', ""))
    (folder / "assets").mkdir()
    for name in ("hall.jpg", "small.png", "x.png"):
        (folder / "assets" / name).write_bytes(picture("JPEG" if name == "hall.jpg" else "PNG"))
    (folder / "pages/recap.md").unlink()
    assert [(p.file, p.code) for p in read_meet(folder)[1]] == [
        ("assets/x.png", "picture-too-large")
    ]


# Drawings

INK = "http://www.inkscape.org/namespaces/inkscape"


def drawing(inner: str, more: str = "") -> bytes:
    return f'<svg xmlns="{SVG}" {more}>{inner}</svg>'.encode()


def test_what_other_programs_keep_in_a_drawing_is_left_out() -> None:
    held = drawing(
        f'<metadata><rdf xmlns="urn:rdf">{SECRET.decode()}</rdf></metadata><!-- Secret -->'
        '<i:view showgrid="Secret"/><g i:label="Secret" data-name="Secret"><path d="M0 0h1"/></g>'
        '<i:layer><path d="Secret"/></i:layer> <?x Secret?>'
        '<text xml:space="preserve">é &lt;</text>',
        f'xmlns:i="{INK}" i:export-filename="/home/Secret/a.png" viewBox="0 0 1 1"',
    )
    assert safe_svg(held).decode() == (
        f'<svg xmlns="{SVG}" viewBox="0 0 1 1"><g><path d="M0 0h1" /></g> '
        '<text xml:space="preserve">é &lt;</text></svg>'
    )


def test_photographs_in_a_drawing_are_written_anew_too() -> None:
    photo = b64encode(with_secrets("JPEG")).decode()
    made = safe_svg(drawing(f'<image href="data:image/jpeg;base64,{photo}"/>'))
    assert b64encode(rewritten(with_secrets("JPEG"), ".jpeg")) in made
    assert photo.encode() not in made


RUNNING = (
    '<set attributeName="x:href" xmlns:x="http://www.w3.org/1999/xlink" to="javascript:x()"/>',
    '<a xmlns:y="http://www.w3.org/1999/xlink" y:href="javascript:x()"/>', "<script/>",
    '<s:script xmlns:s="http://www.w3.org/2000/svg"/>', "<animate/>", "<animateMotion/>",
    "<animateTransform/>", "<foreignObject/>", "<discard/>", "<handler/>", "<listener/>",
    '<h:script xmlns:h="http://www.w3.org/1999/xhtml"/>', "<audio/>", "<video/>", "<iframe/>",
    '<h:p xmlns:h="http://www.w3.org/1999/xhtml"/>', "<unknown/>", '<g unknown="x"/>',
    '<g onbegin="x()"/>', '<a href="https://e.example"/>', '<image href="x.png"/>',
    '<image href="data:image/svg+xml;base64,PHN2Zz4="/>', '<image href="data:image/png,x"/>',
    '<image href="data:image/png;base64,AAAA"/>', '<use href="x.svg#a"/>',
    '<g style="background: image-set(\'x\' 1x)"/>', "<g style=\"fill: u\\72l('x')\"/>",
    '<g fill="url(https://e.example/#a)"/>', '<g filter="url(x)"/>', '<g cursor="url(x)"/>',
    "<style>@import 'x'</style>", "<style>a{b:url(data:image/png;base64,AAAA)}</style>",
    "<style><g/></style>", "<feImage href='#a'/>", "<g>" * 101 + "</g>" * 101,
    '<use href="#a"/><g id="a"><use href="#a"/></g>',
)  # fmt: skip


@pytest.mark.parametrize("inner", RUNNING, ids=lambda text: text[:40])
def test_a_drawing_neither_runs_nor_fetches(inner: str) -> None:
    with pytest.raises(UnreadableError):
        safe_svg(drawing(inner))


@pytest.mark.parametrize(
    "held",
    [
        b"<!DOCTYPE svg [" + b" " * 4_000_000,
        b"<!DOCTYPE svg [<!ENTITY a 'b'>]>" + drawing("&a;"),
        drawing("&undeclared;"),
        drawing("x").decode().encode("utf-16"),
        b'<?xml version="1.0" encoding="utf-7"?>' + drawing(""),
        b'<?xml-stylesheet href="x"?>' + drawing(""),
        b"<svg/>",
        b"<html xmlns='http://www.w3.org/1999/xhtml'/>",
        drawing("\0"),
        drawing(
            "".join(f'<g id="a{n}">' + f'<use href="#a{n + 1}"/>' * 10 + "</g>" for n in range(12))
        ),
        drawing("<g/>" * 60_000),
        drawing(f"<style>{'a{b:c}' * 100_000}</style>"),
        drawing('<g style="a:rgb(1,2,3)"/>' * 40_000),
    ],
    ids=range(13),
)
def test_what_is_told_of_a_drawing_is_told_soon(held: bytes) -> None:
    begun = time.process_time()
    with pytest.raises(UnreadableError):
        safe_svg(held)
    assert time.process_time() - begun < 3


def test_a_check_of_all_of_it_costs_little(tmp_path: Path) -> None:
    """Every kind of picture that costs much, and a theme as large as it may be."""
    folder = write_folder(tmp_path / "meet", MEET)
    assets, theme = folder / "assets", folder / "mine"
    (theme / "static").mkdir(parents=True)
    assets.mkdir()
    for number in range(3):
        for name, held in HUGE.items():
            (assets / f"{number}{name}").write_bytes(held)
    for number in range(3):
        dear = '<g style="a:rgb(1,2,3)" transform="scale(2)"/>' * 9_000
        (assets / f"{number}.svg").write_bytes(drawing(dear))
    (theme / "theme.toml").write_text('title = "Mine"', encoding="utf-8")
    (theme / "static/extra.css").write_text("a{b:c}" * 25_000, encoding="utf-8")
    with (folder / "film.mp4").open("wb") as film:
        film.truncate(1_500_000_000)
    check = (
        "import resource, sys; from resultsgen.cli import main; code = main(['check', sys.argv[1]])"
        "; print(open('/proc/self/status').read(), file=sys.stderr)"
        "; print('began', resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss, file=sys.stderr)"
        "; sys.exit(code)"
    )
    limit = (resource.RLIMIT_CPU, (10, 10))
    done = subprocess.run(
        [sys.executable, "-c", check, folder],
        capture_output=True, text=True, preexec_fn=lambda: resource.setrlimit(*limit),
    )  # fmt: skip
    assert done.returncode == 1, done.stderr
    assert "to mend" in done.stdout
    # Its own peak and that of what it began: what other tests began may have taken more.
    own, began = re.search(r"VmHWM:\s+(\d+) kB.*^began (\d+)$", done.stderr, re.M | re.S).groups()
    assert max(int(own), int(began)) < 500_000
