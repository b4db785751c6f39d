"""Two and four processes on one PostgreSQL: each text has one effect and one reply, in order; each morning text is one."""

import os
import socket
import subprocess
import sys
import time
from collections import Counter
from contextlib import ExitStack
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.store import hold_farm
from core.books.tables import Farm, Measured
from service.tables import DueWork, Inbound, Outbound
from tests.demo_farm import FARM
from tests.service.carriers.loopback import ACCOUNT, TOKEN, Loopback, signed, text_form
from tests.service.ticks import local

ROOT = Path(__file__).parents[2]
FARM_PHONE = "+13125550199"
CREW = ["+13125550101", "+13125550102", "+13125550104", "+13125550105"]
PATIENCE_S = 90

TICK = """
import sys
from datetime import datetime
from functools import partial
from core.books.store import Books
from service import outbox
from service.clockwork import tick
books = Books(sys.argv[1])
sys.stdin.readline()
print(sum(tick(books, datetime.fromisoformat(one), partial(outbox.place, carrier="practice")) for one in sys.argv[2:]))
"""


@pytest.fixture
def engine():
    return "postgres"


@pytest.fixture
def address(demo_books):
    return demo_books.engine.url.render_as_string(hide_password=False)


class Service:
    """`rowcall serve` on a free port, for as long as the block lasts."""

    def __init__(self, address, loopback):
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self.environment = os.environ | {
            "ROWCALL_DATABASE": address,
            "ROWCALL_PORT": str(self.port),
            "ROWCALL_PUBLIC_URL": self.url,
            "ROWCALL_CARRIER": "twilio",
            "ROWCALL_TWILIO_ACCOUNT": ACCOUNT,
            "ROWCALL_TWILIO_TOKEN": TOKEN,
            "ROWCALL_TWILIO_API_URL": loopback.url,
        }

    def __enter__(self):
        command = [sys.executable, "-c", "from service.cli import main; main()", "serve"]
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        self.process = subprocess.Popen(command, env=self.environment, cwd=ROOT, **quiet)
        return self

    def __exit__(self, *_):
        self.process.terminate()
        self.process.wait(timeout=PATIENCE_S)

    def answers(self):
        try:
            return httpx.get(f"{self.url}/health").status_code == 200
        except httpx.TransportError:
            return False

    def post(self, sid, phone, body):
        form = text_form(sid, phone, FARM_PHONE, body)
        headers, content = signed(f"{self.url}/carriers/twilio/inbound", form)
        address = f"{self.url}/carriers/twilio/inbound"
        httpx.post(address, headers=headers, content=content, timeout=30).raise_for_status()


def wait_for(condition):
    end = time.monotonic() + PATIENCE_S
    while not condition():
        assert time.monotonic() < end, "it did not come about in time"
        time.sleep(0.1)


def rows(books, table):
    with books.read() as session:
        return list(session.exec(select(table)).all())


@pytest.mark.parametrize("processes", [2, 4])
def test_each_text_has_one_effect_and_one_reply_in_order(demo_books, address, processes):
    """Each person's texts go to one process after the other, and every text to two of them."""
    texts = [(f"SM{n:032x}", CREW[n % len(CREW)], f"ph main is {6 + n / 20:.2f}") for n in range(16)]
    with Loopback(lambda: datetime.now(UTC)) as loopback, ExitStack() as running:
        services = [running.enter_context(Service(address, loopback)) for _ in range(processes)]
        wait_for(lambda: all(one.answers() for one in services))
        for n, text in enumerate(texts):
            services[n % processes].post(*text)
            services[(n // len(CREW) + 1) % processes].post(*text)
        wait_for(lambda: len([one for one in loopback.texts if " in main" in one["body"]]) >= len(texts))
    replies = [one["body"] for one in loopback.texts if " in main" in one["body"]]
    assert len(replies) == len(set(replies)) == len(texts)
    with demo_books.read() as session:
        read = [one for one in session.exec(select(Measured).order_by(Measured.entry)) if one.entry > 1]
        assert Ledger(session, FARM).differences() == []
    said = {
        person: [one.value for one in read if one.person_id == person] for person in {one.person_id for one in read}
    }
    assert sorted(one.value for one in read) == [round(6 + n / 20, 2) for n in range(16)]
    assert all(values == sorted(values) for values in said.values())
    assert all(one.done_at and not one.trouble for one in rows(demo_books, Inbound))


@pytest.mark.parametrize("processes", [2, 4])
def test_each_morning_text_is_placed_once(demo_books, address, processes):
    moments = [local(2026, 5, 4, 18, 0), local(2026, 5, 5, 7, 0), local(2026, 5, 5, 8, 0), local(2026, 5, 5, 8, 30)]
    command = [sys.executable, "-c", TICK, address, *(one.isoformat() for one in moments)]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    running = [subprocess.Popen(command, cwd=ROOT, **pipes) for _ in range(processes)]
    for one in running:
        one.stdin.write("\n")
        one.stdin.flush()
    done = sum(int(one.communicate(timeout=PATIENCE_S)[0]) for one in running)
    kept = Counter(one.key for one in rows(demo_books, Outbound))
    assert set(kept.values()) == {1}
    assert {key.split(":")[0] for key in kept} >= {"digest", "reminder-eve", "reminder-hour", "tasks"}
    assert done == len(rows(demo_books, DueWork))


def test_two_units_of_work_on_one_farm_take_turns_and_other_farms_do_not_wait(demo_books):
    with demo_books.write() as session:
        farm = session.get_one(Farm, FARM).model_dump()
        session.add(Farm(**farm | {"id": 2, "slug": "other", "phone": "+13125550198"}))
    with demo_books.write() as first, demo_books.write() as second:
        assert hold_farm(first, FARM)
        assert not hold_farm(second, FARM, wait=False)
        assert hold_farm(second, 2, wait=False)
