import json
from datetime import timedelta

import httpx
import pytest

from tests.board_door import cookie_of
from tests.browser.farm import MORNING, served, tell


@pytest.fixture
def address(app):
    with served(app) as address:
        yield address


class Listener:
    """An open page: reads the marks it is told."""

    def __init__(self, app, address):
        cookie = cookie_of(app, address)
        self.cookies = {cookie["name"]: cookie["value"]}
        self._stream = httpx.stream("GET", f"{address}/board/events", cookies=self.cookies, timeout=10)
        self._lines = self._stream.__enter__().iter_lines()

    def next(self):
        """The next event: its kind and data; None when there will be no more."""
        event = {}
        for line in self._lines:
            name, _, value = line.partition(": ")
            if line:
                event[name] = value
            elif "data" in event:
                return event["event"], json.loads(event["data"])
        return None

    def close(self):
        self._stream.__exit__(None, None, None)


def test_a_page_hears_at_once_and_again_when_something_was_recorded(app, address):
    page = Listener(app, address)
    kind, first = page.next()
    assert kind == "mark"
    httpx.post(f"{address}/practice/texts", json={"from": "walt", "text": "main ph 6.1"})
    assert page.next()[1] != first
    page.close()


def test_a_page_hears_of_a_text_that_goes_out(app, address):
    page = Listener(app, address)
    first = page.next()
    tell(app, "Gloves are low.")
    assert page.next() != first
    page.close()


def test_a_page_is_told_when_its_session_is_over_and_the_stream_ends(app, address):
    page = Listener(app, address)
    page.next()
    app.state.clock = lambda: MORNING + timedelta(hours=13)
    assert page.next() == ("over", {})
    assert page.next() is None
    page.close()


def test_nobody_else_may_listen(address):
    assert httpx.get(f"{address}/board/events").status_code == 401


def test_the_service_stops_though_pages_listen(app):
    with served(app) as address:
        page = Listener(app, address)
        page.next()
    assert page.next() is None
    page.close()
