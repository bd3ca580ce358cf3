"""The result books: which there are, and which chapters each has."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from resultsgen.views.lists import chapters
from resultsgen.views.lists.sections import BookSubject, Section
from resultsgen.views.people.club_book import the_club
from resultsgen.views.press import handouts
from resultsgen.views.site.site_map import NEEDS, OVERVIEW

Chapter = Callable[[BookSubject], Iterator[Section]]


@dataclass(frozen=True)
class Book:
    """A kind of book: what there is one of it for, and its chapters in order."""

    of: Literal["meet", "competition", "team", "all-around", "apparatus", "club"]
    chapters: tuple[Chapter, ...]
    name: str = ""
    """What its file is named after, unless it is the book of one list or club."""
    page: str = ""
    """The page of a competition that shows the same, unless it is the book of one list or club."""


BOOKS = (
    Book(
        "meet",
        (
            chapters.cover,
            chapters.contents,
            chapters.schedule,
            chapters.officials,
            chapters.rules,
            chapters.start_lists,
            chapters.all_results,
            chapters.qualification,
            chapters.standings,
            chapters.marks,
            chapters.corrections,
            chapters.incidents,
            chapters.index,
            chapters.codes,
            chapters.sign_off,
        ),
        "result book",
    ),
    Book("meet", (chapters.qualification,), "qualification"),
    Book("meet", (chapters.start_lists,), "start lists"),
    Book("competition", (handouts.press,), "press", OVERVIEW),
    Book("team", (chapters.the_list, chapters.qualification, chapters.standings)),
    Book("all-around", (chapters.the_list, chapters.qualification, chapters.standings)),
    Book("apparatus", (chapters.the_list, chapters.qualification)),
    Book("competition", (handouts.needs,), "needs", NEEDS),
    Book("club", (the_club,), "club"),
)
