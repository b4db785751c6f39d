"""What the farm texts by itself: digest, task list and reminder, in as few segments as promised."""

from datetime import UTC, date, datetime, timedelta

import pytest
from sqlmodel import select

from core.acts.daily import make_tasks
from core.books import crew, tasks
from core.books.ledger import Told
from core.books.people import person
from core.books.tables import ClosedDay, Measured, Shift, ShiftPlace, Stock, TroubleReport
from core.calendar import instant
from core.notes import TROUBLES
from service import rounds
from service.segments import count
from tests.demo_farm import CHICAGO, FARM, NOW, person_id, scene

TODAY = date(2026, 5, 4)
LANGUAGES = ("en", "es")


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        make_tasks(scene(session).ledger, TODAY, Told(None, NOW, NOW))
        yield session


def entry(session):
    here = scene(session)
    return here.ledger.enter("test", here.told)


def test_the_digest_shows_the_day_across_all_areas(session):
    assert rounds.digest(session, FARM, TODAY, NOW).splitlines() == [
        "Tern Street Farm, Mon May 4",
        "8-10am Walt?, Dolores?",
        "15 tasks, 4 h 30 min: calibrate, read, cut, pull out, clean, move, uncover, sow, water in",
        "Ready: kale D5-D12 (64); mint F1-F3 (24); romaine B1-B4 (32); butterhead A1-A5 (40)",
        "Out of range: nursery pH 6.7 HIGH",
        "Low: gloves, pH down, kale seed",
        "Trouble: 1 algae shelf 2 47 h",
    ]


def test_the_digest_names_who_has_not_answered_and_how_many_are_missing(session):
    said = rounds.digest(session, FARM, TODAY + timedelta(days=5), NOW)
    assert "9am-12pm Priya?, Dolores?, June?, Keisha, Arlo?" in said
    assert "5-7pm Mateo, 1 more needed" in rounds.digest(session, FARM, TODAY + timedelta(days=1), NOW)


def test_on_a_closed_day_the_digest_says_so_and_names_no_shift(session):
    entry(session).put(ClosedDay, {"day": TODAY})
    said = rounds.digest(session, FARM, TODAY, NOW)
    assert "Closed today." in said
    assert "Walt" not in said


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_digest_is_three_segments_at_most_on_every_day_of_two_weeks(session, language):
    for days in range(14):
        text = rounds.digest(session, FARM, TODAY + timedelta(days=days), NOW + timedelta(days=days), language)
        assert (count(text).encoding, count(text).parts <= 3) == ("GSM-7", True), text


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_digest_is_three_segments_at_most_on_the_worst_day(session, language):
    """Everything ripe, low, broken and out of range at once."""
    later = NOW + timedelta(days=60)
    day = later.astimezone(CHICAGO).date()
    _all_goes_wrong(session, later, day)
    text = rounds.digest(session, FARM, day, later, language)
    assert count(text).parts <= 3, text
    assert "more" in text or "mas" in text


def _all_goes_wrong(session, now, day):
    writing = entry(session)
    for stock in session.exec(select(Stock)).all():
        writing.put(Stock, {"item": stock.item, "crop": stock.crop}, said="out")
    for number, kind in enumerate(TROUBLES):
        writing.record(TroubleReport, kind=kind, places=[f"A{number + 1}", f"C{number + 1}"], at=now)
    for measure, value in (("ph", 8.0), ("ec", 3.5), ("water_temp", 30.0), ("level", 5.0), ("oxygen", 2.5)):
        for tank in ("main", "nursery"):
            writing.record(Measured, measure=measure, value=value, place=tank, at=now)
    for hour in range(8, 18, 2):
        start = now.replace(hour=hour + 5, minute=0)
        writing.record(Shift, id=f"x{hour}", starts_at=start, ends_at=start + timedelta(hours=2), needed=9)
        for who in ("priya", "walt", "dolores", "mateo", "june"):
            writing.record(ShiftPlace, shift=f"x{hour}", person_id=person_id(session, who))


def todays_shift(session):
    return crew.shifts_of(scene(session).ledger, person_id(session, "walt"), NOW, CHICAGO)[0]


def list_for(session, who):
    here = scene(session)
    return rounds.task_list(session, FARM, person(here.ledger, person_id(session, who)), todays_shift(session), NOW)


def test_a_task_list_is_numbered_and_its_numbers_are_kept(session):
    lines = list_for(session, "walt").splitlines()
    assert lines[:3] == ["Walt, your shift 8-10am.", "To do today:", "1 calibrate pH main"]
    kept = tasks.listed(scene(session).ledger, person_id(session, "walt"))
    assert [row.n for row, _ in kept] == list(range(1, 9))
    assert [task.what for _, task in kept][:3] == ["calibrate", "check", "harvest"]
    assert scene(session).ledger.differences() == []


@pytest.mark.parametrize("who", ["walt", "mateo", "june"])
def test_a_task_list_is_two_segments_at_most(session, who):
    text = list_for(session, who)
    assert (count(text).encoding, count(text).parts <= 2) == ("GSM-7", True), text


def test_a_minors_task_list_has_no_work_at_the_tanks(session):
    assert "pH" not in list_for(session, "june")


def test_where_nothing_is_to_be_done_there_is_no_list(session):
    writing = entry(session)
    for task in tasks.open_tasks(scene(session).ledger, TODAY):
        writing.put(type(task), {"id": task.id}, state="done")
    assert list_for(session, "walt") is None


@pytest.mark.parametrize("who", ["walt", "mateo"])
@pytest.mark.parametrize("asks", [True, False])
def test_a_reminder_is_one_segment_and_never_suggests_a_word_of_the_carriers(session, who, asks):
    to = person(scene(session).ledger, person_id(session, who))
    text = rounds.reminder(session, FARM, to, todays_shift(session), NOW, asks=asks)
    assert (count(text).encoding, count(text).parts) == ("GSM-7", 1)
    assert ("OK" in text) == asks
    assert not {"YES", "STOP", "CANCEL", "END", "QUIT", "START"} & set(text.replace(".", " ").split())


def test_a_reminder_says_the_day_as_it_is_when_it_goes_out(session):
    to = person(scene(session).ledger, person_id(session, "walt"))
    shift = todays_shift(session)
    eve = datetime(2026, 5, 3, 23, tzinfo=UTC)
    assert "tomorrow 8-10am" in rounds.reminder(session, FARM, to, shift, eve, asks=True)
    assert "today 8-10am" in rounds.reminder(session, FARM, to, shift, NOW, asks=True)
    assert shift.starts_at == instant(TODAY, shift.starts_at.astimezone(CHICAGO).time(), CHICAGO)
