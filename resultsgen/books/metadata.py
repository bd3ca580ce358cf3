"""What a book says of itself: title, language, dates, and the standards it is built to follow;
and what is attached to it: the tables it shows, for machines to read.

PDF/UA-1 (ISO 14289-1) is for those who hear a book, PDF/A-3 (ISO 19005-3) for those who keep it.
The second admits no property that it does not know, so those of the first are described.
"""

from __future__ import annotations

import importlib.util
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from html import escape
from pathlib import Path

from resultsgen import __version__
from resultsgen.books.pdf_file import PdfFile, refers, sort_key, string

PRODUCER = f"resultsgen {__version__}"

PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
 xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfaid:part>3</pdfaid:part>
<pdfaid:conformance>A</pdfaid:conformance>
<pdfuaid:part>1</pdfuaid:part>
<dc:format>application/pdf</dc:format>
{properties}</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
 xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file follows</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""

PROPERTIES = {
    "title": '<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{}</rdf:li></rdf:Alt></dc:title>\n',
    "author": "<dc:creator><rdf:Seq><rdf:li>{}</rdf:li></rdf:Seq></dc:creator>\n",
    "language": "<dc:language><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:language>\n",
    "created": "<xmp:CreateDate>{0}</xmp:CreateDate>\n<xmp:ModifyDate>{0}</xmp:ModifyDate>\n",
    "producer": "<pdf:Producer>{}</pdf:Producer>\n",
}


@dataclass(frozen=True)
class About:
    """What a book says of itself; what is empty is not said."""

    title: str
    author: str
    language: str
    created: str
    """A date, or date and time with time zone, as XMP has it."""
    producer: str = PRODUCER


def xmp(about: About) -> bytes:
    """The metadata as XML."""
    properties = (
        form.format(escape(value, quote=False))
        for name, form in PROPERTIES.items()
        if (value := getattr(about, name))
    )
    return PACKET.format(properties="".join(properties)).encode()


def info(about: About) -> Iterator[tuple[bytes, bytes]]:
    """The same for older readers."""
    said = {"Title": about.title, "Author": about.author, "Producer": about.producer}
    for name, value in said.items():
        if value:
            yield name.encode(), string(value)
    if about.created:
        for name in ("CreationDate", "ModDate"):
            yield name.encode(), string(pdf_date(about.created))


def pdf_date(created: str) -> str:
    """A date of XMP as the rest of a PDF writes it.

    >>> pdf_date("2031-05-18T18:00:00+02:00"), pdf_date("2031-05-18")
    ("D:20310518180000+02'00'", 'D:20310518')
    """
    time, zone = created[:19], created[19:]
    digits = "".join(filter(str.isdecimal, time))
    return f"D:{digits}{zone.replace(':', chr(39)) + chr(39) if len(zone) > 1 else zone}"


@dataclass(frozen=True)
class Attachment:
    """A file that is attached: its name, what it holds, and its contents."""

    name: str
    title: str
    contents: bytes = field(repr=False)


def attached(
    file: PdfFile, attachments: Sequence[Attachment], created: str
) -> list[tuple[str, int]]:
    """Add each attachment, as the source of what the book shows; the answer says where it is."""
    when = b"/ModDate" + string(pdf_date(created)) if created else b""
    added = []
    for attachment in sorted(attachments, key=lambda attachment: sort_key(attachment.name)):
        head = b"/Type/EmbeddedFile/Subtype/text#2Fcsv/Filter/FlateDecode/Params<</Size %d%b>>" % (
            len(attachment.contents),
            when,
        )
        source = refers(file.add_stream(head, zlib.compress(attachment.contents, 9)))
        name = string(attachment.name)
        form = b"<</Type/Filespec/F%b/UF%b/Desc%b/AFRelationship/Data/EF<</F %b/UF %b>>>>"
        described = form % (name, name, string(attachment.title), source, source)
        added.append((attachment.name, file.add(described)))
    return added


@cache
def colours() -> bytes | None:
    """The ICC profile of sRGB, which comes with the renderer; it says what the colours mean."""
    found = importlib.util.find_spec("weasyprint")
    if found is None or not found.origin:
        return None
    profile = Path(found.origin).parent / "pdf" / "sRGB2014.icc"
    return profile.read_bytes() if profile.is_file() else None


def is_joined(book: bytes | bytearray) -> bool:
    """A book says of itself that it is PDF/A, and carries tables, only where it was joined here."""
    return b"<pdfaid:part>" in book
