import json
from datetime import timedelta

import httpx
import pytest

from service.practice.texting import PracticeText, hand_over
from tests.browser.farm import MORNING, served, tell
from tests.service.practice.phone import HARVEST


class Listener:
    """A page that listens: reads events until it has as many as it waits for."""

    def __init__(self, address, **headers):
        self._stream = httpx.stream("GET", f"{address}/practice/events", headers=headers, timeout=10)
        self._lines = self._stream.__enter__().iter_lines()

    def events(self, n):
        """The next n events: kind, id and data of each."""
        found, event = [], {}
        for line in self._lines:
            if line:
                field, _, value = line.partition(": ")
                event[field] = value
            elif event.get("data"):
                found.append((event["event"], event.get("id"), json.loads(event["data"])))
                event = {}
                if len(found) == n:
                    return found
        return found

    def close(self):
        self._stream.__exit__(None, None, None)


@pytest.fixture
def address(app):
    with served(app) as address:
        yield address


def words_of(events):
    return [data["text"] for kind, _, data in events if kind == "text"]


def test_news_is_told_as_it_comes(app, address):
    tell(app, "said before anybody listened")
    listener = Listener(address)
    httpx.post(f"{address}/practice/texts", json={"from": "walt", "text": HARVEST})
    tell(app, "Gloves are low.", now=MORNING + timedelta(minutes=1))
    told = []
    while "Gloves are low." not in told:
        told += words_of(listener.events(1))
    listener.close()
    assert told[0] == HARVEST
    assert "14 romaine" in told[1]
    assert "said before anybody listened" not in told


def test_a_text_given_for_another_day_is_told_with_its_answer(app, address):
    listener = Listener(address)
    text = PracticeText.model_validate({"from": "walt", "text": HARVEST})
    hand_over(app.state.books, text, "earlier", MORNING - timedelta(days=2), app.state.answer_now)
    assert words_of(listener.events(2))[0] == HARVEST
    listener.close()


def test_a_text_that_gets_further_is_told_as_its_state_alone(app, address):
    tell(app, "on its way")
    listener = Listener(address)
    app.state.send()
    state = ""
    while state not in ("sent", "delivered"):
        (kind, _, data) = listener.events(1)[0]
        assert kind == "state"
        assert set(data) == {"handle", "id", "state"}
        state = data["state"]
    listener.close()


def test_whoever_comes_back_is_told_what_was_missed(app, address):
    tell(app, "heard")
    listener = Listener(address, **{"Last-Event-ID": "0-0"})
    (_, mark, _) = listener.events(1)[0]
    listener.close()
    tell(app, "missed", now=MORNING + timedelta(minutes=1))
    back = Listener(address, **{"Last-Event-ID": mark})
    assert words_of(back.events(2)) == ["missed"]
    back.close()


@pytest.mark.parametrize("mark", ["nonsense", "1-x", "x-1", "-", "9-" + "9" * 400])
def test_a_mark_that_is_not_ours_begins_from_now(app, address, mark):
    tell(app, "before")
    listener = Listener(address, **{"Last-Event-ID": mark})
    tell(app, "after", now=MORNING + timedelta(minutes=1))
    assert words_of(listener.events(2)) == ["after"]
    listener.close()


def test_the_service_stops_though_pages_listen(app):
    with served(app) as address:
        listener = Listener(address)
    assert listener.events(1) == []
    listener.close()
