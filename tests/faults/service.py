"""The service as a process, its carrier on the loopback, and the phones that text it: what every fault is tried on."""

import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections import Counter
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import httpx
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Measured
from service.tables import Inbound, Outbound
from tests.demo_farm import CHICAGO
from tests.service.carriers.loopback import signed, text_form

ROOT = Path(__file__).parents[2]
FARM_PHONE = "+13125550199"
CREW = ["+13125550101", "+13125550102", "+13125550105", "+13125550108", "+13125550104"]
AFTERNOON = datetime(2026, 5, 4, 13, tzinfo=CHICAGO)  # nothing is due before the evening
PATIENCE_S = 60


class Service:
    """The service on the books in a file; `clock()` is its clock, which starts on a quiet afternoon."""

    def __init__(self, folder, loopback):
        self.folder, self.loopback = Path(folder), loopback
        self.file = self.folder / "farm.db"
        self.log = self.folder / "log"
        self.clock_file = self.folder / "clock"
        self.set_clock(AFTERNOON)
        self.port = a_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.http = httpx.Client(verify=False, limits=httpx.Limits(max_keepalive_connections=0))
        self.pid = 0
        self.nursery = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.nursery", self.file],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.kill()
        self.nursery.stdin.close()
        self.nursery.wait(timeout=10)
        self.nursery.stdout.close()
        self.http.close()

    def set_clock(self, moment):
        """Set the service's clock, and its carrier's; both go on from there."""
        by = self.skewed = moment - datetime.now(UTC)
        whole = self.clock_file.with_suffix(".new")
        whole.write_text(str(by.total_seconds()))
        whole.replace(self.clock_file)
        self.loopback.now = self.clock

    def forward(self, by):
        self.set_clock(self.clock() + by)

    def clock(self):
        return datetime.now(UTC) + self.skewed

    def start(self, wait=True):
        order = (self.port, self.file, self.loopback.url, self.clock_file, self.log)
        self.nursery.stdin.write(" ".join(map(str, order)) + "\n")
        self.nursery.stdin.flush()
        self.pid = int(self.nursery.stdout.readline() or 0)
        assert self.pid, "the nursery could not import the service"
        if wait:
            self.wait_for(self.answers)

    def kill(self):
        """At once, as a lost power supply would."""
        if self.pid:
            with suppress(ProcessLookupError):
                os.kill(self.pid, signal.SIGKILL)
            self.wait_for(lambda: not Path(f"/proc/{self.pid}").exists() or self._is_zombie())
        self.pid = 0

    def _is_zombie(self):
        with suppress(FileNotFoundError, ProcessLookupError):
            return ") Z " in Path(f"/proc/{self.pid}/stat").read_text()
        return True

    def listens(self):
        with suppress(OSError), socket.create_connection(("127.0.0.1", self.port), timeout=1):
            return True
        return False

    def answers(self):
        return self.http.get(f"{self.url}/health", timeout=5).status_code == 200

    def wait_for(self, condition, seconds=PATIENCE_S):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            with suppress(httpx.TransportError):
                if condition():
                    return
            time.sleep(0.02)
        raise AssertionError(f"it did not come about in time; the log ends: {self.log.read_text()[-2000:]}")

    def post(self, sid, phone, body, timeout=5):
        """The status with which the service answers a text; 0 where it does not."""
        form = text_form(sid, phone, FARM_PHONE, body)
        return self.call("inbound", form, timeout)

    def call(self, path, form, timeout=5, query=""):
        address = f"{self.url}/carriers/twilio/{path}{query}"
        headers, content = signed(address, form)
        try:
            return self.http.post(address, headers=headers, content=content, timeout=timeout).status_code
        except httpx.TransportError:
            return 0

    def idle(self):
        """Whether every text is finished and sent."""
        health = self.http.get(f"{self.url}/health", timeout=5).json()
        return health["inbox_waiting"] == 0 and not set(health["outbox"]) & {"waiting", "sending", "unknown"}

    def in_the_carriers_hands(self):
        """How many texts were being handed to the carrier when the service was killed."""
        books = Books(f"sqlite:///{self.file}")
        with books.read() as session:
            found = len(session.exec(select(Outbound.id).where(Outbound.state == "sending")).all())
        books.close()
        return found

    def verify(self):
        """What `rowcall verify` says of the books, and whether it is content."""
        command = [sys.executable, "-c", "from service.cli import main; main()", "verify"]
        environment = os.environ | {"ROWCALL_DATABASE": f"sqlite:///{self.file}"}
        done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
        return done.returncode == 0, done.stdout + done.stderr


