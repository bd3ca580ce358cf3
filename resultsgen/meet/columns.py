"""Every column of the tables that a results secretary makes: roster, marks and the others."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "word", "whole number", "yes or no", "mark"]
"""What stands in the cells of a column; a word is one that the meet or the program knows."""


@dataclass(frozen=True)
class Column:
    """One column of a table that a results secretary makes, and all that is decided of it."""

    name: str
    meaning: str
    kind: Kind = "text"
    needed: bool = False
    stays: bool = False
    """Of the roster: published of a gymnast whose name is withheld, too. Whatever else is known of
    her is withheld with the name until somebody decides otherwise."""
    otherwise: bool = False
    """Of yes or no: what an empty cell means."""


ROSTER = (
    Column("bib", "The gymnast's number; text, so 007 stays 007", needed=True, stays=True),
    Column("family_name", "Family name", needed=True),
    Column("given_name", "Given name"),
    Column("club", "Club, as it is to be printed", stays=True),
    Column("federation", "Federation or region, short", stays=True),
    Column("team", "Team, where it is neither the club nor the federation", stays=True),
    Column(
        "discipline",
        "men, women, or one of your own; empty if the meet has only one",
        "word",
        stays=True,
    ),
    Column("division", "Age group or level: senior, junior, level 5", stays=True),
    Column("session", "Session or subdivision", stays=True),
    Column("squad", "Squad (rotation group)", stays=True),
    Column(
        "start_order", "Start order within the squad; a whole number", "whole number", stays=True
    ),
    Column(
        "entered",
        "Apparatus the gymnast is entered on, with spaces; empty: all",
        "word",
        stays=True,
    ),
    Column("birth_year", "Year of birth; printed only if [privacy] says so", "whole number"),
    Column("guest", "yes: out of competition, takes no place", "yes or no", stays=True),
    Column(
        "publish", "no: the name is withheld everywhere", "yes or no", stays=True, otherwise=True
    ),
    Column("status", "DNS, DSQ or WDR for the whole meet", "word", stays=True),
)

MARKS = (
    Column("bib", "The gymnast's number", needed=True),
    Column("apparatus", "Code or name; empty with a status: the status is for all of it", "word"),
    Column(
        "mark", "The final mark; empty: not yet; DNS, DNF, DSQ and WDR may stand here too", "mark"
    ),
    Column("d", "D score", "mark"),
    Column("e", "E score", "mark"),
    Column("penalty", "Penalty, with or without a minus sign", "mark"),
    Column("bonus", "Bonus, where the rules have one", "mark"),
    Column("vault", "1 or 2; empty is 1", "whole number"),
    Column("rotation", "The rotation it was performed in; a whole number", "whole number"),
    Column("status", "DNS, DNF, DSQ or WDR", "word"),
    Column("competition", "Id of the competition; empty where the bib is in only one", "word"),
)
"""One row per routine. Instead, a file may have a column per apparatus (its code as the
heading) and one row per gymnast; then `bib`, `competition` and `rotation` are the other columns."""


INCIDENTS = (
    Column("bib", "The gymnast's number", needed=True),
    Column("competition", "Id of the competition; empty where the bib is in only one", "word"),
    Column("apparatus", "Code or name", "word", needed=True),
    Column("vault", "1 or 2; empty is 1", "whole number"),
    Column("incident", "What happened: fall, out of bounds, over time", needed=True),
    Column("deduction", "What it cost; empty: the common figure for such an incident", "mark"),
    Column("note", "What else is to be said of it"),
)

BESTS = (
    Column("record", "season or personal, of a gymnast; or meet", "word", needed=True),
    Column("bib", "Whose best it is; empty for a record of the meet"),
    Column(
        "discipline", "As on the roster; empty if the meet has only one, or the bib tells", "word"
    ),
    Column("division", "As on the roster; empty: of all"),
    Column("apparatus", "Code or name, or all-around", "word", needed=True),
    Column("mark", "The best so far", "mark", needed=True),
    Column("note", "When and where it was made, and by whom"),
)

CORRECTIONS = (
    Column("bib", "The gymnast's number; empty: the row is about a whole competition", needed=True),
    Column("competition", "Id of the competition; empty where the bib is in only one", "word"),
    Column("apparatus", "Code or name; empty: whatever the gymnast has in the competition", "word"),
    Column("vault", "1 or 2; empty is 1", "whole number"),
    Column("old", "The mark or status that was published; empty: none was", "mark", needed=True),
    Column("new", "The mark or status that stands now; empty: none does", "mark", needed=True),
    Column("why", "inquiry, entry error, review, or words of your own", needed=True),
    Column("who", "Who decided it"),
    Column("when", "When, as it is to be printed"),
    Column(
        "gone", "yes: the mark, the gymnast or the competition is meant to be gone", "yes or no"
    ),
    Column("what", "Where it is about no mark: name, club, federation, title ...", "word"),
)
