"""The yearbook of a season as a PDF: what stands where, whose names do not, and when it is made."""

from __future__ import annotations

import datetime as dt
import re
import shutil
from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

import pikepdf
import pytest
from pypdf import PdfReader
from seasons import ROUNDS, Start, example_season, made_meet, season_of_meets, season_told

from resultsgen.books import yearbooks
from resultsgen.books.metadata import is_joined
from resultsgen.books.page_ranges import page_ranges
from resultsgen.language import LANGUAGES
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.season import publish_season, worked_out
from resultsgen.publishing.season_reading import read_season
from resultsgen.season.criteria import RoundPart
from resultsgen.season.facts import SeasonMeet
from resultsgen.season.season import Season
from resultsgen.season.series import Round, table
from resultsgen.season.settings import SeriesSettings
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.views.season.yearbook import yearbook
from resultsgen.views.season.yearbook_marks import best_marks
from resultsgen.views.season.years import years


def sections_of(made: Season):
    """The sections of each yearbook by its year, and which of them stand together."""
    subject = SeasonSubject(made, LANGUAGES["en"], {})
    for year in years(made):
        sections = yearbook(year, subject)
        yield year.name, sections, [*page_ranges(sections)]


@pytest.mark.parametrize(
    ("begins", "names"), [(1, ["2032", "2031"]), (9, ["2032-33", "2031-32", "2030-31"])]
)
def test_there_is_a_book_of_each_year_that_has_a_mark_beginning_with_the_month_that_is_said(
    begins, names
):
    days = {"a": 0, "b": 30, "c": 200, "d": 300, "e": 400, "f": 640, "g": 2000}
    starts = [Start("Ash"), Start("Birch", mark=12_100)]
    meets = [made_meet(id, day, starts) for id, day in days.items() if id != "g"]
    meets.append(made_meet("g", days["g"], [Start("Ash", mark=None)]))
    made, *_ = season_of_meets(meets, year_begins=begins)
    books = list(sections_of(made))
    assert [name for name, *_ in books] == names
    listed = [one.id for _, sections, _ in books for one in sections if one.id[:5] == "meet:"]
    assert sorted(listed) == [f"meet:{id}" for id in days if id != "g"]
    for _, sections, _ in books:
        (standing,) = (one for one in sections if one.id == "records")
        assert standing.tables[0].rows[0].cells[-1].text == "12.100"


def test_what_is_told_of_a_meet_begins_on_one_page(season):
    read = read_season(season, season / "output")
    ((_, _, ranges),) = sections_of(worked_out(read)[0])
    together = [[one.id for one in held.sections] for held in ranges]
    both = [held for held in together if held[0].startswith("meet:")]
    assert both == [[f"meet:{id}", f"firsts:{id}"] for id in ROUNDS]


def quiet(*_: object) -> None:
    """Progress that nobody wants to hear of."""


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    folder = example_season(tmp_path_factory.mktemp("yearbook") / "season")
    publish_season(folder, folder / "output", quiet)
    return folder


@pytest.fixture(scope="module")
def pages(season):
    reader = PdfReader(season / "output/books/yearbook-2031.pdf")
    return [re.sub(r"\s+", " ", page.extract_text()) for page in reader.pages]


def test_no_meet_of_the_example_takes_more_than_two_pages(season):
    reader = PdfReader(season / "output/books/yearbook-2031.pdf")
    starts = {
        str(mark.title): reader.get_destination_page_number(mark)
        for mark in bookmarks(reader.outline)
    }
    named = ("Kornblume Cup 2031", "Coupe Vernale 2031", "Merrowick Lantern Meet 2031")
    first, second, third = (starts[name] for name in named)
    assert (second - first, third - second) == (1, 2)
    assert starts["Haselbrücker Turntag 2031"] - third == 2  # Of 28 lists.


def bookmarks(outline):
    """All of them, in one row."""
    for one in outline:
        yield from bookmarks(one) if isinstance(one, list) else (one,)


