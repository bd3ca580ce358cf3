"""What a club hands out: which sheets there are, where they stand, and what they show."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from folders import judged, write_folder
from lxml import html
from running_drawn import drawn

from resultsgen.books.volumes import BOOKS, volumes
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.reading import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.medals import MedalLine, medal_counts
from resultsgen.views.handouts.medals import medal_view
from resultsgen.views.words.wording import Wording, wording

WITHOUT_BOOKS = BuildOptions(books=False)


def test_nothing_is_made_to_be_handed_out_unless_the_meet_names_it(meet_folder):
    """
    == meet.toml ==
    title = "Lantern Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["BB"]
    == roster.csv ==
    bib,family_name,given_name,club
    1,Adams,Ada,North
    == marks.csv ==
    bib,apparatus,mark
    1,BB,12.000
    """
    results = judged(meet_folder)
    made = volumes(results, wording(results.meet.settings))
    usual = volumes(results, wording(results.meet.settings), [b for b in BOOKS if not b.handouts])
    assert made == usual
    assert "To hand out" not in {volume.group for volume in made}


# The medal count


COUNTED = """
    == meet.toml ==
    title = "Lantern Cup"
    handouts = ["medals"]
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    rules = "club-ten"
    apparatus = ["BB", "FX"]
    ranks = ["apparatus", "team"]
    team = { format = "3-3-2", by = "team" }
    [[competition]]
    id = "first"
    title = "Qualification"
    discipline = "women"
    rules = "club-ten"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    phase = "qualification"
    == roster.csv ==
    bib,family_name,given_name,club,federation,team,guest,publish
    1,Adams,Ada,North,AA,Lights,,
    2,Berg,Bea,South,BB,Lights,,
    3,Cole,Cyd,South,BB,Lamps,,no
    4,Dorn,Dee,,BB,Lamps,,
    5,Eve,Ella,North,AA,,yes,
    == marks.csv ==
    competition,bib,apparatus,mark
    women,1,BB,9.500
    women,2,BB,9.500
    women,3,BB,9.000
    women,4,BB,8.000
    women,5,BB,9.900
    women,1,FX,7.000
    women,2,FX,7.500
    women,3,FX,8.000
    women,4,FX,9.000
    women,5,FX,9.900
    first,1,VT,9.000
    """


def test_medals_are_counted_as_they_are_given(tmp_path):
    """Beam: 1 and 2 share gold, no silver, 3 bronze. Floor: 4, 3, 2. Lamps before Lights."""
    counts = {count.by: count for count in medal_counts(judged(write_folder(tmp_path, COUNTED)))}
    clubs, federations = counts["club"], counts["federation"]
    assert clubs.lines == (MedalLine(1, "South", (1, 1, 2)), MedalLine(2, "North", (1, 0, 0)))
    assert clubs.of_none == (2, 1, 0)
    assert federations.lines == (MedalLine(1, "BB", (3, 1, 2)), MedalLine(2, "AA", (1, 0, 0)))
    assert federations.of_none == (0, 1, 0)


@pytest.mark.parametrize("seed", range(12))
def test_there_are_as_many_medals_as_placed_first_to_third(seed, tmp_path):
    dice = random.Random(seed)
    meet = drawn(dice, tmp_path / "drawn")
    for number in {len(meet.rows), len(meet.rows) // 2}:
        read, _ = read_meet(meet.write(tmp_path / str(number), number))
        placed, _ = results(read)
        lists = [one for judged in placed.competitions if judged.competition.phase == "final"
                 for one in judged.rankings if not one.to_come]  # fmt: skip
        each = Counter(line.place for one in lists for line in one.lines)
        for count in medal_counts(placed):
            gold, silver, bronze = zip(
                *(line.medals for line in count.lines), count.of_none, strict=True
            )
            assert (sum(gold), sum(silver), sum(bronze)) == (each[1], each[2], each[3])
            assert all(line.body for line in count.lines)
            ordered = [(line.place, line.medals) for line in count.lines]
            better = [sum(medals > own for _, medals in ordered) for _, own in ordered]
            assert [place for place, _ in ordered] == [1 + ahead for ahead in better]
            assert ordered == sorted(ordered)


def test_the_medals_stand_on_a_page_in_the_book_and_in_a_table(tmp_path):
    folder = write_folder(tmp_path / "meet", COUNTED)
    publish(folder, tmp_path / "out", WITHOUT_BOOKS, lambda *_: None)
    table = (tmp_path / "out" / "data" / "medals.csv").read_text("utf-8").splitlines()
    wanted = ["club,1,South,1,1,2,4", "club,2,North,1,0,0,1", "club,,,2,1,0,3"]
    assert table[1:4] == wanted
    page = html.parse(tmp_path / "out" / "medals.html").getroot()
    shown = [[cell.text_content() for cell in row] for row in page.xpath("//tbody/tr")]
    assert shown[:2] == [["1", "South", "1", "1", "2", "4"], ["2", "North", "1", "0", "0", "1"]]
    assert "2 gold, 1 silver, 0 bronze" in page.text_content()
    home = html.parse(tmp_path / "out" / "index.html").getroot()
    assert home.xpath("//nav//a[@href='medals.html']")
    sections = {one.id: one for one in volumes(judged(folder), Wording())[0].sections}
    texts = [[cell.text for cell in row.cells] for row in sections["medals"].tables[0].rows]
    assert texts == shown[:2]


def test_no_medal_is_given_before_a_list_is_finished(tmp_path):
    text = COUNTED.replace("women,4,BB,8.000", "women,4,BB,").replace("women,4,FX,9.000\n", "")
    found = judged(write_folder(tmp_path, text))
    assert [(count.lines, count.of_none) for count in medal_counts(found)] == [((), (0, 0, 0))] * 2
    view = medal_view(found, Wording())
    assert view.rule[-1] == "3 lists are not finished, and not counted yet."
    assert [note.text for note in view.tables[0].notes] == ["No medal has been won yet."]
