"""The feed of a season: its newest meets, with who won."""

from __future__ import annotations

from urllib.parse import quote

from resultsgen.season.facts import SeasonMeet
from resultsgen.views.season.meets import board, days, state
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.website.feeds import ENTRIES, atom_entry, atom_feed, lasting_name


def feed_of_meets(subject: SeasonSubject, base: str) -> str:
    """The newest meets with their winners, each dated by its publication, or else its last day."""
    settings = subject.season.settings
    meets = subject.season.facts.meets[::-1]
    entries = []
    for meet in meets[:ENTRIES]:
        winners = (
            subject.language.headed(f"{column.heading}, {line.title.text}", f"{names} {line.total}")
            for column in board(meet, subject)
            for line in column.lines
            for names in [subject.language.listed([who.text for who in line.winners])]
            if line.winners
        )
        about = ", ".join(filter(None, (days(meet, subject), meet.place, state(meet, subject))))
        name = lasting_name(base, meet.first.isoformat(), f"meets/{meet.id}")
        link = base + quote(subject.where[f"meet:{meet.id}"])
        summary = ". ".join((about, *winners))
        entries.append(atom_entry(name, meet.title, _updated(meet), link, f"{summary}."))
    name = lasting_name(base, subject.season.facts.meets[0].first.isoformat(), "feed")
    about_all = (name, settings.title, max(map(_updated, meets)))
    author = settings.organiser or settings.title
    return atom_feed(about_all, author, subject.language.code, base, "meets/index.html", entries)


def _updated(meet: SeasonMeet) -> str:
    time = meet.head.meet.published
    return time.isoformat(timespec="seconds") if time and time.tzinfo else f"{meet.last}T00:00:00Z"
