"""A name that the roster withholds must not come in by another door: a row, a text, a picture."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.keys import FILE, in_cell, line_beside
from resultsgen.meet.columns import ROSTER
from resultsgen.meet.folder import Entry, Meet
from resultsgen.meet.problems import Problem
from resultsgen.privacy.places import Place, naming, of_pages, texts
from resultsgen.privacy.withheld import told_message, withheld

NAMESAKES = "privacy.namesakes"


def one_person_is_withheld_in_all_rows(meet: Meet) -> Iterator[Problem]:
    """Nobody is published who looks like somebody whose name is withheld, unless they are two."""
    for hidden, entry in withheld(meet).alike:
        name = f"{entry.family_name} {entry.given_name}".strip()
        message = (
            f"{name}, bib {entry.bib}, looks like bib {hidden.bib} on "
            f"{line_beside(hidden, entry)}, whose name is withheld; write no here too, or, if they "
            "are two, say so: "
            f'namesakes = ["{name}"] under [privacy] in meet.toml'
        )
        yield in_cell(meet, entry, "publish", "looks-withheld", message, name)


def withheld_names_stand_in_no_text(meet: Meet) -> Iterator[Problem]:
    """Nobody who withholds the name is named in any setting, cell, page or picture."""
    names = withheld(meet).names
    if names is None:
        return
    yield from naming(names, _places(meet), told_message)


def _places(meet: Meet) -> Iterator[Place]:
    """Every text of the meet folder; whatever is read anew is among them."""
    rules = {
        competition.rules: meet.rule_sets[competition.id]
        for competition in meet.settings.competitions
    }
    for file, row, thing in (
        (FILE, 0, meet.settings),
        *((file, 0, rule_set) for file, rule_set in rules.items()),
        *((incident.file, incident.line, incident) for incident in meet.incidents),
        *((meet.settings.files.bests, best.line, best) for best in meet.bests),
        *((row.file, row.line, row.correction) for row in meet.corrections),
    ):
        for path, text in texts(thing):
            if not path.startswith(NAMESAKES):
                yield Place(file, row, path, text)
    yield from _of_roster(meet)
    yield from of_pages(meet.pages, meet.assets)


def _of_roster(meet: Meet) -> Iterator[Place]:
    """What stands in the rows beside the names; and in names that are published, one in another."""
    rows, alike, _ = withheld(meet)
    hers = rows | {pair.published.key for pair in alike}
    for column in ROSTER:
        first: dict[str, Entry] = {}
        for entry in meet.entries:
            text = getattr(entry, column.name)
            if isinstance(text, str) and (column.stays or entry.key not in hers):
                first.setdefault(text, entry)
        heading = meet.settings.columns.roster.get(column.name, column.name)
        for text, entry in first.items():
            yield Place(entry.file, entry.line, heading, text)
