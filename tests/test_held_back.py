"""One wrong row of a meet that runs holds back its own competition, which stays as published."""

from __future__ import annotations

import random
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from folders import write_folder
from lxml import html

from resultsgen.files.manifest import verified
from resultsgen.history.publication import PublishedCompetition
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.build_options import BuildOptions, Published
from resultsgen.publishing.publish import publish
from resultsgen.reading.publications import read_publications

STRICT = BuildOptions(books=False)
RUNNING = replace(STRICT, hold_back=True)
SETTINGS = """
    == meet.toml ==
    title = "Cup"
    {files}
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    phase = "qualification"
    apparatus = ["VT", "FX"]
    {women}
    [[competition.cuts]]
    name = "Final"
    of = "all-around"
    to = "final"
    places = 2
    [[competition]]
    id = "men"
    title = "Men"
    discipline = "men"
    apparatus = ["VT", "PH"]
    {men}
    [[competition]]
    id = "final"
    title = "Women's final"
    discipline = "women"
    apparatus = ["VT", "FX"]
    entered_from = "women"
    marks = "final.csv"
    [status]
    state = "{state}"
    """
ROSTER = """
    == roster.csv ==
    bib,family_name,discipline
    1,Alder,women
    2,Birch,women
    3,Cedar,women
    11,Maple,men
    12,Rowan,men
    """
WOMEN = ["1,VT,13.100", "2,VT,12.200", "3,VT,12.900"]
MEN = ["11,VT,14.100", "12,VT,14.200"]
OWN = {"women": 'marks = "women.csv"', "men": 'marks = "men.csv"', "files": ""}
SHARED = {"women": "", "men": "", "files": ""}


def written(
    folder: Path,
    women: list[str],
    men: list[str],
    how: dict[str, str] = OWN,
    roster: str = ROSTER,
    state: str = "provisional",
    more: str = "",
) -> Path:
    head = "    bib,apparatus,mark\n"
    both = {"women.csv": women, "men.csv": men} if how is OWN else {"marks.csv": women + men}
    files = "".join(
        f"    == {name} ==\n{head}" + "".join(f"    {row}\n" for row in rows)
        for name, rows in {**both, "final.csv": []}.items()
    )
    parts = (SETTINGS.format(state=state, **how), roster, files, more)
    return write_folder(folder, "\n".join(part.rstrip(" ") for part in parts))


def built(folder: Path, options: BuildOptions = RUNNING) -> Published:
    published = publish(folder, folder.parent / "out", options, lambda *_: None)
    assert verified(published.folder).intact
    return published


def shown(folder: Path) -> dict[str, PublishedCompetition]:
    """What the last publication has of each competition."""
    last = read_publications(folder.parent / "out/data/publications")[0][-1]
    return {one.id: one for one in last.competitions}


def marks(folder: Path, id: str) -> set[tuple[str, str, int | None]]:
    return {(one.bib, one.apparatus, one.mark) for one in shown(folder)[id].marks}


def notes(folder: Path, page: str) -> list[str]:
    tree = html.parse(str(folder.parent / "out" / page))
    return [one.text_content() for one in tree.xpath("//main/p[@class='held']")]


def holds(folder: Path, value: str) -> list[str]:
    """The published files with a text in them."""
    files = filter(Path.is_file, (folder.parent / "out").rglob("*"))
    return [path.name for path in files if value.encode() in path.read_bytes()]


@pytest.fixture
def cup(tmp_path) -> Path:
    folder = written(tmp_path / "meet", WOMEN, MEN)
    built(folder)
    return folder


def test_a_wrong_row_holds_back_its_competition_and_the_others_go_on(cup):
    before = shown(cup)
    written(cup, [*WOMEN, "1,FX,12.300", "2,FX,12x777"], [*MEN, "11,PH,13.300"])
    (said,) = built(cup).held
    assert said.startswith("women.csv:6 [mark] ")
    assert shown(cup)["women"] == before["women"]
    assert marks(cup, "men") == {*marks(cup, "men"), ("11", "PH", 13300)}
    sentence = "New marks of Women are held back until this is mended: women.csv:6 [mark]."
    for page in ("index.html", "competitions/women/vt.html", "competitions/women/index.html"):
        assert notes(cup, page) == [sentence]
    # What it fills says so, too; what it has nothing to do with does not.
    assert notes(cup, "competitions/final/index.html") == [sentence]
    assert notes(cup, "competitions/men/index.html") == []
    assert holds(cup, "12x777") == holds(cup, "12.300") == []


