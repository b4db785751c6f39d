"""The board in use: signing in, news as it comes, the keyboard, what is said aloud."""

import re

import pytest
from playwright.sync_api import expect

from tests.board_door import codes
from tests.browser.farm import PRIYA
from tests.browser.test_board import say

DOOR = {"script": True, "no script": False}


@pytest.mark.parametrize("script", DOOR.values(), ids=DOOR.keys())
def test_a_coordinator_signs_in_with_the_code_on_her_phone_and_out_again(app, chromium, address, script):
    context = chromium.new_context(java_script_enabled=script, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(f"{address}/board/texts")
    page.get_by_label("Your phone number").fill("312-555-0100")
    page.get_by_role("button", name="Text me a code").click()
    expect(page.get_by_role("link", name="Practice phone")).to_have_attribute("href", re.compile("13125550100"))
    page.get_by_label("The six digits").fill(codes(app)[-1])
    page.get_by_role("button", name="Open the pages").click()
    expect(page.get_by_role("heading", name="Texts", level=1)).to_be_visible()
    page.get_by_role("button", name="Español").click()
    expect(page.get_by_role("heading", name="Mensajes", level=1)).to_be_visible()
    page.get_by_role("button", name="Salir").click()
    expect(page.get_by_role("button", name="Text me a code")).to_be_visible()
    page.goto(f"{address}/board")
    expect(page.get_by_role("button", name="Text me a code")).to_be_visible()
    context.close()


def test_a_wrong_code_is_said_aloud_and_the_right_one_still_opens(app, chromium, address):
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{address}/board")
    page.get_by_label("Your phone number").fill(PRIYA)
    page.keyboard.press("Enter")
    expect(page.get_by_label("The six digits")).to_be_focused()
    right = codes(app)[-1]
    page.keyboard.type("000000" if right != "000000" else "111111")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("does not open the pages")
    page.keyboard.type(f"{right[:3]} {right[3:]}")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Wed Nov 25")).to_be_visible()
    context.close()


def test_news_comes_by_itself(open_board):
    page = open_board()
    expect(page.get_by_role("status")).to_contain_text("Live")
    expect(page.locator("#unanswered")).to_contain_text("Nothing waits")
    say(page, "dolores", "picked some mint")
    expect(page.locator("#unanswered")).to_contain_text("Dolores was asked about how many")
    expect(page.get_by_role("status")).to_contain_text("New since")


def test_a_tower_that_was_cut_is_drawn_as_to_clean_on_an_open_page(open_board):
    page = open_board("/board/towers")
    tower = page.get_by_role("link", name=re.compile("^B1 "))
    expect(tower).to_contain_text("ready")
    expect(page.get_by_role("status")).to_contain_text("Live")
    say(page, "walt", "picked 32 romaine from B1-B4")
    expect(tower).to_contain_text("clean")


def test_news_leaves_alone_whoever_types_and_keeps_the_place_of_the_keyboard(open_board):
    page = open_board("/board/texts")
    expect(page.get_by_role("status")).to_contain_text("Live")
    page.get_by_label("Words or a name").fill("mint")
    say(page, "dolores", "picked some mint")
    page.wait_for_timeout(2500)
    expect(page.get_by_label("Words or a name")).to_have_value("mint")
    page.keyboard.press("Enter")
    expect(page.get_by_role("listitem").filter(has_text="picked some mint")).to_have_count(1)


def test_a_session_that_ends_says_so_on_the_open_page(app, open_board):
    page = open_board()
    expect(page.get_by_role("status")).to_contain_text("Live")
    from datetime import timedelta

    later = app.state.clock() + timedelta(hours=13)
    app.state.clock = lambda: later
    expect(page.get_by_role("status")).to_contain_text("signed out")


def test_the_keyboard_alone_leads_to_the_story_of_a_tower(open_board):
    page = open_board("/board/towers")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the page")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name=re.compile("^A1 "))).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name=re.compile("^A1"))).to_be_visible()
    page.get_by_role("link", name="A2").click()
    expect(page.get_by_role("heading", name=re.compile("^A2"))).to_be_visible()


def test_a_tower_says_all_it_shows_by_name(open_board):
    page = open_board("/board/towers")
    expect(page.get_by_role("link", name="A6 butterhead 8 plants, growing, day 21/28")).to_be_visible()
    expect(page.get_by_role("link", name="A21 clean")).to_be_visible()


def test_the_table_beside_the_drawing_opens_and_reads(open_board):
    page = open_board("/board/towers")
    page.get_by_text("The same as a table").click()
    row = page.get_by_role("row").filter(has_text="A1-A5")
    expect(row).to_contain_text("ready to cut")


def test_a_text_that_was_not_understood_is_seen_to(open_board):
    page = open_board()
    say(page, "keisha", "the flibber is jammed again")
    page.goto(page.url)
    page.get_by_role("link", name="See texts").click()
    page.get_by_role("button", name=re.compile("I saw to it")).click()
    expect(page.get_by_text("No text fits that.")).to_be_visible()


def test_a_lead_finds_no_way_to_the_texts(open_board):
    page = open_board(phone="+13125550101")
    expect(page.get_by_role("navigation")).not_to_contain_text("Texts")
