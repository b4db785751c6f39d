"""The pages of trouble: what is open, one with its photos; for leads who are signed in, and nobody else."""

from core.books.ledger import Ledger
from service.tables import Photo, PhotoFile
from tests.demo_farm import FARM
from tests.practice_line import Line


def a_leak(app):
    books, line = app.state.books, Line(app.state.books)
    line.now = app.state.clock()
    line.text("walt", "there's a leak at C10 <b>now</b>")
    with books.write() as session:
        session.add(
            Photo(
                farm_id=FARM,
                id=9,
                inbound="x",
                part=0,
                person_id=2,
                n=3,
                at=line.now,
                next_try_at=line.now,
                state="kept",
            )
        )
        session.add(PhotoFile(farm_id=FARM, id=9, person_id=2, jpeg=b"\xff\xd8 jpeg"))
    line.text("tomas", "voy")


def test_an_open_trouble_is_listed_with_who_sees_to_it(walt, app):
    a_leak(app)
    page = walt.get("/board/trouble").text
    assert "3 leak" in page
    assert "Tomas sees to it" in page
    assert "nobody sees to it yet" in page  # the algae of the demo


def test_one_trouble_shows_its_steps_its_words_and_its_photo(walt, app):
    a_leak(app)
    page = walt.get("/board/trouble/3").text
    assert "there&#39;s a leak at C10 &lt;b&gt;now&lt;/b&gt;" in page
    assert "taken on by" in page
    assert 'src="/board/trouble/photos/9.jpg"' in page
    assert walt.get("/board/trouble/photos/9.jpg").content == b"\xff\xd8 jpeg"


def test_a_photo_is_shown_to_nobody_who_is_not_signed_in(browser, app):
    a_leak(app)
    got = browser.get("/board/trouble/photos/9.jpg", follow_redirects=False)
    assert (got.status_code, got.content) == (303, b"")


def test_a_trouble_or_photo_that_is_not_there_is_said_to_be_so(walt):
    assert walt.get("/board/trouble/77").status_code == 404
    assert walt.get("/board/trouble/photos/77.jpg").status_code == 404


def test_the_books_stay_in_order(walt, app):
    a_leak(app)
    with app.state.books.read() as session:
        assert Ledger(session, FARM).differences() == []
