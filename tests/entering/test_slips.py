"""A slip in one line: what it says, and what is never guessed."""

import re
from dataclasses import asdict, replace

import pytest
from hypothesis import example
from hypothesis import given as drawn
from hypothesis import strategies as st

from resultsgen.entering.replies import unusual
from resultsgen.entering.slips import Given, Known, Slip, SlipError, given, read_slip, with_said
from resultsgen.meet.marks import show_mark
from resultsgen.meet.ruleset import MarkRule

WORDS = {"fx", "vt", "vt2", "balance beam", "boden", "p bars"}
KNOWN = Known(
    lambda word: word.casefold() in WORDS,
    {"103", "7", "5", "A12", "007"},
    {"krank": "DNS"},
    lambda word: {"SB": "UB or BB"}.get(word, ""),
)
ONE_MARK = replace(KNOWN, statuses={}, single=True)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("103 fx 4.9 7.75 .1", Slip("103", "fx", numbers=(4900, 7750, 100))),
        ("103 FX 4,9 7,75 0,1", Slip("103", "FX", numbers=(4900, 7750, 100))),
        ("fx 103 4.9 7.75", Slip("103", "fx", numbers=(4900, 7750))),
        ("  103;fx;4.9;7.75;  ", Slip("103", "fx", numbers=(4900, 7750))),
        ("103 balance beam 4.9 7.75", Slip("103", "balance beam", numbers=(4900, 7750))),
        ("7 fx 4.9 7.75", Slip("7", "fx", numbers=(4900, 7750))),
        ("A12 Boden 12.550", Slip("A12", "Boden", numbers=(12550,))),
        ("A12 4.9 7.75", Slip("A12", numbers=(4900, 7750))),
        ("103 vt2 4.4 8.7", Slip("103", "vt2", numbers=(4400, 8700))),
        ("4.9 7.75", Slip(numbers=(4900, 7750))),
        ("fx 4.9 7.75", Slip(apparatus="fx", numbers=(4900, 7750))),
        ("9 7.75", Slip(numbers=(9000, 7750))),
        ("5.0 7.75", Slip(numbers=(5000, 7750))),
        ("103 4.9 7.75", Slip("103", numbers=(4900, 7750))),
        ("193 4.9 7.75", Slip("193", numbers=(4900, 7750))),
        ("103 12.550", Slip("103", numbers=(12550,))),
        ("7 4.9 7.75 .1", Slip("7", numbers=(4900, 7750, 100))),
        ("103 fx dns", Slip("103", "fx", status="DNS")),
        ("103 fx krank", Slip("103", "fx", status="DNS")),
        ("7 DNS", Slip("7", status="DNS")),
        ("DNS", Slip(status="DNS")),
        ("4.9 7.75 -.1 +.2 =12.75", Slip(numbers=(4900, 7750), penalty=100, bonus=200, mark=12750)),
        ("103 fx 4.9 7.75 @final", Slip("103", "fx", "final", (4900, 7750))),
        ("9", Slip(numbers=(9000,))),
        ("103 fx 4. 9.", Slip("103", "fx", numbers=(4000, 9000))),
    ],
)  # fmt: skip
def test_what_a_line_says(line, said):
    assert read_slip(line, KNOWN) == said


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("9.450", Slip(numbers=(9450,))),
        ("7 9.450", Slip("7", numbers=(9450,))),
        ("7 fx 9.450", Slip("7", "fx", numbers=(9450,))),
        ("9", Slip(numbers=(9000,))),
    ],
)
def test_where_the_rules_ask_one_mark_a_number_before_it_is_the_bib(line, said):
    assert read_slip(line, ONE_MARK) == said


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("7 4.9 7.75", "7 may be the bib or the D score"),
        ("5 7.75", "5 may be the bib or the D score"),
        ("fx 5 4.9 7.75", "5 may be the bib or the D score"),
        ("103 fx 4.9 7.75 x", "x is no number"),
        (
            "103 fx 4.9 7.7512",
            "7.7512 is no mark, which has at most three digits and three decimals",
        ),
        ("103 fx 4.9 7..75", "7..75 is no number"),
        ("103 fx 4.9 7.75 -.1 -.2", "a second penalty"),
        ("103 fx DNS DNF", "a second status"),
        ("103 fx 4.9 =", "= is no number"),
        ("103 SB 9.4", "SB is no apparatus here; write UB or BB"),
        ("SB 9.4", "SB is no apparatus here; write UB or BB"),
        ("a roster that is pasted " * 20_000, "longer than a slip"),
    ],
)
def test_what_can_be_read_in_two_ways_or_in_none_is_refused(line, why):
    with pytest.raises(SlipError, match=why):
        read_slip(line, KNOWN)


OPEN, BONUS, TEN = MarkRule(), MarkRule(bonus=True), MarkRule(composition="single", highest="10")


