"""The way of a text through one process: one worker finishes it, another sends its reply."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Mapping
from datetime import datetime
from queue import SimpleQueue
from time import monotonic

from core.books.store import Books
from service import inbox, outbox
from service.carriers import Carrier
from service.conversation import Conversation
from service.conversation.keywords import opted_out

SHORT_PAUSE_S = 1.0
LONG_PAUSE_S = 20.0
"""Between two rounds of sending: short while texts go out, longer and longer while they do not."""

QUIET_S = 0.05
PATIENCE_S = 1.0
STINT_S = 0.1
"""While texts pour in they are acknowledged first: answering starts once none came for QUIET_S, or when PATIENCE_S are
over, and then goes on for at least STINT_S. A single text waits for nothing but QUIET_S."""

log = logging.getLogger(__name__)


class Line:
    """Texts in and out of one process. A slow carrier keeps no text from being answered."""

    def __init__(self, books: Books, carriers: Mapping[str, Carrier], clock: Callable[[], datetime]) -> None:
        self.books = books
        self.carriers = carriers
        self.clock = clock
        self.conversation: inbox.Answer = Conversation()
        self._waiting: SimpleQueue[tuple[int, str] | None] = SimpleQueue()
        self._last_in = self._stint_ends = 0.0
        self._due, self._stopping = threading.Event(), threading.Event()
        self._threads = [
            threading.Thread(target=self._answer_on, name="inbox", daemon=True),
            threading.Thread(target=self._send_on, name="outbox", daemon=True),
        ]

    def start(self) -> None:
        """Finish what a crash left behind, then work as texts come in."""
        outbox.recover(self.books, self.clock())
        inbox.finish_all(self.books, self.conversation, self.clock())
        self._due.set()
        for thread in self._threads:
            thread.start()

    def stop(self) -> None:
        """Let the workers end; what they have not finished waits in the books."""
        self._stopping.set()
        self._waiting.put(None)
        self._due.set()
        for thread in self._threads:
            thread.join(timeout=10)

    def wake(self, farm_id: int, inbound_id: str) -> None:
        """A stored text waits: finish it soon."""
        self._last_in = monotonic()
        self._waiting.put((farm_id, inbound_id))

    def answer_now(self, farm_id: int, inbound_id: str) -> None:
        """Finish a stored text, and what its sender sent before it, and send what is due, before returning."""
        inbox.finish(self.books, farm_id, inbound_id, self.conversation, self.clock())
        self.send()

    def send(self) -> int:
        """Send what is due, before returning; how many texts the carriers took."""
        return outbox.send_due(self.books, self.carriers, self.clock(), opted_out=opted_out)

    def send_soon(self) -> None:
        """Texts were placed: send them in a moment."""
        self._due.set()

    def _answer_on(self) -> None:
        while (waiting := self._waiting.get()) is not None:
            self._let_texts_in()
            try:
                inbox.finish(self.books, *waiting, self.conversation, self.clock())
                self.send_soon()
            except Exception as error:  # noqa: BLE001  the worker outlives it: the text is stored, the next tick ends it
                log.error("text %s waits: %s", waiting[1], type(error).__name__)

    def _let_texts_in(self) -> None:
        """Wait while texts pour in, unless the last such wait is so short ago that its stint is not over."""
        now = monotonic()
        if now < self._stint_ends:
            return
        while (pause := min(self._last_in + QUIET_S, now + PATIENCE_S) - monotonic()) > 0:
            if self._stopping.wait(pause):
                return
        self._stint_ends = monotonic() + STINT_S

    def _send_on(self) -> None:
        pause = LONG_PAUSE_S
        while not self._stopping.is_set():
            self._due.wait(pause)
            self._due.clear()
            if not self._stopping.is_set():
                pause = self._round_of_sending(pause)

    def _round_of_sending(self, last_pause: float) -> float:
        """Send; the pause until the next round, unless somebody asks for it sooner."""
        try:
            taken = self.send()
            if not outbox.waiting(self.books, set(self.carriers), self.clock()):
                return LONG_PAUSE_S
        except Exception as error:  # noqa: BLE001  the worker outlives it: the texts are stored and due again
            log.error("sending waits: %s", type(error).__name__)
            return LONG_PAUSE_S
        if taken or last_pause >= LONG_PAUSE_S:
            return SHORT_PAUSE_S
        return min(LONG_PAUSE_S, 2 * last_pause)
