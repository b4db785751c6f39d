"""The real service as a process, killed in the middle of ten texts and started again: nothing lost, nothing doubled."""

import os
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Measured
from service.tables import Inbound, Outbound
from tests import demo_farm
from tests.faults.service import a_port
from tests.service.carriers.loopback import ACCOUNT, TOKEN, Loopback, signed, text_form

FARM_PHONE = "+13125550199"
CREW = ["+13125550101", "+13125550102", "+13125550105", "+13125550108", "+13125550104"]
TEXTS = [(f"SM{n:032x}", CREW[n % len(CREW)], f"ph main is 6.{n}") for n in range(10)]
ROOT = Path(__file__).parents[2]


class Service:
    """`rowcall serve` on a free port, on the books in a file, sending to a carrier on the loopback."""

    def __init__(self, file, loopback):
        self.port = a_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.environment = os.environ | {
            "ROWCALL_DATABASE": f"sqlite:///{file}",
            "ROWCALL_PORT": str(self.port),
            "ROWCALL_PUBLIC_URL": self.url,
            "ROWCALL_CARRIER": "twilio",
            "ROWCALL_TWILIO_ACCOUNT": ACCOUNT,
            "ROWCALL_TWILIO_TOKEN": TOKEN,
            "ROWCALL_TWILIO_API_URL": loopback.url,
        }
        self.process = None

    def start(self):
        command = [sys.executable, "-c", "from service.cli import main; main()", "serve"]
        self.process = subprocess.Popen(
            command, env=self.environment, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        self.wait_for(lambda: httpx.get(f"{self.url}/health").status_code == 200)

    def kill(self):
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def wait_for(self, condition, seconds=30):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            try:
                if condition():
                    return
            except httpx.TransportError:
                pass
            time.sleep(0.05)
        raise AssertionError(f"it did not come about in time: {httpx.get(self.url + '/health').text}")

    def post(self, text):
        """Whether the service acknowledged the text."""
        sid, phone, body = text
        form = text_form(sid, phone, FARM_PHONE, body)
        headers, content = signed(f"{self.url}/carriers/twilio/inbound", form)
        try:
            answer = httpx.post(f"{self.url}/carriers/twilio/inbound", headers=headers, content=content, timeout=10)
        except httpx.TransportError:
            return False
        return answer.status_code == 200

    def idle(self):
        health = httpx.get(f"{self.url}/health").json()
        return health["inbox_waiting"] == 0 and not set(health["outbox"]) & {"waiting", "sending", "unknown"}


@pytest.fixture
def books_file(demo_template, tmp_path):
    demo_farm.copy(demo_template, tmp_path / "farm.db").close()
    return tmp_path / "farm.db"


@pytest.mark.parametrize("acknowledged_first", [1, 4, 8])
def test_ten_texts_survive_a_kill_in_their_midst(books_file, acknowledged_first):
    with Loopback(datetime.now(UTC)) as loopback:  # the service runs by the real clock, so its carrier does
        service = Service(books_file, loopback)
        service.start()
        with ThreadPoolExecutor(4) as phones:
            posted = [phones.submit(service.post, text) for text in TEXTS]
            service.wait_for(lambda: sum(one.done() and one.result() for one in posted) >= acknowledged_first)
            service.kill()
            acknowledged = [text for text, one in zip(TEXTS, posted, strict=True) if one.result()]
        service.start()
        # The carrier tries again what got no answer, and once more something that did.
        for text in [*(text for text in TEXTS if text not in acknowledged), acknowledged[0]]:
            assert service.post(text)
        service.wait_for(service.idle)
        service.kill()
    books = Books(f"sqlite:///{books_file}")
    with books.read() as session:
        recorded = [one.value for one in session.exec(select(Measured)) if one.entry > 1 and one.measure == "ph"]
        assert sorted(recorded) == [round(6 + n / 10, 1) for n in range(10)]
        assert all(one.done_at and not one.trouble for one in session.exec(select(Inbound)))
        assert len(session.exec(select(Outbound).where(Outbound.kind == "reply")).all()) == 10
        assert Ledger(session, 1).differences() == []
    books.close()
    replies = [text["body"] for text in loopback.texts if " in main" in text["body"]]
    assert len(replies) == len(set(replies)) == 10
