"""Why is she fifth? Each sentence that answers it, in whole meets, is true and enough.

What each sentence must say stands beside marks that a person can add up."""

from __future__ import annotations

import pytest
from folders import write_folder

from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.views.lists.listing import Listing
from resultsgen.views.lists.rules import mark_sentences, team_sentences
from resultsgen.views.words.reasons import tie_sentence
from resultsgen.views.words.wording import Wording

SETTINGS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["all-around", "team"]
rules = "{rules}"
team = {{ format = "3-3-2", by = "club" }}
missing_scores = "{missing}"
"""
YOUNGEST = """
== ours.toml ==
title = "Ours"
[marks]
composition = "single"
[ties.all-around]
criteria = ["younger"]
"""
LISTS = """
== roster.csv ==
bib,family_name,club,birth_year
1,Adams,North,2015
2,Bell,North,2016
3,Cole,South,{year}
== marks.csv ==
bib,UB,BB
1,9.0,8.0
2,8.0,9.0
3,8.5,8.5
"""


@pytest.fixture
def cup(tmp_path):
    """Judge the cup by these rules; its one competition, and what was told."""

    def found(rules, year="", missing="share", more=""):
        text = SETTINGS.format(rules=rules, missing=missing) + more + LISTS.format(year=year)
        meet, problems = read_meet(write_folder(tmp_path, text))
        assert not problems
        placed, told = results(meet)
        return placed.competition("cup"), told

    return found


def reason(one):
    """The sentence of the first of the all-around."""
    listing = Listing(one.all_around, one, Wording())
    return listing.tie_sentences[one.all_around.lines[0].gymnast.key]


def test_where_the_rules_share_places_that_is_the_reason(cup):
    one, told = cup("club-ten")
    assert not told
    assert reason(one) == (
        "17.000 each, Adams, Bell and Cole share place 1, as equal totals do by the rules."
    )


def test_the_younger_is_named_and_no_year_told(cup):
    one, told = cup("ours.toml", "2014", more=YOUNGEST)
    assert not told
    assert reason(one) == "17.000 each, placed by the younger gymnast: Bell, Adams, Cole."


def test_what_lacks_is_the_year_of_birth(cup):
    one, _ = cup("ours.toml", more=YOUNGEST)
    assert reason(one) == (
        "17.000 each, Adams, Bell and Cole share place 1: the year of birth that would settle it "
        "was not given."
    )


def test_the_year_of_birth_is_asked_for(cup):
    _, (problem,) = cup("ours.toml", missing="stop", more=YOUNGEST)
    assert problem.code == "tie-not-settled"
    assert "the year of birth, which is not given for bib 3" in problem.message


def test_the_rules_say_which_club_is_no_team(cup):
    one, _ = cup("club-ten")
    assert [line.name for line in one.team.lines] == ["North"]
    assert list(team_sentences(one, Wording())) == [
        "3 in a team, 3 of them on each apparatus, the best 2 marks count.",
        "A club with fewer gymnasts than marks count is no team: its gymnasts are individuals.",
    ]


CARRIED = """
== meet.toml ==
title = "Test"
[rules.ten-mark-carried]
ties.apparatus.criteria = [{criteria}]
{days}
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["UB"]
ranks = ["apparatus"]
rules = "ten-mark-carried"
carried_from = ["first", "second"]
== roster.csv ==
bib,family_name
1,Adams
== marks.csv ==
bib,UB,competition
1,9.0,first
1,9.0,second
1,9.0,final
"""
DAY = """
[[competition]]
id = "{day}"
title = "{day}"
discipline = "women"
phase = "qualification"
apparatus = ["UB"]
ranks = ["apparatus"]
rules = "ten-mark-carried"
"""


@pytest.mark.parametrize(("criteria", "compared"), [("", False), ('"all-around total"', True)])
def test_how_carried_totals_are_compared_is_told_where_they_are(tmp_path, criteria, compared):
    days = "".join(DAY.format(day=day) for day in ("first", "second"))
    text = CARRIED.format(criteria=criteria, days=days)
    meet, problems = read_meet(write_folder(tmp_path, text))
    assert not problems
    final = results(meet)[0].competition("final")
    told = "Equal totals are compared by the marks of the final alone."
    assert (told in mark_sentences(final, Wording())) == compared


UNFINISHED = """
== meet.toml ==
title = "Test"
[status]
state = "official"
signed = [{ name = "Ro", role = "jury" }]
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["UB"]
ranks = ["apparatus"]
== roster.csv ==
bib,family_name
1,Adams
2,Bell
3,Cole
4,Dean
5,Eder
6,Fox
7,Gray
8,Hale
== marks.csv ==
bib,UB
1,9.0
2,DNS
"""


def test_whose_marks_are_to_come_is_told_and_how_to_say_that_none_are(tmp_path):
    meet, _ = read_meet(write_folder(tmp_path, UNFINISHED))
    (problem,) = results(meet)[1]
    assert problem.message == (
        "the meet is called official, but marks are still to come in 'cup' (UB list: bib "
        "3, 4, 5, 6, 7 and 1 more): enter them or DNS, say on the roster (column 'entered') who "
        "does not do every apparatus, or set the state to provisional"
    )


FINAL = """
== meet.toml ==
title = "Test"
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
phase = "qualification"
apparatus = ["UB"]
ranks = ["apparatus"]
rules = "club-ten"
cuts = [{ name = "Final", of = "apparatus", to = "f", places = 2 }]
[[competition]]
id = "f"
title = "Final"
discipline = "women"
apparatus = ["UB"]
ranks = ["apparatus"]
rules = "club-ten"
entered_from = "q"
withdrawn = [{ bib = "1" }]
== roster.csv ==
bib,family_name
1,Adams
2,Bell
3,Cole
4,Dean
== marks.csv ==
bib,UB,competition
1,9.3,q
2,9.2,q
3,9.1,q
4,9.0,q
1,9.0,f
4,9.0,f
"""


def test_a_mark_of_who_withdrew_and_one_of_who_never_got_there_are_told_apart(tmp_path):
    meet, _ = read_meet(write_folder(tmp_path, FINAL))
    withdrew, beyond = (one.message for one in results(meet)[1])
    assert withdrew == (
        "bib 1 has a mark on UB in 'f' but withdrew ([[competition.withdrawn]] in meet.toml); take "
        "one of them out"
    )
    assert beyond.startswith("bib 4 has a mark on UB in 'f' but does not start there;")


BY_TOTALS = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["VT", "UB", "BB"]
rules = "own.toml"
== own.toml ==
title = "House rules"
[marks]
composition = "single"
highest = 10.0
[ties.apparatus]
criteria = ["all-around total"]
[totals]
incomplete = "{incomplete}"
== roster.csv ==
bib,family_name
1,Adams
2,Bell
3,Cole
== marks.csv ==
bib,apparatus,mark
1,VT,9.000
2,VT,9.000
3,VT,8.000
1,UB,8.500
2,UB,8.000
3,UB,8.000
1,BB,7.000
3,BB,8.000
"""


@pytest.mark.parametrize("incomplete", ["no place", "placed by what there is"])
def test_a_tie_by_all_around_totals_is_open_until_these_are_whole(tmp_path, incomplete):
    folder = write_folder(tmp_path, BY_TOTALS.replace("{incomplete}", incomplete))
    for last, places in (("", [1, 1, 3]), ("2,BB,9.000\n", [2, 1, 3])):
        with (folder / "marks.csv").open("a", encoding="utf-8") as marks:
            marks.write(last)
        meet, wrong = read_meet(folder)
        judged, unsettled = results(meet)
        assert not wrong + unsettled
        vault = judged.competition("cup").by_apparatus["VT"]
        assert [vault.by_key[key].place for key in range(3)] == places
        (reason,) = (tie_sentence(tie, str, Wording().language) for tie in vault.ties)
        waits = "share place 1 until all marks are in: then the all-around total decides"
        assert (waits in reason) == (not last)
