"""Who is who in a season, and what holds of careers, bests and records whatever the meets are."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import Start, made_meet, season_of_meets

from resultsgen.language import ENGLISH
from resultsgen.season import who
from resultsgen.season.bests import bests_lists, records
from resultsgen.season.season import RowsWritten, question
from resultsgen.season.settling import PeopleRow, Selector
from resultsgen.views.season.gymnasts import career_view
from resultsgen.views.season.subject import SeasonSubject


def row(one, relation, other, called="", *, publish=True, line=2):
    """A row of people.csv: whom it means as "name", or as name and what else tells."""
    ones, others = (Selector(*each) if isinstance(each, tuple) else Selector(each)
                    for each in (one, other))  # fmt: skip
    return PeopleRow(line, ones, relation, others, called, publish)


def parted(*meets, rows=()):
    """How many careers there are of each name, what is asked, and what is wrong."""
    starts = [made_meet(f"m{day}", day, held) for day, held in enumerate(meets)]
    made, problems, known = season_of_meets(starts, rows)
    many = sorted((career.family, len(career.meets)) for career in made.careers)
    return many, [doubt.why for doubt in known.doubts], [one.code for one in problems]


YEARS = "two years of birth"
CLUBS = "one name in two clubs, and no number or published year of birth that ties them"
SPELT = "two spellings of a name"
NUMBERS = "one name with two numbers"
NO_NAME = "have no name in common"


@pytest.mark.parametrize(
    ("one", "other", "same", "asked"),
    [
        (Start("Ash"), Start("Ash"), True, []),
        (Start("Ash", "A", 2012), Start("Ash", "B", 2012), True, []),
        (Start("Ash", "A", 2012), Start("Ash", "A", 2013), False, [YEARS]),
        (Start("Ash", "A", 2012), Start("Ash", "B", 2013), False, []),
        (Start("Ash", "A"), Start("Ash", "B"), False, [CLUBS]),
        (Start("Ash Ada", "A", None, "7"), Start("Birch Ada", "B", 2012, "7"), True, []),
        (Start("Åse Øye", "A", None, "7"), Start("Aase Oeye", "B", None, "7"), True, []),
        (Start("Ash", "A", None, "7"), Start("Birch", "B", 2012, "7"), True, [NO_NAME]),
        (Start("Ash", "A", 2012, "7"), Start("Ash", "A", 2012, "8"), False, []),
        (Start("Ash", "A", 2012, "7"), Start("Ash", "A", 2012, "007"), False, [NUMBERS]),
        (Start("Åse Øye", "A", 2012), Start("Aase Oeye", "A", 2012), False, [SPELT]),
        (Start("Ash", "A", 2012), Start("Ash", "A", None), True, []),
        (Start("", "A", withheld=True), Start("", "A", withheld=True), False, []),
    ],
)
def test_two_rows_are_one_gymnast_or_are_asked_about(one, other, same, asked):
    many, doubts, _ = parted([one], [other])
    assert len(many) == (1 if same else 2)
    assert doubts == asked


def test_two_of_one_number_or_year_at_one_meet_are_asked_about_until_a_row_tells():
    there = Start("Ash Ada", "A", None, "7"), Start("Ash Bea", "B", None, "7")
    assert parted(there) == ([("Ash Bea", 1)], ["both are on the roster of m0"], [])
    year = Start("Ash Ada", "A", 2012), Start("Ash Ada", "B", 2012)
    assert parted(year)[1] == ["both are on the roster of m0"]
    two = row("Ash Ada", "not the same", "Ash Bea")
    assert parted(there, rows=[two]) == ([("Ash Ada", 1), ("Ash Bea", 1)], [], [])
    one = row("Ash Ada", "same", "Ash Bea")
    assert parted(there[:1], there[1:], rows=[one])[1] == []


def test_a_name_that_is_now_somebody_elses_makes_nobody_the_same():
    rows = [row("Birch Bea", "", "Birch Bea", "Ash, Bea")]
    meets = [Start("Birch Bea", "A")], [Start("Ash Bea", "A")]
    assert parted(*meets, rows=rows)[1] == ["now_called alone makes nobody the same"]
    assert parted(*meets, rows=[*rows, row("Birch Bea", "same", "Ash Bea")])[1] == []
    assert parted(*meets)[1] == []
    # Of one name in two clubs, called otherwise only in how it is written, it is told as ever.
    clubs = [Start("BIRCH BEA", "A")], [Start("BIRCH BEA", "B")]
    assert parted(*clubs, rows=[row("Birch Bea", "", "Birch Bea", "Birch, Bea")])[1] == [CLUBS]
    numbered = Start("Ash", "A", 2012, "7"), Start("", "B", 2013, "7", withheld=True)
    assert parted(numbered)[1] == [YEARS]


def test_two_names_that_can_be_told_alike_in_several_ways_are_compared_once(monkeypatch):
    compared = []
    alike = who._two_spellings
    monkeypatch.setattr(who, "_two_spellings", lambda *two: compared.append(two) or alike(*two))
    assert parted([Start(f"Ash Ada {number}") for number in range(9)])[1] == [SPELT] * 36
    assert len(compared) == len({*compared}) == 36


@pytest.mark.parametrize(
    ("crowd", "many"),
    [
        ([Start("Ash", f"Club {number}") for number in range(400)], 400),
        ([Start(f"Ash {number}", person="7") for number in range(400)], 1),
        ([Start(f"A{number % 20}sh Öe{number}", person="7") for number in range(400)], 1),
    ],
)
def test_a_crowd_of_one_name_or_number_is_not_compared_each_with_each(monkeypatch, crowd, many):
    calls = []
    for name in ("_differ", "_plainly_two", "_two_spellings", "_no_name_in_common"):
        asked = getattr(who, name)
        monkeypatch.setattr(who, name, lambda *two, asked=asked: calls.append(two) or asked(*two))
    made, _, known = season_of_meets([made_meet("m", 0, crowd)])
    assert len(made.careers) == many
    assert len(known.doubts) < 400
    assert len(calls) < 4000


@pytest.mark.parametrize(
    ("one", "other", "careers"),
    [
        (Start("Ash"), Start("Ash", ""), [1, 2]),
        (Start("Ash", person="7"), Start("Ash", "", person="7"), [1, 2]),
        (Start("Ash"), Start("Ash", person="7"), [2, 3]),
    ],
)
def test_the_row_of_a_question_answers_it_also_where_of_one_no_more_is_known(one, other, careers):
    third = [Start("Ash", person="8")] if not one.person and other.person else []
    meets = [made_meet("m", 0, [one, other, *third])]
    asked = season_of_meets(meets)[2].doubts[0]
    sides = [Selector(each.name, each.club, each.birth_year, each.lasting) for each in asked[:2]]
    for relation, many in zip(("same", "not the same"), careers, strict=True):
        answer = PeopleRow(2, sides[0], relation, sides[1], "", True)
        made, _, known = season_of_meets(meets, [answer])
        assert len(made.careers) == many
        assert asked[:2] not in [doubt[:2] for doubt in known.doubts]


def test_of_ties_that_cannot_all_hold_the_weaker_is_undone_and_asked():
    # The club ties the row without a year to both, and the years of birth tell two.
    many, doubts, _ = parted(
        [Start("Ash", "A", 2012)], [Start("Ash", "A")], [Start("Ash", "A", 2013)]
    )
    assert many == [("Ash", 1)] * 3
    assert len(doubts) == 3
    # A number goes before: the row without a year is hers.
    many, doubts, _ = parted(
        [Start("Ash", "A", 2012, "7")], [Start("Ash", "A", None, "7")], [Start("Ash", "A", 2013)]
    )
    assert many == [("Ash", 1), ("Ash", 2)]
    assert doubts == ["it fits several gymnasts"]


def test_people_csv_settles_and_a_contradiction_is_told():
    meets = [Start("Ash", "A")], [Start("Ash", "B")], [Start("Birch", "B")]
    same = row(("Ash", "A"), "same", ("Ash", "B"))
    assert parted(*meets, rows=[same])[:2] == ([("Ash", 2), ("Birch", 1)], [])
    other = row(("Ash", "A"), "not the same", ("Ash", "B"))
    assert parted(*meets, rows=[other])[:2] == ([("Ash", 1)] * 2 + [("Birch", 1)], [])
    # One and two, two and three, and not one and three.
    chain = [same, row(("Ash", "B"), "same", "Birch"), row(("Ash", "A"), "not the same", "Birch")]
    assert parted(*meets, rows=chain)[2] == ["people-contradict"]
    assert parted(*meets, rows=[same, other])[2] == ["people-contradict"]
    assert parted(*meets, rows=[row("Ash", "same", "Ash")])[2] == ["same-person-twice"]
    assert parted(*meets, rows=[row("Bich", "same", "Ash")])[2] == ["unknown-person"]


def told(rows, *meets):
    """What is wrong with these rows: the line and code of each, and the messages."""
    starts = [made_meet(f"m{day}", day, held) for day, held in enumerate(meets)]
    problems = sorted(season_of_meets(starts, rows)[1])
    return [(one.row, one.code) for one in problems], [one.message for one in problems]


def test_what_people_csv_says_against_a_list_or_itself_is_told_with_its_rows():
    ash, birch = Start("Ash", "A"), Start("Birch", "B")
    chain = [
        row("Ash", "same", "Birch", line=2), row("Birch", "same", "Elm", line=3),
        row("Ash", "not the same", "Elm", line=4),
    ]  # fmt: skip
    where, (said,) = told(chain, [ash], [birch], [Start("Elm", "B")])
    assert where == [(4, "people-contradict")]
    assert "are one by lines 2 and 3, and not by this" in said
    # Both started in one list, so nobody can be both; elsewhere one may be called otherwise.
    where, (said,) = told(chain[:1], [ash], [ash, birch])
    assert where == [(2, "twice-in-a-list")]
    assert "Ash (A) and Birch (B) are the same by line 2, and both in one list: m1, W, BB" in said
    assert not told(chain[:1], [ash], [birch])[0]


def test_two_names_that_one_gymnast_is_now_called_by_are_refused():
    meets = [Start("Ash", "A")], [Start("Birch", "B")]
    rows = [row("Ash", "same", "Birch", "X, Y"), row("Birch", "", "Birch", "Z, W", line=3)]
    where, said = told(rows, *meets)
    assert where == [(2, "called-twice"), (3, "called-twice")]
    assert "Z, W (line 3)" in said[0]
    thrice = told([*rows, row("Ash", "", "Ash", "X, Y", line=4)], *meets)[1]
    assert "is now called Z, W (line 3), too" in thrice[0]
    assert not told([rows[0], row("Birch", "", "Birch", "X, Y", line=3)], *meets)[0]
    assert not told([rows[0]._replace(relation=""), rows[1]], *meets)[0]


def test_a_question_ends_with_a_row_in_the_columns_that_people_csv_has():
    meets = [made_meet(f"m{day}", day, [Start("Ash", club)]) for day, club in enumerate("AB")]
    (doubt,) = season_of_meets(meets)[2].doubts
    printed = {one: "Ash" for one in doubt[:2]}
    for columns, ending, *separator in (
        (("is", "", "other_name", "name", "other_club", "club"), "same,,Ash,Ash,B,A"),
        (("name", "publish", "is"), "Ash,,same,A,Ash,B (once its first line ends with "
         ",club,other_name,other_club)"),
        (("name", "is", "other_club", "club"), "Ash;same;B;A;Ash (once its first line ends with "
         ";other_name)", ";"),
    ):  # fmt: skip
        written = RowsWritten(columns, *separator or ",")
        assert question(doubt, printed, written).endswith(f": {ending}")
    quoted = {one: 'Ash; "Di"' for one in doubt[:2]}
    written = RowsWritten(("name", "club", "is", "other_name", "other_club"), ";")
    assert '"Ash; ""Di""";A;same;"Ash; ""Di""";B' in question(doubt, quoted, written)


