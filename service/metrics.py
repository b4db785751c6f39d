"""Figures of the running service for Prometheus: counts, ages and times, no number, name or word of anybody.

What is in the books is counted when it is asked for, over all farms; what happens only in this process (how long an
answer took, what went wrong) is counted as it happens.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.registry import Collector
from sqlmodel import Session, col, func, select

from core.books.store import Books
from core.books.tables import Farm
from service.inbox import Answer
from service.tables import DueWork, Inbound, Outbound

SECONDS = (0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5)
"""Bounds of the classes in which answer times are counted."""

UNSENT = ("waiting", "sending", "unknown")

log = logging.getLogger(__name__)


class Figures:
    """The figures of one process and its books."""

    def __init__(self, books: Books, clock: Callable[[], datetime]) -> None:
        self.registry = CollectorRegistry()
        self._seconds = Histogram(
            "rowcall_answer_seconds", "From taking up a text to its effect and reply.", buckets=SECONDS,
            registry=self.registry,
        )  # fmt: skip
        self._errors = Counter(
            "rowcall_errors", "What went wrong in this process, by class.", ["where", "kind"], registry=self.registry
        )
        self.registry.register(InBooks(books, clock))

    def watched(self, answer: Answer) -> Answer:
        """The same conversation, each text timed, its faults counted, and one line of log for its trace."""

        def timed(session: Session, farm: Farm, inbound: Inbound, now: datetime) -> None:
            began = time.perf_counter()
            try:
                answer(session, farm, inbound, now)
            except Exception as error:
                self.failed("answer", error)
                raise
            seconds = time.perf_counter() - began
            self._seconds.observe(seconds)
            reading = inbound.reading or {"verdict": "none", "notes": []}
            log.info(
                "answered",
                extra={
                    "farm": farm.id,
                    "text": inbound.id,
                    "read": reading["verdict"],
                    "acts": [note["act"] for note in reading["notes"]],
                    "ms": round(seconds * 1000, 1),
                },
            )

        return timed

    def failed(self, where: str, error: BaseException) -> None:
        """Count a fault."""
        self._errors.labels(where, type(error).__name__).inc()

    def text(self) -> bytes:
        """All figures in the text form that Prometheus reads."""
        return generate_latest(self.registry)


class InBooks(Collector):
    """What the books themselves say when they are asked."""

    def __init__(self, books: Books, clock: Callable[[], datetime]) -> None:
        self._books = books
        self._clock = clock

    def describe(self) -> Iterable[GaugeMetricFamily]:
        """Nothing beforehand: the books may not be open yet."""
        return ()

    def collect(self) -> Iterator[GaugeMetricFamily]:
        """Each figure with its value now."""
        with self._books.read() as session:
            yield _by("rowcall_texts_in", "Texts that came in, by state.", "state", _texts_in(session))
            out = select(Outbound.state, func.count()).group_by(Outbound.state)
            yield _by("rowcall_texts_out", "Texts that went or go out, by state.", "state", session.exec(out))
            errors = select(col(Outbound.error), func.count()).where(Outbound.state == "failed")
            yield _by(
                "rowcall_texts_failed", "Texts that failed for good, by the carrier's code.", "code",
                ((code or "none", n) for code, n in session.exec(errors.group_by(col(Outbound.error)))),
            )  # fmt: skip
            jobs = select(DueWork.job, func.count()).group_by(DueWork.job)
            yield _by(
                "rowcall_due_work_done", "Digests, lists, reminders and other due work.", "job", session.exec(jobs)
            )
            yield _by("rowcall_oldest_waiting_seconds", "Age of the oldest that waits.", "queue", self._ages(session))

    def _ages(self, session: Session) -> Iterator[tuple[str, float]]:
        now = self._clock()
        came = session.exec(select(func.min(Inbound.received_at)).where(col(Inbound.done_at).is_(None))).one()
        due = select(func.min(Outbound.next_try_at)).where(col(Outbound.state).in_(UNSENT))
        for queue, since in (("in", came), ("out", session.exec(due).one())):
            yield queue, max(0.0, (now - since).total_seconds()) if since is not None else 0.0


def _texts_in(session: Session) -> Iterator[tuple[str, int]]:
    done, trouble = col(Inbound.done_at).is_not(None), col(Inbound.trouble).is_not(None)
    states = {"done": done & ~trouble, "waiting": ~done, "set aside": done & trouble}
    for state, those in states.items():
        yield state, session.exec(select(func.count()).select_from(Inbound).where(those)).one()


def _by(name: str, meaning: str, label: str, values: Iterable[tuple[str, float]]) -> GaugeMetricFamily:
    family = GaugeMetricFamily(name, meaning, labels=[label])
    for value, n in values:
        family.add_metric([value], n)
    return family
