"""The pictures of a meet as they are published: written anew, and kept so for the next build."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen import __version__
from resultsgen.files.cache import Cache, key_of
from resultsgen.files.opening import file_bytes
from resultsgen.files.photographs import PictureError, library, rewritten
from resultsgen.files.svg import safe_svg
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import MeetProblems, Problem
from resultsgen.views.people.pictures import smaller_pictures


def published_pictures(meet: Meet, kept: Cache) -> Iterator[tuple[str, bytes]]:
    """Each picture by its place below assets/; MeetProblems where one cannot be decoded."""
    for name in meet.assets:
        yield name, published_picture(meet, name, kept)
    for smaller in smaller_pictures(meet):
        made = published_picture(meet, smaller.of, kept, smaller.width, smaller.height)
        yield smaller.name, made


def published_picture(meet: Meet, name: str, kept: Cache, width: int = 0, height: int = 0) -> bytes:
    """One picture, smaller where a width or height is given."""
    path = meet.assets[name]
    held, kind = file_bytes(path.parents[1], f"assets/{name}"), path.suffix.lower()
    if kind == ".svg":
        return safe_svg(held)
    key = key_of("picture", __version__, library(), kind, str((width, height)), held)
    made = kept.get(key)
    if made is None:
        try:
            made = rewritten(held, kind, width, height)
        except PictureError as refusal:
            problem = Problem(f"assets/{name}", 0, "", refusal.code, str(refusal))
            raise MeetProblems([problem]) from None
        kept.put(key, made)
    return made
