"""Addresses of calendars and letters: they open one thing, to whoever has them, until they are taken back."""

import io
import re
from datetime import timedelta

import pytest
from fastapi.testclient import TestClient
from icalendar import Calendar
from pypdf import PdfReader

from service.app import create_app
from service.settings import Settings
from tests.demo_farm import NOW
from tests.practice_line import Line


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


@pytest.fixture
def web(demo_books, monkeypatch):
    """The service on the same books, its clock that of the test."""
    clock = {"now": NOW}
    address = demo_books.engine.url.render_as_string(hide_password=False)
    app = create_app(Settings(database=address, clockwork=False, _env_file=None), clock=lambda: clock["now"])
    with TestClient(app) as client:
        client.clock = clock
        yield client


def path_in(text):
    return re.search(r"https?://[^/]+(/\S+)", text)[1]


def fetch(web, line, who, words):
    return web.get(path_in(line.text(who, words)[0]))


def test_a_persons_calendar_shows_their_own_shifts_and_no_other(web, line):
    seen = Calendar.from_ical(fetch(web, line, "june", "my calendar").content)
    shifts = line.text("june", "when am i on this week")[0]
    assert seen.events
    assert all(event["status"] == "CONFIRMED" for event in seen.events)
    assert "Sat May 9" in shifts
    assert [event["dtstart"].dt.strftime("%a %b %-d") for event in seen.events].count("Sat May 9") == 1


def test_a_shift_given_up_by_text_is_cancelled_in_the_calendar_and_back_after_undo(web, line):
    path = path_in(line.text("june", "my calendar")[0])

    def saturday():
        events = Calendar.from_ical(web.get(path).content).events
        (event,) = [one for one in events if one["dtstart"].dt.strftime("%m-%d") == "05-09"]
        return event["status"], event["sequence"]

    status, first = saturday()
    line.text("june", "cant make it saturday")
    given_up, second = saturday()
    line.text("june", "undo")
    back, third = saturday()
    assert (status, given_up, back) == ("CONFIRMED", "CANCELLED", "CONFIRMED")
    assert first < second < third


def test_the_farms_calendar_names_nobody(web, line):
    body = fetch(web, line, "walt", "farm calendar").text
    assert "coming" in body
    assert [name for name in ("June", "Arlo", "Keisha", "Walt", "Priya", "Dolores") if name in body] == []


def test_a_volunteer_is_not_given_the_farms_calendar(line):
    assert "http" not in line.text("june", "farm calendar")[0]


def test_a_calendar_that_has_not_changed_is_not_sent_again(web, line):
    path = path_in(line.text("june", "my calendar")[0])
    tag = web.get(path).headers["etag"]
    assert web.get(path, headers={"If-None-Match": tag}).status_code == 304
    line.text("june", "cant make it saturday")
    assert web.get(path, headers={"If-None-Match": tag}).status_code == 200


def test_a_new_calendar_closes_the_old_address(web, line):
    old = path_in(line.text("june", "my calendar")[0])
    new = path_in(line.text("june", "new calendar")[0])
    assert (web.get(old).status_code, web.get(new).status_code) == (404, 200)


@pytest.mark.parametrize(
    "path",
    [
        *(
            "/calendar/1-" + "a" * 32 + ".ics",
            "/calendar/x.ics",
            "/calendar/%00.ics",
            "/letters/1-" + "b" * 32 + ".pdf",
        ),
        "/calendar/999999999-" + "a" * 32 + ".ics",
    ],
)
def test_an_address_that_was_never_given_leads_nowhere(web, path):
    assert web.get(path).status_code == 404


def test_an_address_of_one_kind_does_not_open_the_other(web, line):
    calendar = path_in(line.text("june", "my calendar")[0])
    assert web.get(calendar.replace("/calendar/", "/letters/").replace(".ics", ".pdf")).status_code == 404


def test_no_address_is_kept_in_the_books(demo_books, line):
    from sqlmodel import select

    from service.tables import Link

    token = path_in(line.text("june", "my calendar")[0]).split("-", 1)[1].removesuffix(".ics")
    with demo_books.read() as session:
        assert all(token not in str(link.model_dump()) for link in session.exec(select(Link)))


def test_a_letter_says_the_hours_and_has_a_line_to_sign_on(web, line):
    line.text("june", "worked 3 hours on friday")
    answer = fetch(web, line, "walt", "letter for june")
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    told = line.text("walt", "hours june")[0]
    total = re.search(r"([\d]+ h(?: \d+ min)?) this year", told)[1]
    assert answer.headers["content-type"] == "application/pdf"
    assert "June" in text
    assert total.split(" h")[0] + " h" in text
    assert "Signature" in text
    assert "minor" in text
    assert "3 h 0 min of these were reported" in text


def test_a_letter_opens_for_seven_days(web, line):
    path = path_in(line.text("walt", "letter for june")[0])
    web.clock["now"] = NOW + timedelta(days=6, hours=23)
    assert web.get(path).status_code == 200
    web.clock["now"] = NOW + timedelta(days=7, minutes=1)
    assert web.get(path).status_code == 404


def test_a_letter_is_not_given_to_a_volunteer(line):
    assert "http" not in line.text("keisha", "letter for june")[0]
