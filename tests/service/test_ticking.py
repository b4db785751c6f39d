"""The tick goes on whatever is done to the clock: the steady time between two ticks is what counts."""

from datetime import UTC, datetime, timedelta
from threading import Event

import pytest
from apscheduler.schedulers.background import BackgroundScheduler

from service.ticking import SteadyStore, Ticking

EVERY = timedelta(milliseconds=30)
NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def test_it_ticks_at_once_and_again_until_it_is_stopped():
    counted, enough = [], Event()

    def tick():
        counted.append(1)
        if len(counted) >= 3:
            enough.set()

    ticking = Ticking(tick, EVERY)
    ticking.start()
    assert enough.wait(10)
    ticking.stop()
    assert not ticking.running
    ended = len(counted)
    assert not Event().wait(0.1)
    assert len(counted) == ended


def test_a_tick_that_fails_does_not_end_the_ticking(caplog):
    counted, enough = [], Event()

    def tick():
        counted.append(1)
        if len(counted) >= 2:
            enough.set()
        raise ValueError("once more")

    ticking = Ticking(tick, EVERY)
    ticking.start()
    assert enough.wait(10)
    ticking.stop()


@pytest.fixture
def job_at():
    """A job of a scheduler that does not run, due at a moment; and its store."""
    store = SteadyStore(timedelta(seconds=20))
    scheduler = BackgroundScheduler(timezone=UTC, jobstores={"default": store})
    scheduler.start(paused=True)

    def made(moment):
        scheduler.add_job(print, "interval", seconds=20, next_run_time=moment)
        return store

    yield made
    scheduler.shutdown()


def test_a_clock_set_back_by_an_hour_makes_the_tick_due_at_once(job_at):
    store = job_at(NOON + timedelta(seconds=20))
    set_back = NOON - timedelta(hours=1)
    (due,) = store.get_due_jobs(set_back)
    assert due.next_run_time == set_back


def test_a_tick_that_is_not_due_yet_is_left_alone(job_at):
    store = job_at(NOON + timedelta(seconds=20))
    assert store.get_due_jobs(NOON + timedelta(seconds=5)) == []
    assert len(store.get_due_jobs(NOON + timedelta(seconds=20))) == 1
