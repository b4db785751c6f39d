"""Who is texted what at which hour, and what is dropped when it is too late, on the demo farm in Chicago."""

from datetime import date, time, timedelta

from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import ClosedDay, Shift, ShiftPlace
from tests.demo_farm import CHICAGO, FARM, person_id, scene
from tests.service.ticks import change, local, number_of, run, texts, to, went_at


def test_the_digest_goes_to_the_coordinator_at_the_farms_hour_once(demo_books):
    run(demo_books, local(2026, 5, 5, 4, 0), local(2026, 5, 5, 20, 0))
    (digest,) = texts(demo_books, kind="digest")
    assert went_at(digest).time() == time(7)
    assert digest.person_id == number_of(demo_books, "priya")
    assert digest.expires_at == local(2026, 5, 5, 12)


def test_the_digest_waits_for_eight_where_nobody_asked_for_it_earlier(demo_books):
    change(demo_books, "priya", early_at=None)
    run(demo_books, local(2026, 5, 5, 6, 0), local(2026, 5, 5, 10, 0))
    assert [went_at(one).time() for one in texts(demo_books, kind="digest")] == [time(8)]


def test_everyone_on_a_shift_is_reminded_on_the_eve_and_an_hour_before_and_given_the_list(demo_books):
    """Bea, on Tuesday from 9 to 11."""
    run(demo_books, local(2026, 5, 4, 12, 0), local(2026, 5, 5, 12, 0))
    assert [(one.kind, went_at(one).strftime("%a %H:%M")) for one in to(demo_books, "bea")] == [
        ("reminder", "Mon 18:00"),
        ("reminder", "Tue 08:00"),
        ("tasks", "Tue 08:30"),
    ]


def test_who_has_said_no_hears_nothing_of_the_shift(demo_books):
    """Tomas has, for Tuesday evening; Mateo has not."""
    run(demo_books, local(2026, 5, 4, 17, 0), local(2026, 5, 5, 20, 0))
    assert to(demo_books, "tomas") == []
    assert [one.kind for one in to(demo_books, "mateo")] == ["reminder", "reminder", "tasks"]


def test_a_no_after_the_eve_is_the_last_of_it(demo_books):
    run(demo_books, local(2026, 5, 4, 18, 0), local(2026, 5, 4, 18, 10))
    with demo_books.write() as session:
        bea = person_id(session, "bea")
        shift = next(one for one in session.exec(select(ShiftPlace)) if one.person_id == bea)
        Ledger(session, FARM).enter("test", scene(session).told).put(
            ShiftPlace, {"shift": shift.shift, "person_id": bea}, answer="no"
        )
    run(demo_books, local(2026, 5, 4, 18, 10), local(2026, 5, 5, 12, 0))
    assert len(to(demo_books, "bea")) == 1


def test_only_those_who_agreed_and_are_here_are_texted(demo_books):
    """Arlo, a minor, has nobody who agreed for him; the others are made so."""
    change(demo_books, "keisha", muted=True)
    change(demo_books, "dolores", state="left")
    change(demo_books, "june", agreed=False)
    run(demo_books, local(2026, 5, 4, 0, 0), local(2026, 5, 11, 0, 0), timedelta(minutes=30))
    reached = {one.person_id for one in texts(demo_books)}
    assert reached & {number_of(demo_books, who) for who in ("keisha", "dolores", "june", "arlo")} == set()
    assert number_of(demo_books, "walt") in reached


def test_in_two_weeks_nothing_goes_out_in_the_quiet_hours_and_nothing_twice(demo_books):
    run(demo_books, local(2026, 5, 4, 0, 0), local(2026, 5, 18, 0, 0), timedelta(minutes=15))
    sent = texts(demo_books)
    early = {number_of(demo_books, "priya"): time(7)}
    assert len(sent) > 60
    assert [one.key for one in sent if not early.get(one.person_id, time(8)) <= went_at(one).time() < time(20)] == []
    assert [one.key for one in sent if one.expires_at.astimezone(CHICAGO).time() > time(20)] == []
    assert len({(one.person_id, one.body, went_at(one).date()) for one in sent}) == len(sent)


