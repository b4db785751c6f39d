"""Water and air: the newest of everything, what is off, alarms and probes; one measure over time; the table in and out."""

import csv
import re
from datetime import timedelta
from io import StringIO

import pytest
from sqlmodel import select

from core.acts.alarms import open_alarm
from core.alarms import Trouble
from core.books.ledger import Ledger, Told
from core.books.tables import Sample
from core.readings import Range
from tests.board_door import token_on
from tests.browser.farm import MORNING
from tests.service.board.test_pages import say, section


def alarm(app, measure="ph", place="nursery"):
    with app.state.books.write() as session:
        writing = Ledger(session, 1).enter("alarm", Told(None, MORNING, MORNING))
        since = MORNING - timedelta(hours=3)
        open_alarm(writing, measure, place, Trouble("high", since, 6.7), Range(5.6, 6.3), MORNING - timedelta(hours=2))


def paste(client, table):
    return client.post("/board/water", data={"token": token_on(client.get("/board/water")), "table": table})


def samples(app):
    with app.state.books.read() as session:
        return session.exec(select(Sample)).all()


def test_each_tank_and_the_room_show_their_newest_readings_and_what_is_wanted(priya):
    page = priya.get("/board/water")
    assert "pH 6.1 want 5.6 to 6.3 (low end: butterhead, high end: butterhead) yesterday 9:20am, Walt fine" in section(
        page, "at-main"
    )
    assert "oxygen want 5 mg/L or more never read" in section(page, "at-nursery")
    assert "humidity 62% want 50% to 70%" in section(page, "at-room")


def test_what_is_off_comes_first_and_is_drawn(priya):
    page = priya.get("/board/water")
    assert "pH 6.7 nursery want 5.6 to 6.3 high" in section(page, "off")
    assert re.search(r"<title[^>]*>pH nursery, 14 days</title>", page.text)


def test_a_reading_mended_by_text_is_off_no_more(priya):
    say(priya, "walt", "nursery ph 6.0")
    page = priya.get("/board/water")
    assert section(page, "off") == "What is off All that was read of late is fine."
    assert "pH 6 want" in section(page, "at-nursery")


def test_an_alarm_stands_in_place_of_the_reading_with_since_when(app, priya):
    alarm(app)
    said = section(priya.get("/board/water"), "off")
    assert said.count("6.7") == 1
    assert "since today 6am alarm" in said


def test_a_reading_of_two_days_ago_is_called_old(app, priya):
    app.state.clock = lambda: MORNING + timedelta(minutes=10)
    assert "oxygen 7.6 mg/L want 5 mg/L or more Mon Nov 23 9:05am, Dolores old" in section(
        priya.get("/board/water"), "at-main"
    )


def test_probes_show_their_last_calibration_and_what_is_late(priya):
    said = section(priya.get("/board/water"), "probes")
    assert "pH main calibrated Mon Nov 16 10:30am 1 day late" in said
    assert "EC nursery no calibration in the books due" in said


def test_the_table_of_a_measure_says_the_same_as_its_figure(app, priya):
    alarm(app)
    page = priya.get("/board/water/nursery/ph?days=7")
    desc = re.search(r"<desc[^>]*>(.*?)</desc>", page.text)[1]
    assert desc == "3 readings, from 5.9 to 6.7. Wanted: 5.6 to 6.3."
    rows = [" ".join(re.sub(r"<[^>]+>", " ", one).split()) for one in re.findall(r"<tr>.*?</tr>", page.text, re.DOTALL)]
    assert "yesterday 6.7 6.7 6.7 1 high" in rows
    assert "Sun Nov 22 5.9 5.9 5.9 1 fine calibrated" in rows
    drawn = set(re.findall(r"<text[^>]*>(.*?)</text>", page.text))
    assert {"wanted", "alarm", "calibrated", "read", "pH"} <= drawn


def test_temperatures_are_drawn_and_listed_in_the_farms_own_scale(priya):
    page = priya.get("/board/water/room/air_temp")
    assert "from 72 F to 73.2 F" in page.text
    assert "Last (°F)" in page.text
    assert ">73.22<" in page.text


def test_nothing_read_is_said_and_drawn_all_the_same(priya):
    page = priya.get("/board/water/nursery/oxygen?days=7")
    assert "Nothing was read in 7 days." in page.text
    assert "<svg" in page.text


@pytest.mark.parametrize(
    "path", ["room/ph", "main/co2", "main/nothing", "nowhere/ph", "main/ph?days=13", "main/ph?days=0"]
)
def test_what_is_read_nowhere_has_no_page(priya, path):
    assert priya.get(f"/board/water/{path}").status_code == 404


def test_the_table_that_is_downloaded_can_be_taken_in_again(app, priya):
    got = priya.get("/board/water/readings.csv?days=30")
    assert got.headers["content-disposition"] == 'attachment; filename="readings-2026-11-25.csv"'
    rows = list(csv.DictReader(StringIO(got.text)))
    assert {
        "measured_at": "2026-11-24T09:20:00-06:00",
        "measure": "ph",
        "value": "6.7",
        "unit": "",
        "where": "nursery",
    } in rows
    page = paste(priya, got.text)
    assert f"{len(rows)} readings taken in, 0 known already." in page.text
    assert len(samples(app)) == len(rows)
    assert f"0 readings taken in, {len(rows)} known already." in paste(priya, got.text).text


def test_a_table_with_a_fault_is_not_taken_in_and_every_fault_is_named_with_its_line(app, priya):
    page = paste(
        priya,
        "measured_at,measure,value,unit,where\n2026-11-24T09:00,ph,5.9,,main\nsoon,ph,6,,main\n2026-11-24T09:00,ph,77,,main",
    )
    assert page.status_code == 422
    assert "line 3: measured_at &#39;soon&#39; is no time" in page.text
    assert "line 4: 77 cannot be right" in page.text
    assert "2026-11-24T09:00,ph,5.9,,main" in page.text  # what was pasted is kept
    assert samples(app) == []


@pytest.mark.parametrize("table", ["", "   ", "ph,5.9", "measured_at,measure,value"])
def test_an_empty_or_nameless_table_is_refused_in_words(app, priya, table):
    page = paste(priya, table)
    assert page.status_code == 422
    assert "Nothing was taken in." in page.text
    assert samples(app) == []


def test_a_lead_reads_the_table_and_does_not_put_readings_in(walt):
    page = walt.get("/board/water")
    assert "Paste readings" not in page.text
    assert walt.get("/board/water/readings.csv").status_code == 200
    assert walt.post("/board/water", data={"token": token_on(page), "table": "x"}).status_code == 403
