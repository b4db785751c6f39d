"""Texts as they arrive: each is on the disk before it is acknowledged, and those that come at once share the commit."""

from __future__ import annotations

import threading
from datetime import datetime

from sqlalchemy.exc import OperationalError
from sqlmodel import Session, select

from core.books.store import Books
from core.books.tables import Farm
from service import inbox
from service.carriers import TextIn
from service.tables import Inbound


class _Arrival:
    """A text on its way into the books: `stored` (None: no farm has that number), or the `error` that kept it out."""

    def __init__(self, text: TextIn, now: datetime) -> None:
        self.text = text
        self.now = now
        self.over = False
        self.stored: Inbound | None = None
        self.error: Exception | None = None


class Arrivals:
    """The way into the books. While one text is being written others gather; who comes next writes them all."""

    def __init__(self, books: Books) -> None:
        self._books = books
        self._gathered: list[_Arrival] = []
        self._gathering, self._writing = threading.Lock(), threading.Lock()

    def store(self, text: TextIn, now: datetime) -> Inbound | None:
        """Store a text once and durably; None where no farm has the number it was sent to.

        Raises:
            OperationalError: the books are locked, full or out of reach; nothing was kept.
        """
        mine = _Arrival(text, now)
        with self._gathering:
            self._gathered.append(mine)
        with self._writing:
            if not mine.over:
                self._write(self._all_gathered())
        if mine.error is not None:
            raise mine.error
        return mine.stored

    def _all_gathered(self) -> list[_Arrival]:
        with self._gathering:
            together, self._gathered = self._gathered, []
        return together

    def _write(self, together: list[_Arrival]) -> None:
        """All in one unit of work; where one of them cannot be written, the others are none the worse for it."""
        try:
            with self._books.write() as session:
                for one in together:
                    one.stored = _keep(session, one)
        except Exception as error:  # noqa: BLE001  each is raised to the one whose text it is
            if len(together) > 1 and not isinstance(error, OperationalError):
                for one in together:
                    self._write([one])
                return
            for one in together:
                one.error = error
        for one in together:
            one.over = True


def _keep(session: Session, one: _Arrival) -> Inbound | None:
    farm = session.exec(select(Farm).where(Farm.phone == one.text.to)).first()
    return inbox.receive(session, farm, one.text, one.now)[0] if farm else None
