"""The picture for shared links, read back by Pillow; the properties are those of ogp.me."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pytest
from folders import judged, write_folder
from lxml import html
from PIL import Image, ImageChops

from resultsgen.files.cache import Cache
from resultsgen.language import LANGUAGES
from resultsgen.theme.theme import Theme, find_theme, theme_names
from resultsgen.views.site.head import MeetView
from resultsgen.views.site.home import meet_view
from resultsgen.views.words.wording import wording
from resultsgen.website.look import EDGE, HEIGHT, WIDTH, card
from resultsgen.website.writing import write_site

MEET = """
    == meet.toml ==
    title = "TITLE"
    languages = ["en", "de"]
    dates = [2031-05-17]
    place = "Merrowick"
    base_url = "https://example.org/cup"

    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    == roster.csv ==
    bib,family_name,given_name
    1,Plain,Jo
    == marks.csv ==
    bib,VT,UB,BB,FX
    1,9.000,9.000,9.000,9.000
    """


def meet(folder: Path, title: str = "Lantern Cup") -> MeetView:
    results = judged(write_folder(folder, MEET.replace("TITLE", title)))
    return meet_view(results, wording(results.meet.settings, LANGUAGES["en"]))


def opened(data: bytes | None) -> Image.Image:
    assert data is not None
    return Image.open(BytesIO(data)).convert("RGB")


def rgb(colour: str) -> tuple[int, ...]:
    return tuple(bytes.fromhex(colour.removeprefix("#")))


def inked(picture: Image.Image, theme: Theme) -> tuple[int, int, int, int]:
    """The box around all that is not the ground."""
    ground = Image.new("RGB", picture.size, theme.settings.light.band)
    box = ImageChops.difference(picture, ground).getbbox()
    assert box is not None
    return box


@pytest.mark.parametrize("name", theme_names())
@pytest.mark.parametrize(
    "title",
    ["Cup", "Lantern Cup of Merrowick and All the Villages around It, " * 4, "Wx" * 60],
    ids=["short", "long", "one word"],
)
def test_a_card_has_its_size_and_colours_and_nothing_runs_off_it(name, title, tmp_path):
    theme = find_theme(name)
    picture = opened(card(meet(tmp_path, title), theme, Cache(None)))
    assert picture.size == (WIDTH, HEIGHT)
    assert picture.getpixel((0, 0)) == rgb(theme.settings.light.band)
    shades = picture.getcolors(WIDTH * HEIGHT)
    assert rgb(theme.settings.light.on_band) in [colour for _, colour in shades]
    left, top, right, bottom = inked(picture, theme)
    assert min(left, WIDTH - right) >= EDGE - 10
    assert min(top, HEIGHT - bottom) >= 20


def test_what_the_card_says_changes_it_and_the_same_gives_the_same_bytes(tmp_path):
    theme, kept = find_theme("standard"), Cache(tmp_path / "cache")
    one = card(meet(tmp_path / "a"), theme, kept)
    assert one == card(meet(tmp_path / "a"), theme, kept)
    assert one == card(meet(tmp_path / "a"), theme, Cache(None))
    assert one != card(meet(tmp_path / "b", "Lantern Cap"), theme, kept)


def test_a_letter_that_the_fonts_lack_makes_no_card(tmp_path):
    assert card(meet(tmp_path, "体操 Cup"), find_theme("standard"), Cache(None)) is None


def test_every_page_names_the_card_of_its_language_by_its_whole_address(tmp_path):
    folder = write_folder(tmp_path / "meet", MEET)
    out = tmp_path / "out"
    write_site(judged(folder), find_theme("standard"), out)
    named: dict[str, set[str]] = {"en": set(), "de": set()}
    for page in out.rglob("*.html"):
        tree = html.fromstring(page.read_bytes())
        (address,) = tree.xpath("//meta[@property='og:image']/@content")
        named[tree.get("lang")].add(address)
    for addresses in named.values():
        (address,) = addresses
        file = out / address.removeprefix("https://example.org/cup/")
        assert re.fullmatch(r"card\.[0-9a-f]{8}\.png", file.name)
        assert opened(file.read_bytes()).size == (1200, 630)
    assert named["en"] != named["de"]


def test_without_an_address_of_the_site_there_is_no_card(tmp_path):
    without = MEET.replace('    base_url = "https://example.org/cup"\n', "")
    out = tmp_path / "out"
    write_site(judged(write_folder(tmp_path / "meet", without)), find_theme("standard"), out)
    assert not list(out.rglob("*.png"))
    assert b"og:image" not in (out / "index.html").read_bytes()
