from datetime import UTC, datetime

import pytest

from core.books.tables import Entry
from service.tables import Inbound, Outbound
from tests.browser.farm import MORNING
from tests.service.practice.phone import HARVEST, rows, text


def test_a_text_as_walt_is_answered_with_the_replies_and_their_cost(phone):
    answer = text(phone, "walt", HARVEST, id="one").json()
    assert answer["id"] == "one"
    reply = answer["replies"][0]
    assert "14 romaine" in reply["text"]
    assert (reply["encoding"], reply["units"]) == ("GSM-7", len(reply["text"]))
    assert reply["segments"] == (1 if len(reply["text"]) <= 160 else 2)


def test_the_same_id_again_has_one_effect_and_the_same_answer(app, phone):
    first = text(phone, "walt", HARVEST, id="one").json()
    before = [len(rows(app, table)) for table in (Inbound, Outbound, Entry)]
    again = text(phone, "walt", HARVEST, id="one").json()
    assert again == first
    assert [len(rows(app, table)) for table in (Inbound, Outbound, Entry)] == before


def test_a_text_without_an_id_is_given_one_of_its_own(app, phone):
    ids = {text(phone, "walt", "what do i do").json()["id"] for _ in range(2)}
    assert len(ids) == 2
    assert {row["id"] for row in rows(app, Inbound)} == {f"practice:{one}" for one in ids}


@pytest.mark.parametrize("sender", ["+13125550101", "walt", " Walt "])
def test_the_sender_is_a_handle_or_a_number(app, phone, sender):
    assert text(phone, sender, "what do i do").status_code == 200
    assert rows(app, Inbound)[0]["phone"] == "+13125550101"


@pytest.mark.parametrize("sender", ["unknown", "+13125550188"])
def test_a_number_nobody_has_is_nobody(app, phone, sender):
    answer = text(phone, sender, "picked 5 kale").json()
    assert answer["replies"]
    assert rows(app, Inbound)[0]["person_id"] is None


@pytest.mark.parametrize(
    ("sent", "instant"),
    [
        ("2026-05-02T09:10", datetime(2026, 5, 2, 14, 10, tzinfo=UTC)),
        ("2026-12-02T09:10", datetime(2026, 12, 2, 15, 10, tzinfo=UTC)),
        ("2026-05-02T09:10+02:00", datetime(2026, 5, 2, 7, 10, tzinfo=UTC)),
        ("", MORNING),
        (None, MORNING),
    ],
)
def test_a_text_may_say_when_it_was_sent_on_the_farms_clock(app, phone, sent, instant):
    """Port Ellery keeps the time of America/Chicago: UTC-5 in summer, UTC-6 in winter (IANA zones)."""
    text(phone, "walt", "what do i do", sent=sent)
    assert rows(app, Inbound)[0]["sent_at"] == instant


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"", "Invalid JSON"),
        (b"\xff\xfe", "Invalid JSON"),
        (b'{"from": "walt", "text": ', "Invalid JSON"),
        (b'{"from": "walt", "text": "\\ud800"}', "Invalid JSON"),
        (b"[]", "the body"),
        (b'{"text": "hi"}', "from: Field required"),
        (b'{"from": "walt"}', "text: Field required"),
        (b'{"from": "walt", "text": 3}', "text: Input should be a valid string"),
        (b'{"from": "walt", "text": "hi", "to": "me"}', "to: Extra inputs are not permitted"),
        (b'{"from": "walt", "text": "hi", "id": ""}', "id: "),
        (b'{"from": "walt", "text": "hi", "id": "a b"}', "id: "),
        (b'{"from": "walt", "text": "hi", "sent": "soon"}', "sent: not a time; write it like 2026-05-02T09:10"),
        (b'{"from": "walt", "text": "hi", "sent": "0001-01-01T00:00"}', "sent: a year from 2000"),
        (b'{"from": "walt", "text": "hi", "sent": 5}', "sent: not a time"),
        (b'{"from": "wally", "text": "hi"}', "from: nobody here is 'wally'; there are priya, walt,"),
        (b'{"from": "+1", "text": "hi"}', "from: nobody here is '+1'"),
    ],
)
def test_a_bad_body_is_refused_in_clear_words_and_nothing_is_stored(app, phone, body, words):
    refused = phone.post("/practice/texts", content=body, headers={"Content-Type": "application/json"})
    assert refused.status_code == 422
    assert words in refused.json()["detail"]
    assert rows(app, Inbound) == []


@pytest.mark.parametrize("words", ["", " ", "x" * 2000, "\x00\x01", "שלום", "🌱🌱", "A99 picked 3 romaine", "STOP"])
def test_whatever_is_texted_is_stored_and_done_with(app, phone, words):
    answer = text(phone, "walt", words, id="odd")
    assert answer.status_code == 200
    stored = rows(app, Inbound)[0]
    assert (stored["done_at"], stored["trouble"]) == (MORNING, None)
