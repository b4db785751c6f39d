import re

import pytest
from playwright.sync_api import expect

from tests.browser.farm import tell

HARVEST = "picked 14 romaine from B1 and B2, 2 culled"
WIDTHS = {"phone": (360, 740), "tablet": (768, 1024), "desk": (1440, 900)}


def write(page, words):
    page.get_by_label("Text as", exact=False).and_(page.locator("textarea")).fill(words)


def send(page, words):
    write(page, words)
    page.get_by_role("button", name="Send").click()


def last_of_farm(page):
    return page.locator(".line.farm").last


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", WIDTHS)
def test_nothing_runs_out_of_the_page_at_any_width(open_page, picture, name, scheme):
    width, height = WIDTHS[name]
    page = open_page(viewport={"width": width, "height": height}, color_scheme=scheme)
    send(page, HARVEST)
    expect(last_of_farm(page)).to_contain_text("14 romaine")
    send(page, "x" * 200)
    expect(page.locator(".line.you")).to_have_count(2)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    picture(page, f"{name}-{scheme}")


def test_walt_texts_a_harvest_and_sees_the_echo(open_page):
    page = open_page("priya")
    page.get_by_role("link", name="Walt").click()
    expect(page.get_by_role("heading", name="Walt")).to_be_visible()
    send(page, HARVEST)
    expect(page.locator(".line.you")).to_contain_text([HARVEST])
    expect(last_of_farm(page)).to_contain_text("14 romaine")
    expect(page.locator("textarea")).to_have_value("")
    expect(page.locator("textarea")).to_be_focused()


def test_each_text_shows_who_when_how_far_and_what_it_costs(open_page):
    page = open_page()
    send(page, HARVEST)
    mine = page.locator(".line.you")
    expect(mine.locator("b")).to_have_text("You")
    expect(mine.locator("time")).to_have_text("Wed Nov 25, 9:00 am")
    expect(mine.locator(".cost")).to_have_text(re.compile(r"read,\s+1 segment \(42 in GSM-7\)"))
    expect(last_of_farm(page).locator("b")).to_have_text("Farm")
    expect(last_of_farm(page).locator(".cost")).to_contain_text(re.compile(r"\d+ segments? \(\d+ in GSM-7\)"))


def test_the_cost_is_counted_while_one_types(open_page):
    page = open_page()
    write(page, "a" * 161)
    expect(page.locator("#cost")).to_have_text("2 segments (161 in GSM-7)")
    write(page, "a 🌱")
    expect(page.locator("#cost")).to_have_text("1 segment (4 in UCS-2)")


def test_a_text_and_its_reply_arrive_on_another_open_page(open_page):
    mine, other = open_page(), open_page()
    send(mine, HARVEST)
    expect(last_of_farm(other)).to_contain_text("14 romaine")
    expect(other.locator(".line.you")).to_contain_text([HARVEST])


def test_a_digest_arrives_live_and_says_what_it_is(app, open_page):
    page = open_page("priya")
    tell(app, "Good morning. Two shifts today, one gap.", kind="digest")
    expect(last_of_farm(page)).to_contain_text("Two shifts today")
    expect(last_of_farm(page)).to_contain_text("morning digest")


def test_a_text_to_somebody_else_is_marked_new_until_it_is_looked_at(app, open_page):
    page = open_page()
    priya = page.get_by_role("link", name="Priya")
    expect(priya.locator(".mark")).to_be_hidden()
    tell(app, "Gloves are low.")
    expect(priya.locator(".mark")).to_be_visible()
    expect(priya).to_contain_text("Gloves are low.")
    priya.click()
    page.get_by_role("link", name="Walt").click()
    expect(page.get_by_role("link", name="Priya").locator(".mark")).to_be_hidden()


def test_nothing_is_lost_while_the_page_was_away(app, open_page):
    page = open_page("priya", bears="ERR_INTERNET_DISCONNECTED")
    page.context.set_offline(True)
    tell(app, "Said while away.")
    page.context.set_offline(False)
    expect(last_of_farm(page)).to_contain_text("Said while away.")


def test_all_of_it_works_without_script(open_page):
    page = open_page("priya", java_script_enabled=False)
    page.get_by_role("link", name="Walt").click()
    page.get_by_role("link", name=HARVEST).click()
    expect(page.locator("textarea")).to_have_value(HARVEST)
    page.get_by_role("button", name="Send").click()
    expect(page.get_by_role("heading", name="Walt")).to_be_visible()
    expect(last_of_farm(page)).to_contain_text("14 romaine")
    expect(page.locator("textarea")).to_have_value("")


def test_on_a_phone_one_chooses_whom_to_text_as_from_a_list(open_page):
    page = open_page(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    page.get_by_role("combobox", name="Text as").select_option("mateo")
    page.get_by_role("button", name="Open").click()
    expect(page.get_by_role("heading", name="Mateo")).to_be_visible()
    expect(page.locator("[data-example]").first).to_contain_text("romana")


def test_the_keyboard_alone_is_enough(open_page):
    page = open_page("priya")
    for name in ("To the box", "Priya", "Walt"):
        page.keyboard.press("Tab")
        expect(page.get_by_role("link", name=name)).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Walt")).to_be_visible()
    expect(page.locator("textarea")).to_be_focused()
    page.keyboard.type("what do i do")
    page.keyboard.press("Shift+Enter")
    page.keyboard.type("today")
    page.keyboard.press("Enter")
    expect(page.locator(".line.you .words")).to_have_text("what do i do\ntoday")


def test_the_time_of_a_text_can_be_set(open_page):
    page = open_page()
    page.get_by_label("Sent at, farm time").fill("2026-11-25T16:30")
    send(page, HARVEST)
    expect(page.locator(".line.you time")).to_have_text("Wed Nov 25, 4:30 pm")


def test_what_is_wrong_is_said_and_the_words_stay(open_page):
    page = open_page(bears="422", java_script_enabled=False)
    page.get_by_label("Sent at, farm time").fill("0099-11-25T16:30")
    send(page, HARVEST)
    expect(page.get_by_role("alert")).to_contain_text("a year from 2000")
    expect(page.locator("textarea")).to_have_value(HARVEST)


def test_a_text_is_shown_as_it_was_written_and_never_run(open_page):
    page = open_page()
    send(page, "<img src=x onerror=alert(1)> <b>3</b>")
    expect(page.locator(".line.you .words")).to_have_text("<img src=x onerror=alert(1)> <b>3</b>")


def test_paper_holds_the_thread_and_no_controls(open_page):
    page = open_page()
    send(page, HARVEST)
    expect(last_of_farm(page)).to_contain_text("14 romaine")
    page.emulate_media(media="print")
    expect(page.locator("textarea")).to_be_hidden()
    expect(last_of_farm(page)).to_be_visible()
    assert page.pdf().startswith(b"%PDF-")
