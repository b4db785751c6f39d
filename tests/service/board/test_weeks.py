"""Weeks: the plan kept and why it falls short, the forecast against targets, what if, and who comes."""

import re
from datetime import timedelta

import pytest
from sqlmodel import select

from core.books.tables import Entry, SowingPlan, Target
from service.board.supposing import note_of
from service.board.weeks import EXAMPLES
from service.board.wording import languages, page_words
from service.demo import demo_vocabulary
from tests.board_door import token_on
from tests.browser.farm import MORNING
from tests.service.board.test_pages import say, section


def plan(client):
    return client.post("/board/weeks", data={"token": token_on(client.get("/board/weeks"))})


def kept_plans(app):
    with app.state.books.read() as session:
        return session.exec(select(SowingPlan)).all()


def row(page, name, crop):
    """The cells of a crop in a table of one part of the page."""
    part = re.search(rf'<section id="{name}".*?</section>', page.text, re.DOTALL)[0]
    found = re.search(rf'<tr><th scope="row">{crop}.*?</tr>', part, re.DOTALL)[0]
    return [" ".join(re.sub(r"<[^>]+>", " ", cell).split()) for cell in re.findall(r"<td.*?</td>", found, re.DOTALL)]


def test_without_a_plan_the_page_says_so_and_offers_to_make_one(priya):
    said = section(priya.get("/board/weeks"), "sow")
    assert "No plan is made yet" in said
    assert "Make the plan" in said


def test_a_plan_made_on_the_page_is_kept_and_shown_with_its_proof(app, priya):
    page = plan(priya)
    (kept,) = kept_plans(app)
    said = section(page, "sow")
    assert f"better than this one by more than {round(100 * kept.gap, 2)}%" in said
    assert row(page, "sow", "romaine") == [str(plugs or "") for plugs in kept.sow["romaine"][:8]]


def test_what_is_short_is_said_with_its_reason(app, priya):
    page = plan(priya)
    (kept,) = kept_plans(app)
    said = section(page, "sow")
    first = kept.short[0]
    monday = kept.start + timedelta(weeks=first["week"])
    assert (
        f"{first['crop'].replace('_', ' ')} {round(first['heads'])} in the week of Mon {monday:%b} {monday.day}" in said
    )
    assert "cannot be had in time: sown now it is ready" in said


def test_a_target_beyond_the_farm_is_short_for_want_of_room_and_the_page_says_what_would_help(app, priya):
    with app.state.books.write() as session:
        for one in session.exec(select(Target)):
            one.count *= 2
    said = section(plan(priya), "sow")
    assert "missing for want of room or work" in said
    assert re.search(r"\d+ more (tower site|cell|minute)|Without .*, \d+ more of the others", said)


def test_the_forecast_has_a_range_for_each_week_and_the_targets_beside_it(app, priya):
    page = priya.get("/board/weeks")
    with app.state.books.read() as session:
        targets = {one.crop: one.count for one in session.exec(select(Target))}
    target, *cells = row(page, "forecast", "romaine")
    assert float(target) == targets["romaine"]
    assert len(cells) == 8
    for cell in cells:
        middle, low, high = map(int, re.fullmatch(r"(\d+)(?: below the target)? (\d+)-(\d+)", cell).groups())
        assert low <= middle <= high
        assert ("below" in cell) is (middle < targets["romaine"])


def test_one_crop_can_be_drawn_alone(priya):
    assert "kale ready to cut, by week" in priya.get("/board/weeks?crop=kale").text
    assert "Heads and bunches ready to cut" in priya.get("/board/weeks?crop=nonsense").text


@pytest.mark.parametrize(
    ("words", "change"),
    [
        ("we lose B1-B4", "we lose B1-B4"),
        ("what if we double the kale", "kale targets are times 2"),
        ("cerramos la semana que viene", "we close Mon Nov 30"),
    ],
)
def test_what_if_is_asked_in_the_words_of_a_text_and_laid_beside_the_plan(app, priya, words, change):
    before = len(entries(app))
    said = section(priya.get("/board/weeks", params={"what": words}), "if")
    assert change in said
    assert "as it is if so" in said
    assert (len(entries(app)), kept_plans(app)) == (before, [])


def entries(app):
    with app.state.books.read() as session:
        return session.exec(select(Entry.n)).all()


def test_a_lost_row_costs_heads_and_the_two_columns_say_how_many(priya):
    page = priya.get("/board/weeks", params={"what": "we lose B1-B4"})
    _, _, cut, cut_then, short, short_then = map(int, row(page, "if", "romaine"))
    assert cut_then < cut
    assert short_then >= short


@pytest.mark.parametrize("words", ["banana split", "row Z out", "<b>x</b>", "%"])
def test_what_is_not_understood_is_answered_with_how_to_ask(priya, words):
    said = section(priya.get("/board/weeks", params={"what": words}), "if")
    assert re.search("Ask like: what if row C|There is no|No tower|no place", said)


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_is_understood_in_its_language(language, example):
    said = page_words(language, "weeks")[f"example_{example}"]
    words = demo_vocabulary()
    note = note_of(said, MORNING.astimezone(words.zone), words)
    assert note.change == example


def test_the_roster_shows_who_comes_and_where_somebody_is_missing(priya):
    said = section(priya.get("/board/weeks"), "roster")
    assert "today 8-10am enough Walt no answer yet Bea no answer yet" in said
    assert "1 more needed" in said


def test_what_was_reckoned_is_reckoned_anew_once_the_books_say_otherwise(priya):
    before = row(priya.get("/board/weeks"), "forecast", "romaine")
    say(priya, "walt", "picked 32 romaine from B1-B4")
    assert row(priya.get("/board/weeks"), "forecast", "romaine") != before
