"""The form for marks: taken from its own page alone, asked back on it, and usable by keyboard."""

from __future__ import annotations

import re
import urllib.request
from contextlib import contextmanager
from urllib.error import HTTPError
from urllib.parse import urlencode

import pytest
from playwright.sync_api import expect
from test_desk import HEADING, desk, held

from resultsgen.entering.form import mark_routes
from resultsgen.publishing.watching import own, served


@contextmanager
def form(folder):
    desk(folder)
    with served([*mark_routes(folder), own()], 0) as address:
        yield f"{address}-watch/mark"


def sent(address: str, fields: dict[str, str], **headers: str) -> tuple[int, str]:
    """What is answered to a form that is sent."""
    origin = address.removesuffix("/-watch/mark")
    ask = urllib.request.Request(
        address, urlencode(fields).encode(), {"Origin": origin} | headers, method="POST"
    )
    try:
        with urllib.request.urlopen(ask) as answer:
            return answer.status, answer.read().decode()
    except HTTPError as error:
        return error.code, error.read().decode()


def token(address: str) -> str:
    with urllib.request.urlopen(address) as answer:
        found = re.search(r'name="token" value="([^"]+)"', answer.read().decode())
    assert found
    return found[1]


MARK = {"bib": "101", "apparatus": "VT", "d": "4,9", "e": "7.75", "penalty": ".1"}


def test_a_mark_is_taken_from_a_page_of_its_own_alone(tmp_path):
    with form(tmp_path) as address:
        good = MARK | {"token": token(address)}
        elsewhere = {"Origin": "http://evil.example"}
        assert sent(address, MARK)[0] == 403
        assert sent(address, MARK | {"token": "x"})[0] == 403
        assert sent(address, good, **elsewhere)[0] == 403
        assert sent(address, good, Origin="null")[0] == 403
        assert sent(address, good, Host="evil.example")[0] == 400
        assert sent(address, good | {"status": "x" * 30_000})[0] == 413
        assert not (tmp_path / "marks.csv").exists()
        status, page = sent(address, good)
        assert status == 200
        assert "101 Vale Ada, Vault 12.550 (4.900 + 7.750 - 0.100)" in page
    assert held(tmp_path) == HEADING + "101,VT,12.550,4.900,7.750,0.100,,,\n"


@pytest.mark.parametrize(
    ("fields", "shown"),
    [
        ({"bib": '"><b>'}, "nobody wears &quot;&gt;&lt;b&gt;"),
        ({"apparatus": ""}, "on which apparatus was 101"),
        ({"e": "11"}, "E is 11.000"),
        ({"e": "x"}, "x is no e"),
    ],
)
def test_what_is_refused_is_shown_and_what_was_written_stays(tmp_path, fields, shown):
    with form(tmp_path) as address:
        status, page = sent(address, MARK | fields | {"token": token(address)})
    assert status == 200
    assert shown in page
    assert '<b>"' not in page
    assert f'name="d" value="{MARK["d"]}"' in page
    assert not (tmp_path / "marks.csv").exists()


def test_what_is_to_mend_is_shown_on_the_page(tmp_path):
    with form(tmp_path) as address:
        (tmp_path / "roster.csv").write_text("bib\n")
        with urllib.request.urlopen(address) as answer:
            assert "roster.csv" in answer.read().decode()


def test_whatever_is_sent_or_gone_is_answered(tmp_path):
    with form(tmp_path / "meet") as address:
        assert sent(address, MARK | {"token": "é"})[0] == 403
        with urllib.request.urlopen(f"{address}?told={'1' * 5000}") as answer:
            assert "Enter marks" in answer.read().decode()
        (tmp_path / "meet").rename(tmp_path / "moved")
        with urllib.request.urlopen(address) as answer:
            assert f"{tmp_path / 'meet'}: No such file" in answer.read().decode()


def test_the_form_by_keyboard_on_a_phone_without_script(tmp_path, browser):
    with form(tmp_path) as address:
        context = browser.new_context(
            viewport={"width": 390, "height": 844}, java_script_enabled=False
        )
        page = context.new_page()
        page.goto(address)
        page.get_by_role("link", name="101 Vale Ada").click()
        expect(page.get_by_label("D", exact=True)).to_be_focused()
        for keys in ("7.75", "Tab", "4.9", "Enter"):
            page.keyboard.press(keys) if keys in ("Tab", "Enter") else page.keyboard.type(keys)
        asked = page.get_by_role("alert")
        expect(asked).to_contain_text("D 7.750 is higher than E 4.900: exchanged?")
        page.keyboard.press("Enter")  # Enter alone is no.
        expect(asked).to_contain_text("exchanged?")
        assert not (tmp_path / "marks.csv").exists()
        page.get_by_role("button", name="Enter it as it stands").click()
        told = page.get_by_role("status")
        expect(told).to_contain_text("101 Vale Ada, Vault 12.650 (7.750 + 4.900)")
        expect(page.get_by_label("Bib")).to_have_value("102")
        expect(page.get_by_label("D", exact=True)).to_be_focused()
        page.reload()
        expect(told).to_contain_text("101 Vale Ada, Vault 12.650")
        assert held(tmp_path).count("\n") == 2
        page.get_by_role("button", name="Take back").click()
        expect(told).to_contain_text("Taken back: 101 Vale Ada, Vault")
        assert held(tmp_path) == HEADING
        wide = page.locator("html").evaluate_all("each => each[0].scrollWidth")
        assert wide <= 390
        context.close()