@pytest.mark.parametrize(
    ("slip", "rule", "made"),
    [
        (Slip(numbers=(4900, 7750)), OPEN, Given(12650, 4900, 7750)),
        (Slip(numbers=(4900, 7750, 100)), OPEN, Given(12550, 4900, 7750, 100)),
        (Slip(numbers=(4900, 7750), penalty=100), OPEN, Given(12550, 4900, 7750, 100)),
        (Slip(numbers=(4900, 7750), bonus=200), BONUS, Given(12850, 4900, 7750, None, 200)),
        (Slip(numbers=(4900, 7750), mark=12000), OPEN, Given(12000, 4900, 7750)),
        (Slip(d=4900, e=7750, penalty=100), OPEN, Given(12550, 4900, 7750, 100)),
        (Slip(numbers=(12550,)), OPEN, Given(12550)),
        (Slip(numbers=(9450,)), TEN, Given(9450)),
        (Slip(numbers=(9450,), penalty=300), TEN, Given(9450, penalty=300)),
        (Slip(numbers=(500, 200, 1000)), OPEN, Given(0, 500, 200, 1000)),
        (Slip(status="DNS"), OPEN, Given(status="DNS")),
    ],
)
def test_what_is_given_by_the_rules(slip, rule, made):
    assert given(slip, rule) == made


@pytest.mark.parametrize(
    ("slip", "rule", "why"),
    [
        (Slip(), OPEN, "the mark is missing"),
        (Slip(d=4900), OPEN, "the mark is missing"),
        (
            Slip(penalty=100),
            OPEN,
            "0.100 is a penalty, and the mark is missing",
        ),
        (Slip(numbers=(4900, 7750)), TEN, "2 numbers"),
        (Slip(numbers=(1, 2, 3, 4)), OPEN, "4 numbers"),
        (Slip(numbers=(9000,), mark=9000), OPEN, "1 number;"),
        (Slip(numbers=(4900, 7750, 100), penalty=100), OPEN, "given twice"),
        (Slip(numbers=(4900, 7750), d=4900), OPEN, "given twice"),
        (Slip(numbers=(4900,), status="DNS"), OPEN, "write one of them"),
    ],
)
def test_what_is_too_much_or_too_little_is_refused(slip, rule, why):
    with pytest.raises(SlipError, match=why):
        given(slip, rule)


def test_what_is_said_by_name_is_what_is_said_in_a_line():
    said = {"d": "4,9", "e": "7.75", "penalty": "-.1", "vault": "2", "status": "", "bib": "103"}
    assert with_said(Slip(), said) == Slip("103", d=4900, e=7750, penalty=100, vault=2)
    for name, text in {"d": "x", "vault": "two", "status": "ill", "e": "-1"}.items():
        with pytest.raises(SlipError, match=f"{text} is no {name}"):
            with_said(Slip(), {name: text})


thousandths = st.integers(0, 10_000)


@drawn(thousandths, thousandths, st.none() | thousandths, st.booleans(), st.booleans())
def test_whatever_is_accepted_is_just_what_was_written(d, e, penalty, comma, bare):
    """Read, given and shown, each number is the one that stood on the slip; nothing else is."""
    shown = [show_mark(part) for part in (d, e, penalty) if part is not None]
    line = " ".join(part.replace(".", ",") if comma else part for part in shown)
    made = given(read_slip(line if bare else f"103 fx {line}", KNOWN), OPEN)
    assert made == Given(max(d + e - (penalty or 0), 0), d, e, penalty)


@drawn(st.text("0123456789., fxA@=+-−7", max_size=20))
@example("@0 @1")
def test_no_line_is_read_as_more_than_it_says(line):
    """Every word of a slip that is accepted stands in it, and every number once."""
    try:
        slip = read_slip(line, KNOWN)
    except SlipError:
        return
    words = [word.rstrip(",") for word in line.split() if word.rstrip(",")]
    said = asdict(slip)
    numbers = [*slip.numbers, *(said[name] for name in ("penalty", "bonus", "mark"))]
    there = sum(one is not None for one in numbers)
    named = sum(map(bool, (slip.bib, slip.competition, slip.status)))
    assert len(words) == there + named + len(slip.apparatus.split()) or "@" in words


MADE = Given(12650, 4900, 7750)


@pytest.mark.parametrize(
    ("made", "own", "others", "asked"),
    [
        (MADE, [], [], ""),
        (MADE, [], [12000, 12500, 13000], ""),
        (Given(12650, 7750, 4900), [], [], "D 7.750 is higher than E 4.900"),
        (Given(10000, 2000, 8000), [], [12000, 12500, 13000], "far from 12.500, usual here"),
        (Given(11010, 3010, 8000), [], [12000, 12500, 13000], ""),
        (Given(10000, 2000, 8000), [], [12000, 9000, 13000], ""),
        (Given(10000, 2000, 8000), [], [12000, 12500], ""),
        (Given(10000, 2000, 8000), [12000], [10000, 10000, 10000], "12.000, usual for this"),
        (Given(10000, 2000, 8000), [10500], [12000, 12500, 13000], ""),
        (Given(status="DNS"), [12000], [12000, 12500, 13000], ""),
        (Given(12000, 4900, 7750), [], [], "4.900 [+] 7.750 is 12.650, and not 12.000"),
    ],
)  # fmt: skip
def test_what_is_unusual_of_a_mark(made, own, others, asked):
    found = list(unusual(made, OPEN, own, others, False))
    assert len(found) == bool(asked)
    if asked:
        assert re.search(asked, found[0])


def test_a_mark_without_parts_is_asked_back_where_others_have_theirs():
    assert list(unusual(Given(12650), OPEN, [], [], True)) == [
        "12.650 as the whole mark, without D and E?"
    ]
    assert not list(unusual(Given(12650), OPEN, [], [], False))
    assert not list(unusual(Given(9650), TEN, [], [], True))
