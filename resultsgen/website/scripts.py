"""Names that can be found from any page, and the rows of a list in parts, as small scripts.

Scripts and no data files, since a page in a folder on a stick may fetch nothing else.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator
from itertools import chain

from resultsgen.views.lists.cells import shown_name
from resultsgen.views.live.turns import SOON, coming
from resultsgen.views.people.people import LAST_LATIN, clubs, people
from resultsgen.views.site.addresses import club_target, in_latin, list_target
from resultsgen.views.site.site_map import OVERVIEW, PAGE_NAMES, list_names
from resultsgen.views.words.wording import PersonName
from resultsgen.website.look import hashed_address
from resultsgen.website.pages import Subject, ways
from resultsgen.website.to_come import ROWS_TO_COME


def names_script(subject: Subject) -> str:
    """What can be found from any page.

    Clubs as [file, name, Latin], gymnasts as [file, name, where the given name begins and ends,
    bib, number of the club or -1, Latin], the rest as [address, name, what it is]. Latin is there
    where other letters spell the name.
    """
    named = clubs(subject.results)
    numbers = {club: number for number, club in enumerate(named)}
    found = {
        "clubs": [found_club(subject.where[club_target(club)], club) for club in named],
        "gymnasts": [
            found_gymnast(
                subject.where[person.target],
                shown_name(person.gymnast, subject.wording),
                person.gymnast.bib if subject.wording.bibs_worn else "",
                numbers.get(person.gymnast.club, -1),
            )
            for person in people(subject.results)
        ],
        "pages": list(_pages(subject)),
    }
    return event("names", found)


def found_club(address: str, club: str) -> list[str]:
    """A club as find.js has it."""
    return [file_of(address), club, *latin(club)]


def found_gymnast(address: str, name: str, bib: str, club: int) -> list[str | int]:
    """A gymnast as find.js has one, with the number of the club."""
    given = name.given if isinstance(name, PersonName) and name.given else (0, 0)
    return [file_of(address), name, *given, bib, club, *latin(name)]


def event(name: str, told: object) -> str:
    """A script that tells something to those of the pages."""
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
    return f'dispatchEvent(new CustomEvent("{name}",{{detail:{text}}}));\n'


GREEK = (
    (r"([αεη])υ(?!\u0308)(?=[θκξπστφχψς]|\b)", r"\1φ"),
    (r"([αεη])υ(?!\u0308)", r"\1β"),
    ("ου", "ou"),
)
"""Two letters that are read as one sound, which letter by letter would be spelt otherwise."""


def latin(name: str) -> list[str]:
    if max(name, default="") <= LAST_LATIN:
        return []
    spelt = unicodedata.normalize("NFD", name).replace("\u0301", "")
    for letters, sound in GREEK:
        spelt = re.sub(letters, sound, spelt, flags=re.IGNORECASE)
    return [in_latin(spelt)]


def _pages(subject: Subject) -> Iterator[tuple[str, str, str]]:
    """Competitions, their lists, and the other pages: address, name, what it is."""
    say = subject.wording.say
    for judged in subject.results.competitions:
        id = judged.competition.id
        title = subject.wording.called(judged.competition.title)
        for name in list_names(judged):
            own = PAGE_NAMES.get(name)
            called = say(own) if own else subject.wording.list_name(name)
            address = subject.where[list_target(id, name)]
            if name == OVERVIEW:
                yield address, title, say("Competition")
            else:
                yield address, f"{title}, {called}", say("List")
    for address, called in chain(*ways(subject)):
        yield address, called, say("Page")


TURNS = "static/turns.js"
"""Its address stays, as every page has it and it changes with every mark."""


def turns_script(subject: Subject) -> str:
    """Who is soon up, and what she needs, by the file of her page."""
    found: dict[str, str] = {}
    files = {
        key: file_of(subject.where[person.target])
        for person in people(subject.results)
        for key in person.keys
    }
    for judged in subject.results.competitions:
        for key, own in coming(subject.results, judged, subject.wording).items():
            if own.order < SOON and key in files:
                found.setdefault(files[key], own.line(subject.wording))
    return event("turns", found)


def file_of(address: str) -> str:
    """The name of a page without folder and ending."""
    return address.rpartition("/")[2].removesuffix(".html")


ASKED = re.compile(rf'data-rows="(?:\.\./)*({ROWS_TO_COME}[^"]*)"')
SECTIONS = re.compile(r'<div class="scroll.*</table>\s*</div>', re.DOTALL)
NOTES = re.compile(r'<ul class="notes"[^>]*>(.*?)</ul>', re.DOTALL)


def row_scripts(pages: dict[str, str], folder: str) -> tuple[dict[bytes, bytes], dict[str, bytes]]:
    """The addresses of the rows that are to come in the pages, and the scripts that tell these.

    *folder* is where the pages of the language lie.
    """
    lists: dict[str, dict[str, str]] = {}
    for address, text in pages.items():
        if asked := ASKED.search(text):
            lists.setdefault(asked.group(1), {})[address] = text
    files: dict[str, bytes] = {}
    told: dict[bytes, bytes] = {}
    for to_come, parts in lists.items():
        script = _script(parts, folder).encode()
        address = hashed_address("rows.js", script)
        files[address] = script
        told[to_come.encode()] = address.encode()
    return told, files


def _script(parts: dict[str, str], folder: str) -> str:
    """Each part as [its sections, its notes], with links from the root of the language."""
    found = []
    for address, text in parts.items():
        root = "../" * address.count("/") + folder
        sections = SECTIONS.search(text)
        assert sections is not None
        rows = sections.group().replace(f'href="{root}', 'href="')
        found.append([rows, "".join(NOTES.findall(text))])
    text = json.dumps(found, ensure_ascii=False, separators=(",", ":"))
    return f'dispatchEvent(new CustomEvent("rows",{{detail:{text}}}));\n'