def test_a_row_that_withholds_and_fits_nobody_stops_where_it_may_mean_somebody():
    starts = [Start("Gorse Mona"), Start("Åström Ida")]

    def told(name, relation="", other=""):
        rows = [row(name, relation, other or name, publish=False)]
        made, problems, _ = season_of_meets([made_meet("a", 0, starts)], rows)
        return made, [(type(one).__name__, one.message) for one in problems]

    for name in ("Mona Gorse", "Mona Gorze", "Gorse, Mona Lea", "Gorse-Mona"):
        ((kind, message),) = told(name)[1]
        assert kind == "Problem"
        assert "did you mean Gorse Mona?" in message
    ((kind, message),) = told("Ida Aastroem")[1]
    assert (kind, "Åström Ida?" in message) == ("Problem", True)
    starts.append(Start("Birch", person="7"))
    assert "did you mean Birch?" in told(("Ash Ida", "", None, "7"), other="Ash Ida")[1][0][1]
    # Who is in no meet may stand there, also beside one of a like name.
    assert told("Zofija Quillon")[1][0][0] == "Note"
    assert told("Gorse Mina", "not the same", "Gorse Mona")[1][0][0] == "Note"
    assert told("Gorse Mina", "same", "Gorse Mona")[1][0][0] == "Problem"


