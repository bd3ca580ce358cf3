"""Every setting of `season.toml`, and the columns of `people.csv`."""

from __future__ import annotations

from pydantic import Field

from resultsgen.meet.columns import MeetColumn
from resultsgen.meet.values import Frozen, Sources


class SeasonSettings(Frozen):
    """The whole of `season.toml`."""

    title: str = Field(min_length=1)
    organiser: str = ""
    meets: Sources = Field(
        min_length=1, description="Meet folders and published folders: meets/*, spring/output"
    )
    compare: tuple[tuple[str, ...], ...] = Field(
        (), description="Rule sets whose marks may stand in one list"
    )


PEOPLE = (
    MeetColumn("name", "The whole name as a meet lists it, family name first", needed=True),
    MeetColumn("club", "The club; empty: any"),
    MeetColumn("birth_year", "The year of birth; empty: any", "whole number"),
    MeetColumn("person", "The lasting number; empty: any"),
    MeetColumn("is", "same, or not the same: as the other of this row", "word"),
    MeetColumn("other_name", "The name of the other; empty: the same name"),
    MeetColumn("other_club", "The club of the other; empty: any"),
    MeetColumn("other_birth_year", "The year of birth of the other; empty: any", "whole number"),
    MeetColumn("other_person", "The lasting number of the other; empty: any"),
    MeetColumn("now_called", "The name that the season uses: Vale, Ada"),
    MeetColumn("publish", "no: the name is withheld in the whole season", "word"),
)
"""One row for what is settled of a gymnast, or of two."""