def test_each_part_stands_in_its_place_and_is_told_in_contents_and_bookmarks(season, pages):
    assert "Yearbook 2031 Five Regions season 2031" in pages[0]
    assert "5 meets · 129 gymnasts · 16 clubs" in pages[0]
    chapters = [
        "Contents", "Champions", "Five Regions League, women senior", "Junior Cup",
        "Cup of Clubs, women senior", "Final of the Regions, women senior", "Meets",
        "Bests of 2031", "Records", "Index of clubs", "Index of gymnasts",
    ]  # fmt: skip
    book = season / "output/books/yearbook-2031.pdf"
    assert is_joined(book.read_bytes())  # Every letter is of the theme's fonts.
    with pikepdf.open(book) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.docinfo.Title) == "Five Regions season 2031: Yearbook 2031"
        with pdf.open_outline() as outline:
            cover, *others = outline.root
            assert cover.title == "Five Regions season 2031"
            assert [one.title for one in others] == chapters
            (meets,) = (one for one in others if one.title == "Meets")
    titles = [one["title"] for one in season_told(season / "output")["meets"]]
    assert [one.title for one in meets.children] == titles
    for chapter in chapters[1:]:
        page = int(re.search(rf"{re.escape(chapter)} (\d+)", pages[1])[1])
        assert chapter in pages[page - 1]


def test_the_index_has_each_page_on_which_a_gymnast_is_told(season, pages):
    names = [
        f"{one['family_name']} {one['given_name']}"
        for one in season_told(season / "output")["careers"]
        if one["family_name"]
    ]
    on = defaultdict(set)
    last = max(n for n, page in enumerate(pages) if "Index of clubs" in page)
    index = " ".join(pages[last:])
    for number, page in enumerate(pages[1:last], start=2):
        for name in names:
            if names.count(name) == 1 and re.search(rf"{re.escape(name)}(?!\w)", page):
                on[name].add(number)
    assert len(on) > 60
    for name, there in on.items():
        listed = re.search(rf"{re.escape(name)} [^\d]*([\d, –]+)", index)[1]
        found = set()
        for part in listed.strip(" ,").split(", "):
            first, _, end = part.partition("–")
            found |= set(range(int(first), int(end or first) + 1))
        assert found >= there, name


def test_a_withheld_name_is_nowhere_and_a_book_is_made_where_something_in_it_changed(
    tmp_path, monkeypatch
):
    season = example_season(tmp_path / "season")
    settings = season / "season.toml"
    for meet in ("lantern-meet", "vernal-cup", "harvest-final"):  # She is in the two others too.
        shutil.rmtree(season / "meets" / meet)
        told = settings.read_text("utf-8").replace(f', "{meet}"', "").replace(" = 3", " = 2")
        settings.write_text(told, "utf-8")
    book, people = season / "output/books/yearbook-2031.pdf", season / "people.csv"
    rows = people.read_text("utf-8").splitlines(keepends=True)[0]
    people.write_text(rows, "utf-8")
    publish_season(season, season / "output", quiet)
    before = book.read_bytes()
    made = []
    wrapped = yearbooks.made_books
    monkeypatch.setattr(yearbooks, "made_books", lambda *args: made.append(args) or wrapped(*args))
    publish_season(season, season / "output", quiet)
    assert not made
    people.write_text(f"{rows}Nettlewain Wren,,,,,,,,,,no\n", "utf-8")
    with monkeypatch.context() as patch:
        patch.setattr(yearbooks, "yearbook_title", lambda *_: "Wren Nettlewain")
        with pytest.raises(MeetProblems) as found:
            publish_season(season, season / "output", quiet)
    assert [one.file for one in found.value.problems] == ["books/yearbook-2031.pdf"]
    assert book.read_bytes() == before
    made.clear()
    publish_season(season, season / "output", quiet)
    text = " ".join(page.extract_text() for page in PdfReader(book).pages)
    assert len(made) == 1
    assert "Vanterhoek" in text
    assert "Nettlewain" not in text
    assert "Nettlewain" not in str(PdfReader(book).named_destinations)
    people.write_text(rows, "utf-8")
    publish_season(season, season / "output", quiet)
    assert book.read_bytes() == before
    publish_season(season, season / "output")
    assert not book.exists()


def test_the_cover_says_a_withheld_bib_once():
    starts = [Start("Ash", withheld=True), Start("Elm")]
    made, _, _ = season_of_meets(made_meet(id, day, starts) for day, id in enumerate("ab"))
    (marks,) = best_marks(made.facts.meets, SeasonSubject(made, LANGUAGES["en"], {}))
    assert [one.names for one in marks.winners] == ["Bib 1 and Elm"]


