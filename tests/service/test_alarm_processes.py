"""Several processes that look for alarms at the same moment, each with a database connection of its own."""

import threading
from collections import Counter
from datetime import timedelta

from sqlmodel import select

from core.acts.equipment import deliver
from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Alarm
from core.readings.admission import Raw
from service.clockwork import tick
from tests.demo_farm import FARM
from tests.service.ticks import local, place, texts

MINUTES, NOON = timedelta(minutes=1), local(2026, 5, 4, 12)


def test_several_processes_that_look_at_once_tell_once(demo_books):
    with demo_books.write() as session:
        raw = [Raw("ph", 6.7, "", "main", NOON + at * MINUTES) for at in range(0, 31, 5)]
        deliver(Ledger(session, FARM), "box", raw, NOON + 30 * MINUTES)
    others = [Books(demo_books.engine.url.render_as_string(hide_password=False)) for _ in range(3)]
    start, failed = threading.Barrier(3), []

    def work(books):
        try:
            start.wait(timeout=10)
            tick(books, NOON + 31 * MINUTES, place)
        except Exception as error:  # noqa: BLE001  whatever it is, the test shows it
            failed.append(error)

    threads = [threading.Thread(target=work, args=(books,)) for books in others]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    for books in others:
        books.close()
    tick(demo_books, NOON + 40 * MINUTES, place)
    told = [one for one in texts(demo_books) if one.key.startswith("alarm:")]
    assert failed == []
    assert len(told) == 1
    assert set(Counter(one.key for one in told).values()) == {1}
    with demo_books.read() as session:
        assert len(session.exec(select(Alarm)).all()) == 1
        assert Ledger(session, FARM).differences() == []