def test_now_called_is_the_name_and_the_others_are_told():
    meets = [made_meet("a", 0, [Start("Ash")]), made_meet("b", 1, [Start("Birch")])]
    made, _, _ = season_of_meets(meets, [row("Ash", "same", "Birch", "Cedar, Ada")])
    (career,) = made.careers
    assert (career.family, career.given) == ("Cedar", "Ada")
    assert career.earlier == (("Birch", ""), ("Ash", ""))


def test_nobody_is_called_now_as_somebody_who_is_withheld():
    meets = [made_meet("a", 0, [Start("Ash"), Start("Birch Ada")])]
    rows = [row("Ash", "", "Ash", "Birch, Ada"), row("Birch Ada", "", "", publish=False)]
    assert [one.code for one in season_of_meets(meets, rows)[1]] == ["withheld-or-not"]
    rows.append(row("Ash", "not the same", "Birch Ada"))
    assert not season_of_meets(meets, rows)[1]


def test_who_is_withheld_has_no_name_even_where_the_roster_has_no_bib():
    meets = [made_meet("a", 0, [Start("Ash")]), made_meet("b", 1, [Start("Ash")])]
    made, _, _ = season_of_meets(meets, [row("Ash", "", "Ash", publish=False)])
    assert [(one.withheld, one.family, one.given) for one in made.careers] == [(True, "", "")] * 2
    assert "Ash" not in repr([career._replace(clubs=()) for career in made.careers])


