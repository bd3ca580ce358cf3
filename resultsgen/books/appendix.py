"""What is attached to a book: the tables it shows, for machines to read."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass, field

from resultsgen.books.metadata import pdf_date
from resultsgen.books.outline import Objects
from resultsgen.books.syntax import array, refers, sort_key, string


@dataclass(frozen=True)
class Attachment:
    """A file that is attached: its name, what it holds, and its contents."""

    name: str
    title: str
    contents: bytes = field(repr=False)


def attachment_objects(
    objects: Objects, attachments: Sequence[Attachment], created: str
) -> list[tuple[str, int]]:
    """Add each attachment, as the source of what the book shows; the answer says where it is."""
    when = b"/ModDate" + string(pdf_date(created)) if created else b""
    added = []
    for one in sorted(attachments, key=lambda one: sort_key(one.name)):
        head = b"/Type/EmbeddedFile/Subtype/text#2Fcsv/Filter/FlateDecode/Params<</Size %d%b>>" % (
            len(one.contents),
            when,
        )
        source = objects.add_stream(head, zlib.compress(one.contents, 9))
        name = string(one.name)
        described = b"<</Type/Filespec/F%b/UF%b/Desc%b/AFRelationship/Data/EF<</F %b/UF %b>>>>" % (
            name,
            name,
            string(one.title),
            refers(source),
            refers(source),
        )
        added.append((one.name, objects.add(described)))
    return added


def named(added: Sequence[tuple[str, int]]) -> bytes:
    """The tree in which readers look attachments up."""
    return b"/EmbeddedFiles<</Names%b>>" % array(
        string(name) + refers(number) for name, number in added
    )


def associated(added: Sequence[tuple[str, int]]) -> bytes:
    """What says that they belong to the whole book."""
    return b"/AF" + array(refers(number) for _, number in added)
