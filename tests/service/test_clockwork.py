"""The farm's own initiative: once each, across clock changes, faults and two processes at once.

Local hours are those of IANA tzdata, by zoneinfo. The books, the ledger and the outbox are the real ones.
"""

import threading
from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Farm, Person, Place, Task
from service.carriers.practice import Practice
from service.clockwork import Clockwork, tick
from service.quiet import next_allowed
from service.tables import DueWork, OpenQuestion
from tests.demo_farm import FARM, NOW, copy, scene
from tests.service.ticks import local, number_of, place, run, texts, to, went_at


def test_the_morning_brings_the_days_tasks_and_shifts_once(demo_books):
    run(demo_books, local(2026, 5, 4, 0, 0), local(2026, 5, 4, 1, 0))
    with demo_books.read() as session:
        assert session.exec(select(Task).where(Task.day == date(2026, 5, 4))).first()
        assert session.exec(select(DueWork).where(DueWork.job == "morning")).one().day == date(2026, 5, 4)
        assert Ledger(session, FARM).differences() == []


CHANGES = {
    "clocks go back in Chicago": ("America/Chicago", date(2026, 11, 1)),
    "clocks go back in Madrid": ("Europe/Madrid", date(2026, 10, 25)),
    "clocks go forward in Madrid": ("Europe/Madrid", date(2027, 3, 28)),
    "clocks go forward in Chicago": ("America/Chicago", date(2027, 3, 14)),
    "midnight is skipped in Santiago": ("America/Santiago", date(2026, 9, 6)),
    "midnight comes twice in Santiago": ("America/Santiago", date(2027, 4, 4)),
    "half an hour comes twice on Lord Howe Island": ("Australia/Lord_Howe", date(2027, 4, 4)),
}


@pytest.mark.parametrize(("name", "sunday"), CHANGES.values(), ids=CHANGES)
def test_across_a_clock_change_everything_goes_out_once_at_its_local_hour(demo_books, name, sunday):
    """Sunday's shift is from 10 to 12, Keisha's."""
    zone = ZoneInfo(name)
    with demo_books.write() as session:
        session.get_one(Farm, FARM).timezone = name
    before, after = sunday - timedelta(days=1), sunday + timedelta(days=1)
    midnight = datetime.combine(before, time(0), zone).astimezone(UTC)
    assert datetime.combine(before, time(12), zone).utcoffset() != datetime.combine(sunday, time(12), zone).utcoffset()
    run(demo_books, midnight, datetime.combine(after, time(12), zone).astimezone(UTC))
    digests = [went_at(one, zone) for one in texts(demo_books, kind="digest")]
    assert [(one.date(), one.time()) for one in digests] == [(day, time(7)) for day in (before, sunday, after)]
    keishas = [(one.kind, went_at(one, zone)) for one in to(demo_books, "keisha") if f":{sunday}:" in one.key]
    assert [(kind, one.date(), one.time()) for kind, one in keishas] == [
        ("reminder", before, time(18)),
        ("reminder", sunday, time(9)),
        ("tasks", sunday, time(9, 30)),
    ]
    with demo_books.read() as session:
        mornings = session.exec(select(DueWork).where(DueWork.job == "morning")).all()
        assert sorted(one.day for one in mornings) == [before, sunday, after]


def test_two_processes_that_tick_at_once_do_everything_once(demo_books):
    """Each with a database connection of its own, several times over."""
    moments = [local(2026, 5, 4, 18, 0), local(2026, 5, 5, 7, 0), local(2026, 5, 5, 8, 0), local(2026, 5, 5, 8, 30)]
    others = [Books(demo_books.engine.url.render_as_string(hide_password=False)) for _ in range(2)]
    done, failed = [], []
    for moment in moments:
        start = threading.Barrier(4)

        def work(books, moment=moment, start=start):
            try:
                start.wait(timeout=10)
                done.append(tick(books, moment, place))
            except Exception as error:  # noqa: BLE001  whatever it is, the test shows it
                failed.append(error)

        threads = [threading.Thread(target=work, args=(books,)) for books in others * 2]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(timeout=60)
    for books in others:
        books.close()
    assert failed == []
    kept = Counter(one.key for one in texts(demo_books))
    assert set(kept.values()) == {1}
    assert {key.split(":")[0] for key in kept} == {"digest", "reminder-eve", "reminder-hour", "tasks"}
    with demo_books.read() as session:
        assert sum(done) == len(session.exec(select(DueWork)).all())
        assert Ledger(session, FARM).differences() == []


