"""The outbox against a real database file and a carrier on the loopback, over HTTP."""

from contextlib import suppress
from datetime import timedelta
from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.books.tables import Person
from service import outbox
from service.carriers import News, Sent, Unclear
from service.carriers.practice import Practice
from service.carriers.twilio import STATES
from tests.service.carriers.farm import JUNE, JUNES_PHONE, NOW, NUMBER, WALT, WALTS_PHONE, mute, open_farm
from tests.service.carriers.loopback import TAKE, TAKE_AND_DROP
from tests.service.carriers.texts_out import LATER, CutOff, place, send, states, tell, the_texts

# placing


def test_the_same_key_is_placed_once(books):
    assert place(books, body="first") is not None
    assert place(books, body="second") is None
    assert [row.body for row in the_texts(books)] == ["first"]


def test_a_text_is_folded_on_its_way_in(books):
    assert place(books, body="It’s 22°C… ").body == "It's 22 degC..."


def test_an_empty_text_is_refused(books):
    with pytest.raises(ValueError, match="empty"):
        place(books, body=" \u200b ")


def test_a_text_longer_than_carriers_take_ends_in_dots(books):
    body = place(books, body="x" * 2000).body
    assert (len(body), body[-4:]) == (1600, "x...")


def test_what_is_not_committed_is_not_placed(books, twilio, loopback):
    with suppress(ZeroDivisionError), books.write() as session:
        words = {"carrier": "twilio", "phone": WALTS_PHONE, "person_id": WALT, "kind": "reply", "body": "ok"}
        assert outbox.place(session, farm_id=1, key="k", now=NOW, **words)
        1 / 0  # noqa: B018  what comes after it in the same unit of work fails
    assert send(books, twilio) == 0
    assert loopback.texts == []


# sending


def test_a_text_due_is_sent_once(books, twilio, loopback):
    place(books)
    assert send(books, twilio) == 1
    assert send(books, twilio) == 0
    assert loopback.bodies == ["Shift at 9 tomorrow."]
    (row,) = the_texts(books)
    assert (row.state, row.carrier_id, row.sent_at) == ("sent", loopback.texts[0]["sid"], NOW)


def test_a_text_waits_for_its_time(books, twilio, loopback):
    place(books, not_before=NOW + timedelta(hours=1))
    assert send(books, twilio) == 0
    assert send(books, twilio, NOW + timedelta(hours=1)) == 1


def test_replies_go_before_what_nobody_waits_for(books, twilio, loopback):
    place(books, "digest:1", "a digest", kind="digest")
    place(books, "reply:1", "a reply", kind="reply")
    send(books, twilio)
    assert loopback.bodies == ["a reply", "a digest"]


def test_a_reminder_that_comes_too_late_is_not_sent(books, twilio, loopback):
    place(books, expires_at=NOW + timedelta(minutes=30))
    send(books, twilio, NOW + timedelta(minutes=30))
    assert (states(books), loopback.texts) == (["expired"], [])


def test_the_carrier_is_told_how_long_a_text_is_worth_delivering(books, twilio, loopback):
    place(books, expires_at=NOW + timedelta(minutes=30))
    send(books, twilio)
    assert loopback.texts[0]["validity"] == "1800"


def test_texts_of_a_carrier_that_is_not_there_wait(books, twilio, loopback):
    place(books, carrier="practice")
    assert send(books, twilio) == 0
    assert outbox.send_due(books, {"practice": Practice()}, NOW) == 1
    assert (states(books), loopback.texts) == (["delivered"], [])


# consent


def test_nothing_unasked_goes_to_who_said_stop_meanwhile(books, twilio, loopback):
    place(books)
    place(books, "digest:2", "for june", phone=JUNES_PHONE, person_id=JUNE)
    mute(books)
    send(books, twilio)
    assert (states(books), loopback.bodies) == (["muted", "sent"], ["for june"])


def test_one_confirmation_of_a_stop_passes_but_not_a_late_one(books, twilio, loopback):
    place(books, "reply:1", "You will get no more texts.", kind="reply")
    mute(books)
    send(books, twilio)
    place(books, "reply:2", "A reply that was held up.", kind="reply")
    send(books, twilio, NOW + timedelta(minutes=5))
    assert states(books) == ["sent", "muted"]


