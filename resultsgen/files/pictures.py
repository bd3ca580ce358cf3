"""Pictures: looked at before they are decoded, and written anew with what is seen and no more.

Where and when a picture was taken, by whom, with what, a smaller picture of it before it was cut,
and whatever is put behind its end: none of that is published. It is turned as the camera was held,
and its colour profile stays. The same picture and the same library give the same bytes.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from resultsgen import __version__
from resultsgen.files.cache import Cache, key_of
from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.meet.pages import Size
from resultsgen.meet.problems import MeetProblems, Problem

if TYPE_CHECKING:
    from PIL.Image import Image as Opened

MOST_PIXELS = 30_000_000
"""Of one picture, all its frames together: what cameras make fits well."""

MOST_FRAMES = 1_000
MEGAPIXEL = 1_000_000

WIDTHS = (480, 960, 1920)
"""How wide the smaller ones are that phones load: a page on a phone, the same on a fine screen, and
a page on a laptop (common practice)."""

QUALITY = 82
"""Of smaller pictures, of 100 (common practice)."""

FORMATS = {
    ".png": ("PNG", re.compile(rb"\x89PNG\r\n\x1a\n"), re.compile(rb"IEND\xaeB`\x82")),
    ".jpg": ("JPEG", re.compile(rb"\xff\xd8\xff"), re.compile(rb"\xff\xd9")),
    ".jpeg": ("JPEG", re.compile(rb"\xff\xd8\xff"), re.compile(rb"\xff\xd9")),
    ".gif": ("GIF", re.compile(rb"GIF8[79]a"), re.compile(rb"\x00;")),
    ".webp": ("WEBP", re.compile(rb"RIFF....WEBP", re.DOTALL), re.compile(rb"VP8")),
}
"""By the ending of the name: the format, how it begins, and what stands in one that is whole."""

ORIENTATION = 0x0112
"""The field of EXIF that says how the camera was held."""

ON_ITS_SIDE = (5, 6, 7, 8)


def narrower(size: Size) -> tuple[int, ...]:
    """The widths in which a picture is offered beside its own; one that moves has none."""
    return () if size.frames > 1 else tuple(width for width in WIDTHS if width < size.width)


def size_of(held: bytes, kind: str) -> Size:
    """The size that a picture's head tells; UnreadableError where it is none or too large."""
    name, begins, whole = FORMATS[kind]
    if not begins.match(held):
        raise UnreadableError("no-picture", f"is not a {name} file inside; save it again as one")
    if not whole.search(held):
        raise UnreadableError("no-picture", "is not whole: its end is missing; copy it again")
    if name == "WEBP":
        width, height = _webp_size(held)
        _check_pixels(width, height, 1)
    with _opened(held, name) as picture:
        width, height = picture.size
        _check_pixels(width, height, 1)
        frames = _frames(picture, held)
        _check_pixels(width, height, frames)
        if picture.getexif().get(ORIENTATION) in ON_ITS_SIDE:
            width, height = height, width
    return Size(width, height, frames)


def _check_pixels(width: int, height: int, frames: int) -> None:
    if width * height * frames > MOST_PIXELS or frames > MOST_FRAMES:
        found = f": {width} x {height}" + (f" in {frames} frames" if frames > 1 else "")
        raise UnreadableError("picture-too-large", _too_many_pixels(found))


def _too_many_pixels(found: str = "") -> str:
    most = f"the most is {MOST_PIXELS // MEGAPIXEL} million, and {MOST_FRAMES:,} frames"
    return f"has too many pixels{found}; {most}: save it smaller, 2,000 wide is enough"


def _webp_size(held: bytes) -> tuple[int, int]:
    """From the head of the file; the library would take memory for the whole picture first."""
    kind, head = held[12:16], held[20:34].ljust(14, b"\0")
    if kind == b"VP8X":
        return int.from_bytes(head[4:7], "little") + 1, int.from_bytes(head[7:10], "little") + 1
    if kind == b"VP8L":
        bits = int.from_bytes(head[1:5], "little")
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    wide, high = int.from_bytes(head[6:8], "little"), int.from_bytes(head[8:10], "little")
    return wide & 0x3FFF, high & 0x3FFF


def _frames(picture: Any, held: bytes) -> int:
    """How many frames move; of those of a GIF no more are counted than may be."""
    if picture.format == "MPO":  # The others are for the camera's maker.
        return 1
    if picture.format == "GIF" and (most := held.count(b"\0,") + 1) > 2 * MOST_FRAMES:
        return most
    return int(getattr(picture, "n_frames", 1))


