"""What a club hands out: which sheets there are, where they stand, and what they show."""

from __future__ import annotations

from folders import judged

from resultsgen.books.volumes import BOOKS, volumes
from resultsgen.views.words.wording import wording


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
