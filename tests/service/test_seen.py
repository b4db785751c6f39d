"""What an operator sees of the running service: figures, logs and the way of one text, and nobody's number, name or words."""

import io
import json
import logging
from contextlib import contextmanager
from datetime import timedelta
from itertools import count

import pytest
from fastapi.testclient import TestClient
from prometheus_client.parser import text_string_to_metric_families
from sqlmodel import select

from core.books.tables import Person
from service import inbox
from service.app import create_app
from service.carriers import TextIn
from service.clockwork import tick
from service.log import Lines, configure
from service.settings import Settings
from service.tables import Inbound, Outbound
from service.trace import trace
from tests.demo_farm import FARM, NOW
from tests.practice_line import Line
from tests.service.ticks import local, place

NUMBERS = count(1)

SAID = (
    ("walt", "picked 14 romaine from B1 and B2, 2 culled"),
    ("dolores", "cant make it saturday"),
    ("keisha", "pH up splashed in my eye"),
    ("mateo", "saque 14 romanas de la B3 y la B4"),
    ("priya", "tell everyone the heater is fixed"),
    ("+13125550150", "join, my name is Rosa Delgado"),
    ("bea", "STOP"),
    ("arlo", "'; DROP TABLE person; --"),
)


def app_on(books, **asked):
    address = books.engine.url.render_as_string(hide_password=False)
    return create_app(Settings(_env_file=None, database=address, clockwork=False, **asked), lambda: NOW)


def figures(app):
    """Every figure: (name, labels) -> value."""
    answer = TestClient(app).get("/metrics")
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/plain")
    samples = [one for family in text_string_to_metric_families(answer.text) for one in family.samples]
    return {
        (one.name, tuple(one.labels[name] for name in sorted(one.labels))): one.value for one in samples
    }, answer.text


def deliver(app, books, who, body):
    """A text through the service's own worker."""
    with books.write() as session:
        farm = session.get_one(inbox.Farm, FARM)
        phone = session.exec(select(Person.phone).where(Person.handle == who)).first() or who
        said = TextIn("practice", f"m{next(NUMBERS)}", farm.phone, phone, body)
        stored, _ = inbox.receive(session, farm, said, NOW)
    app.state.answer_now(FARM, stored.id)
    return stored.id


def test_metrics_count_texts_in_and_out_queues_and_answer_times(demo_books):
    app = app_on(demo_books)
    deliver(app, demo_books, "walt", "main ph 5.9")
    with demo_books.write() as session:
        said = TextIn("practice", "later", "+13125550199", "+13125550101", "main ph 6.0")
        inbox.receive(session, session.get_one(inbox.Farm, FARM), said, NOW - timedelta(minutes=3))
    values, _ = figures(app)
    assert values["rowcall_texts_in", ("done",)] == 1
    assert values["rowcall_texts_in", ("waiting",)] == 1
    assert sum(value for (name, _), value in values.items() if name == "rowcall_texts_out") == 1
    assert values["rowcall_oldest_waiting_seconds", ("in",)] == 180
    assert values["rowcall_answer_seconds_count", ()] == 1
    assert 0 < values["rowcall_answer_seconds_sum", ()] < 60


def test_metrics_count_the_morning(demo_books):
    app = app_on(demo_books)
    tick(demo_books, local(2026, 5, 5, 8, 0), place)
    values, _ = figures(app)
    assert values["rowcall_due_work_done", ("digest",)] == 1


def test_metrics_count_faults_by_class(demo_books, monkeypatch):
    app = app_on(demo_books)

    def stumbles(*_):
        raise ZeroDivisionError("words of somebody")

    monkeypatch.setattr("service.conversation._converse", stumbles)
    deliver(app, demo_books, "walt", "main ph 5.9")
    values, text = figures(app)
    assert values["rowcall_errors_total", ("ZeroDivisionError", "answer")] == inbox.MOST_ATTEMPTS
    assert "somebody" not in text


