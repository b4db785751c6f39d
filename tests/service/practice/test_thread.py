import pytest

from tests.browser.farm import tell
from tests.service.practice.phone import HARVEST, text


def test_everybody_of_the_crew_can_be_texted_as_and_a_stranger_last(phone):
    people = phone.get("/practice/people").json()["people"]
    crew = ["priya", "walt", "dolores", "mateo", "june", "keisha", "tomas", "arlo", "bea"]
    assert [one["handle"] for one in people] == [*crew, "unknown"]
    assert (people[0]["role"], people[3]["language"], people[4]["age"]) == ("coordinator", "es", "minor")
    assert people[1]["latest"] is None


def test_the_newest_text_stands_with_each_person(app, phone):
    tell(app, "first")
    tell(app, "second")
    assert phone.get("/practice/people").json()["people"][0]["latest"]["text"] == "second"


def test_a_thread_is_in_order_though_a_text_says_it_was_sent_tomorrow(phone):
    text(phone, "walt", "what do i do", sent="2026-11-26T09:00", id="a")
    text(phone, "walt", HARVEST, id="b")
    thread = phone.get("/practice/threads/walt").json()
    assert thread["who"]["name"] == "Walt"
    lines = thread["lines"]
    assert [line["id"] for line in lines if line["who"] == "you"] == ["in:practice:a", "in:practice:b"]
    assert [line["who"] for line in lines[:2]] == ["you", "farm"]
    assert (lines[0]["hour"], lines[-1]["hour"]) == ("Thu Nov 26, 9:00 am", "Wed Nov 25, 9:00 am")


def test_a_thread_of_a_number_is_its_own_and_one_of_nobody_is_not_there(phone):
    text(phone, "+13125550188", "hello")
    assert phone.get("/practice/threads/+13125550188").json()["lines"][0]["text"] == "hello"
    assert phone.get("/practice/threads/unknown").json()["lines"] == []
    assert phone.get("/practice/threads/wally").status_code == 404


@pytest.mark.parametrize(
    ("words", "cost"),
    [
        ("", {"encoding": "GSM-7", "units": 0, "parts": 1}),
        ("€", {"encoding": "GSM-7", "units": 2, "parts": 1}),
        ("a" * 161, {"encoding": "GSM-7", "units": 161, "parts": 2}),
        ("á" * 71, {"encoding": "UCS-2", "units": 71, "parts": 2}),
    ],
)
def test_the_cost_of_a_text_is_counted_as_it_is_typed(phone, words, cost):
    """Figures: 3GPP TS 23.038 and 23.040 (160 and 70 alone, 153 and 67 in a part)."""
    assert phone.post("/practice/segments", json={"text": words}).json() == cost
