"""The themes side by side: one site each, and a page that leads to all of them."""

from html.parser import HTMLParser

import pytest

from resultsgen.cli import main
from resultsgen.files.lock import locked
from resultsgen.files.staging import working_folder
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.gallery import write_gallery
from resultsgen.publishing.starter import new_meet
from resultsgen.theme.theme import find_theme, theme_names


class Seen(HTMLParser):
    """What a page leads to, and the colours it shows."""

    def __init__(self):
        super().__init__()
        self.led, self.colours = [], []

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.led += [given[name] for name in ("src", "href") if name in given]
        self.colours += [given["fill"]] if "fill" in given else []


@pytest.fixture(scope="module")
def gallery(tmp_path_factory):
    folder = tmp_path_factory.mktemp("gallery")
    new_meet(folder / "meet")
    assert write_gallery(folder / "meet", folder / "out", lambda *_: None) == len(theme_names())
    return folder / "out"


def test_every_theme_is_shown_and_every_link_leads_to_a_file(gallery):
    seen = Seen()
    seen.feed((gallery / "index.html").read_text(encoding="utf-8"))
    assert {f"{name}/index.html" for name in theme_names()} < set(seen.led)
    assert all((gallery / one).is_file() for one in seen.led)
    for name in theme_names():
        assert set(find_theme(name).settings.light.model_dump().values()) <= set(seen.colours)


def test_the_sites_differ_in_their_look_alone(gallery):
    pages = {
        name: {str(one.relative_to(gallery / name)) for one in (gallery / name).rglob("*.html")}
        for name in theme_names()
    }
    assert len(set(map(frozenset, pages.values()))) == 1
    sheets = [next((gallery / name / "static").glob("*.css")) for name in theme_names()]
    assert len({sheet.read_bytes() for sheet in sheets}) == len(sheets)


def test_a_meet_with_problems_leaves_the_gallery_as_it_was(gallery, tmp_path):
    before = (gallery / "index.html").read_bytes()
    new_meet(tmp_path / "meet")
    (tmp_path / "meet/roster.csv").write_text("bib\n", encoding="utf-8")
    with pytest.raises(MeetProblems):
        write_gallery(tmp_path / "meet", gallery, lambda *_: None)
    assert (gallery / "index.html").read_bytes() == before


def test_a_gallery_that_another_build_is_writing_is_refused_in_words(gallery, tmp_path, capsys):
    new_meet(tmp_path / "meet")
    before = (gallery / "index.html").read_bytes()
    with locked(working_folder(gallery)):
        code = main(["themes", str(tmp_path / "meet"), "-o", str(gallery)])
    assert code == 3
    assert "another build" in capsys.readouterr().err
    assert (gallery / "index.html").read_bytes() == before
