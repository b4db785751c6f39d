"""The machine's clock is set forward and back while the service runs: everything goes out once, and it ticks on."""

import time
from collections import Counter
from datetime import datetime, timedelta

from sqlmodel import select

from core.books.store import Books
from service.tables import Outbound
from tests.demo_farm import CHICAGO
from tests.faults.service import CREW, body, check, sid, twice

TICKS_S = 0.9
HOURS = [18, 19, 9, 18, 8, 30, 33, 18, 32, 33, 34]
"""Hours after midnight of the first day to which the clock is set, one after the other, forward and back."""


def test_the_clock_jumps_to_and_fro(service):
    """Monday evening and Tuesday morning come several times over; each reminder, list and digest once."""
    midnight = datetime(2026, 5, 4, tzinfo=CHICAGO)
    service.set_clock(midnight + timedelta(hours=HOURS[0]))
    service.start()
    for number, hours in enumerate(HOURS):
        service.set_clock(midnight + timedelta(hours=hours))
        assert service.post(sid(number), CREW[number % len(CREW)], body(number)) == 200
        time.sleep(TICKS_S)
    service.set_clock(midnight + timedelta(hours=HOURS[-1], minutes=30))
    service.wait_for(service.idle)
    service.kill()
    check(service, range(len(HOURS)))
    assert twice(service) == 0
    keys = Counter(key.split(":")[0] for key in placed(service))
    assert set(keys) >= {"reply", "reminder-eve", "reminder-hour", "tasks", "digest"}
    assert keys["digest"] == 2, "Monday's and Tuesday's"


def placed(service):
    books = Books(f"sqlite:///{service.file}")
    with books.read() as session:
        found = list(session.exec(select(Outbound.key)))
    books.close()
    return found
