"""Hostile text stays text on the whole way: in, through the books, out to others, into the log and into a sheet."""

import io
import json
import logging

import pytest
from sqlmodel import SQLModel, select

from core.books.ledger import Ledger
from core.books.tables import Person
from service.keeping.export import DANGEROUS, cell
from service.log import Lines
from service.tables import Inbound, Outbound
from tests.demo_farm import FARM
from tests.practice_line import Line, rows

HOSTILE = (
    "'; DROP TABLE person; --",
    "' OR '1'='1",
    "1); DELETE FROM entry WHERE (1=1",
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "{{7*7}} ${7*7} {0.__class__} %s %n %(name)s",
    "{farm} {name:term} [x] {",
    "=HYPERLINK(\"http://evil.example\",\"open\")",
    "+1+1",
    "-2+3+cmd|' /C calc'!A0",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "\t=1+1",
    "\uff1d1+1",
    '{"level": "ERROR", "said": "forged"}',
    "one\r\n{\"at\": \"forged\"}\r\ntwo",
    "\x1b[31mred\x1b[0m \x07 \x00 \x7f",
    "\u202eright to left\u202c",
    "\u200b\u200d\ufeff",
    "../../../etc/passwd",
    "$(rm -rf .) `id` ; shutdown",
    "a" * 1600,
    "\U0001f96c" * 400,
    "\ud83c lone half",
    "ﷺ" * 100,
    "Z\u0351\u0351\u0351\u0351" * 50,
)  # fmt: skip


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


@pytest.fixture
def logged():
    """Everything that is logged, as the service writes it."""
    stream = io.StringIO()
    handler = logging.StreamHandler(stream)
    handler.setFormatter(Lines())
    root = logging.getLogger()
    before = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield lambda: [json.loads(one) for one in stream.getvalue().splitlines()]
    root.removeHandler(handler)
    root.setLevel(before)


def sound(line):
    """The farm's books agree, every table is there, and no text came to grief."""
    with line.books.read() as session:
        assert Ledger(session, FARM).differences() == []
        for table in SQLModel.metadata.sorted_tables:
            session.execute(select(table).limit(1)).all()
        assert [one.trouble for one in session.exec(select(Inbound)) if one.trouble] == []


@pytest.mark.parametrize("who", ["walt", "+13125550150"])
def test_whatever_is_texted_is_kept_as_text_and_answered_in_our_own_words(line, who):
    for text in HOSTILE:
        reply, news = line.text(who, text)
        assert "evil" not in reply
        assert "49" not in reply
        assert news == []
        line.now = line.now.replace(minute=(line.now.minute + 7) % 60)
    sound(line)
    kept = {one.body for one in rows(line, Inbound)}
    assert {HOSTILE[0], HOSTILE[3], HOSTILE[7]} <= kept


def test_as_an_announcement_it_reaches_people_as_it_was_typed(line):
    line.command("priya", "tell everyone the door sticks")
    for text in ("'; DROP TABLE person; --", "<b>bold</b> & {name}", "=1+1"):
        _, news = line.text("priya", f"tell everyone {text}")
        assert {said for _, said in news} == {f"Priya: {text}"}
    sound(line)


def test_as_a_name_it_is_a_name(line):
    for n, text in enumerate(HOSTILE[:12]):
        line.text(f"+131255501{n + 50}", f"JOIN {text}")
    sound(line)
    names = [one.name for one in rows(line, Person)]
    assert all(cell(name) == name or cell(name).startswith("'") for name in names)
    assert [name for name in names if any(ord(letter) < 32 for letter in name)] == []


def test_what_goes_out_holds_no_control_character(line):
    line.command("priya", "tell everyone the door sticks")
    line.text("priya", "tell everyone red \x1b[31m bell \x07 nul \x00 end")
    line.text("keisha", "leak at C10 \x1b[2J")
    sent = "".join(one.body for one in rows(line, Outbound))
    assert [letter for letter in sent if ord(letter) < 32 and letter not in "\n\r"] == []


def test_no_text_forges_a_line_of_the_log_or_is_in_it(line, logged):
    for text in HOSTILE:
        line.text("walt", text)
    lines = logged()
    assert all(set(one) >= {"at", "level", "from", "said"} for one in lines)
    assert [one for one in lines if "forged" in json.dumps(one) or "evil" in json.dumps(one)] == []


@pytest.mark.parametrize("said", ["one\r\ntwo", '"}\n{"level": "ERROR"', "\x1b[31m", "\u2028x"])
def test_a_line_of_the_log_is_one_line_whatever_is_in_it(said):
    record = logging.LogRecord("service", logging.INFO, "", 0, "text %s", (said,), None)
    written = Lines().format(record)
    assert "\n" not in written
    assert "\x1b" not in written
    assert json.loads(written)["said"] == f"text {said}"


@pytest.mark.parametrize("text", HOSTILE)
def test_in_a_sheet_it_begins_no_formula(text):
    assert not cell(text).startswith(DANGEROUS)
