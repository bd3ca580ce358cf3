"""Every column of the tables that a results secretary makes: roster, marks and the others."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "word", "whole number", "yes or no", "mark"]
"""What stands in the cells of a column; a word is one that the meet or the program knows."""


@dataclass(frozen=True)
class MeetColumn:
    """One column of a table that a results secretary makes, and all that is decided of it."""

    name: str
    meaning: str
    kind: Kind = "text"
    needed: bool = False
    unless: str = ""
    """The column that does as well: where a table has that one, this is not needed."""
    stays: bool = False
    """Of the roster: published of a gymnast whose name is withheld, too. Whatever else is known of
    her is withheld with the name until somebody decides otherwise."""
    otherwise: bool = False
    """Of yes or no: what an empty cell means."""
    beside: bool = False
    """Of the marks: it says whose a row is, or what was worked out elsewhere; no part of a mark."""


ROSTER = (
    MeetColumn("bib", "The gymnast's number; text, so 007 stays 007", needed=True, stays=True),
    MeetColumn("family_name", "Family name", needed=True, unless="name"),
    MeetColumn("given_name", "Given name"),
    MeetColumn("name", "The whole name, in the place of family_name and given_name"),
    MeetColumn("club", "Club, as it is to be printed", stays=True),
    MeetColumn("federation", "Federation or region, short", stays=True),
    MeetColumn("team", "Team, where it is neither the club nor the federation", stays=True),
    MeetColumn(
        "discipline",
        "men, women, or one of your own; empty if the meet has only one",
        "word",
        stays=True,
    ),
    MeetColumn("division", "Age group or level: senior, junior, level 5", stays=True),
    MeetColumn("session", "Session or subdivision", stays=True),
    MeetColumn("squad", "Squad (rotation group)", stays=True),
    MeetColumn(
        "start_order", "Start order within the squad; a whole number", "whole number", stays=True
    ),
    MeetColumn(
        "entered",
        "Apparatus the gymnast is entered on, with spaces; empty: all",
        "word",
        stays=True,
    ),
    MeetColumn("birth_year", "Year of birth; printed only if [privacy] says so", "whole number"),
    MeetColumn("guest", "yes: out of competition, takes no place", "yes or no", stays=True),
    MeetColumn(
        "publish", "no: the name is withheld everywhere", "yes or no", stays=True, otherwise=True
    ),
    MeetColumn("status", "DNS, DSQ or WDR for the whole meet", "word", stays=True),
    MeetColumn("pronounced", "How the name is said, for who announces and presents"),
    MeetColumn("person", "A lasting number, by which a season knows the gymnast in other meets"),
)

MARKS = (
    MeetColumn("bib", "The gymnast's number", needed=True),
    MeetColumn(
        "apparatus", "Code or name; empty with a status: the status is for all of it", "word"
    ),
    MeetColumn(
        "mark", "The final mark; empty: not yet; DNS, DNF, DSQ and WDR may stand here too", "mark"
    ),
    MeetColumn("d", "D score", "mark"),
    MeetColumn("e", "E score", "mark"),
    MeetColumn("penalty", "Penalty, with or without a minus sign", "mark"),
    MeetColumn("bonus", "Bonus, where the rules have one", "mark"),
    MeetColumn("vault", "1 or 2; empty is 1", "whole number"),
    MeetColumn("rotation", "The rotation it was performed in; a whole number", "whole number"),
    MeetColumn("status", "DNS, DNF, DSQ or WDR", "word"),
    MeetColumn("competition", "Id of the competition; empty where the bib is in only one", "word"),
    MeetColumn("name", "The whole name, where there are no bibs", unless="bib", beside=True),
    MeetColumn("family_name", "Family name, where there are no bibs", unless="bib", beside=True),
    MeetColumn("given_name", "Given name, where there are no bibs", beside=True),
    MeetColumn("club", "Club, where two have one name", beside=True),
    MeetColumn("total", "The total by somebody else's sum; compared", beside=True),
    MeetColumn("place", "The place by somebody else's list; compared", beside=True),
)
"""One row per routine. Instead, a file may have a column per apparatus (its code as the
heading), and for parts of its mark, and one row per gymnast."""


INCIDENTS = (
    MeetColumn("bib", "The gymnast's number", needed=True),
    MeetColumn("competition", "Id of the competition; empty where the bib is in only one", "word"),
    MeetColumn("apparatus", "Code or name", "word", needed=True),
    MeetColumn("vault", "1 or 2; empty is 1", "whole number"),
    MeetColumn("incident", "What happened: fall, out of bounds, over time", needed=True),
    MeetColumn("deduction", "What it cost; empty: the common figure for such an incident", "mark"),
    MeetColumn("note", "What else is to be said of it"),
)

BESTS = (
    MeetColumn(
        "record", "season, personal: of a gymnast; meet, series, all meets", "word", needed=True
    ),
    MeetColumn("bib", "Whose best it is; empty for a record"),
    MeetColumn(
        "discipline", "As on the roster; empty if the meet has only one, or the bib tells", "word"
    ),
    MeetColumn("division", "As on the roster; empty: of all"),
    MeetColumn("apparatus", "Code or name, or all-around", "word", needed=True),
    MeetColumn("mark", "The best so far", "mark", needed=True),
    MeetColumn("note", "When and where it was made, and by whom"),
)

CORRECTIONS = (
    MeetColumn(
        "bib", "The gymnast's number; empty: the row is about a whole competition", needed=True
    ),
    MeetColumn("competition", "Id of the competition; empty where the bib is in only one", "word"),
    MeetColumn(
        "apparatus", "Code or name; empty: whatever the gymnast has in the competition", "word"
    ),
    MeetColumn("vault", "1 or 2; empty is 1", "whole number"),
    MeetColumn(
        "old", "The mark or status that was published; empty: none was", "mark", needed=True
    ),
    MeetColumn("new", "The mark or status that stands now; empty: none does", "mark", needed=True),
    MeetColumn("why", "inquiry, entry error, review, or words of your own", needed=True),
    MeetColumn("who", "Who decided it"),
    MeetColumn("when", "When, as it is to be printed"),
    MeetColumn(
        "gone", "yes: the mark, the gymnast or the competition is meant to be gone", "yes or no"
    ),
    MeetColumn("what", "Where it is about no mark: name, club, federation, title ...", "word"),
)

PARTS = ("mark", "d", "e", "penalty", "bonus", "place")
"""What a heading may say of an apparatus, beside its code; the code alone is the mark."""

COLUMNS = {
    "roster": ROSTER,
    "marks": MARKS,
    "incidents": INCIDENTS,
    "bests": BESTS,
    "corrections": CORRECTIONS,
}
"""What each table may have, by its name under [files]."""