def a_port():
    """A free port below those that callers are given, or a call to a service that is down could connect to itself."""
    for port in random.sample(range(20_000, 30_000), 50):
        with socket.socket() as free, suppress(OSError):
            free.bind(("127.0.0.1", port))
            return port
    raise AssertionError("no port is free")


class Phones:
    """Phones that text readings without end, each its own: every text goes to the service until it is acknowledged."""

    def __init__(self, service, seed, phones=4):
        self.service, self.seed = service, seed
        self.acknowledged: list[int] = []
        self._lock, self._stopping = threading.Lock(), threading.Event()
        self._next = 0
        self._hanging_up = False  # a test that failed waits for no answer
        self._threads = [threading.Thread(target=self._text_on, args=(n,)) for n in range(phones)]

    def __enter__(self):
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, kind, *_):
        self._stopping.set()
        self._hanging_up = kind is not None
        for thread in self._threads:
            thread.join()

    def wait_for(self, texts):
        """Until the service listens and has acknowledged so many texts more."""
        self.service.wait_for(self.service.listens)
        enough = len(self.acknowledged) + texts
        self.service.wait_for(lambda: len(self.acknowledged) >= enough)

    def _text_on(self, phone):
        chance = random.Random(self.seed * 100 + phone)
        while not self._stopping.is_set():
            with self._lock:
                number, self._next = self._next, self._next + 1
            while self.service.post(sid(number), CREW[phone], body(number)) != 200 and not self._hanging_up:
                time.sleep(0.02)
            if chance.random() < 0.1:
                self.service.post(sid(number), CREW[phone], body(number))  # the carrier may hand it over again
            with self._lock:
                self.acknowledged.append(number)
            time.sleep(chance.uniform(0, 0.06))


def sid(number):
    return f"SM{number:032x}"


def body(number):
    """A text whose effect can be told from every other's: a reading within the range."""
    return f"ph main is 5.9{number:05d}"


def value(number):
    return float(f"5.9{number:05d}")


def check(service, numbers):
    """Every one of these texts had one effect and one reply, nothing went out twice, and the books agree."""
    content, said = service.verify()
    assert content, said
    books = Books(f"sqlite:///{service.file}")
    with books.read() as session:
        recorded = [one.value for one in session.exec(select(Measured)) if one.entry > 1 and one.measure == "ph"]
        assert sorted(recorded) == sorted(value(number) for number in numbers)
        assert {one.id for one in session.exec(select(Inbound))} == {f"twilio:{sid(number)}" for number in numbers}
        assert all(one.done_at and not one.trouble for one in session.exec(select(Inbound)))
        replies = session.exec(select(Outbound).where(Outbound.kind == "reply")).all()
        assert sorted(one.reply_to for one in replies) == sorted(f"twilio:{sid(number)}" for number in numbers)
        assert Ledger(session, 1).differences() == []
        keys = [one.key for one in session.exec(select(Outbound))]
        assert len(keys) == len(set(keys))
    books.close()
    quiet(service)


def quiet(service):
    """The log holds no number, no name and no text of anybody."""
    said = service.log.read_text()
    for secret in ("5550", "ph main", "Walt", "Priya", "Dolores"):
        assert secret not in said


def twice(service):
    """How many texts the carrier took too often: more of the same words to a number than were placed.

    Of two texts of the same words in doubt at once either may be found in the carrier's list; the other is then sent.
    """
    books = Books(f"sqlite:///{service.file}")
    with books.read() as session:
        placed = Counter((one.phone, one.body) for one in session.exec(select(Outbound)))
    books.close()
    return (Counter((text["to"], text["body"]) for text in service.loopback.texts) - placed).total()
