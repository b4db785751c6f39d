"""How fast a text is acknowledged and answered, beside a bare handler that does one insert and one durable commit.

Run by hand: `python -m tests.bench.texts [texts]`. Everything runs on loopback in this one process and its threads; read
the ratios, not the milliseconds.
"""

import sys
import tempfile
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path
from statistics import median

import httpx
import uvicorn
from fastapi import FastAPI, Request
from sqlalchemy import text as sql

from core.books.store import Books
from service.app import create_app
from service.settings import Settings
from tests import demo_farm
from tests.service.carriers.loopback import ACCOUNT, TOKEN, signed

PHONES = [f"+1312555010{n}" for n in range(1, 9)]
CALLERS = 8


def bare(file: Path) -> FastAPI:
    """One insert, one commit, one answer."""
    books = Books(f"sqlite:///{file}")
    with books.write() as session:
        session.execute(sql("CREATE TABLE IF NOT EXISTS said (id TEXT PRIMARY KEY, body TEXT)"))
    app = FastAPI()

    @app.post("/said")
    async def read(request: Request):
        form = await request.form()
        return await app.state.run(form["MessageSid"], form["Body"])

    def keep(sid, body):
        with books.write() as session:
            session.execute(sql("INSERT INTO said VALUES (:id, :body)"), {"id": sid, "body": body})
        return {}

    from starlette.concurrency import run_in_threadpool

    app.state.run = lambda sid, body: run_in_threadpool(keep, sid, body)
    return app


class Server:
    """An app on a free port, for as long as the block lasts."""

    def __init__(self, app):
        self.server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
        self.thread = threading.Thread(target=self.server.run, daemon=True)

    def __enter__(self):
        self.thread.start()
        while not self.server.started:
            time.sleep(0.01)
        return f"http://127.0.0.1:{self.server.servers[0].sockets[0].getsockname()[1]}"

    def __exit__(self, *_):
        self.server.should_exit = True
        self.thread.join()


def measure(post, texts: int) -> tuple[float, float, float]:
    """Texts a second, and the median and 99th percentile of one, in milliseconds."""
    took = []

    def one(n):
        began = time.perf_counter()
        post(n)
        took.append((time.perf_counter() - began) * 1000)

    began = time.perf_counter()
    with ThreadPoolExecutor(CALLERS) as callers:
        list(callers.map(one, range(texts)))
    took.sort()
    return texts / (time.perf_counter() - began), median(took), took[int(len(took) * 0.99)]


def main() -> None:
    """Measure the three and print them side by side."""
    texts = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    folder = Path(tempfile.mkdtemp())
    demo_farm.make(f"sqlite:///{folder}/farm.db")
    numbers = count()
    client = httpx.Client(timeout=60, limits=httpx.Limits(max_connections=CALLERS))

    def webhook(n):
        form = {
            "MessageSid": f"SM{next(numbers):032x}",
            "From": PHONES[n % 8],
            "To": "+13125550199",
            "Body": f"ph main 6.{n % 10}",
        }
        headers, content = signed(f"{url}/carriers/twilio/inbound", form)
        client.post(f"{url}/carriers/twilio/inbound", headers=headers, content=content).raise_for_status()

    def practice(n):
        said = {"from": PHONES[n % 8], "text": f"ph main 6.{n % 10}"}
        client.post(f"{url}/practice/texts", json=said).raise_for_status()

    with Server(bare(folder / "bare.db")) as url:
        baseline = measure(lambda n: client.post(f"{url}/said", data={"MessageSid": f"b{n}", "Body": "x"}), texts)
    settings = Settings(
        database=f"sqlite:///{folder}/farm.db",
        practice=True,
        clockwork=False,
        twilio_account=ACCOUNT,
        twilio_token=TOKEN,
    )
    app = create_app(settings)
    with Server(app) as url:
        settings.public_url = url
        acknowledged = measure(webhook, texts)
        while client.get(f"{url}/health").json()["inbox_waiting"]:
            time.sleep(0.2)
        answered = measure(practice, texts)
    print(f"{texts} texts, {CALLERS} callers        texts/s  median ms  p99 ms  ratio to bare")
    for name, (rate, middle, slow) in (
        ("bare insert and commit", baseline),
        ("stored and acknowledged", acknowledged),
        ("understood and answered", answered),
    ):
        print(f"{name:32s} {rate:8.0f} {middle:10.1f} {slow:7.1f}  {rate / baseline[0]:6.2f}")


if __name__ == "__main__":
    main()
