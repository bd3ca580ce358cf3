"""The time of publication where the environment gives it."""

from __future__ import annotations

import datetime as dt

import pytest

from resultsgen.history.publication import published_time
from resultsgen.meet.settings import Competition, MeetSettings

CUP = Competition(id="cup", title="Cup", discipline="women")


@pytest.mark.parametrize(
    ("epoch", "told"),
    [
        ("0", dt.datetime(1970, 1, 1, tzinfo=dt.UTC)),
        ("1936828800", dt.datetime(2031, 5, 18, tzinfo=dt.UTC)),
        ("9" * 17, None),
        ("9" * 5000, None),
        ("yesterday", None),
        ("-1", None),
        ("", None),
    ],
)
def test_what_is_no_time_says_nothing(
    monkeypatch: pytest.MonkeyPatch, epoch: str, told: dt.datetime | None
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert published_time(MeetSettings(title="Cup", competition=(CUP,))) == told
