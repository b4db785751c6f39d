"""How fast the board's pages answer: on the demo farm, and on one with 5,000 people and three years of entries.

Run by hand: `python -m tests.bench.pages [people] [days]`. Median and 95th percentile of so many calls in this process,
sign-in check, books and template included; beside them the health check of the same run, as a measure of the machine.
"""

import sys
import tempfile
import time
from datetime import timedelta
from pathlib import Path
from statistics import median

from fastapi.testclient import TestClient
from sqlalchemy import insert

from core.books.tables import Batch, Counter, Cut, Entry, Measured, Person, Posting, Task, Visit, WorkedHours
from service.tables import Inbound, Outbound
from tests.board_door import sign_in
from tests.browser.farm import MORNING, open_demo

PATHS = (
    *("/health", "/board", "/board/towers", "/board/towers/B1"),
    *("/board/weeks", "/board/weeks?crop=kale", "/board/water", "/board/water/main/ph?days=90"),
    *("/board/dosing?sum=ph", "/board/dosing?sum=light&ppfd=250&hours=16"),
    *("/board/texts", "/board/texts?words=romaine", "/board/texts?show=unread"),
)
CALLS = 30
ROWS_AT_ONCE = 5_000
A_DAY = {"texts": 60, "readings": 14, "cuts": 3, "visits": 6, "tasks": 12}
"""Of a busy farm. Common practice, no source."""

FIRST_ENTRY = 1_000_000  # clear of those the demo made


def people(farm_id, count):
    """So many of the crew, with numbers that exist only here."""
    for n in range(100, 100 + count):
        yield {"farm_id": farm_id, "id": n, "handle": f"p{n}", "name": f"Person {n}", "phone": f"+1312556{n:04}"}


def history(farm_id, days, everyone):
    """Rows of every table that grows by the day: (table, values)."""
    entry = FIRST_ENTRY
    for day in range(days, 0, -1):
        at = MORNING - timedelta(days=day)
        for n in range(A_DAY["texts"]):
            who, sent = 100 + (day * 61 + n) % everyone, at + timedelta(minutes=7 * n)
            phone, text_id = f"+1312556{who:04}", f"practice:b{day}-{n}"
            yield (
                Inbound,
                {
                    "farm_id": farm_id,
                    "id": text_id,
                    "carrier": "practice",
                    "phone": phone,
                    "person_id": who,
                    "body": f"picked {n} romaine from B{1 + n % 24}",
                    "media": [],
                    "sent_at": sent,
                    "received_at": sent,
                    "done_at": sent,
                    "attempts": 0,
                    "reading": {"verdict": "record", "notes": [], "missing": []},
                },
            )
            yield (
                Outbound,
                {
                    "farm_id": farm_id,
                    "id": FIRST_ENTRY + day * 100 + n,
                    "key": f"reply:{text_id}",
                    "carrier": "practice",
                    "phone": phone,
                    "person_id": who,
                    "kind": "reply",
                    "reply_to": text_id,
                    "body": f"Noted: {n} romaine picked.",
                    "state": "delivered",
                    "attempts": 1,
                    "next_try_at": sent,
                    "created_at": sent,
                    "sent_at": sent,
                },
            )
        for kind, table in (("readings", Measured), ("cuts", Cut), ("visits", Visit)):
            for n in range(A_DAY[kind]):
                entry += 1
                yield from recorded(farm_id, entry, table, at + timedelta(minutes=n), n)
        yield from worked(farm_id, day, at)


def recorded(farm_id, n, table, at, which):
    """One entry with its row and its posting, and a posting to a tower."""
    told = {"person_id": 100 + which, "said_at": at, "written_at": at}
    yield Entry, {"farm_id": farm_id, "n": n, "act": "bench", "note": {}, **told}
    values = {
        Measured: {"measure": "ph", "value": 6.0, "place": "main", "at": at, "person_id": 1},
        Cut: {
            "lot": f"l{n}",
            "crop": "romaine",
            "count": 9.0,
            "plants": 0,
            "places": ["C1"],
            "on": at.date(),
            "at": at,
        },
        Visit: {"person_id": 100 + which, "kind": "arrive", "at": at},
    }[table]
    yield table, {"farm_id": farm_id, "entry": n, "part": 0, **values}
    if n % 40 == 0 or n == FIRST_ENTRY + 1:
        batch = {"code": f"old-{n // 40}", "crop": "romaine", "sown_on": at.date(), "plugs": 40}
        yield Batch, {"farm_id": farm_id, **batch}
    post = {"farm_id": farm_id, "entry": n, "verb": "add", "value": {"cuts": 0}}
    yield Posting, {**post, "part": 0, "account": str(table.__tablename__), "row": f"{n}|0"}
    yield Posting, {**post, "part": 1, "account": "standing", "row": f"old-{n // 40}|{'ABCDEF'[which % 6]}{1 + n % 24}"}


def worked(farm_id, day, at):
    """The tasks of a day, all done, and somebody's hours."""
    for n in range(A_DAY["tasks"]):
        yield (
            Task,
            {
                "farm_id": farm_id,
                "id": FIRST_ENTRY + day * 20 + n,
                "day": at.date(),
                "what": "clean",
                "places": ["C1"],
                "minutes": 10,
                "state": "done",
            },
        )
    hours = {"person_id": 100 + day % 90, "minutes": 90.0, "on": at.date(), "source": "visit"}
    yield WorkedHours, {"farm_id": farm_id, "entry": FIRST_ENTRY + 9_000_000 + day, "part": 0, **hours}


def fill(app, count, days):
    """Make the demo farm as large; how many rows it got."""
    waiting, total = {}, 0
    with app.state.books.write() as session:
        rows = [(Person, values) for values in people(1, count)]
        for table, values in (*rows, *history(1, days, count)):
            waiting.setdefault(table, []).append(values)
            total += 1
        for table in (Person, Entry, *(one for one in waiting if one not in (Person, Entry))):
            for first in range(0, len(waiting[table]), ROWS_AT_ONCE):
                session.execute(insert(table), waiting[table][first : first + ROWS_AT_ONCE])
        for name, last in (("entry", 2 * FIRST_ENTRY), ("text", 2 * FIRST_ENTRY)):
            session.merge(Counter(farm_id=1, name=name, last=last))
    return total


def measured(client, path):
    """Median and 95th percentile of one page. [ms]"""
    took = []
    for _ in range(CALLS):
        began = time.perf_counter()
        assert client.get(path).status_code == 200
        took.append((time.perf_counter() - began) * 1000)
    took.sort()
    return median(took), took[int(0.95 * CALLS)]


def main():
    """Measure both farms and print them side by side."""
    count, days = (int(one) for one in (*sys.argv[1:3], 5_000, 3 * 365)[:2])
    figures = {}
    for name in ("demo", "large"):
        app = open_demo(f"sqlite:///{Path(tempfile.mkdtemp())}/farm.db")
        rows = fill(app, count, days) if name == "large" else 0
        with TestClient(app) as client:
            sign_in(app, client)
            for path in PATHS:
                client.get(path)  # once for what is read only once
                figures[name, path] = measured(client, path)
    print(f"large: {count} people, {days} days, {rows} rows. Milliseconds: median, 95th percentile")
    print(f"{'':30s} {'demo':>16s} {'large':>16s}")
    for path in PATHS:
        cells = (f"{middle:8.1f} {slow:7.1f}" for middle, slow in (figures["demo", path], figures["large", path]))
        print(f"{path:30s} {' '.join(cells)}")


if __name__ == "__main__":
    main()
