"""meet.toml: what is wrong is told in plain words with its line; the schema is the same thing."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.files.toml_keys import key_lines, key_path, line_of
from resultsgen.meet.settings import MeetSettings, schema_text
from resultsgen.publishing.starter import new_meet
from resultsgen.reading.meet import read_meet
from resultsgen.reading.settings import read_settings

PACKAGE = Path(__file__).parent.parent.parent / "resultsgen"
SMALL = 'title = "Cup"\n[[competition]]\nid = "w"\ntitle = "Women"\ndiscipline = "women"\n'


def told(folder: Path, text: str) -> list[str]:
    (folder / "meet.toml").write_text(text, encoding="utf-8")
    settings, _, problems = read_settings(folder)
    assert (settings is None) == bool(problems)
    return [f"{one.row} {one.column}: {one.message}" for one in problems]


@pytest.mark.parametrize(
    ("setting", "place", "message"),
    [
        ("place = 5", "2 place", 'place must be a text in quotes: "5"'),
        ("dates = 2031-05-17", "2 dates", "dates must be a list in brackets: [2031-05-17]"),
        ('dates = "17.05.2031"', "2 dates", "dates must be a list in brackets: [2031-05-17]"),
        ('languages = "de"', "2 languages", 'languages must be a list in brackets: ["de"]'),
        (
            'dates = ["17/5/2031"]',
            "2 dates[1]",
            "dates[1] must be a date without quotes: 2031-05-17",
        ),
        ('dates = ["May"]', "2 dates[1]", "dates[1] must be a date without quotes: 2031-05-18"),
        ('published = "soon"', "2 published", "published must be a date and time without quotes"),
        ('paper = "A3"', "2 paper", "paper must be 'A4' or 'Letter'"),
        ('status = "official"', "2 status", "status must be a table, not a single value"),
        ("status.stat = 1", "2 status.stat", "there is no setting stat here; did you mean state?"),
        ("[privacy]\nbirth_year = 5", "3 privacy.birth_year", "birth_year must be true or false"),
        ('[[officials]]\nrole = "J"', "2 officials[1].name", "name is missing; add  name = ..."),
        ("zzz = 1", "2 zzz", "there is no setting zzz here; there are title, place"),
        ("languages = []", "2 languages", "languages must have at least 1"),
        ("dates = [0001-01-01]", "2 dates[1]", "dates[1]: no meet was or will be on 0001-01-01"),
        ("dates = [9999-12-31]", "2 dates[1]", "dates[1]: no meet was or will be on 9999-12-31"),
    ],
)
def test_each_mistake_in_plain_words(
    tmp_path: Path, setting: str, place: str, message: str
) -> None:
    (found,) = told(tmp_path, SMALL.replace("[[", f"{setting}\n[[", 1))
    assert found.startswith(f"{place}: {message}")


@pytest.mark.parametrize(
    ("setting", "message"),
    [
        (f'id = "{"w" * 101}"', "3 competition[1].id: id must have at most 100 letters"),
        (f'id = "w"\nvaults = {10**20}', "4 competition[1].vaults: is a larger number than any"),
        ('id = "w"\nvaults = 3', "4 competition[1].vaults: vaults must be 1 or 2"),
        ('id = "w"\nvaults = true', "4 competition[1].vaults: vaults must be a whole number"),
    ],
)
def test_each_mistake_in_a_competition_is_told_once(tmp_path, setting, message):
    (found,) = told(tmp_path, SMALL.replace('id = "w"', setting))
    assert found.startswith(message)


@pytest.mark.parametrize(
    ("written", "mend"),
    [
        ("3-2", '  format = "3-3-2"  where all of the team are up'),
        ("5/4/3", '  format = "5-4-3"'),
    ],
)
def test_of_a_team_each_number_is_explained_with_the_line_to_write(tmp_path, written, mend):
    (found,) = told(tmp_path, f'{SMALL}team.format = "{written}"\n')
    assert "in the team, how many of them are up on each apparatus, and how many of these" in found
    assert found.endswith(f"count; write{mend}")


def test_marks_in_toml_are_exact(tmp_path: Path) -> None:
    text = (
        SMALL
        + '[[competition.cuts]]\nname = "F"\nof = "all-around"\nplaces = 1\nminimum = 49.265\n'
    )
    (tmp_path / "meet.toml").write_text(text)
    settings, _, problems = read_settings(tmp_path)
    assert not problems
    assert settings is not None
    assert settings.competitions[0].cuts[0].minimum == 49265


def test_a_mark_in_toml_with_four_decimals_is_told(tmp_path: Path) -> None:
    cut = '[[competition.cuts]]\nname = "F"\nof = "all-around"\nplaces = 1\nminimum = 49.2650\n'
    assert told(tmp_path, SMALL + cut) == [
        "10 competition[1].cuts[1].minimum: minimum: write a mark with at most three decimals, "
        "for example 12.500"
    ]


def test_no_meet_toml_is_told(tmp_path: Path) -> None:
    meet, (problem,) = read_meet(tmp_path)
    assert (meet, problem.file, problem.code) == (None, "meet.toml", "no-such-file")


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("title = 'a'\nplace = North\n", 2),
        ("title = “Cup”\n", 1),
        ("title = 'a'\n[[competition]\n", 2),
        ("title = 'a'\ntitle = 'b'\n", 2),
        ("dates = [\n", 1),
    ],
)
def test_what_is_not_toml_is_told_with_its_line(tmp_path: Path, text: str, line: int) -> None:
    (found,) = told(tmp_path, text)
    assert found.startswith(f"{line} : is not TOML: ")


@pytest.mark.parametrize(
    ("line", "mend"),
    [
        ("dates = 15.03.2031", "write 2031-03-15"),
        ("dates = [3/15/2031]", "write 2031-03-15"),
        ("dates = [2031-3-5]", "write 2031-03-05"),
        ("dates = [3/4/2031]", "3/4/2031: a date is year-month-day, for example 2031-03-15"),
        ("title = \u201cBell\u2019s Cup\u201d # new", 'write  title = "Bell\u2019s Cup" # new'),
        ("title = \u00abCup\u00bb", 'write  title = "Cup"'),
        ("organiser = \u201eCup\u201c", 'write  organiser = "Cup"'),
        ("languages = ['en', \u2018de\u2019]", "write  languages = ['en', \"de\"]"),
        (r'logo = "C:\Users\Ada\logo.svg"', 'write  logo = "C:/Users/Ada/logo.svg"'),
        (r'logo = "\Users"', 'write  logo = "/Users"'),
        ("title = Summer Cup", 'write "Summer Cup"'),
        ("title =", 'write "" for none'),
        ('title: "Cup"', 'write  title = "Cup"'),
        ('title = "Cup" place = "North"', "each setting has a line of its own"),
        ('title = "The "big" Cup"', r"inside of such a text \""),
        ("starts.A = VT", 'write "VT"'),
        ("points = 0,3", "write 0.3"),
        ("birth_year = Yes", "write true"),
        ("bib = 007", 'write "007"'),
        ("[[officials]", "write  [officials]  or  [[officials]]"),
        ("Nr 1 = 5", 'write "Nr 1"'),
    ],
)
def test_the_first_slips_get_their_mend(tmp_path: Path, line: str, mend: str) -> None:
    (found,) = told(tmp_path, SMALL.replace("[[", f"{line}\n[[", 1))
    assert found.startswith("2 : is not TOML: ")
    assert found.endswith(mend)


def test_a_setting_that_stands_twice_is_told_so(tmp_path: Path) -> None:
    (found,) = told(tmp_path, 'title = "Cup"\n' + SMALL)
    assert found.startswith("2 : is not TOML: what stands here is said further up already")


@pytest.mark.parametrize(
    "setting",
    [
        '[columns]\nroster = { "Nr." = "bib" }',
        '[columns.disciplines]\n"WK [W" = "woman"',
        '[columns.disciplines]\n"a.]." = "woman"',
        '[columns]\nroster = { "..[[" = 5 }',
    ],
)
def test_a_name_with_any_signs_is_told_with_its_line(tmp_path: Path, setting: str) -> None:
    (tmp_path / "meet.toml").write_text(f"{SMALL}{setting}\n", encoding="utf-8")
    found = [one for one in read_meet(tmp_path)[1] if one.column.startswith("columns")]
    assert [one.row for one in found] == [7]
    turned = '"Nr." = "bib"' in setting
    assert ('did you mean  bib = "Nr."?' in found[0].message) == turned


@given(st.text(st.sampled_from("ab.[]0\"' "), max_size=12))
def test_every_name_has_a_line_or_none(path: str) -> None:
    assert line_of({"a": 3, "a.b": 4}, path) in (0, 3, 4)


def test_lines_of_keys_in_every_notation() -> None:
    text = """a = 1
