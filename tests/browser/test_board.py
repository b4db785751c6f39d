"""Every page of the board, in a real browser: at every width, in every language, without script, on paper, by ear."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from service.board.install import PAGES
from service.board.wording import languages
from tests.browser.conftest import OUTPUT

WIDTHS = {"phone": (360, 740), "tablet": (768, 1024), "desk": (1440, 900)}
WHAT_IF = "/board/weeks?what=we+lose+B1-B4&crop=kale"
DOSE = (
    "/board/dosing?sum=ph&volume=100&now=6.8&want=5.8&substance=phosphoric&percent=75&density=1.58"
    "&alkalinity=100&water_ph=7.6&phosphorus=31&temp_c=22"
)
PATHS = [*(page.path for page in PAGES), "/board/towers/B1", "/board/water/nursery/ph", WHAT_IF, DOSE]
DOOR = "/board/sign-in"

SMALL = """() => [...document.querySelectorAll("body *")].filter(one => {
  const own = [...one.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
  return own && one.getClientRects().length && parseFloat(getComputedStyle(one).fontSize) < 15;
}).map(one => one.outerHTML.slice(0, 80))"""
"""What is written in letters smaller than 15 px."""

LOW = """() => [...document.querySelectorAll("button, select, input:not([type=hidden]), nav a, summary")]
  .filter(one => one.getClientRects().length && one.getBoundingClientRect().height < 44)
  .map(one => one.outerHTML.slice(0, 80))"""
"""What is to be touched and lower than a thumb needs: 44 px, WCAG 2.2 success criterion 2.5.5."""


def named(path):
    page, _, asked = path.partition("?")
    return page.strip("/").replace("/", "-") + ("-asked" if asked and page != DOOR else "")


def say(page, who, words):
    """Somebody texts the farm."""
    answer = page.request.post(page.url.split("/board")[0] + "/practice/texts", data={"from": who, "text": words})
    assert answer.ok


@pytest.fixture
def lived_in(open_board):
    """A farm where a morning has been: things said, asked, and not understood."""
    page = open_board()
    for who, words in (
        ("walt", "picked 14 romaine from B1 and B2, 2 culled"),
        ("dolores", "picked some mint"),
        ("keisha", "the flibber is jammed again <script>alert(1)</script> " + "x" * 120),
        ("unknown", "hello there"),
    ):
        say(page, who, words)
    return open_board


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", WIDTHS)
def test_every_page_holds_together_and_breaks_no_rule_of_axe(lived_in, picture, name, language):
    """Rules: those of axe-core by the name WCAG 2 A and AA and best practice, none left out."""
    width, height = WIDTHS[name]
    for path in (*PATHS, f"{DOOR}?language={language}"):
        page = lived_in(path, language, viewport={"width": width, "height": height})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
        assert page.evaluate(SMALL) == [], path
        assert page.evaluate(LOW) == [], path
        found = Axe().run(page)
        assert found.violations_count == 0, f"{path}: {found.generate_report()}"
        picture(page, f"{named(path)}-{name}-{language}", of="")


def test_a_rule_that_is_broken_would_be_found(lived_in):
    page = lived_in()
    page.evaluate(
        "document.getElementById('main').insertAdjacentHTML('beforeend', '<img src=/board/static/tower.svg>')"
    )
    assert Axe().run(page).violations_count == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_both_papers_pass_the_rules_of_axe(lived_in, picture, scheme):
    for path in PATHS:
        page = lived_in(path, color_scheme=scheme)
        found = Axe().run(page)
        assert found.violations_count == 0, f"{path}: {found.generate_report()}"
        picture(page, f"{named(path)}-{scheme}", of="")


def test_a_wall_screen_is_read_from_two_metres(lived_in, picture):
    """The letters of what stands on it are at least 24 px on a screen of 1920."""
    page = lived_in("/board", viewport={"width": 1990, "height": 1120})
    size = page.locator(".rows li").first.evaluate("one => parseFloat(getComputedStyle(one).fontSize)")
    assert size >= 21
    picture(page, "board-wall", of="")


@pytest.mark.parametrize("path", PATHS)
def test_every_page_works_without_script(lived_in, path):
    page = lived_in(path, java_script_enabled=False)
    expect(page.get_by_role("main")).to_contain_text(re.compile(r"\w{3}"))
    if path != "/board/towers/B1" and not path.startswith("/board/dosing"):
        expect(page.get_by_text("Load the page again")).to_be_visible()


@pytest.mark.parametrize("path", PATHS)
def test_every_page_prints_without_its_controls(lived_in, path):
    page = lived_in(path)
    page.emulate_media(media="print")
    expect(page.get_by_role("navigation")).to_be_hidden()
    expect(page.get_by_role("button")).to_have_count(0)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    OUTPUT.mkdir(exist_ok=True)
    printed = page.pdf(path=OUTPUT / f"{named(path)}.pdf", prefer_css_page_size=True)
    assert printed.startswith(b"%PDF-")


def test_a_page_holds_together_when_letters_are_twice_as_large(lived_in):
    for path in PATHS:
        page = lived_in(path, viewport={"width": 720, "height": 900})
        page.evaluate("document.documentElement.style.fontSize = '36px'")
        assert page.evaluate("document.documentElement.scrollWidth") <= 720, path
