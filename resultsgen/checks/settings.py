"""What must be true of the meet's own settings."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from urllib.parse import urlsplit

from resultsgen.checks.keys import key_path
from resultsgen.meet.columns import BESTS, CORRECTIONS, INCIDENTS, MARKS, ROSTER
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import DISCIPLINES, Bibs, Competition


def setting(path: str, code: str, message: str, value: str = "") -> Problem:
    """A problem with a setting; its line is filled in where the file is read."""
    return Problem("meet.toml", 0, path, code, message, value)


def dates_are_in_order(meet: Meet) -> Iterator[Problem]:
    """The last day is not before the first."""
    dates = meet.settings.dates
    if list(dates) != sorted(dates):
        message = "the last day is before the first; write the first day first"
        yield setting("dates", "dates-not-in-order", message, f"{dates[0]}, {dates[-1]}")


def official_results_are_signed(meet: Meet) -> Iterator[Problem]:
    """Results that are called official name who signed them."""
    status = meet.settings.status
    if status.state == "official" and not any(one.name.strip() for one in status.signed):
        message = (
            "official results need a signature: add  [[status.signed]]  with a name, "
            'or set the state to "provisional"'
        )
        yield setting("status.state", "not-signed", message, "official")


def addresses_are_web_addresses(meet: Meet) -> Iterator[Problem]:
    """The address of publication is a whole one."""
    address = meet.settings.base_url
    if address and not _is_web_address(address):
        message = "must be a whole web address: https://example.org/cup/"
        yield setting("base_url", "no-web-address", f"base_url {message}", address)


def _is_web_address(text: str) -> bool:
    """It has a host that a name can be asked for by, and nothing that does not belong there."""
    try:
        address = urlsplit(text)
        host = (address.hostname or "").encode("idna")
        _ = address.port  # ValueError where it is none.
    except ValueError:
        return False
    shape = re.fullmatch(r"https?://[^\s\"'<>/?#@\\]+(/[^\s\"'<>?#\\]*)?", text)
    return bool(host and shape and text.isprintable())


def the_logo_is_a_picture(meet: Meet) -> Iterator[Problem]:
    """The logo is one of the pictures in assets/."""
    logo = meet.settings.logo
    if logo and logo not in meet.assets:
        there = ", ".join(meet.assets) or "none"
        message = f"there is no picture {logo} in assets/ that can be published; there are: {there}"
        yield setting("logo", "no-such-picture", message, logo)


def _column_meant(name: str, heading: str, known: list[str]) -> str:
    """What was meant by a name that is no column of ours; often it is the wrong way round."""
    near = difflib.get_close_matches(name, known, n=1)
    mend = f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}"
    if heading in known:
        mend = f'did you mean  {heading} = "{name}"?'
    return f"{mend} (ours on the left, yours on the right)"


def the_words_for_columns_are_known(meet: Meet) -> Iterator[Problem]:
    """[columns] maps names that we have: columns, apparatus codes, disciplines."""
    settings, columns = meet.settings, meet.settings.columns
    for table, mapped, ours in (
        ("roster", columns.roster, ROSTER),
        ("marks", columns.marks, MARKS),
        ("incidents", columns.incidents, INCIDENTS),
        ("bests", columns.bests, BESTS),
        ("corrections", columns.corrections, CORRECTIONS),
    ):
        known = [column.name for column in ours]
        for name, heading in mapped.items():
            if name not in known:
                message = f"there is no column {name}; {_column_meant(name, heading, known)}"
                yield setting(key_path("columns", table, name), "unknown-column", message, heading)
    disciplines = (*DISCIPLINES, *settings.disciplines)
    for word, key in columns.disciplines.items():
        if key not in disciplines:
            message = f"there is no discipline {key}; there are {', '.join(disciplines)}"
            path = key_path("columns", "disciplines", word)
            yield setting(path, "unknown-discipline", message, key)
    codes = known_apparatus(meet)
    for word, code in columns.apparatus.items():
        if code not in codes:
            message = f"there is no apparatus {code}; there are {', '.join(codes)}"
            yield setting(
                key_path("columns", "apparatus", word), "unknown-apparatus", message, code
            )


def known_apparatus(meet: Meet) -> tuple[str, ...]:
    """The codes of all apparatus: the usual ones and those that the settings declare."""
    own = (code for one in meet.settings.disciplines.values() for code in one.apparatus)
    usual = (code for codes in DISCIPLINES.values() for code in codes)
    return tuple(dict.fromkeys((*usual, *meet.settings.apparatus, *own)))


def on_its_apparatus(meet: Meet, one: Competition, given: Bibs, path: str) -> Iterator[Problem]:
    """Bibs that are given by apparatus are so by those of the competition."""
    codes = meet.settings.apparatus_of(one)
    for code in given if isinstance(given, dict) else ():
        if code not in codes:
            message = f"{one.id} has no apparatus {code}; it has {', '.join(codes)}"
            yield setting(f"{path}.{code}", "unknown-apparatus", message, code)
