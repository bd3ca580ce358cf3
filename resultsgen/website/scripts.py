"""Names as find.js has them, and the rows of a list in parts, as small scripts.

Scripts and no data files, since a page in a folder on a stick may fetch nothing else.
"""

from __future__ import annotations

import json
import re
import unicodedata

from resultsgen.views.words.alphabet import LAST_LATIN, in_latin
from resultsgen.views.words.wording import PersonName
from resultsgen.website.look import hashed_address
from resultsgen.website.to_come import ROWS_TO_COME


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
