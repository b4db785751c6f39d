"""Texts acknowledged a second, beside a bare handler that does one insert and one durable commit, at 1, 8 and 16 callers.

Run by hand: `python -m tests.bench.webhook [texts]`. Each server runs in a process of its own and is called over
loopback; the same books, settings and callers for both. The service answers meanwhile what it has acknowledged. Read the
ratios, not the milliseconds.
"""

import multiprocessing
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path
from statistics import median
from typing import Annotated

import httpx
import uvicorn
from fastapi import Depends, FastAPI, Request
from sqlalchemy import text as sql
from starlette.datastructures import FormData

from core.books.store import Books
from service.app import create_app
from service.settings import Settings
from tests import demo_farm, postgres
from tests.service.carriers.loopback import ACCOUNT, TOKEN, signed

PHONES = [f"+1312555010{n}" for n in range(1, 10)]
FARM = "+13125550199"
CALLERS = (1, 8, 16)
PORTS = count(18760)
NUMBERS = count()


def bare(address, port):
    """One insert, one commit, one answer."""
    books, app = Books(address), FastAPI()

    async def form(request: Request):
        return await request.form()

    @app.post("/said")
    def keep(said: Annotated[FormData, Depends(form)]):
        with books.write() as session:
            session.execute(
                sql("INSERT INTO said VALUES (:id, :body)"), {"id": said["MessageSid"], "body": said["Body"]}
            )
        return {}

    uvicorn.run(app, port=port, log_level="error")


def rowcall(address, port):
    """The service as it is."""
    settings = Settings(
        database=address,
        clockwork=False,
        public_url=f"http://127.0.0.1:{port}",
        twilio_account=ACCOUNT,
        twilio_token=TOKEN,
    )
    uvicorn.run(create_app(settings), port=port, log_level="error")


class Server:
    """One of the two in a process of its own, for as long as the block lasts."""

    def __init__(self, serve, address):
        self.url = f"http://127.0.0.1:{(port := next(PORTS))}"
        self.process = multiprocessing.get_context("spawn").Process(target=serve, args=(address, port), daemon=True)

    def __enter__(self):
        self.process.start()
        while True:
            try:
                httpx.get(self.url)
            except httpx.TransportError:
                time.sleep(0.1)
            else:
                return self.url

    def __exit__(self, *_):
        self.process.terminate()
        self.process.join()


def a_text(url):
    """A signed text as the carrier posts it."""
    n = next(NUMBERS)
    form = {"MessageSid": f"SM{n:032x}", "From": PHONES[n % 9], "To": FARM, "Body": f"ph main 6.{n % 10}"}
    return (f"{url}/carriers/twilio/inbound", *signed(f"{url}/carriers/twilio/inbound", form))


def a_bare_one(url):
    """The same form, unsigned."""
    _, headers, content = a_text(url)
    return f"{url}/said", headers, content


def measure(make, url, texts, callers):
    """Texts a second, and the median and 99th percentile of one, in milliseconds."""
    prepared, took = [make(url) for _ in range(texts)], []
    with httpx.Client(timeout=60, limits=httpx.Limits(max_connections=callers)) as client:

        def post(one):
            address, headers, content = one
            began = time.perf_counter()
            client.post(address, headers=headers, content=content).raise_for_status()
            took.append((time.perf_counter() - began) * 1000)

        began = time.perf_counter()
        with ThreadPoolExecutor(callers) as threads:
            list(threads.map(post, prepared))
        lasted = time.perf_counter() - began
    took.sort()
    return texts / lasted, median(took), took[int(len(took) * 0.99)]


def side_by_side(engine, plain_address, address, texts):
    """Both servers in turn at each number of callers, the other one idle, and how fast what waits is then answered."""
    books = Books(plain_address)
    with books.write() as session:
        session.execute(sql("CREATE TABLE said (id TEXT PRIMARY KEY, body TEXT)"))
    books.close()
    demo_farm.make(address)
    print(f"\n{engine}, {texts} texts      texts/s  median ms  p99 ms  ratio")
    with Server(bare, plain_address) as plain, Server(rowcall, address) as house:
        for callers in CALLERS:
            base = measure(a_bare_one, plain, texts, callers)
            ours = measure(a_text, house, texts, callers)
            left, began = waiting(house), time.perf_counter()
            while waiting(house):
                time.sleep(0.2)
            answering = left / (time.perf_counter() - began)
            for name, one in (("bare", base), ("acknowledged", ours)):
                print(
                    f"{callers:3d} callers, {name:16s} {one[0]:6.0f} {one[1]:10.1f} {one[2]:7.1f} {one[0] / base[0]:6.2f}"
                )
            print(f"    answered meanwhile: {texts - left} of {texts}; the others afterwards, {answering:.0f} a second")


def waiting(url):
    """How many texts are not answered yet."""
    return httpx.get(f"{url}/health", timeout=60).json()["inbox_waiting"]


def main():
    """SQLite, and PostgreSQL where there is one."""
    texts = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    with tempfile.TemporaryDirectory() as folder:
        side_by_side("SQLite", f"sqlite:///{Path(folder)}/bare.db", f"sqlite:///{Path(folder)}/farm.db", texts)
    found = postgres.folders_of_binaries()
    if not found:
        print("\nNo PostgreSQL here.")
        return
    server = postgres.Server(postgres.start(found[0], settings=()))
    side_by_side("PostgreSQL", server.create(), server.create(), texts)


if __name__ == "__main__":
    main()