def test_the_figures_at_the_foot_of_a_book_change_with_the_series_of_its_year_alone():
    def figures(late: int) -> list[str]:
        days = {"early": 0, "late": 400}
        made, *_ = season_of_meets(made_meet(id, day, [Start("Ash")]) for id, day in days.items())
        tables = []
        for id, points in (("early", 1), ("late", late)):
            settings = SeriesSettings(id=id, title=id, rounds=(id,), points=(points,))
            part = {made.careers[0].key: RoundPart(1, None, Fraction(points))}
            tables.append(table(settings, (Round(id, id, (), id, "held", part),)))
        made = replace(made, series=tuple(tables))
        return [yearbooks._checksum(year, made) for year in years(made)]

    (later, before), (other, same) = figures(2), figures(3)
    assert later != other
    assert before == same


def test_no_time_is_printed_that_is_before_the_last_day_of_a_meet():
    def printed(day: int) -> dt.datetime | None:
        made, *_ = season_of_meets(
            meet._replace(head=told._replace(meet=told.meet._replace(published=at)))
            for meet, at in ((made_meet("a", 3, [Start("Ash")]), told_at),
                             (made_meet("b", day, [Start("Ash")]), None))
            for told in [meet.head]
        )  # fmt: skip
        (year,) = years(made)
        return yearbooks._printed(year, made).settings.published

    told_at = dt.datetime(2031, 1, 4, 18, tzinfo=dt.UTC)
    assert printed(day=2) == told_at
    assert printed(day=4) is None


def first_of_all(meet: SeasonMeet) -> SeasonMeet:
    """The same, where whoever is in its list is first."""
    (held,) = meet.head.competitions
    (ranking,) = held.by_apparatus
    lines = tuple(line._replace(place=1) for line in ranking.lines)
    held = held._replace(by_apparatus=(ranking._replace(lines=lines),))
    return meet._replace(head=meet.head._replace(competitions=(held,)))


def test_a_record_that_equal_marks_broke_on_one_day_was_broken_once_at_each_meet():
    days = {"before": (0, 11_000), "here": (9, 12_000), "there": (9, 12_000)}
    made, *_ = season_of_meets(
        first_of_all(made_meet(id, day, [Start("Ash", mark=mark)]))
        for id, (day, mark) in days.items()
    )
    ((_, sections, _),) = sections_of(made)
    once = ("1 record was broken here.",)
    told = {one.id: one.content.sentences for one in sections if one.id[:5] == "meet:"}
    assert told == {"meet:before": (), "meet:here": once, "meet:there": once}


def test_a_record_is_told_of_a_meet_in_which_nobody_is_placed():
    made, *_ = season_of_meets(
        made_meet(f"m{day}", day, [Start("Ash", mark=12_000 + day)]) for day in range(2)
    )
    ((_, sections, _),) = sections_of(made)
    (later,) = (one for one in sections if one.id == "meet:m1")
    assert later.content.sentences == ("Nobody is placed.", "1 record was broken here.")


@pytest.mark.parametrize(("many", "told"), [(28, 3), (32, 2), (44, 1)])
def test_of_each_of_many_lists_as_many_are_told_as_two_pages_have_room_for(many, told):
    meet = made_meet("m", 0, [Start(f"Ash {mark}", mark=mark) for mark in (12_200, 12_100, 12_000)])
    (held,) = meet.head.competitions
    (ranking,) = held.by_apparatus
    lines = tuple(line._replace(place=place) for place, line in enumerate(ranking.lines, start=1))
    held = held._replace(by_apparatus=(ranking._replace(lines=lines),))
    all_of_them = tuple(held._replace(id=f"w{number}") for number in range(many))
    meet = meet._replace(head=meet.head._replace(competitions=all_of_them))
    ((_, sections, ranges),) = sections_of(season_of_meets([meet])[0])
    (section,) = (one for one in sections if one.id == "meet:m")
    assert [len(table.rows) for table in section.tables] == [told] * many
    assert [one.pages for one in ranges if section in one.sections] == [2]
