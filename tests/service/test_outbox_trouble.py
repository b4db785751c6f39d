"""The outbox when things go wrong on the way, against a real database file and a carrier on the loopback."""

from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, suppress
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service import outbox
from tests.service.carriers.farm import NOW, WALTS_PHONE, open_farm
from tests.service.carriers.loopback import DROP, TAKE, TAKE_AND_DROP, TAKE_AND_HANG, Loopback, a_twilio
from tests.service.carriers.texts_out import LATER, CutOff, place, send, states, the_texts


@pytest.mark.parametrize("met", [429, (400, 21611), (401, 20003)])
def test_a_text_that_was_not_taken_is_tried_again_later(books, twilio, loopback, met):
    place(books)
    loopback.then(met)
    assert send(books, twilio) == 0
    assert states(books) == ["waiting"]
    assert send(books, twilio) == 0, "not at once"
    assert send(books, twilio, LATER) == 1
    assert loopback.listed == 0, "there was nothing to look up"


@pytest.mark.parametrize("met", [TAKE_AND_DROP, TAKE_AND_HANG])
def test_a_text_whose_answer_was_lost_is_found_at_the_carrier_and_not_sent_again(books, twilio, loopback, met):
    place(books)
    loopback.then(met)
    assert send(books, twilio) == 0
    assert states(books) == ["unknown"]
    assert send(books, twilio, LATER) == 1
    assert len(loopback.texts) == 1
    assert the_texts(books)[0].carrier_id == loopback.texts[0]["sid"]


@pytest.mark.parametrize("met", [DROP, 500, 503])
def test_a_text_that_got_lost_is_sent_again_once_the_carrier_does_not_list_it(books, twilio, loopback, met):
    place(books)
    loopback.then(met)
    send(books, twilio)
    assert states(books) == ["unknown"]
    assert send(books, twilio, LATER) == 1
    assert (len(loopback.texts), loopback.listed) == (1, 1)


def test_the_same_words_sent_before_are_not_mistaken_for_a_text_in_doubt(books, twilio, loopback):
    place(books, "reply:1", "ok", kind="reply")
    send(books, twilio)
    place(books, "reply:2", "ok", kind="reply")
    loopback.then(DROP)
    send(books, twilio)
    send(books, twilio, LATER)
    assert loopback.bodies == ["ok", "ok"]
    assert states(books) == ["sent", "sent"]


def test_nor_are_they_where_they_were_held_up_for_long(books, twilio, loopback):
    place(books, "reply:1", "ok", kind="reply", not_before=LATER)
    place(books, "reply:2", "ok", kind="reply", now=LATER)
    loopback.now = LATER
    loopback.then(TAKE, DROP)
    send(books, twilio, LATER)
    send(books, twilio, LATER + timedelta(hours=1))
    assert loopback.bodies == ["ok", "ok"]


def test_a_text_in_doubt_past_its_time_is_looked_up_but_not_sent(books, twilio, loopback):
    place(books, "r:1", "first", expires_at=NOW + timedelta(hours=1))
    place(books, "r:2", "second", expires_at=NOW + timedelta(hours=1))
    loopback.then(TAKE_AND_DROP, DROP)
    send(books, twilio)
    send(books, twilio)
    send(books, twilio, LATER)
    assert (states(books), loopback.bodies) == (["sent", "expired"], ["first"])


@pytest.mark.parametrize("code", [21211, 21614, 21635, 30007, 99999])
def test_a_text_that_is_refused_is_given_up_loudly_and_without_its_number(books, twilio, loopback, code, caplog):
    place(books)
    loopback.then((400, code))
    send(books, twilio)
    send(books, twilio, LATER)
    assert [(row.state, row.error) for row in the_texts(books)] == [("failed", str(code))]
    assert loopback.asked == 1
    assert str(code) in caplog.text
    assert WALTS_PHONE not in caplog.text
    assert "Shift" not in caplog.text