@contextmanager
def _opened(held: bytes, name: str) -> Iterator[Any]:
    """The picture, opened by the one library for its format; what it cannot read is told."""
    from PIL import Image

    formats = ("JPEG", "MPO") if name == "JPEG" else (name,)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(held), formats=formats) as picture:
                yield picture
    except UnreadableError:
        raise
    except Image.DecompressionBombError:
        raise UnreadableError("picture-too-large", _too_many_pixels()) from None
    except Exception as error:  # The library raises whatever it likes.
        message = f"cannot be read: {error}; save it again"
        raise UnreadableError("no-picture", message) from error


def rewritten(held: bytes, kind: str, width: int = 0, height: int = 0) -> bytes:
    """The same picture with nothing but what is seen; smaller, where a width or height is given."""
    from PIL.ImageOps import exif_transpose
    from PIL.JpegImagePlugin import get_sampling

    size_of(held, kind)
    name = FORMATS[kind][0]
    with _opened(held, name) as picture:
        if getattr(picture, "n_frames", 1) > 1 and picture.format != "MPO":
            return _moving(picture, name)
        options: dict[str, Any] = {}
        if profile := picture.info.get("icc_profile"):
            options["icc_profile"] = profile
        if name == "JPEG":
            options |= {"optimize": True, "subsampling": get_sampling(picture), "quality": 90}
            tables = picture.quantization
            if tables and all(0 < step < 256 for table in tables.values() for step in table):
                options["qtables"] = tables
        if name == "WEBP":
            options |= {"lossless": True} if b"VP8L" in held[:4096] else {"quality": 90}
        if name in ("PNG", "GIF") and "transparency" in picture.info:
            options["transparency"] = picture.info["transparency"]
        if name == "PNG":
            options["optimize"] = True
        upright = exif_transpose(picture)
        upright.load()
        upright.info.clear()
        if width or height:
            upright = _smaller(upright, width, height)
            options |= {"quality": QUALITY} if name in ("JPEG", "WEBP") else {}
            options.pop("qtables", None)
        return _saved(upright, name, options)


def _smaller(picture: Opened, width: int, height: int) -> Opened:
    """So wide or so high; of a palette's colours only the nearest would be kept."""
    from PIL.Image import Resampling

    wide = width or max(1, round(picture.width * height / picture.height))
    high = height or max(1, round(picture.height * width / picture.width))
    if picture.mode in ("P", "1"):
        picture = picture.convert("RGBA")
    return picture.resize((wide, high), Resampling.LANCZOS)


def _moving(picture: Any, name: str) -> bytes:
    """Every frame, as long as it stood; the first decides how often they come again."""
    from PIL.ImageSequence import Iterator as Frames

    frames, stood = [], []
    for frame in Frames(picture):
        stood.append(int(frame.info.get("duration", 100)))
        frames.append(frame.convert("RGBA"))
        frames[-1].info.clear()
    first, *others = frames
    options: dict[str, Any] = {"save_all": True, "append_images": others, "duration": stood}
    if "loop" in picture.info:
        options["loop"] = picture.info["loop"]
    if profile := picture.info.get("icc_profile"):
        options["icc_profile"] = profile
    if name == "GIF":
        options["disposal"] = 2
    return _saved(first, name, options)


def _saved(picture: Opened, name: str, options: dict[str, Any]) -> bytes:
    made = io.BytesIO()
    picture.save(made, name, **options)
    return made.getvalue()


def published(path: Path, kept: Cache, sizes: Iterable[tuple[int, int]]) -> Iterator[bytes]:
    """A picture of assets/ as it is published, so wide or so high each time, 0 being as it is.

    A drawing is one for all. MeetProblems where it cannot be read or decoded. Made ones are kept.
    """
    try:
        held, kind = file_bytes(path.parents[1], f"assets/{path.name}"), path.suffix.lower()
        digest = key_of(held)
        for width, height in sizes:
            yield _made(held, digest, kind, width, height, kept)
    except UnreadableError as refusal:
        problem = Problem(f"assets/{path.name}", 0, "", refusal.code, str(refusal))
        raise MeetProblems([problem]) from None


def _made(held: bytes, digest: str, kind: str, width: int, height: int, kept: Cache) -> bytes:
    if kind == ".svg":
        from resultsgen.files.svg import safe_svg

        return safe_svg(held)
    import PIL

    key = key_of("picture", __version__, PIL.__version__, kind, f"{width} {height}", digest)
    return kept.kept_or_made(key, lambda: rewritten(held, kind, width, height))
