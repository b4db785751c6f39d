"""The outbox as its tests use it: placing, sending, hearing news, and a carrier that is cut off."""

from datetime import timedelta

from sqlmodel import select

from service import outbox
from service.carriers import News, Sent
from service.tables import Outbound
from tests.service.carriers.farm import NOW, NUMBER, WALT, WALTS_PHONE

LATER = NOW + timedelta(hours=3)


def place(books, key="reminder:1", body="Shift at 9 tomorrow.", **changed):
    text = {
        "farm_id": 1,
        "key": key,
        "carrier": "twilio",
        "phone": WALTS_PHONE,
        "person_id": WALT,
        "kind": "reminder",
        "body": body,
        "now": NOW,
    }
    with books.write() as session:
        return outbox.place(session, **text | changed)


def the_texts(books):
    with books.read() as session:
        rows = list(session.exec(select(Outbound).order_by(Outbound.id)).all())
        session.expunge_all()
        return rows


def states(books):
    return [row.state for row in the_texts(books)]


def tell(books, state, carrier_id="SM1", reference=None, error=None):
    with books.write() as session:
        return outbox.status(session, News(Sent(carrier_id, state, error), reference, NUMBER), LATER)


def send(books, twilio, now=NOW, **options):
    return outbox.send_due(books, {"twilio": twilio}, now, **options)


class CutOff:
    """The carrier of a process that is killed while it sends."""

    name = "twilio"
    segments_a_second = None

    def __init__(self, carrier, after):
        self.carrier, self.after = carrier, after

    def send(self, text):
        if self.after:
            self.carrier.send(text)
        raise SystemExit

    def lookup(self, text, since):
        return self.carrier.lookup(text, since)
