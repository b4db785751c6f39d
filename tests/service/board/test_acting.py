"""Forms of the board act as texts do: the same acts, undone the same way."""

import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Cut, Entry
from core.notes import Harvest, Target, Trouble
from service.board import signing
from service.board.acting import act
from service.board.view import View
from service.tables import Inbound, Outbound
from tests.browser.farm import MORNING, PRIYA


class Asked:
    """As much of a request as an act looks at."""

    def __init__(self, app):
        self.app = app


@pytest.fixture
def view(app, priya):
    token = priya.cookies["rowcall_board"]
    with app.state.books.read() as session:
        yield View(Asked(app), session, signing.seat(session, token, MORNING), token, MORNING)


def rows(app, table):
    with app.state.books.read() as session:
        return session.exec(select(table).order_by(table.entry if table is Cut else table.n)).all()


def test_an_act_is_recorded_as_who_looks_and_the_books_stay_true(app, view):
    acted = act(view, Target(crop="romaine", count=40))
    entry = rows(app, Entry)[-1]
    assert (acted.state, acted.entry) == ("recorded", entry.n)
    assert (entry.act, entry.person_id, entry.source[:6]) == ("target", view.person.id, "board:")
    with app.state.books.read() as session:
        assert Ledger(session, 1).differences() == []


def test_what_would_be_surprising_is_doubted_and_done_when_sure(app, view):
    note = Harvest(crop="romaine", count=500, places=("B1",))
    before = len(rows(app, Cut))
    doubted = act(view, note)
    assert (doubted.state, doubted.entry, doubted.facts[0].kind) == ("doubted", None, "doubt_more_than_stands")
    assert len(rows(app, Cut)) == before
    assert act(view, note, sure=True).state == "recorded"
    assert len(rows(app, Cut)) == before + 1


def test_what_cannot_be_done_is_refused_in_words_and_leaves_nothing(app, view):
    before = len(rows(app, Entry))
    refused = act(view, Harvest(crop="romaine", count=4, places=("Z9",)))
    assert (refused.state, refused.facts[0].kind) == ("refused", "refused_no_such_place")
    assert len(rows(app, Entry)) == before
    assert PRIYA not in str(refused)


def told(app):
    """What the farm texted by itself: to whom, and what."""
    with app.state.books.read() as session:
        sent = select(Outbound).where(Outbound.kind != "code").order_by(Outbound.id)
        return [(one.phone, one.kind, one.body) for one in session.exec(sent)]


def test_whoever_is_concerned_hears_of_it_and_who_looks_does_not(app, view):
    act(view, Trouble(kind="leak", where=("C14",)))
    news = told(app)
    assert news
    assert all("leak" in body for _, _, body in news)
    assert PRIYA not in {phone for phone, _, _ in news}


def test_what_is_doubted_or_refused_is_told_to_nobody(app, view):
    act(view, Harvest(crop="romaine", count=500, places=("B1",)))
    act(view, Harvest(crop="romaine", count=4, places=("Z9",)))
    assert told(app) == []


def test_a_form_is_no_text_in_the_log(app, view):
    act(view, Target(crop="romaine", count=40))
    assert rows_of(app, Inbound) == []


def rows_of(app, table):
    with app.state.books.read() as session:
        return session.exec(select(table)).all()
