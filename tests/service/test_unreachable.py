"""Numbers that get no texts: given up, and told of once, to who can do something about it."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.books.tables import Farm, Person
from service import inbox, outbox
from service.carriers import News, Sent, TextIn
from service.conversation.keywords import opted_out
from service.tables import DeadNumber, Outbound
from tests.demo_farm import FARM, NOW, person_id
from tests.service.carriers.loopback import a_twilio
from tests.service.ticks import change, texts, to

NEXT_DAY = NOW + timedelta(days=1)
"""At nine in the morning, as NOW is."""


@pytest.fixture
def sent(demo_books, loopback):
    """Places a text to somebody, has it sent, and tells how the carrier met it."""
    loopback.now = NOW
    carrier = a_twilio(loopback)
    numbers = iter(range(99))

    def place_and_send(who="walt", met=None, now=NOW, kind="reminder"):
        with demo_books.write() as session:
            one = session.get_one(Person, (FARM, person_id(session, who)))
            row = outbox_place(session, one, f"test:{next(numbers)}", kind, now)
        if met is not None:
            loopback.then((400, met))
        send(demo_books, carrier, now)
        return row.id

    yield place_and_send
    carrier.close()


def outbox_place(session, one, key, kind, now):
    return outbox.place(
        session,
        farm_id=FARM,
        key=key,
        carrier="twilio",
        phone=one.phone,
        person_id=one.id,
        kind=kind,
        body=key,
        now=now,
    )


def send(books, carrier, now):
    outbox.send_due(books, {"twilio": carrier}, now, opted_out=opted_out)


def told(books):
    return [one.body for one in to(books, "priya", kind="news")]


@pytest.mark.parametrize(
    ("code", "words"),
    [(21211, "not in use"), (30005, "not in use"), (21635, "no mobile phone"), (30004, "does not take our texts")],
)
def test_the_coordinator_hears_once_of_a_number_that_gets_no_texts(demo_books, sent, loopback, code, words):
    sent(met=code)
    sent(met=code)
    (news,) = told(demo_books)
    assert "Walt" in news
    assert words in news


def test_nothing_more_is_sent_to_it(demo_books, sent, loopback):
    sent(met=21614)
    sent()
    assert [(one.state, one.error) for one in to(demo_books, "walt")] == [
        ("failed", "21614"),
        ("failed", "number gets no texts"),
    ]
    assert loopback.asked == 2, "Walt's first text, and what Priya is told"


def test_until_it_texts_us(demo_books, sent, loopback):
    sent(met=21614)
    with demo_books.write() as session:
        farm, walt = session.get_one(Farm, FARM), session.get_one(Person, (FARM, person_id(session, "walt")))
        inbox.receive(session, farm, TextIn("twilio", "SM1", farm.phone, walt.phone, "hello"), NOW)
    inbox.finish(demo_books, FARM, "twilio:SM1", lambda *_: None, NOW)
    sent()
    assert [one.state for one in to(demo_books, "walt")] == ["failed", "sent"]
    sent(met=21614)
    assert len(told(demo_books)) == 1, "that was said already"


def test_who_unsubscribed_at_the_carrier_is_muted_once_and_the_coordinator_knows(demo_books, sent, loopback):
    sent(met=21610)
    sent()
    (news,) = told(demo_books)
    assert news == "Walt gets no more texts from me: they wrote STOP. If they want them again, they text START."
    with demo_books.read() as session:
        assert session.get_one(Person, (FARM, person_id(session, "walt"))).muted
        assert session.exec(select(DeadNumber)).all() == [], "START lifts it"
    assert [one.state for one in to(demo_books, "walt")] == ["failed", "muted"]


def test_a_failure_told_later_counts_like_one_told_at_once(demo_books, sent, loopback):
    number = sent()
    carrier_id = loopback.texts[0]["sid"]
    for _ in range(2):
        with demo_books.write() as session:
            failed = News(Sent(carrier_id, "failed", "30006", "landline"), f"{FARM}.{number}")
            assert outbox.status(session, failed, NOW, opted_out=opted_out)
    assert len(told(demo_books)) == 1
    with demo_books.read() as session:
        assert [one.reason for one in session.exec(select(DeadNumber))] == ["landline"]


def test_the_coordinators_own_number_is_told_to_the_others_only(demo_books, sent):
    change(demo_books, "bea", role="coordinator", agreed=True)
    sent("priya", met=21635)
    assert told(demo_books) == []
    assert ["Priya" in one.body for one in to(demo_books, "bea", kind="news")] == [True]


def test_in_the_readers_language(demo_books, sent):
    change(demo_books, "priya", language="es")
    sent(met=21635)
    assert told(demo_books) == ["A Walt no le llega nada: ese numero no es de movil. Pide uno que reciba mensajes."]


@pytest.mark.parametrize("code", [30003, 30008])
def test_a_phone_that_is_off_gets_the_text_once_more_later_and_nobody_is_troubled(demo_books, sent, loopback, code):
    sent(met=code)
    assert told(demo_books) == []
    (first, again) = to(demo_books, "walt")
    assert (first.state, again.state, again.body) == ("failed", "waiting", first.body)
    assert again.next_try_at == NOW + timedelta(hours=2)
    sent("june", now=NOW + timedelta(hours=1))
    loopback.then((400, code))
    sent("june", now=NOW + timedelta(hours=2))
    assert [one.state for one in to(demo_books, "walt")] == ["failed", "failed"], "and that was all"


def test_but_not_once_it_is_worthless(demo_books, loopback, sent):
    number = sent()
    with demo_books.write() as session:
        session.get_one(Outbound, (FARM, number)).expires_at = NOW + timedelta(hours=1)
        outbox.status(session, News(Sent(loopback.texts[0]["sid"], "failed", "30003", "unreachable")), NOW)
    assert len(to(demo_books, "walt")) == 1


def test_a_fault_of_the_words_says_nothing_of_the_number(demo_books, sent):
    sent(met=30007)
    assert told(demo_books) == []
    sent(now=NEXT_DAY)
    assert [one.state for one in texts(demo_books)] == ["failed", "sent"]