def best_of(meets, **also):
    made, _, _ = season_of_meets(meets, **also)
    return {
        (one.of.division, one.of.rules): [(line.career.family, line.best.mark, line.place)
                                          for line in one.lines]
        for one in bests_lists(made)
    }  # fmt: skip


def test_who_is_withheld_counts_once_in_bests_and_pushes_nobody_down():
    meets = [
        made_meet("a", 0, [Start("Ash", mark=13_000), Start("Birch", mark=12_000)]),
        made_meet("b", 1, [Start("Birch", mark=11_000), Start("Ash", mark=12_500)]),
    ]
    made, _, _ = season_of_meets(meets, [row("Ash", "", "Ash", publish=False)])
    (beam,) = bests_lists(made)
    assert [(line.career.bib, line.best.mark, line.place) for line in beam.lines] == [
        ("1", 13_000, 1), ("", 12_000, 2),
    ]  # fmt: skip
    assert made.many(made.whose) == 2


def test_every_mark_of_who_has_two_rows_in_a_competition_is_among_the_starts():
    starts = [Start("Ash", mark=mark, division=of) for mark, of in ((12_000, "a"), (11_000, "b"))]
    made, _, _ = season_of_meets([made_meet("m", 0, starts)])
    (career,) = made.careers
    told = career_view(career, SeasonSubject(made, ENGLISH, {})).texts[-1].table
    assert sorted(row.cells[-1].text for row in told.rows) == ["11.000", "12.000"]


