"""The catalogues of translations: what must stand in them, and how they are brought up to date.

    python tests/catalogues.py

takes new texts of the program into `language/locale/*/LC_MESSAGES/resultsgen.po`, drops those that
are gone, and compiles each. Write the translations into the .po files and run it again.

    python tests/catalogues.py fr

shows every sentence of a language that has places as it is read, three times: of one, two and many,
of women, men and names that begin with a vowel.
"""

from __future__ import annotations

import ast
import datetime as dt
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from pathlib import Path
from string import Formatter

from babel.messages import Catalog, Message
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from resultsgen.language import CATALOGUES, LANGUAGES
from resultsgen.meet.names import APPARATUS_NAMES
from resultsgen.rules.criteria import CRITERIA, SERIES, criteria
from resultsgen.season import criteria as season

ROOT = Path(__file__).parent.parent
CALLS = {"say": 1, "to_say": 1, "count": 2}
"""The functions that take texts, and how many of their first arguments are texts."""
IN_SOURCES = ("document", "section", "note")
STARTED = dt.datetime(2031, 1, 1, tzinfo=dt.UTC)
"""Stands in the head of each catalogue, so that the same texts give the same bytes."""

Key = str | tuple[str, str]
"""A text, or the singular and the plural of one."""


def texts() -> set[Key]:
    """Every text that the program can say."""
    return {*in_modules(), *in_templates(), *in_rulebook(), *in_criteria(), *in_settings()}


def in_modules() -> Iterator[Key]:
    """The literal texts in calls of `say`, `count` and `to_say`."""
    for _, call in calls():
        taken = call.args[: CALLS[called(call)]]
        texts_of = [tuple(literals(one)) for one in taken]
        if called(call) != "count":
            yield from (text for one in texts_of for text in one)
        elif len(texts_of) == 2 and all(texts_of):
            yield texts_of[0][0], texts_of[1][0]


def literals(argument: ast.expr) -> Iterator[str]:
    """The text that an argument is, or both that it may be."""
    if isinstance(argument, ast.IfExp):
        yield from literals(argument.body)
        yield from literals(argument.orelse)
    elif isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        yield argument.value


@cache
def calls() -> list[tuple[str, ast.Call]]:
    """Each call of a function that takes texts, with its file."""
    return [
        (str(path.relative_to(ROOT)), node)
        for path in sorted((ROOT / "resultsgen").rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and called(node) in CALLS
    ]


def called(call: ast.Call) -> str:
    """The last name of what is called: `say` of `wording.say`."""
    function = call.func
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def in_templates() -> Iterator[Key]:
    """The texts of every theme's templates, as Jinja2's own extractor reads them."""
    keywords = {"say": None, "count": (1, 2)}
    for path in sorted((ROOT / "themes").rglob("*.html")):
        with path.open("rb") as file:
            options = {"silent": "false", "trimmed": "true"}
            for _, message, _, _ in extract("jinja2", file, keywords, options=options):
                yield message


def in_rulebook() -> Iterator[Key]:
    """The titles, explanations and sources of the rule sets that come along."""
    for path in sorted((ROOT / "resultsgen/rules/rulebook").glob("*.toml")):
        rules = tomllib.loads(path.read_text(encoding="utf-8"))
        told = [one.get(part, "") for one in rules["sources"] for part in IN_SOURCES]
        yield from filter(None, (rules["title"], rules.get("about", "").strip(), *told))


def in_criteria() -> Iterator[Key]:
    """What a tie is settled by, as it stands in a sentence: the E score."""
    series = criteria(tuple(SERIES), 3)
    for one in (*CRITERIA, *series):
        yield f"the {one.words}"
        if one.called:
            yield f"the {one.called}"
    yield from (one.words for one in season.CRITERIA)


def in_settings() -> Iterator[Key]:
    """The names of the apparatus."""
    yield from APPARATUS_NAMES.values()


def catalogue_file(code: str) -> Path:
    """Where the translations of a language are written."""
    return CATALOGUES / code / "LC_MESSAGES" / "resultsgen.po"


def catalogue(code: str) -> Catalog:
    """The translations of a language as they are."""
    with catalogue_file(code).open("rb") as file:
        return read_po(file, locale=code, domain="resultsgen", abort_invalid=True)


def updated(code: str, known: Catalog) -> Catalog:
    """Every text of the program, with those translations that there are."""
    fresh = Catalog(
        locale=code,
        domain="resultsgen",
        project="resultsgen",
        version="1",
        header_comment=f"# The built-in texts of resultsgen: {LANGUAGES[code].name}.",
        creation_date=STARTED,
        revision_date=STARTED,
        msgid_bugs_address="none",
        last_translator="resultsgen",
        language_team="resultsgen",
        fuzzy=False,
    )
    # How a language counts stands in its catalogue: what Babel knows of it changes by version.
    if len(known):
        fresh.mime_headers = [("Plural-Forms", known.plural_forms)]
    for key in sorted(texts(), key=str):
        old = known.get(key[0] if isinstance(key, tuple) else key)
        same = old is not None and old.id == key
        fresh.add(key, old.string if same else None)
    return fresh


def complete(message: Message) -> bool:
    """Is there a translation, and one for every number where the text counts something?"""
    given = message.string
    return bool(given) and (isinstance(given, str) or all(given))


def compiled(known: Catalog) -> bytes:
    """A catalogue as the program reads it."""
    target = BytesIO()
    write_mo(target, known)
    return target.getvalue()


PERSONS = ("Ashe Ina", "Bo Jan", "Elm Eva")
MARKS = ("total", "mark", "margin", "spread", "safe", "ties", "best", "average", "allowance")
SAID = {
    "list": ("All-around", "Team", "Balance Beam"),
    "apparatus": ("Vault", "Uneven Bars", "Horizontal Bar"),
    "body": ("club", "federation", "team"),
}


def filled(code: str, key: Key) -> Iterator[str]:
    """A sentence as it is read, three times; a place that has no sample holds a number."""
    language, forms = LANGUAGES[code], key if isinstance(key, tuple) else (key,)
    names = {part[1] for form in forms for part in Formatter().parse(form) if part[1]} - {"n"}
    for at, n in enumerate((1, 2, 11)):
        values: dict[str, object] = {name: n + more for more, name in enumerate(sorted(names))}
        values |= {name: language.mark(37500 - 950 * n) for name in names.intersection(MARKS)}
        values |= {name: language.say(SAID[name][at]) for name in names.intersection(SAID)}
        values |= {"name": PERSONS[at], "names": language.listed(PERSONS[: at + 1])}
        values |= {other: language.listed(PERSONS[at:]) for other in ("others", "equals")}
        yield (
            language.count(*forms, n, **values)
            if len(forms) == 2
            else language.say(forms[0], n=n, **values)
        )


def main() -> None:
    """Bring every catalogue up to date, compile it, and tell what has no translation yet."""
    for code in LANGUAGES:
        if code == "en":
            continue
        file = catalogue_file(code)
        file.parent.mkdir(parents=True, exist_ok=True)
        fresh = updated(code, catalogue(code) if file.exists() else Catalog(locale=code))
        with file.open("wb") as target:
            write_po(target, fresh, width=96, include_lineno=False)
        file.with_suffix(".mo").write_bytes(compiled(fresh))
        for message in fresh:
            if message.id and not complete(message):
                print(f"{code}: no translation of {message.id!r}")


if __name__ == "__main__":
    if sys.argv[1:]:
        for key in sorted((one for one in texts() if "{" in str(one)), key=str):
            print(key, *filled(sys.argv[1], key), sep="\n    ")
    else:
        main()
