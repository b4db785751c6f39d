from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import select

from core.books.tables import Farm, Person
from service import inbox, outbox
from service.carriers import TextIn
from service.loops import too_many
from service.tables import Inbound, Outbound
from tests.service.carriers.farm import JUNE, JUNES_PHONE, NOW, NUMBER, WALT, WALTS_PHONE, open_farm


def a_text(number=1, body="cut 12 basil A1", phone=WALTS_PHONE, sent_at=NOW):
    return TextIn(carrier="twilio", id=f"SM{number}", to=NUMBER, phone=phone, body=body, sent_at=sent_at)


def deliver(books, text, now=NOW):
    with books.write() as session:
        return inbox.receive(session, session.get_one(Farm, 1), text, now)


def echo(session, farm, inbound, now):
    """A conversation that understands every text and says it back."""
    inbound.reading = {"verdict": "record"}
    outbox.place(
        session,
        farm_id=farm.id,
        key=f"reply:{inbound.id}",
        carrier=inbound.carrier,
        phone=inbound.phone,
        person_id=inbound.person_id,
        kind="reply",
        body=f"got {inbound.body}",
        now=now,
        reply_to=inbound.id,
    )


def all_of(books, table):
    with books.read() as session:
        rows = list(session.exec(select(table)).all())
        session.expunge_all()
        return rows


def replies(books):
    return [row.body for row in sorted(all_of(books, Outbound), key=lambda row: row.id)]


def test_a_text_is_stored_with_who_sent_it(books):
    stored, new = deliver(books, a_text())
    assert new
    assert (stored.id, stored.person_id, stored.body, stored.done_at) == ("twilio:SM1", WALT, "cut 12 basil A1", None)


def test_the_same_text_again_changes_nothing(books):
    deliver(books, a_text())
    stored, new = deliver(books, a_text(body="other words under the same id"), NOW + timedelta(minutes=1))
    assert not new
    assert (stored.body, stored.received_at) == ("cut 12 basil A1", NOW)


def test_a_stranger_is_stored_as_nobody(books):
    stored, _ = deliver(books, a_text(phone="+13125550199"))
    assert stored.person_id is None


@pytest.mark.parametrize(
    ("body", "kept"),
    [
        ("", ""),
        ("a\x00b\x1b\x7f", "ab"),
        ("two\nlines\tand a tab", "two\nlines\tand a tab"),
        ("x" * 5000, "x" * 2000),
        ("שלום 🌱", "שלום 🌱"),
        ("half a pair \ud83c", "half a pair "),
    ],
)
def test_whatever_the_body_holds_it_is_kept_as_far_as_a_database_can(books, body, kept):
    assert deliver(books, a_text(body=body))[0].body == kept


def test_a_text_is_finished_once_however_often_it_is_asked_for(books):
    deliver(books, a_text())
    for _ in range(3):
        inbox.finish(books, 1, "twilio:SM1", echo, NOW)
    assert replies(books) == ["got cut 12 basil A1"]
    assert all_of(books, Inbound)[0].done_at == NOW


def test_earlier_texts_of_the_same_person_are_finished_first(books):
    deliver(books, a_text(2, "second", sent_at=NOW + timedelta(seconds=2)))
    deliver(books, a_text(1, "first", sent_at=NOW))
    deliver(books, a_text(3, "third", sent_at=NOW + timedelta(seconds=3)))
    inbox.finish(books, 1, "twilio:SM2", echo, NOW)
    assert replies(books) == ["got first", "got second"]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_texts_delivered_twice_and_in_any_order_have_one_effect_each_in_the_order_sent(new_address, data):
    sent = [
        *(a_text(n, f"walt {n}", WALTS_PHONE, NOW + timedelta(seconds=n)) for n in range(4)),
        *(a_text(10 + n, f"june {n}", JUNES_PHONE, NOW + timedelta(seconds=n)) for n in range(4)),
    ]
    delivered = data.draw(st.permutations(sent + data.draw(st.lists(st.sampled_from(sent), max_size=8))))
    books = open_farm(new_address())
    for text in delivered:
        deliver(books, text)
    inbox.finish_all(books, echo, NOW)
    rows = sorted(all_of(books, Outbound), key=lambda row: row.id)
    books.close()
    for person, name in ((WALT, "walt"), (JUNE, "june")):
        assert [row.body for row in rows if row.person_id == person] == [f"got {name} {n}" for n in range(4)]


def test_several_workers_at_once_finish_each_text_once_and_in_order(books):
    answered = []
    for n in range(12):
        deliver(books, a_text(n, f"text {n}", sent_at=NOW + timedelta(seconds=n)))
    with ThreadPoolExecutor(4) as workers:
        answer = lambda session, farm, inbound, now: answered.append(inbound.body)  # noqa: E731
        list(workers.map(lambda _: inbox.finish_all(books, answer, NOW), range(4)))
    assert answered == [f"text {n}" for n in range(12)]


