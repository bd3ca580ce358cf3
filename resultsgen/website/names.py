"""The names that can be found from any page, as a small script that tells them.

A script and no data file, since a page in a folder on a stick may fetch nothing else.
"""

from __future__ import annotations

import json

from resultsgen.views.lists.cells import shown_name
from resultsgen.views.people.people import clubs, people
from resultsgen.views.site.addresses import club_target
from resultsgen.website.pages import Subject


def names_script(subject: Subject) -> str:
    """Clubs as [file, name], gymnasts as [file, name, bib, number of the club or -1]."""
    named = clubs(subject.results)
    numbers = {club: number for number, club in enumerate(named)}
    told = {
        "clubs": [[_file(subject.where[club_target(club)]), club] for club in named],
        "gymnasts": [
            [
                _file(subject.where[person.target]),
                shown_name(person.gymnast, subject.wording),
                person.gymnast.bib,
                numbers.get(person.gymnast.club, -1),
            ]
            for person in people(subject.results)
        ],
    }
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
    return f'dispatchEvent(new CustomEvent("names",{{detail:{text}}}));\n'


def _file(address: str) -> str:
    """The name of a page without folder and ending."""
    return address.rpartition("/")[2].removesuffix(".html")