def test_an_hour_before_an_early_shift_is_quiet_and_the_reminder_is_dropped(demo_books):
    """Monday's shift begins at 8, when texts may begin; the eve's reminder has been sent."""
    run(demo_books, local(2026, 5, 10, 17, 0), local(2026, 5, 11, 10, 0))
    assert [(one.kind, went_at(one).strftime("%a %H:%M")) for one in to(demo_books, "walt")] == [
        ("reminder", "Sun 18:00"),
        ("tasks", "Mon 08:00"),
    ]


def test_an_hour_before_falls_in_the_quiet_hours_and_moves_to_the_first_minute_after(demo_books):
    with demo_books.write() as session:
        entry = Ledger(session, FARM).enter("test", scene(session).told)
        start = local(2026, 5, 5, 8, 40)
        entry.record(Shift, id="early", starts_at=start, ends_at=start + timedelta(hours=1), needed=1)
        entry.record(ShiftPlace, shift="early", person_id=person_id(session, "walt"))
    run(demo_books, local(2026, 5, 5, 7, 0), local(2026, 5, 5, 8, 20))
    assert [(one.kind, went_at(one).time()) for one in to(demo_books, "walt")][:1] == [("reminder", time(8))]


def test_a_service_that_was_down_in_the_morning_sends_what_is_still_of_use(demo_books):
    """Down from 6 to 11 on Tuesday: the digest is late, the morning's shift is over, the evening's is as ever."""
    run(demo_books, local(2026, 5, 4, 17, 0), local(2026, 5, 5, 6, 0))
    run(demo_books, local(2026, 5, 5, 11, 0), local(2026, 5, 5, 18, 0))
    assert [went_at(one).time() for one in texts(demo_books, kind="digest")] == [time(11)]
    assert [(one.kind, went_at(one).time()) for one in to(demo_books, "mateo")] == [
        ("reminder", time(18)),
        ("reminder", time(16)),
        ("tasks", time(16, 30)),
    ]
    assert [(one.kind, went_at(one).time()) for one in to(demo_books, "bea")] == [("reminder", time(18))]


def test_an_eve_that_was_missed_is_made_up_for_in_the_morning(demo_books):
    """Down from Monday afternoon to Tuesday at 11: Mateo's shift is at 17, and he has time to find somebody."""
    run(demo_books, local(2026, 5, 5, 11, 0), local(2026, 5, 5, 12, 0))
    (reminder,) = to(demo_books, "mateo")
    assert "hoy 5-7pm" in reminder.body


def test_a_digest_that_is_later_than_noon_is_dropped(demo_books):
    run(demo_books, local(2026, 5, 5, 12, 0), local(2026, 5, 5, 20, 0))
    assert texts(demo_books, kind="digest") == []


def test_a_list_that_is_late_still_helps_while_the_shift_lasts(demo_books):
    run(demo_books, local(2026, 5, 5, 10, 30), local(2026, 5, 5, 11, 30))
    assert [(one.kind, went_at(one).time()) for one in to(demo_books, "bea")] == [("tasks", time(10, 30))]


def test_a_reminder_is_given_up_when_the_shift_begins(demo_books):
    run(demo_books, local(2026, 5, 5, 8, 0), local(2026, 5, 5, 8, 10))
    (reminder,) = to(demo_books, "bea", kind="reminder")
    assert reminder.expires_at == local(2026, 5, 5, 9, 0)


def test_on_a_closed_day_nobody_is_reminded(demo_books):
    with demo_books.write() as session:
        Ledger(session, FARM).enter("test", scene(session).told).put(ClosedDay, {"day": date(2026, 5, 5)})
    run(demo_books, local(2026, 5, 4, 12, 0), local(2026, 5, 5, 17, 0))
    assert {one.kind for one in texts(demo_books)} == {"digest"}
