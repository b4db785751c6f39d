"""The way into the books: many texts at once share a commit, and none is the worse for another."""

import threading
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import event
from sqlalchemy.exc import OperationalError
from sqlmodel import select

from service.arrivals import Arrivals
from service.carriers import TextIn
from service.tables import Inbound
from tests.service.carriers.farm import NOW, NUMBER, WALT, WALTS_PHONE


def a_text(number, body="cut 12 basil A1", to=NUMBER):
    return TextIn(carrier="twilio", id=f"SM{number}", to=to, phone=WALTS_PHONE, body=body, sent_at=NOW)


def stored(books):
    with books.read() as session:
        return sorted(session.exec(select(Inbound.id)))


def test_a_text_is_in_the_books_when_it_is_acknowledged(books):
    kept = Arrivals(books).store(a_text(1), NOW)
    assert (kept.farm_id, kept.id, kept.person_id, kept.done_at) == (1, "twilio:SM1", WALT, None)
    assert stored(books) == ["twilio:SM1"]


def test_the_same_text_again_is_the_one_that_is_there(books):
    arrivals = Arrivals(books)
    arrivals.store(a_text(1), NOW)
    assert arrivals.store(a_text(1, "other words"), NOW).body == "cut 12 basil A1"


def test_a_number_no_farm_has_is_nobodys(books):
    assert Arrivals(books).store(a_text(1, to="+13125550177"), NOW) is None
    assert stored(books) == []


def test_texts_that_come_while_one_is_written_share_a_commit(books):
    arrivals, commits, first_is_in = Arrivals(books), [], threading.Event()
    event.listen(books.engine, "commit", lambda _: commits.append(1))
    with ThreadPoolExecutor(8) as callers:
        with books.write():  # somebody else writes, so that they gather
            waiting = [callers.submit(arrivals.store, a_text(n), NOW) for n in range(8)]
            first_is_in.wait(0.3)
            commits.clear()
        assert all(one.result() for one in waiting)
    assert len(stored(books)) == 8
    assert len(commits) <= (4 if books.sqlite else 9)


def test_one_that_cannot_be_written_keeps_no_other_out(books, monkeypatch):
    arrivals = Arrivals(books)
    bad, good = a_text(1, "\ud800"), a_text(2)
    monkeypatch.setattr("service.inbox.clean", lambda text: text)  # what the database refuses gets as far as it
    with ThreadPoolExecutor(2) as callers, books.write():
        posted = [callers.submit(arrivals.store, one, NOW) for one in (bad, good)]
    with pytest.raises(UnicodeEncodeError):
        posted[0].result()
    assert posted[1].result().id == "twilio:SM2"
    assert stored(books) == ["twilio:SM2"]


def test_books_that_cannot_be_written_keep_nothing_and_say_so(books):
    def full(*_):
        raise OperationalError("INSERT", {}, Exception("disk full"))

    event.listen(books.engine, "commit", full)
    with pytest.raises(OperationalError):
        Arrivals(books).store(a_text(1), NOW)
    event.remove(books.engine, "commit", full)
    assert stored(books) == []
