"""The demo farm in a file of its own, and its service on the loopback."""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime

import uvicorn
from sqlmodel import SQLModel

import service.tables  # noqa: F401  its tables belong to the same database
from core.books.store import Books
from service import demo, outbox
from service.app import create_app
from service.practice.thread import practice_farm
from service.server import Server
from service.settings import Settings

MORNING = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)  # Wednesday, 9 in the morning on the farm's clock

PRIYA = "+13125550100"


def open_demo(url, now=MORNING, *, practice=True, **settings):
    """The service of a new demo farm, its day laid on `now`, its clockwork still."""
    books = Books(url)
    SQLModel.metadata.create_all(books.engine)
    with books.write() as session:
        demo.load(session, now)
    books.close()
    return serve(url, now, practice=practice, **settings)


def serve(url, now=MORNING, *, practice=True, **settings):
    """The service on books that are there."""
    settings = Settings(_env_file=None, database=url, practice=practice, clockwork=False, **settings)
    return create_app(settings, lambda: now)


def tell(app, words, phone=PRIYA, kind="news", now=MORNING):
    """The farm texts somebody by itself."""
    with app.state.books.write() as session:
        outbox.place(
            session,
            farm_id=practice_farm(session).id,
            key=words,
            carrier="practice",
            phone=phone,
            person_id=None,
            kind=kind,
            body=words,
            now=now,
        )


@contextmanager
def served(app) -> Iterator[str]:
    """The app on a free port of the loopback; its address. Leaving stops it, however many pages are open."""
    with socket.create_server(("127.0.0.1", 0)) as door:
        server = Server(uvicorn.Config(app, log_level="warning", ws="none"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [door]})
        thread.start()
        try:
            yield f"http://127.0.0.1:{door.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join(timeout=10)
            assert not thread.is_alive(), "the service did not stop"
