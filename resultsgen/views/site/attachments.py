"""What comes to the site ready made: books and tables to download, and pages of the meet folder."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from urllib.parse import quote

from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Title:
    """What a table holds, as a text to be said, and whose it is: the competition or the meet."""

    what: str
    of: str = ""

    def __str__(self) -> str:
        """In English, as the files themselves have it."""
        return f"{self.of}: {self.what}" if self.of else self.what

    def said(self, wording: Wording) -> str:
        """In a language."""
        return wording.language.headed(wording.called(self.of), wording.say(self.what))


@dataclass(frozen=True)
class Download:
    """A file beside the pages: its address in the site, its title and its size."""

    address: str
    title: str | Title
    bytes: int
    language: str = ""
    """The code of the language it is in; empty: it is for all."""
    group: str = ""
    """What it is filed under: a competition, the clubs, what is to hand out; empty: the meet."""
    target: str = ""
    """What it is the printed form, or the data, of: a page or part of a competition, or a club."""
    in_one_piece: str = ""
    """Why a book was rendered in one piece, and carries no tables; empty: it was not."""
    of: int = 0
    """The earlier publication that it is of; 0: it is of the one that offers it."""
    holds: tuple[str, ...] = ()
    """Of which pages it is the printed form too, each in a place of its own; a book of the meet."""
    place: str = ""
    """What leads to one of these places, behind its address."""

    @property
    def kind(self) -> str:
        """The ending of its name, as people call the kind of file: PDF, CSV."""
        return self.address.rpartition(".")[2].upper()

    def named(self, wording: Wording) -> str:
        """What it holds in a language, where it is filed under whose it is."""
        if isinstance(self.title, str):
            return self.title
        said = replace(self.title, of="").said(wording)
        return said[:1].upper() + said[1:]


def printed_forms(books: Collection[Download]) -> dict[str, Download]:
    """By page, the book that is its printed form; else the smallest that has it, and where.

    >>> books = Download("all.pdf", "", 9, holds=("a", "b")), Download("b.pdf", "", 1, target="b")
    >>> [(page, one.address, one.place) for page, one in printed_forms(books).items()]
    [('a', 'all.pdf', '#nameddest=a'), ('b', 'b.pdf', '')]
    """
    found: dict[str, Download] = {}
    for book in sorted(books, key=lambda one: one.bytes, reverse=True):
        for page in book.holds:
            found[page] = replace(book, place=f"#nameddest={quote(page, safe='')}")
    return found | {book.target: book for book in books if book.target}


def in_words(download: Download, wording: Wording) -> Download:
    """A download with its title in a language."""
    if isinstance(download.title, str):
        return download
    return replace(download, title=download.title.said(wording))


def filed(downloads: Iterable[Download]) -> dict[str, tuple[Download, ...]]:
    """Downloads by their group: those of the whole meet first, the others as they come."""
    groups: dict[str, list[Download]] = {"": []}
    for one in downloads:
        groups.setdefault(one.group, []).append(one)
    return {group: tuple(these) for group, these in groups.items() if these}


@dataclass(frozen=True)
class RenderedPage:
    """A Markdown page of the meet folder, its body already safe HTML (headings from h2 on).

    In a meet of several languages there is one for each; where nobody has written it in a
    language, it shows what the main language has.
    """

    slug: str
    title: str
    html: str
    date: dt.date | None = None
    language: str = "en"
    """What it is written in."""
    site: str = "en"
    """The language of the pages among which it stands."""
    order: int = 100
    club: str = ""
    """The club that it introduces, on whose page it stands; empty: it is a page by itself."""
    undecided: tuple[str, ...] = ()
    """What it cannot tell yet, for who wrote it."""
