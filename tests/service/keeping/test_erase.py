"""Erasing a person out of every text, seen in the very bytes of the database file."""

from pathlib import Path

import pytest
from sqlmodel import SQLModel, func, select

from core.books.ledger import Ledger, Told
from core.books.tables import Cut, Farm, Person
from service.keeping.erase import erase_person, scrub_file
from service.tables import Inbound, OpenQuestion, Outbound
from tests.demo_farm import FARM, NOW, person_id
from tests.practice_line import Line


@pytest.fixture
def line(demo_books):
    line = Line(demo_books)
    line.text("dolores", "picked 14 romaine from B1 and B2")
    line.text("dolores", "cant make it saturday")
    line.text("walt", "Dolores left her gloves, call +13125550102")
    return line


def erase(line, handle):
    with line.books.write() as session:
        person = session.get_one(Person, (FARM, person_id(session, handle)))
        erase_person(session, session.get_one(Farm, FARM), person, Told(None, NOW, NOW))


def count(line, table):
    with line.books.read() as session:
        return session.exec(select(func.count()).select_from(table)).one()


def test_no_text_holds_their_name_or_number_and_none_is_lost(line):
    before = count(line, Inbound), count(line, Outbound)
    erase(line, "dolores")
    with line.books.read() as session:
        texts = [*session.exec(select(Inbound)), *session.exec(select(Outbound))]
        assert [one for one in texts if "Dolores" in one.body or "5550102" in one.body + one.phone] == []
        assert any("(erased)" in one.body for one in texts)
    assert (count(line, Inbound), count(line, Outbound)) == before


def test_not_one_byte_of_the_file_holds_them_and_the_books_verify(line):
    if not line.books.sqlite:
        pytest.skip("the file is SQLite's")
    file = Path(line.books.engine.url.database)
    erase(line, "dolores")
    scrub_file(line.books)
    held = b"".join(one.read_bytes() for one in file.parent.glob(f"{file.name}*"))
    assert [trace for trace in (b"Dolores", b"5550102", b"dolores") if trace in held] == []
    with line.books.read() as session:
        assert Ledger(session, FARM).differences() == []


def test_what_they_picked_is_still_in_the_books(line):
    cuts = count(line, Cut)
    erase(line, "dolores")
    assert count(line, Cut) == cuts


def test_their_number_is_a_strangers_from_then_on(line):
    erase(line, "dolores")
    reply, _ = line.text("+13125550102", "picked 3 mint")
    assert reply.startswith("This is the crew line")


def test_a_text_that_still_waited_for_them_is_not_sent(line):
    erase(line, "dolores")
    with line.books.read() as session:
        who = session.exec(select(Person.id).where(Person.handle.startswith("erased-"))).one()
        states = {one.state for one in session.exec(select(Outbound).where(Outbound.person_id == who))}
    assert states
    assert "waiting" not in states


def test_whatever_else_hangs_on_the_person_or_the_number_goes_with_them(line):
    """In every table of the database, those of other rooms too."""
    line.text("dolores", "picked some mint")
    erase(line, "dolores")
    with line.books.read() as session:
        for table in SQLModel.metadata.sorted_tables:
            rows = session.execute(select(table)).all()
            assert "5550102" not in str(rows), table.name
        assert session.exec(select(OpenQuestion)).all() == []