def test_what_came_last_stays_the_newest_while_its_competition_is_held_back(cup):
    new = ["3,FX,12.100", "1,FX,12.300", "2,VT,12.200"]
    for more in ([], ["2,FX,12x777"]):
        written(cup, [WOMEN[0], WOMEN[2], *new, *more], MEN)
        assert len(built(cup).held) == len(more)
        page = (cup.parent / "out/just-in.html").read_text("utf-8")
        assert page.index("12.300") < page.index("12.100")


def test_once_it_is_mended_all_marks_come(cup):
    written(cup, [*WOMEN, "1,FX,12.300", "2,FX,12x777"], MEN)
    built(cup)
    written(cup, [*WOMEN, "1,FX,12.300", "2,FX,12.777"], MEN)
    assert built(cup).held == ()
    assert {("1", "FX", 12300), ("2", "FX", 12777)} < marks(cup, "women")
    assert notes(cup, "index.html") == []


def test_build_and_check_stay_strict_and_are_not_left_out(cup):
    from resultsgen.publishing.unchanged import published_before

    written(cup, [*WOMEN, "2,FX,12x777"], [*MEN, "11,PH,13.300"])
    with pytest.raises(MeetProblems):
        built(cup, STRICT)
    built(cup)
    assert published_before(cup, cup.parent / "out", STRICT) is None
    with pytest.raises(MeetProblems):
        built(cup, STRICT)


def test_what_was_never_published_stays_without_marks(tmp_path):
    folder = written(tmp_path / "meet", [*WOMEN, "2,FX,12x777"], MEN)
    built(folder)
    assert (marks(folder, "women"), len(marks(folder, "men"))) == (set(), 2)


@pytest.mark.parametrize(
    ("row", "held"),
    [
        ("99,FX,12.000", ["women", "men"]),  # Whose it is nobody knows.
        ("2,FX,99.000", ["women"]),
        ("2,PH,12.000", ["women"]),
        ("11,FX,12.000", ["men"]),
        ("2,VT,12.300", ["women"]),  # A second mark for one routine.
    ],
)
def test_in_a_file_of_several_the_row_tells_whose_it_is(tmp_path, row, held):
    folder = written(tmp_path / "meet", WOMEN, MEN, SHARED)
    built(folder)
    before = shown(folder)
    written(folder, [*WOMEN, "1,FX,12.300", row], [*MEN, "11,PH,13.300"], SHARED)
    built(folder)
    after = shown(folder)
    assert [id for id in ("women", "men") if after[id] == before[id]] == held
    said = {one.split(" are held")[0] for one in notes(folder, "index.html")}
    assert said == {f"New marks of {id.capitalize()}" for id in held}


def test_in_a_file_of_its_own_a_row_of_nobody_holds_back_that_alone(cup):
    written(cup, [*WOMEN, "99,FX,12.000"], [*MEN, "11,PH,13.300"])
    built(cup)
    assert ("11", "PH", 13300) in marks(cup, "men")


def test_who_is_filled_from_a_competition_held_back_is_judged_by_what_was_published(tmp_path):
    settings = "".join(f"    {row}\n" for row in ("1,VT,13.000", "3,VT,12.000"))
    whole = [*WOMEN, "1,FX,13.000", "2,FX,12.000", "3,FX,12.500"]
    folder = written(tmp_path / "meet", whole, MEN)
    built(folder)
    # Corrected, 2 would be in the final in the place of 3; but another row is wrong.
    folder = written(folder, [*whole[:4], "2,FX,13.900", "3,FX,x"], [*MEN, "11,PH,13.300"])
    (folder / "final.csv").write_text("bib,apparatus,mark\n" + settings.replace("    ", ""))
    built(folder)
    assert {bib for bib, *_ in marks(folder, "final")} == {"1", "3"}
    assert ("2", "FX", 12000) in marks(folder, "women")


@pytest.mark.parametrize(
    "roster",
    [
        ROSTER.replace("1,Alder", "1,Elder"),
        ROSTER.replace("1,Alder,women", "1,Birch,women").replace("2,Birch", "2,Alder"),
        ROSTER.replace("    3,Cedar,women\n", ""),
        ROSTER.replace("3,Cedar", "2,Cedar"),
        ROSTER.replace("Rowan,men", "Rowan,mixed"),
    ],
    ids=["renamed", "exchanged", "gone", "bib twice", "another mistake"],
)
def test_where_it_is_not_sure_who_is_who_everything_is_held_back(cup, roster):
    written(cup, [*WOMEN, "1,FX,12x777"], [*MEN, "11,PH,13.300"], roster=roster)
    with pytest.raises(MeetProblems) as told:
        built(cup)
    assert "women.csv" in {one.file for one in told.value.problems}


