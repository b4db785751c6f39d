"""Several farms in one service: the number texted to tells which board is meant, and each sees its own alone."""

import pytest
from sqlmodel import select

from core.books.tables import Farm, Person
from tests.board_door import ask, codes, enter, sign_in
from tests.browser.farm import PRIYA

OTHER = "+13125550198"


@pytest.fixture
def two_farms(app):
    with app.state.books.write() as session:
        own = session.exec(select(Farm)).one()
        other = own.model_dump(exclude={"id", "slug", "phone", "name"})
        session.add(Farm(**other, id=2, slug="other", phone=OTHER, name="Ash Lane Farm"))
        session.flush()
        session.add(Person(farm_id=2, id=1, handle="ada", name="Ada", phone="+13125550190", role="coordinator"))
    return app


def test_the_way_in_asks_for_the_farms_number_where_there_are_several(two_farms, browser):
    assert "The number you text the farm at" in browser.get("/board/sign-in").text
    page = ask(browser, PRIYA)
    assert page.status_code == 422
    assert "No farm here has that number" in page.text


def test_the_code_comes_from_the_farm_meant_and_opens_no_other(two_farms, browser):
    own = "+13125550199"
    assert "Tern Street Farm" in ask(browser, PRIYA, farm="312 555 0199").text
    code = codes(two_farms)[-1]
    assert enter(browser, code, farm=OTHER).status_code == 422
    assert enter(browser, code, farm=own).status_code == 303
    assert "Tern Street Farm" in browser.get("/board").text


def test_who_is_of_another_farm_gets_no_code_here(two_farms, browser):
    ask(browser, PRIYA, farm=OTHER)
    assert codes(two_farms) == []


def test_a_farm_without_anything_has_its_pages_all_the_same(two_farms, browser):
    ada = "+13125550190"
    ask(browser, ada, farm=OTHER)
    assert enter(browser, codes(two_farms, ada)[-1], ada, farm=OTHER).status_code == 303
    for path in ("/board", "/board/towers", "/board/texts"):
        page = browser.get(path)
        assert page.status_code == 200
        assert "Ash Lane Farm" in page.text
        assert "Walt" not in page.text
    assert browser.get("/board/towers/A1").status_code == 404


def test_where_there_is_one_farm_nobody_is_asked_which(app, browser):
    assert "The number you text" not in browser.get("/board/sign-in").text
    sign_in(app, browser)
