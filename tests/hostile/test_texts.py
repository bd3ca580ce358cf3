"""Texts of the input are never a format, a template or a pattern."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from folders import write_folder

from resultsgen.books.press.open_places import NotJoinableError, must_not_say_what_is_decided
from resultsgen.books.press.unit import PAGE, PAGES, STATUS, WHEN
from resultsgen.language import ENGLISH, LANGUAGES
from resultsgen.reading.meet import read_meet

PACKAGE = Path(__file__).parents[2] / "resultsgen"

FORMATS = (
    "{text:>1500000000}", "{text.__class__.__mro__}", "{text[0]}", "{0}", "{}", "{", "}", "{x!r}",
    "%s", "%(text)s", "\\\\1", "(a+)+$",
)  # fmt: skip

MEET = """
== meet.toml ==
title = "KEY"
place = "KEY"
[apparatus]
"KEY" = "KEY"
[disciplines."KEY"]
name = "KEY"
apparatus = ["VT", "KEY"]
[columns.roster]
club = "KEY"
[rules."KEY"]
"KEY" = 1
[[competition]]
id = "women"
title = "KEY"
discipline = "women"
divisions = ["KEY"]
ranks = ["all-around"]
== roster.csv ==
bib,family_name,division,discipline,entered,publish,status,"KEY"
1,Alder,"KEY",women,"KEY","KEY","KEY","KEY"
2,Birch,senior,"KEY",VT,,,
== marks.csv ==
bib,apparatus,mark,competition
1,"KEY","KEY","KEY"
2,VT,12.100,women
== incidents.csv ==
bib,competition,apparatus,incident,deduction
1,women,VT,"KEY","KEY"
"""


@pytest.mark.parametrize("text", FORMATS)
def test_no_text_of_a_meet_is_a_format(tmp_path: Path, text: str) -> None:
    _, problems = read_meet(write_folder(tmp_path, MEET.replace("KEY", text)))
    told = "".join(map(str, problems))
    assert problems
    assert "<class" not in told
    assert len(told) < 100_000


@pytest.mark.parametrize("text", ["{n:>999999999}", "{n.__class__}", "{n[0]}", "{}", "{n!r}", "{"])
def test_a_sentence_has_plain_places_only(text: str) -> None:
    with pytest.raises(ValueError, match="places such as"):
        ENGLISH.say(text, n=5)
    for language in LANGUAGES.values():
        assert language.say("{n} kB", n="{n:>9}").startswith("{n:>9}")


@pytest.mark.parametrize("number", [STATUS, WHEN, PAGE, PAGES])
def test_what_stands_for_a_page_number_in_books_is_no_text_of_a_meet(number: str) -> None:
    feet = f'<html data-status="{STATUS}" data-when="{WHEN}" data-before="{PAGE}" '
    feet += f'data-between="{PAGES}"'
    must_not_say_what_is_decided(f"{feet}><head></head><p>0</p></html>")
    for html in (f'{feet} data-meet="{number}"><head>', f"{feet}><head></head><p>x{number}</p>"):
        with pytest.raises(NotJoinableError):
            must_not_say_what_is_decided(html)


FORMATTED = {
    ("scoring/unsettled.py", "words"),  # of a criterion: `CRITERIA` in rules/criteria.py
    ("views/words/reasons.py", "words"),  # the same
    ("reading/validating.py", "words"),  # `WORDS`, by the kind of error
    ("reading/toml_slips.py", "mend"),  # `SLIPS`
    ("books/metadata.py", "form"),  # `PROPERTIES`
    ("data/format.py", "name"),  # data/tables.fields
    ("data/format.py", "meaning"),  # data/tables.fields
    ("language/__init__.py", "text"),  # a sentence of the program, with plain places only
}
"""Where what is formatted has a name of its own, and where its text is written in the program."""


def test_only_what_is_written_in_the_program_is_formatted() -> None:
    """What `format` is called of is a text written there, or a constant in capitals."""
    found = set()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
                continue
            if node.func.attr in ("format", "format_map"):
                of = node.func.value
                name = getattr(of, "id", getattr(of, "attr", ""))
                if not isinstance(of, ast.Constant) and not name.isupper():
                    found.add((path.relative_to(PACKAGE).as_posix(), name))
    assert found == FORMATTED