WHOLE = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    == roster.csv ==
    bib,family_name
    1,Alder
    2,Birch
    == marks.csv ==
    bib,apparatus,mark
    1,VT,13.100
    2,VT,{mark}
    """


def test_where_no_mark_is_to_come_nothing_is_held_back_by_itself(tmp_path):
    folder = write_folder(tmp_path / "meet", WHOLE.format(mark="12.100"))
    built(folder)
    write_folder(folder, WHOLE.format(mark="12x100"))
    with pytest.raises(MeetProblems, match="1 to mend"):
        built(folder)


def test_official_results_hold_back_nothing_by_itself(cup):
    written(cup, [*WOMEN, "2,FX,12x777"], MEN, state="official")
    with pytest.raises(MeetProblems):
        built(cup)


INCIDENTS = """
    == incidents.csv ==
    bib,apparatus,what,deduction
    1,VT,Fall,1.000
    {row}
    """


@pytest.mark.parametrize("row", ["77,VT,Fall,1.000", "2,VT,Fall,much", "3,FX,Fall,1.000"])
def test_a_wrong_incident_is_left_out_and_told_and_holds_back_no_mark(cup, row):
    more = INCIDENTS.format(row=row)
    written(cup, [*WOMEN, "1,FX,12.300"], MEN, more=more)
    with pytest.raises(MeetProblems):
        built(cup, STRICT)
    published = built(cup)
    assert published.held == ()
    assert ("1", "FX", 12300) in marks(cup, "women")
    assert [one for one in published.notes if "incidents.csv:3" in one and "left out" in one]


def test_a_correction_that_waits_for_its_mark_holds_back_no_other(cup):
    more = """
    == corrections.csv ==
    competition,bib,apparatus,old,new,why
    women,1,VT,13.100,13.300,Typing error
    """
    written(cup, ["1,VT,13.300", *WOMEN[1:], "2,FX,12x777"], [*MEN, "11,PH,13.300"], more=more)
    built(cup)
    assert ("1", "VT", 13100) in marks(cup, "women")
    assert ("11", "PH", 13300) in marks(cup, "men")


def test_a_preview_holds_back_to_what_it_showed_last(tmp_path):
    folder = written(tmp_path / "meet", WOMEN, MEN)
    preview = replace(RUNNING, follows=folder / "output")
    built(folder, preview)
    written(folder, [*WOMEN, "1,FX,12.300"], MEN)
    built(folder, preview)
    written(folder, [*WOMEN, "1,FX,12.300", "2,FX,12x777"], [*MEN, "11,PH,13.300"])
    built(folder, preview)
    assert ("1", "FX", 12300) in marks(folder, "women")
    assert ("11", "PH", 13300) in marks(folder, "men")


EVENING = Path(__file__).parent / "example_evening"


def spoilt(row: str, drawn: random.Random) -> str:
    """A row of marks in which something is wrong; 7654 stands for nothing else."""
    bib, apparatus, *rest = row.rstrip("\n").split(",")
    return drawn.choice([
        ",".join(("7654", apparatus, *rest)),
        ",".join((bib, "7654", *rest)),
        ",".join((bib, apparatus, "7654.000", *rest[1:])),
        ",".join((bib, apparatus, "7654x", *rest[1:])),
    ])  # fmt: skip


@pytest.mark.parametrize("seed", range(3))
def test_held_back_and_let_go_again_nothing_wrong_was_ever_published(tmp_path, seed):
    """With its rotations: what was held back is the very same as it was published."""
    drawn, folder = random.Random(seed), tmp_path / "meet"
    shutil.copytree(EVENING, folder)
    file = folder / "marks.csv"
    head, *rows = file.read_text("utf-8").splitlines(keepends=True)
    many = drawn.randint(20, 30)
    file.write_text(head + "".join(rows[:many]), encoding="utf-8")
    built(folder)
    pages = {path: path.read_bytes() for path in (tmp_path / "out/data/evening").iterdir()}
    before = shown(folder)
    for _ in range(2):
        more = drawn.randint(1, 5)
        wrong = rows[: many + more]
        wrong[many] = spoilt(rows[many], drawn) + "\n"
        file.write_text(head + "".join(wrong), encoding="utf-8")
        assert built(folder).held
        assert shown(folder) == before
        assert {path: path.read_bytes() for path in pages} == pages
        assert holds(folder, "7654") == []
    file.write_text(head + "".join(rows[: many + more]), encoding="utf-8")
    assert not built(folder).held
    assert len(marks(folder, "evening")) == many + more