b.c = 2
"d e".f = 3
text = \"\"\"
not = "a key"
[nor.a.table]
\"\"\"
[t]
g = { h = 1 }
[[list]]
i = 1
[list.sub]
j = 1
[[list.deep]]
k = 1
[[list]] # second
i = 2
[[list.deep]]
k = 2
"""
    lines = key_lines(text)
    assert "not" not in str(lines)
    where = {
        "a": 1, "b.c": 2, "d e.f": 3, "text": 4, "t": 8, "t.g": 9, "t.g.h": 9, "list[1].i": 11,
        "list[1].sub.j": 13, "list[1].deep[1].k": 15, "list[2].i": 17, "list[2].deep[1].k": 19,
        "list[2].missing": 16, "unknown": 0,
    }  # fmt: skip
    assert {path: line_of(lines, path) for path in where} == where


@given(
    st.lists(st.sampled_from(["a", "b", 0, 1]), min_size=1, max_size=5).filter(
        lambda p: p[0] in ("a", "b")
    )
)
def test_the_line_of_anything_inside_a_table_is_at_least_that_of_the_table(
    path: list[str | int],
) -> None:
    named = key_path(*path)
    assert line_of({key_path(path[0]): 7}, named) == 7


def test_a_new_meet_has_the_schema_of_what_validates_it(tmp_path: Path) -> None:
    new_meet(tmp_path / "meet")
    written = (tmp_path / "meet/meet.schema.json").read_text(encoding="utf-8")
    assert json.loads(written) == meet_schema()
    assert written == schema_text()


def meet_schema() -> dict[str, object]:
    return json.loads(schema_text())  # type: ignore[no-any-return]


def as_json(value: object) -> object:
    """What an editor hands to the schema: dates as text."""
    if isinstance(value, dict):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, list):
        return [as_json(one) for one in value]
    return value.isoformat() if hasattr(value, "isoformat") else value


@pytest.mark.parametrize(
    "path",
    [
        PACKAGE / "publishing/starting_folder" / "meet.toml",
        PACKAGE.parent / "example_meet" / "meet.toml",
    ],
)
def test_the_schema_accepts_our_own_meets(path: Path) -> None:
    held = as_json(tomllib.loads(path.read_text(encoding="utf-8")))
    jsonschema.Draft202012Validator(meet_schema()).validate(held)


def test_the_schema_refuses_what_the_settings_refuse() -> None:
    validator = jsonschema.Draft202012Validator(meet_schema())
    good = as_json(tomllib.loads(SMALL))
    assert isinstance(good, dict)
    assert validator.is_valid(good)
    for bad in ({"zzz": 1}, {"paper": "A3"}, {"competition": []}, {"title": 5}):
        assert not validator.is_valid(good | bad)


def test_every_setting_is_in_the_starting_folder() -> None:
    text = (PACKAGE / "publishing/starting_folder" / "meet.toml").read_text(encoding="utf-8")
    names = [field.alias or name for name, field in MeetSettings.model_fields.items()]
    assert [name for name in names if name not in text] == []
    assert text.startswith("#:schema ./meet.schema.json\n")
    assert json.loads(schema_text())["properties"].keys() == set(names)
