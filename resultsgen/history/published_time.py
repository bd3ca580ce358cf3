"""When a publication was made."""

from __future__ import annotations

import datetime as dt
import os

from resultsgen.meet.settings import MeetSettings


def published(settings: MeetSettings) -> dt.datetime | None:
    """When this was published: from `meet.toml`, else SOURCE_DATE_EPOCH, else nobody says."""
    if settings.published:
        return settings.published
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    is_time = epoch.isdecimal() and len(epoch) <= 11  # Twelve digits may be after the year 9999.
    return dt.datetime.fromtimestamp(int(epoch), dt.UTC) if is_time else None