def test_a_stop_takes_back_what_waits(books, twilio, loopback):
    place(books, "reply:1", "an answer to something earlier", kind="reply")
    with books.write() as session:
        outbox.drop_waiting(session, 1, WALT)
    place(books, "reply:2", "You will get no more texts.", kind="reply")
    send(books, twilio)
    assert loopback.bodies == ["You will get no more texts."]


def test_that_the_carrier_knows_of_an_opt_out_is_passed_on_in_the_same_unit_of_work(books, twilio, loopback):
    def mute_them(session, farm_id, person_id, now):
        session.get_one(Person, (farm_id, person_id)).muted = True

    place(books)
    loopback.then((400, 21610))
    send(books, twilio, opted_out=mute_them)
    place(books, "reminder:2")
    send(books, twilio)
    assert [(row.state, row.error) for row in the_texts(books)] == [("failed", "21610"), ("muted", None)]


# news


@given(st.lists(st.sampled_from(["sent", "delivered"]), min_size=1, max_size=6))
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_news_in_any_order_ends_the_same(new_address, told):
    books = open_farm(new_address())
    place(books)
    for state in told:
        assert tell(books, state, reference="1.1")
    assert states(books) == ["delivered" if "delivered" in told else "sent"]
    books.close()


@pytest.mark.parametrize("told", sorted(set(permutations(["sent", "sent", "failed", "failed"]))))
def test_a_failure_is_told_in_any_order_and_seen_to_once(books, told):
    place(books)
    muted = []
    for state in told:
        with books.write() as session:
            reason = "unsubscribed" if state == "failed" else None
            news = News(Sent("SM1", state, reason and "21610", reason), "1.1", NUMBER)
            assert outbox.status(session, news, LATER, opted_out=lambda *who: muted.append(who))
    assert states(books) == ["failed"]
    assert len(muted) == 1


def test_news_may_come_before_our_own_note_of_the_sending(books, twilio, loopback):
    """The carrier may call back while its answer to us is still on the way."""

    class Hasty(CutOff):
        def send(self, text):
            sent = self.carrier.send(text)
            tell(books, "delivered", sent.carrier_id, text.reference)
            return sent

    place(books)
    assert send(books, Hasty(twilio, after=True)) == 1
    assert states(books) == ["delivered"]


def test_news_may_come_while_we_wait_in_vain_for_the_answer(books, twilio, loopback):
    class Silent(CutOff):
        def send(self, text):
            tell(books, "sent", self.carrier.send(text).carrier_id, text.reference)
            raise Unclear("ReadTimeout")

    place(books)
    send(books, Silent(twilio, after=True))
    assert states(books) == ["sent"]


def test_news_of_a_text_in_doubt_settles_it(books, twilio, loopback):
    place(books)
    loopback.then(TAKE_AND_DROP)
    send(books, twilio)
    assert tell(books, "sent", loopback.texts[0]["sid"], "1.1")
    assert send(books, twilio, LATER) == 0
    assert (states(books), loopback.asked) == (["sent"], 1)


def test_a_text_that_failed_on_the_way_says_why(books, twilio, loopback):
    place(books)
    send(books, twilio)
    tell(books, "failed", loopback.texts[0]["sid"], error="30006")
    tell(books, "sent", loopback.texts[0]["sid"])
    assert [(row.state, row.error) for row in the_texts(books)] == [("failed", "30006")]


@pytest.mark.parametrize("reference", [None, "", "1.99", "1.1.1", "x", "99999999999999999999.1", "٣.٤"])
def test_news_of_nothing_we_know_changes_nothing(books, reference):
    place(books)
    assert not tell(books, "delivered", "SM-of-somebody-else", reference)
    assert states(books) == ["waiting"]


def test_the_health_page_can_count_the_texts(books, twilio, loopback):
    for n in range(3):
        place(books, f"r:{n}")
    loopback.then(TAKE, (400, 30007))
    send(books, twilio)
    with books.read() as session:
        assert outbox.state_counts(session) == {"sent": 2, "failed": 1}


def test_every_state_of_the_carrier_is_one_of_ours():
    assert set(STATES.values()) <= set(outbox.RANKS)
