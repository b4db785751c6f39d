"""What the farm does by itself each morning, on the demo farm."""

from datetime import date, datetime, time, timedelta

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.acts.daily import AHEAD_DAYS, make_tasks, roll_shifts
from core.acts.listing import number_list
from core.books import crew, tasks
from core.books.ledger import Told
from core.books.tables import ShiftPlace, Task
from core.calendar import bounds
from core.notes import Busy, Closed, Harvest, WeeklyWindow, Window
from tests.demo_farm import CHICAGO, NOW, person_id, scene

TODAY = date(2026, 5, 4)
TOLD = Told(None, NOW, NOW)


@pytest.fixture
def ledger(demo_books):
    with demo_books.write() as session:
        yield scene(session).ledger


def open_today(ledger, day=TODAY):
    return [one for one in tasks.open_tasks(ledger, day) if one.day == day]


def test_the_days_tasks_are_written_once(ledger):
    assert make_tasks(ledger, TODAY, TOLD) is not None
    before = [one.id for one in open_today(ledger)]
    assert make_tasks(ledger, TODAY, TOLD) is None
    assert [one.id for one in open_today(ledger)] == before


def test_all_of_a_mornings_tasks_stand_in_one_entry_that_the_books_agree_with(ledger):
    entry = make_tasks(ledger, TODAY, TOLD)
    assert {one for one in ledger.rebuilt() if one[0] == "task"} == {
        ("task", str(one.id)) for one in ledger.session.exec(select(Task))
    }
    assert entry is not None
    assert ledger.differences() == []


def test_what_was_not_done_is_carried_over_and_not_doubled(ledger):
    make_tasks(ledger, TODAY, TOLD)
    before = {
        (one.what, one.crop, tuple(one.places)): one.id
        for one in open_today(ledger)
        if one.what != "water"  # what was not watered in by the next day is no longer to be watered in
    }
    make_tasks(ledger, TODAY + timedelta(days=1), TOLD)
    after = open_today(ledger, TODAY + timedelta(days=1))
    kept = {(one.what, one.crop, tuple(one.places)): one.id for one in after}
    assert before.items() <= kept.items()
    # Two crops may go up to one shelf; all else is listed once.
    places = [(one.what, one.crop if one.what == "uncover" else None, place) for one in after for place in one.places]
    assert len(places) == len(set(places))


def test_what_was_seen_to_without_a_word_on_the_list_is_off_it_the_next_day(ledger):
    make_tasks(ledger, TODAY, TOLD)
    cut = next(one for one in open_today(ledger) if one.what == "harvest" and one.crop == "romaine")
    half = tuple(cut.places[:2])
    carry_out(Harvest(crop="romaine", count=16, places=half), scene(ledger.session, sure=True))
    make_tasks(ledger, TODAY + timedelta(days=1), TOLD)
    assert not set(half) & set(ledger.session.get_one(Task, (1, cut.id)).places)


def test_shifts_are_there_two_weeks_ahead_and_made_once(ledger):
    later = TODAY + timedelta(days=7)
    roll_shifts(ledger, later, TOLD)
    last = later + timedelta(days=AHEAD_DAYS - 1)
    per_day = [len(crew.shifts_between(ledger, *bounds(day, day, CHICAGO))) for day in _days(later, last)]
    assert sum(per_day) == 2 * len(crew.patterns(ledger))
    assert min(per_day) >= 1
    assert roll_shifts(ledger, later, TOLD) is None
    assert ledger.differences() == []


def _days(first, last):
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def test_no_shift_is_made_on_a_closed_day(ledger):
    day = TODAY + timedelta(days=20)
    carry_out(Closed(date=day), scene(ledger.session, "priya"))
    roll_shifts(ledger, day - timedelta(days=3), TOLD)
    assert crew.shifts_between(ledger, *bounds(day, day, CHICAGO)) == []
    assert crew.shifts_between(ledger, *bounds(day + timedelta(days=1), day + timedelta(days=1), CHICAGO)) != []


def test_somebody_who_said_they_cannot_come_is_not_put_on_the_shift(ledger):
    monday = TODAY + timedelta(days=21)
    away = Window(datetime.combine(monday, time(7)), datetime.combine(monday, time(12)))
    carry_out(Busy(windows=(away,)), scene(ledger.session, "dolores"))
    carry_out(Busy(weekly=(WeeklyWindow("wed", time(8), time(20)),)), scene(ledger.session, "bea"))
    roll_shifts(ledger, monday - timedelta(days=7), TOLD)
    assert _on(ledger, monday, "walt")
    assert not _on(ledger, monday, "dolores")
    assert not _on(ledger, monday + timedelta(days=2), "bea")
    assert _on(ledger, monday - timedelta(days=7), "dolores")


def _on(ledger, day, who):
    person = person_id(ledger.session, who)
    shifts = [one.id for one in crew.shifts_between(ledger, *bounds(day, day, CHICAGO))]
    return any(ledger.session.get(ShiftPlace, (1, shift, person)) for shift in shifts)


def test_a_shift_keeps_its_hour_across_a_clock_change(ledger):
    """Clocks go back in Chicago on 1 November 2026 (IANA)."""
    roll_shifts(ledger, date(2026, 10, 26), TOLD)
    shifts = crew.shifts_between(ledger, *bounds(date(2026, 10, 26), date(2026, 11, 8), CHICAGO))
    mondays = [one.starts_at for one in shifts if one.starts_at.astimezone(CHICAGO).weekday() == 0]
    assert [one.astimezone(CHICAGO).time() for one in mondays] == [time(8), time(8)]
    assert mondays[1] - mondays[0] == timedelta(days=7, hours=1)


def test_numbers_of_a_day_before_stand_for_nothing_on_a_new_day_s_list(ledger):
    make_tasks(ledger, TODAY, TOLD)
    ids = [one.id for one in open_today(ledger)]
    walt = person_id(ledger.session, "walt")
    number_list(ledger, walt, ids[:4], TODAY, TOLD)
    number_list(ledger, walt, ids[4:6], TODAY + timedelta(days=1), TOLD)
    assert [(row.n, task.id) for row, task in tasks.listed(ledger, walt)] == [(1, ids[4]), (2, ids[5])]
    assert ledger.differences() == []


def test_numbers_hold_all_day_and_new_tasks_get_the_next_ones(ledger):
    make_tasks(ledger, TODAY, TOLD)
    ids = [one.id for one in open_today(ledger)]
    walt = person_id(ledger.session, "walt")
    number_list(ledger, walt, ids[:3], TODAY, TOLD)
    number_list(ledger, walt, [ids[4], ids[1], ids[0]], TODAY, TOLD)
    assert [(row.n, task.id) for row, task in tasks.listed(ledger, walt)] == [
        (1, ids[0]), (2, ids[1]), (3, ids[2]), (4, ids[4]),
    ]  # fmt: skip
    assert ledger.differences() == []