def test_only_rule_sets_that_compare_stand_in_one_list_and_divisions_have_their_own():
    meets = [
        made_meet(
            "a", 0, [Start("Ash", division="u12"), Start("Birch", division="u14", guest=True)]
        ),
        made_meet("b", 1, [Start("Birch", mark=12_500, division="u14")], "club-ten"),
    ]
    ash, birch = ("Ash", 12_000, 1), ("Birch", 12_500, 1)
    assert best_of(meets) == {("", "club-ten"): [birch], ("", "international"): [ash]}
    both = "club-ten + international"
    assert best_of(meets, compare=(("international", "club-ten"),)) == {
        ("", both): [birch, ("Ash", 12_000, 2)], ("u12", both): [ash], ("u14", both): [birch],
    }  # fmt: skip


STARTS = st.builds(
    Start, st.sampled_from(["Ash", "Birch", "Elm"]), st.sampled_from(["A", "B"]),
    st.sampled_from([None, 2012, 2013]), st.sampled_from(["", "", "7", "8"]),
    st.sampled_from([None, 11_000, 11_001, 12_000, 13_000]), st.sampled_from(["", "u12"]),
)  # fmt: skip
MEETS = st.lists(
    st.tuples(st.integers(0, 3), st.lists(STARTS, min_size=1, max_size=4)), min_size=1, max_size=4
).map(lambda held: [made_meet(f"m{at}", *one) for at, one in enumerate(held)])


few = settings(max_examples=40)


def starts_of(made):
    return {
        (one.meet, one.entry, one.mark)
        for career in made.careers
        for one in made.facts.achieved(career.rows)
    }


@few
@given(MEETS, st.randoms())
def test_the_order_of_the_meets_and_a_meet_more_or_less(meets, chance):
    made, _, known = season_of_meets(meets)
    shuffled = chance.sample(meets, len(meets))
    other, _, same_known = season_of_meets(shuffled)
    assert (made.careers, known.doubts) == (other.careers, same_known.doubts)
    assert (bests_lists(made), records(made)) == (bests_lists(other), records(other))
    fewer, _, _ = season_of_meets(meets[1:])
    assert starts_of(fewer) == {one for one in starts_of(made) if one[0] != meets[0].id}
    rows = {row for career in made.careers for row in career.rows}
    assert len(rows) == sum(len(career.rows) for career in made.careers)
    assert rows == {(meet.id, one.entry) for meet in meets for one in meet.results.gymnasts}


@few
@given(MEETS)
def test_records_rise_and_the_last_is_the_first_of_the_bests(meets):
    made, _, _ = season_of_meets(meets)
    last = {}
    for held in records(made):
        before, day = last.get(held.of, (None, None))
        mark = held.marks[0].mark
        assert held.before == before
        assert before is None or (mark > before and held.marks[0].day > day)
        assert {(one.mark, one.day) for one in held.marks} == {(mark, held.marks[0].day)}
        last[held.of] = mark, held.marks[0].day
    best = {
        held.of: (held.lines[0].best.mark, held.lines[0].best.day) for held in bests_lists(made)
    }
    assert best == last


@few
@given(MEETS)
def test_two_numbers_or_years_are_never_one_gymnast(meets):
    _, _, known = season_of_meets(meets)
    for gymnast in known.gymnasts:
        assert len({one.lasting for one in gymnast.identities} - {""}) <= 1
        assert len({one.birth_year for one in gymnast.identities} - {None}) <= 1
