"""What every page keeps to: it says what the books say, shows hostile words as words, and lets in who may see it."""

import re

import pytest
from sqlmodel import select

from service.board.headers import HEADERS
from service.board.install import PAGES
from service.tables import Proof
from tests.board_door import token_on
from tests.browser.farm import tell

HOSTILE = "<script>alert('x')</script> \"><img src=x onerror=alert(1)> {{7*7}} '; DROP TABLE person;--"
PATHS = [*(page.path for page in PAGES), "/board/towers/B1", "/board/towers/shelf2", "/board/water/main/ph"]


def say(client, who, words):
    return client.post("/practice/texts", json={"from": who, "text": words}).json()


def section(page, name):
    """The words of one part of a page."""
    part = re.search(rf'<section id="{name}".*?</section>', page.text, re.DOTALL)[0]
    return " ".join(re.sub(r"<[^>]+>", " ", part).split())


@pytest.mark.parametrize("path", [*PATHS, "/board/sign-in", "/board/nothing", "/board/towers/ZZ99"])
def test_every_answer_has_the_strict_headers(priya, path):
    answer = priya.get(path)
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS
    assert "unsafe" not in answer.headers["content-security-policy"]


@pytest.mark.parametrize("name", ["board.css", "board.js", "tower.svg"])
def test_what_the_pages_need_is_served_with_them(priya, name):
    assert f"/board/static/{name}" in priya.get("/board").text
    answer = priya.get(f"/board/static/{name}")
    assert (answer.status_code, answer.headers["cache-control"]) == (200, "no-cache")


@pytest.mark.parametrize("path", PATHS)
def test_a_page_is_in_the_language_chosen(priya, path):
    assert '<html lang="en">' in priya.get(path).text
    form = {"token": token_on(priya.get("/board")), "language": "es", "to": path}
    spanish = priya.post("/board/language", data=form)
    assert spanish.url.path == path
    assert '<html lang="es">' in spanish.text
    assert "Salir" in spanish.text


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_a_page_is_closed_to_who_is_not_signed_in_and_to_whom_it_is_not_for(browser, walt, page):
    assert browser.get(page.path, follow_redirects=False).status_code == 303
    assert walt.get(page.path).status_code == (200 if page.is_for("lead") else 403)


@pytest.mark.parametrize("path", PATHS)
def test_hostile_words_are_shown_as_words(app, priya, path):
    for who in ("walt", "unknown"):
        say(priya, who, HOSTILE)
    tell(app, HOSTILE)
    page = priya.get(path, params={"words": HOSTILE} if path == "/board/texts" else None).text
    assert "<script>alert" not in page
    assert "<img" not in page


def test_a_name_with_quotes_stays_a_name(app, priya):
    say(priya, "priya", "add Bo \"><b>O'Neil +13125550150")
    assert "<b>O" not in priya.get("/board").text
    assert "<b>O" not in priya.get("/board/texts").text


def test_today_shows_who_comes_and_what_they_answered(priya):
    assert "8-10am enough Walt no answer yet Bea no answer yet" in section(priya.get("/board"), "who")


def test_today_shows_who_comes_tomorrow(priya):
    assert section(priya.get("/board"), "tomorrow") == (
        "Who comes tomorrow 4-6pm enough Dolores comes Mateo comes June comes"
    )


def test_today_says_that_the_farm_is_closed_tomorrow(priya):
    say(priya, "priya", "we are closed tomorrow")
    say(priya, "priya", last_code(priya))
    assert "The farm is closed then." in section(priya.get("/board"), "tomorrow")


def last_code(client):
    """The four digits that confirm a risky command, as they stand on the practice phone."""
    with client.app.state.books.read() as session:
        return session.exec(select(Proof.code).where(Proof.code.is_not(None))).one()


def test_today_shows_what_is_ready_and_what_is_off(priya):
    page = priya.get("/board")
    assert "romaine B1-B4 32 plants since yesterday" in section(page, "ready")
    off = section(page, "off")
    assert "pH 6.7 nursery want 5.6 to 6.3, yesterday 9:20am, Walt high" in off
    assert "algae shelf 2" in off
    assert "gloves 1 box left get more" in off


def test_today_shows_tasks_as_they_stand_before_and_after_the_list_is_made(app, priya):
    assert "not made yet" in section(priya.get("/board"), "todo")
    say(priya, "walt", "picked 32 romaine from B1-B4")
    assert "cut romaine" not in section(priya.get("/board"), "todo")


def test_today_shows_what_waits_for_an_answer_and_what_was_not_understood(priya, walt):
    say(priya, "dolores", "picked some mint")
    say(priya, "keisha", "the flibber is jammed again")
    say(priya, "bea", "thanks!")
    waiting = section(priya.get("/board"), "unanswered")
    assert "Dolores was asked about how many: mint picked" in waiting
    assert "the flibber is jammed again" in waiting
    assert "thanks" not in waiting
    assert "flibber" not in section(walt.get("/board"), "unanswered")  # texts are for coordinators


def test_the_towers_are_drawn_in_their_rows_with_their_state_in_words(priya):
    page = priya.get("/board/towers").text
    rows = re.findall(r'<h2 id="row-\w">(.+?)</h2>', page)
    assert rows == [f"Row {row}" for row in "ABCDEF"]
    cells = re.findall(r'<a class="spot ([\w-]+)" href="/board/towers/(\w+)">', page)
    assert len(cells) == 144
    assert {"A1": "ready", "A6": "growing", "A21": "to-clean", "A23": "free", "D1": "spent", "F23": "out"}.items() <= {
        code: state for state, code in cells
    }.items()


def test_the_table_says_the_same_as_the_drawing(priya):
    page = priya.get("/board/towers").text
    rows = re.findall(r"<tr><th scope=\"row\">(.*?)</tr>", page, re.DOTALL)
    said = [" ".join(re.sub(r"<[^>]+>", " ", row).split()) for row in rows]
    assert "A1-A5 butterhead 40 (5 x 8) ready to cut day 28 of 28 cut today" in said
    assert "A21, A22 0 to clean" in said
    assert "F23, F24 0 out of use" in said


def test_a_place_tells_its_story_from_the_journal(priya):
    say(priya, "walt", "picked 16 romaine from B1 and B2")
    page = priya.get("/board/towers/B1")
    assert "to clean" in page.text
    story = section(page, "story")
    assert re.search(r"16 romaines? picked from B1, B2 8 of romaine-261008a left now: to clean Walt, today 9am", story)
    say(priya, "walt", "undo")
    again = priya.get("/board/towers/B1")
    assert "16 romaine" not in again.text
    assert "cut yesterday" in again.text


def test_a_shelf_and_a_code_in_small_letters_are_found_and_nonsense_is_not(priya):
    assert "romaine" in priya.get("/board/towers/shelf2").text
    assert priya.get("/board/towers/b1").status_code == 200
    assert priya.get("/board/towers/%00").status_code == 404
    assert priya.get("/board/towers/A99").status_code == 404
