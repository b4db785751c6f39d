"""Ticking through the demo farm's days, and looking at what went out."""

from datetime import UTC, datetime, timedelta
from functools import partial

from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Person
from service import outbox
from service.clockwork import tick
from service.tables import Outbound
from tests.demo_farm import CHICAGO, FARM, person_id, scene

place = partial(outbox.place, carrier="practice")
EVERY = timedelta(minutes=10)


def local(*when, zone=CHICAGO):
    """A farm-local moment, as an instant."""
    return datetime(*when, tzinfo=zone).astimezone(UTC)


def run(books, start, end, every=EVERY):
    """Tick from one moment to before another."""
    while start < end:
        tick(books, start, place)
        start += every


def texts(books, **wanted):
    with books.read() as session:
        rows = session.exec(select(Outbound).order_by(Outbound.id)).all()
        session.expunge_all()
        return [row for row in rows if all(getattr(row, name) == value for name, value in wanted.items())]


def number_of(books, who):
    with books.read() as session:
        return person_id(session, who)


def to(books, who, **wanted):
    return texts(books, person_id=number_of(books, who), **wanted)


def change(books, who, **values):
    with books.write() as session:
        entry = Ledger(session, FARM).enter("test", scene(session).told)
        entry.put(Person, {"id": person_id(session, who)}, **values)


def went_at(row, zone=CHICAGO):
    return row.created_at.astimezone(zone)