def test_a_text_delivered_by_many_at_once_is_new_to_one_of_them(books):
    with ThreadPoolExecutor(4) as workers:
        news = [new for _, new in workers.map(lambda _: deliver(books, a_text()), range(8))]
    assert news.count(True) == 1


def test_after_a_crash_everything_left_is_finished(books):
    for n in range(3):
        deliver(books, a_text(n, f"text {n}"))
    assert inbox.finish_all(books, echo, NOW) == 3
    assert inbox.finish_all(books, echo, NOW) == 0
    assert len(replies(books)) == 3


def test_a_crash_in_the_middle_leaves_no_half_of_a_text(books):
    def cut_off(session, farm, inbound, now):
        echo(session, farm, inbound, now)
        session.flush()
        raise SystemExit

    deliver(books, a_text())
    with pytest.raises(SystemExit):
        inbox.finish(books, 1, "twilio:SM1", cut_off, NOW)
    assert replies(books) == []
    inbox.finish_all(books, echo, NOW)
    assert replies(books) == ["got cut 12 basil A1"]


def test_a_fault_that_passes_costs_nothing_but_time(books):
    tries = []

    def stumbles(session, farm, inbound, now):
        tries.append(inbound.id)
        echo(session, farm, inbound, now)
        if len(tries) < 3:
            raise ConnectionError

    deliver(books, a_text())
    inbox.finish(books, 1, "twilio:SM1", stumbles, NOW)
    assert replies(books) == ["got cut 12 basil A1"]
    (stored,) = all_of(books, Inbound)
    assert (stored.attempts, stored.trouble) == (2, None)


def always_fails(session, farm, inbound, now):
    echo(session, farm, inbound, now)
    raise ZeroDivisionError(inbound.body + inbound.phone)


def test_a_text_that_cannot_be_finished_is_set_aside_with_one_apology(books):
    deliver(books, a_text())
    inbox.finish(books, 1, "twilio:SM1", always_fails, NOW)
    inbox.finish(books, 1, "twilio:SM1", always_fails, NOW)
    (stored,) = all_of(books, Inbound)
    assert (stored.attempts, stored.trouble, stored.done_at) == (3, "ZeroDivisionError", NOW)
    assert replies(books) == ["Sorry, something went wrong here and your text was kept. Please tell the coordinator."]


def test_the_apology_is_in_the_language_of_the_sender(books):
    stored, _ = deliver(books, a_text())
    with books.write() as session:
        session.get_one(Person, (1, stored.person_id)).language = "es"
    inbox.finish(books, 1, "twilio:SM1", always_fails, NOW)
    assert replies(books)[0].startswith("Perdon, algo fallo")


def test_what_is_behind_a_text_that_cannot_be_finished_is_still_finished(books):
    def fails_on_the_first(session, farm, inbound, now):
        (always_fails if inbound.body == "bad" else echo)(session, farm, inbound, now)

    deliver(books, a_text(1, "bad"))
    deliver(books, a_text(2, "good", sent_at=NOW + timedelta(seconds=1)))
    inbox.finish(books, 1, "twilio:SM2", fails_on_the_first, NOW)
    sorry, good = replies(books)
    assert sorry.startswith("Sorry, something went wrong")
    assert good == "got good"


def test_the_log_says_what_went_wrong_without_number_or_words(books, caplog):
    deliver(books, a_text(body="my very own words"))
    inbox.finish(books, 1, "twilio:SM1", always_fails, NOW)
    assert "twilio:SM1" in caplog.text
    assert "ZeroDivisionError" in caplog.text
    assert "own words" not in caplog.text
    assert WALTS_PHONE not in caplog.text


def is_too_much(books, now):
    with books.read() as session:
        return too_many(session, 1, WALTS_PHONE, now)


def test_twenty_replies_within_a_minute_are_enough(books):
    for n in range(20):
        assert not is_too_much(books, NOW)
        deliver(books, a_text(n, f"text {n}"))
        inbox.finish(books, 1, f"twilio:SM{n}", echo, NOW)
    assert is_too_much(books, NOW)
    assert not is_too_much(books, NOW + timedelta(minutes=1))


@pytest.mark.parametrize(("body", "times"), [("I am driving and will answer later", 6), ("ok", 10)])
def test_the_same_words_again_and_again_within_an_hour_are_a_machine_talking(books, body, times):
    for n in range(times):
        assert not is_too_much(books, NOW + timedelta(minutes=n))
        deliver(books, a_text(n, body), NOW + timedelta(minutes=n))
    assert is_too_much(books, NOW + timedelta(minutes=times))
    assert not is_too_much(books, NOW + timedelta(minutes=times + 60))


def test_other_words_after_repeated_ones_are_answered_again(books):
    for n in range(3):
        deliver(books, a_text(n, "I am driving and will answer later"), NOW)
    deliver(books, a_text(9, "cut 12 basil A1"), NOW + timedelta(minutes=1))
    assert not is_too_much(books, NOW + timedelta(minutes=1))
