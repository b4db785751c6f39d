"""The pace of the farm's number, and the hours of its day: what nobody waits for keeps to both, a reply to neither."""

from contextlib import closing
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from core.books.tables import Person
from service import outbox
from tests.service.carriers.farm import NOW
from tests.service.carriers.loopback import a_twilio
from tests.service.carriers.texts_out import place, states, the_texts

CHICAGO = ZoneInfo("America/Chicago")
LONG = "x" * 400  # three segments


@pytest.fixture
def slow(loopback):
    """One segment a second, as a US long code: https://www.twilio.com/docs/errors/21611."""
    with closing(a_twilio(loopback, segments_a_second=1)) as carrier:
        yield carrier


def send(books, carrier, now):
    return outbox.send_due(books, {"twilio": carrier}, now)


def seconds(n):
    return NOW + timedelta(seconds=n)


def test_texts_that_nobody_waits_for_go_out_a_segment_a_second(books, slow, loopback):
    for n in range(10):
        place(books, f"digest:{n}", f"text {n}", kind="digest")
    assert [send(books, slow, seconds(n)) for n in range(10)] == [1] * 10
    assert loopback.bodies == [f"text {n}" for n in range(10)]


def test_a_long_text_takes_its_number_for_as_long_as_its_segments(books, slow, loopback):
    place(books, "digest:1", LONG, kind="digest")
    place(books, "digest:2", "short", kind="digest")
    assert [send(books, slow, seconds(n)) for n in range(5)] == [1, 0, 0, 1, 0]


def test_a_reply_waits_for_nothing_but_counts(books, slow, loopback):
    for n in range(3):
        place(books, f"digest:{n}", LONG, kind="digest")
    send(books, slow, NOW)
    place(books, "reply:1", "an answer", kind="reply")
    assert send(books, slow, seconds(1)) == 1
    assert loopback.bodies == [LONG, "an answer"]
    assert [send(books, slow, seconds(n)) for n in (2, 3, 4)] == [0, 0, 1], "three segments and one"


def test_a_clock_set_back_does_not_stop_the_number(books, slow, loopback):
    place(books, "digest:1", "before", kind="digest", now=NOW - timedelta(days=1))
    place(books, "digest:2", "after", kind="digest", now=NOW - timedelta(days=1))
    send(books, slow, NOW)
    assert send(books, slow, NOW - timedelta(minutes=30)) == 1
    assert states(books) == ["sent", "sent"]


def test_a_carrier_without_a_bound_is_sent_everything_at_once(books, twilio, loopback):
    for n in range(10):
        place(books, f"digest:{n}", LONG, kind="digest")
    assert outbox.send_due(books, {"twilio": twilio}, NOW) == 10


def test_it_can_be_told_that_a_text_is_held_back_only_for_a_moment(books, slow):
    place(books, "digest:1", kind="digest")
    place(books, "digest:2", kind="digest")
    send(books, slow, NOW)
    assert outbox.waiting(books, {"twilio"}, NOW)
    send(books, slow, seconds(1))
    assert not outbox.waiting(books, {"twilio"}, seconds(1))


# the hours of the day


def local(hour, minute=0, day=25):
    return datetime(2026, 11, day, hour, minute, tzinfo=CHICAGO)


@pytest.mark.parametrize("kind", ["news", "announcement", "digest", "a kind of tomorrow"])
def test_what_was_held_up_until_night_waits_for_the_morning(books, twilio, kind):
    """Placed in good time, while the carrier was down."""
    place(books, "news:1", kind=kind, now=local(19, 50))
    assert send(books, twilio, local(21)) == 0
    assert send(books, twilio, local(7, 59, day=26)) == 0
    assert send(books, twilio, local(8, day=26)) == 1


@pytest.mark.parametrize("kind", ["trouble", "welcome", "code"])
def test_what_is_urgent_or_asked_for_goes_at_any_hour(books, twilio, kind):
    place(books, "now:1", kind=kind, now=local(2))
    assert send(books, twilio, local(2, 30)) == 1


@pytest.mark.parametrize(("minutes", "goes"), [(0, 1), (59, 1), (60, 0)])
def test_a_reply_goes_at_any_hour_for_an_hour_then_it_comes_unasked(books, twilio, minutes, goes):
    place(books, "reply:1", kind="reply", now=local(2))
    assert send(books, twilio, local(2) + timedelta(minutes=minutes)) == goes
    assert send(books, twilio, local(8)) == 1 - goes


def test_who_asked_to_be_texted_earlier_is(books, twilio):
    with books.write() as session:
        session.get_one(Person, (1, 1)).early_at = local(6).time()
    place(books, "news:1", kind="news", now=local(3))
    assert send(books, twilio, local(6)) == 1
    assert the_texts(books)[0].sent_at == local(6)
