"""CSV that is neither UTF-8 nor UTF-16: told with what it may be, read once the settings say so."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_sources import meet_of

from resultsgen.files.opening import LARGEST_TABLE
from resultsgen.meet.problems import Problem
from resultsgen.reading.meet import read_meet
from resultsgen.reading.texts import likely_encodings

WRITTEN = {
    "de": ("bib;family_name;club\n1;Müller;TV Grünau\n2;Groß;\n", "Müller, Grünau, Groß"),
    "fr": ("bib;family_name;club\n1;Lefèvre;Élan d'Orvault\n2;Brûlé;\n", "Lefèvre, Élan, Brûlé"),
    "es": ("bib;family_name;club\n1;Peñalver;Gimnàstic\n2;Núñez;\n", "Peñalver, Gimnàstic, Núñez"),
    "one": ("bib;family_name\n1;Jörg\n", "Jörg"),
}
"""A roster in each language, and the words that tell how it is written."""


def meet(folder: Path, held: bytes, encoding: str = "") -> Path:
    (folder / "roster.csv").write_bytes(held)
    (folder / "marks.csv").write_text("bib,VT\n", encoding="utf-8")
    said = f'[tables."roster.csv"]\nencoding = "{encoding}"\n' if encoding else ""
    return meet_of(folder, said)


def problems(folder: Path) -> list[Problem]:
    return read_meet(folder)[1]


@pytest.mark.parametrize("language", WRITTEN)
@pytest.mark.parametrize("encoding", ["cp1252", "mac-roman", "cp850"])
def test_the_message_names_the_likely_encoding_and_ends_with_the_line(
    tmp_path: Path, language: str, encoding: str
) -> None:
    text, words = WRITTEN[language]
    (problem,) = problems(meet(tmp_path, text.encode(encoding)))
    assert (problem.file, problem.row, problem.code) == ("roster.csv", 2, "not-utf8")
    assert f"; or, as {encoding} it has {words} (" in problem.message
    end = f'write in meet.toml  [tables."roster.csv"]  encoding = "{encoding}"'
    assert problem.message.endswith(end)


@pytest.mark.parametrize("language", WRITTEN)
@pytest.mark.parametrize("encoding", ["cp1252", "mac-roman", "cp850", "latin-1"])
def test_it_is_read_when_the_settings_say_so(tmp_path: Path, language: str, encoding: str) -> None:
    text, _ = WRITTEN[language]
    read, found = read_meet(meet(tmp_path, text.encode(encoding), encoding))
    assert found == []
    assert read is not None
    rows = [line.split(";") for line in text.splitlines()[1:]]
    assert [[one.bib, one.family_name] for one in read.entries] == [row[:2] for row in rows]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_a_file_that_became_unicode_is_not_read_as_before(tmp_path: Path, encoding: str) -> None:
    """Or every letter that the setting is for would be two."""
    (problem,) = problems(meet(tmp_path, WRITTEN["de"][0].encode(encoding), "cp1252"))
    assert (problem.file, problem.code) == ("roster.csv", "not-the-encoding")


def test_bytes_that_the_encoding_does_not_have_are_told_by_line(tmp_path: Path) -> None:
    (problem,) = problems(meet(tmp_path, b"bib;family_name\n1;Adams\n2;B\x81ll\n", "cp1252"))
    assert (problem.row, problem.code) == (3, "not-utf8")
    assert problem.message.startswith("is not CP1252 text")


def test_what_is_no_text_at_all_is_in_no_encoding(tmp_path: Path) -> None:
    (problem,) = problems(meet(tmp_path, b"\x00\xff\xfe\x81" * 100))
    assert problem.message.endswith("save the file as UTF-8 (in a spreadsheet: CSV UTF-8)")


def test_of_a_large_file_little_is_looked_at() -> None:
    held = ("7;Zoë\n" * (LARGEST_TABLE // 6)).encode("cp1252")
    assert next(iter(likely_encodings(held).items())) == ("cp1252", ["Zoë"])