def test_a_text_that_cannot_be_placed_keeps_no_other_waiting_and_is_tried_again(demo_books):
    bea = number_of(demo_books, "bea")
    moment = local(2026, 5, 5, 8, 0)

    def refuses_bea(session, **text):
        if text["person_id"] == bea:
            raise RuntimeError("no")
        return place(session, **text)

    tick(demo_books, moment, refuses_bea)
    assert to(demo_books, "bea") == []
    assert len(to(demo_books, "dolores")) == 1
    with demo_books.read() as session:
        assert not session.exec(select(OpenQuestion).where(OpenQuestion.person_id == bea)).first()
    tick(demo_books, moment + timedelta(minutes=1), place)
    assert len(to(demo_books, "bea")) == 1
    assert len(to(demo_books, "dolores")) == 1


def test_two_farms_in_one_service_keep_their_own_hours(demo_books):
    with demo_books.write() as session:
        first = session.get_one(Farm, FARM)
        values = first.model_dump() | {"id": 2, "slug": "second", "phone": "+13125550198", "timezone": "Asia/Kathmandu"}
        session.add(Farm(**values))
        session.flush()
        told = scene(session).told
        crew = {"handle": "rosa", "name": "Rosa", "phone": "+13125550150", "role": "coordinator", "agreed": True}
        Ledger(session, 2).enter("opening", told).record(Person, id=1, **crew)
        Ledger(session, 2).enter("opening", told).record(Place, code="dome", kind="cover", sites=72, state="ready")
    run(demo_books, local(2026, 5, 5, 20, 0), local(2026, 5, 5, 22, 0), timedelta(minutes=5))
    (theirs,) = texts(demo_books, farm_id=2)
    assert went_at(theirs, ZoneInfo("Asia/Kathmandu")).time() == time(8)
    assert theirs.body == "Tern Street Farm, Wed May 6\nNo shift."


class Line:
    """What the clockwork needs of its process; tells when it was asked to send."""

    def __init__(self, books):
        self.books = books
        self.now = NOW
        self.sent = threading.Event()

    def clock(self):
        return self.now

    def conversation(self, *_):
        """Nothing has come in."""

    @property
    def carriers(self):
        return {"practice": Practice()}

    def wake(self, farm_id, inbound_id):
        raise AssertionError("nothing was missing")

    def send_soon(self):
        self.sent.set()


def test_the_clockwork_ticks_as_soon_as_it_is_started_and_says_how_it_is(demo_books):
    line = Line(demo_books)
    clockwork = Clockwork(line, "practice")
    assert clockwork.state() == "off"
    clockwork.start()
    try:
        assert line.sent.wait(timeout=30)
    finally:
        clockwork.stop()
    assert texts(demo_books, kind="digest", carrier="practice")
    assert clockwork.state() == "off"


def test_a_clockwork_whose_ticks_fail_to_come_is_stalled(demo_books):
    line = Line(demo_books)
    clockwork = Clockwork(line, "practice")
    clockwork.start()
    try:
        assert line.sent.wait(timeout=30)
        clockwork.round()
        assert clockwork.state() == "running"
        line.now = NOW + timedelta(minutes=5)
        assert clockwork.state() == "stalled"
    finally:
        clockwork.stop()


MOMENTS = st.lists(st.integers(min_value=-6 * 60, max_value=14 * 60), min_size=1, max_size=12)
"""Minutes by which the clock is set forward or back before each tick."""


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(MOMENTS)
def test_however_the_clock_is_set_nothing_goes_out_twice_or_in_the_quiet_hours(
    sqlite_template, tmp_path_factory, jumps
):
    books = copy(sqlite_template, tmp_path_factory.mktemp("farm") / "farm.db")
    moment = NOW
    for minutes in jumps:
        moment += timedelta(minutes=minutes)
        tick(books, moment, place)
        tick(books, moment + timedelta(minutes=1), place)
    sent = texts(books)
    with books.read() as session:
        assert Ledger(session, FARM).differences() == []
    books.close()
    assert len({one.key for one in sent}) == len(sent)
    assert [one.key for one in sent if not time(7) <= went_at(one).time() < time(20)] == []


@pytest.mark.parametrize(
    ("zone", "sunday"),
    [
        ("America/Chicago", date(2026, 3, 8)),
        ("America/Chicago", date(2026, 11, 1)),
        ("Europe/Madrid", date(2026, 3, 29)),
        ("Europe/Madrid", date(2026, 10, 25)),
    ],
)
@pytest.mark.parametrize("early_at", [None, time(2, 30), time(7)])
def test_the_quiet_hours_end_at_their_local_hour_on_the_day_of_a_clock_change(zone, sunday, early_at):
    """Every quarter of an hour of the three days around it: what waits goes out at the first moment it may."""
    there, first = ZoneInfo(zone), early_at or time(8)
    moment = datetime.combine(sunday - timedelta(days=1), time(0), there).astimezone(UTC)
    for _ in range(3 * 24 * 4):
        allowed = next_allowed(moment, there, early_at)
        local_time = allowed.astimezone(there).time()
        assert first <= local_time < time(20)
        assert allowed == moment or allowed - moment < timedelta(hours=15)
        assert next_allowed(allowed, there, early_at) == allowed
        moment += timedelta(minutes=15)