def test_a_carrier_in_trouble_is_left_alone_until_the_next_round(books, twilio, loopback):
    for n in range(3):
        place(books, f"r:{n}", f"text {n}")
    loopback.then(429)
    assert send(books, twilio) == 0
    assert loopback.asked == 1
    assert send(books, twilio) == 2, "but for the text it was in trouble with"


def test_it_gives_up_after_so_many_attempts(books, twilio, loopback):
    place(books)
    loopback.then(*[429] * 100)
    for days in range(20):
        send(books, twilio, NOW + timedelta(days=days))
    assert (states(books), loopback.asked) == (["failed"], outbox.MOST_ATTEMPTS)


def test_a_carrier_out_of_reach_is_tried_again(books, twilio, loopback):
    place(books)
    loopback.__exit__()
    assert send(books, twilio) == 0
    assert [(row.state, row.error) for row in the_texts(books)] == [("waiting", "ConnectError")]


ANSWERS = st.sampled_from([TAKE, TAKE_AND_DROP, DROP, 429, 500, "killed before", "killed after"])


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(ANSWERS, max_size=10))
def test_whatever_goes_wrong_each_text_is_taken_by_the_carrier_once(new_address, answers):
    books = open_farm(new_address())
    with Loopback(NOW) as loopback, closing(a_twilio(loopback)) as carrier:
        for n in range(3):
            place(books, f"r:{n}", f"text {n}")
        for hours, answer in enumerate(answers):
            loopback.forget_script()
            attempt(books, carrier, loopback, answer, NOW + timedelta(hours=2 * hours))
        loopback.forget_script()
        for hours in range(3):
            send(books, carrier, NOW + timedelta(days=2, hours=2 * hours))
        assert sorted(loopback.bodies) == ["text 0", "text 1", "text 2"]
    assert states(books) == ["sent"] * 3
    books.close()


def attempt(books, carrier, loopback, answer, now):
    """One round in which the first send meets the answer, or the service is killed and started again."""
    if answer in ("killed before", "killed after"):
        with suppress(SystemExit):
            send(books, CutOff(carrier, after=answer == "killed after"), now)
        outbox.recover(books, now)
    else:
        loopback.then(answer)
        send(books, carrier, now)


def test_several_workers_at_once_send_each_text_once(books, twilio, loopback):
    for n in range(20):
        place(books, f"r:{n}", f"text {n}")
    with ThreadPoolExecutor(4) as workers:
        taken = list(workers.map(lambda _: send(books, twilio), range(4)))
    assert sum(taken) == 20
    assert sorted(loopback.bodies) == sorted(f"text {n}" for n in range(20))


# crashes


def test_a_text_cut_off_after_the_carrier_took_it_is_not_sent_again(books, twilio, loopback):
    place(books)
    with pytest.raises(SystemExit):
        send(books, CutOff(twilio, after=True))
    outbox.recover(books, NOW)
    # On PostgreSQL it may be in the hands of another process that lives, so the lease tells.
    assert states(books) == ["unknown" if books.sqlite else "sending"]
    assert send(books, twilio) == 0, "what the carrier just took may not be listed yet"
    assert send(books, twilio, LATER) == 1
    assert len(loopback.texts) == 1


def test_a_text_cut_off_before_the_carrier_took_it_is_sent(books, twilio, loopback):
    place(books)
    with pytest.raises(SystemExit):
        send(books, CutOff(twilio, after=False))
    outbox.recover(books, NOW)
    assert send(books, twilio, LATER) == 1
    assert len(loopback.texts) == 1


def test_a_text_in_anothers_hands_is_left_there_until_the_lease_is_over(books, twilio, loopback):
    place(books)
    with pytest.raises(SystemExit):
        send(books, CutOff(twilio, after=False))
    assert send(books, twilio, NOW + outbox.LEASE - timedelta(seconds=1)) == 0
    assert send(books, twilio, NOW + outbox.LEASE) == 1
