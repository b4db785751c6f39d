"""APScheduler as the tick: one call every so often, and nothing else of it.

What is due is asked of the books at each tick, so that its cron triggers, stores and grace times are not needed: they
skip or double local hours near a clock change.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.job import Job
from apscheduler.jobstores.memory import MemoryJobStore
from apscheduler.schedulers.background import BackgroundScheduler


class SteadyStore(MemoryJobStore):  # type: ignore[misc]
    """Jobs in memory. One that a clock set back would keep waiting for longer than `every` is due at once.

    The scheduler sleeps by the steady clock but compares by the other one: set back by an hour, it would rest for an
    hour. It asks for what is due whenever it wakes.
    """

    def __init__(self, every: timedelta) -> None:
        super().__init__()
        self.every = every

    def get_due_jobs(self, now: datetime) -> list[Job]:
        """The jobs due at a moment."""
        for job in self.get_all_jobs():
            if job.next_run_time - now > self.every:
                job.next_run_time = now
                self.update_job(job)
        due: list[Job] = super().get_due_jobs(now)
        return due


class Ticking:
    """Calls `tick` at once and then every so often, one call at a time, in a thread of its own."""

    def __init__(self, tick: Callable[[], None], every: timedelta) -> None:
        self._tick, self._every = tick, every
        self._scheduler = BackgroundScheduler(
            timezone=UTC,
            jobstores={"default": SteadyStore(every)},
            executors={"default": ThreadPoolExecutor(1)},
            job_defaults={"coalesce": True, "max_instances": 1, "misfire_grace_time": None},
        )

    def start(self) -> None:
        """Tick now, and then again and again."""
        seconds = self._every.total_seconds()
        self._scheduler.add_job(self._tick, "interval", seconds=seconds, next_run_time=datetime.now(UTC))
        self._scheduler.start()

    def stop(self) -> None:
        """Let the running tick end, and tick no more."""
        if self._scheduler.running:
            self._scheduler.shutdown(wait=True)

    @property
    def running(self) -> bool:
        """Whether it ticks."""
        return bool(self._scheduler.running)