@contextmanager
def everything_logged():
    """All that is logged at the most talkative level, as the service is set up to write it."""
    root, stream = logging.getLogger(), io.StringIO()
    handlers, level = root.handlers[:], root.level
    configure("DEBUG")
    for handler in root.handlers:
        handler.setStream(stream)
    yield stream
    root.handlers[:], root.level = handlers, level
    for name in ("service", "core", "uvicorn"):
        logging.getLogger(name).setLevel(logging.NOTSET)


def secrets_of(books):
    """Every number, name and word that must not be in a log."""
    with books.read() as session:
        people = session.exec(select(Person)).all()
        texts = [one.body for table in (Inbound, Outbound) for one in session.exec(select(table))]
    names = {one.name for one in people} | {one.name.split()[0] for one in people}
    return names | {one.phone[-10:] for one in people if one.phone} | {one for one in texts if len(one) > 4}


def test_nothing_logged_in_a_morning_holds_a_number_a_name_or_a_text(demo_books):
    with everything_logged() as stream:
        app = app_on(demo_books)
        tick(demo_books, local(2026, 5, 4, 8, 0), place)
        for who, body in SAID:
            deliver(app, demo_books, who, body)
        app.state.send()
        figures(app)
    logged = stream.getvalue()
    secrets = secrets_of(demo_books)
    assert len(secrets) > 30
    assert logged.count("\n") >= len(SAID)
    assert [one for one in secrets if one in logged] == []


def test_a_line_about_a_text_names_it_by_its_id_and_what_it_was_read_as(demo_books):
    with everything_logged() as stream:
        text_id = deliver(app_on(demo_books), demo_books, "walt", "main ph 5.9")
    lines = [json.loads(one) for one in stream.getvalue().splitlines()]
    (line,) = [one for one in lines if one["said"] == "answered"]
    assert (line["farm"], line["text"], line["read"], line["acts"]) == (FARM, text_id, "record", ["reading"])
    assert line["ms"] > 0


def test_an_error_is_named_by_its_class_only():
    try:
        raise ValueError("+13125550101 said help")
    except ValueError as error:
        record = logging.LogRecord("x", logging.ERROR, "", 0, "failed", (), (type(error), error, None))
    assert json.loads(Lines().format(record))["error"] == "ValueError"
    assert "help" not in Lines().format(record)


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def steps(line, message):
    with line.books.read() as session:
        return trace(session, message)


def test_the_way_of_a_text_is_told_from_coming_in_to_going_out(line):
    line.text("dolores", "cant make it saturday")
    told = steps(line, "d1")
    assert [one.what for one in told][:2] == ["sent", "received"]
    assert any(one.what == "read" and one.about == "record: shift" for one in told)
    assert any(one.what == "recorded" and one.about.endswith(": shift") for one in told)
    placed = [one.about for one in told if one.what == "placed"]
    assert any("(reply)" in one for one in placed)
    assert any(one.what == "is" and one.about.endswith(": waiting") for one in told)


def test_what_others_are_told_because_of_a_text_is_on_its_way_too(line):
    line.text("keisha", "there is a leak at C10")
    assert any(one.what == "placed" and "(trouble)" in one.about for one in steps(line, "d1"))


def test_a_trace_names_nobody_and_quotes_nothing(line):
    line.text("dolores", "cant make it saturday")
    told = "\n".join(one.about for one in steps(line, "practice:d1"))
    assert [one for one in ("Dolores", "saturday", "Saturday", "555") if one in told] == []


def test_a_text_out_is_traced_by_our_id_and_by_the_carriers(line):
    line.text("walt", "main ph 5.9")
    with line.books.write() as session:
        row = session.exec(select(Outbound)).one()
        row.carrier_id, row.state, row.sent_at = "SM77", "sent", line.now
        ours = f"{row.farm_id}.{row.id}"
    assert steps(line, "SM77") == steps(line, ours) != []


def test_an_undone_text_shows_what_took_it_back(line):
    line.text("walt", "main ph 5.9")
    line.text("walt", "undo")
    assert any("takes back entry" in one.about for one in steps(line, "d2"))


@pytest.mark.parametrize("message", ["", "SM404", "%", "1.2.3", "9" * 30, "'; --"])
def test_what_is_no_text_has_no_way(line, message):
    line.text("walt", "main ph 5.9")
    assert steps(line, message) == []
