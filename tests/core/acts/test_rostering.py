"""The roster of the demo farm: proposed, published, taken back; and who could step in."""

from datetime import date, datetime, time, timedelta

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.acts.roster_week import roster_week
from core.acts.rostering import free_for, propose
from core.books import crew
from core.books.roster import kept_roster
from core.books.tables import Farm, Person, Shift, ShiftPattern, ShiftPlace, WorkedHours
from core.calendar import bounds
from core.errors import Refused
from core.notes import Busy, Closed, Correct, Free, MakeRoster, RosterWish, ShiftAnswer, WeeklyWindow, Window
from core.shifts.rules import faults
from tests.demo_farm import CHICAGO, NOW, person_id, scene

MONDAY = date(2026, 5, 11)
WEDNESDAY, THURSDAY, SATURDAY = (MONDAY + timedelta(days=n) for n in (2, 3, 5))


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        yield session


def shift_on(session, day, hour=None):
    found = crew.shifts_between(scene(session).ledger, *bounds(day, day, CHICAGO))
    return next(one for one in found if hour in (None, one.starts_at.astimezone(CHICAGO).hour))


def made(session, monday=MONDAY):
    return propose(scene(session, "priya"), monday)


def on(session, day, hour=None):
    """The handles of those the proposed roster has on the shift of a day."""
    proposal, shift = made(session), shift_on(session, day, hour)
    return handles(session, proposal.roster.on(shift.id))


def handles(session, numbers):
    return {one.handle for one in session.exec(select(Person)) if one.id in numbers}


def says(session, who, note):
    return carry_out(note, scene(session, who, sure=True))


def window(day, start=8, end=20):
    return Window(datetime.combine(day, time(start)), datetime.combine(day, time(end)))


def publish(session, **note):
    return says(session, "priya", MakeRoster(**note))


def test_a_roster_is_proposed_and_nothing_is_written_before_the_coordinator_is_sure(session):
    outcome = carry_out(MakeRoster(), scene(session, "priya"))
    assert [one.kind for one in outcome.doubts] == ["doubt_roster", "roster_open"]
    assert outcome.doubts[0].values["day"] == MONDAY
    assert kept_roster(scene(session).ledger, MONDAY) is None


def test_only_a_coordinator_makes_the_roster(session):
    with pytest.raises(Refused, match="not_allowed_coordinator"):
        carry_out(MakeRoster(), scene(session, "walt"))


def test_a_published_roster_breaks_no_rule_is_proven_and_the_books_agree_with_it(session):
    proposal = made(session)
    assert faults(proposal.week.problem, proposal.roster.places) == []
    assert proposal.roster.proven
    publish(session)
    ledger = scene(session).ledger
    kept = kept_roster(ledger, MONDAY)
    assert (kept.published, kept.gap) == (True, pytest.approx(0, abs=1e-6))
    stands = {(one.person_id, one.shift) for one in session.exec(select(ShiftPlace).where(ShiftPlace.answer != "no"))}
    assert {tuple(one) for one in kept.places} <= stands
    assert ledger.differences() == []


def test_each_person_is_told_their_shifts_once_and_the_coordinator_in_the_answer(session):
    outcome = publish(session)
    told = [one.person_id for one in outcome.news]
    assert len(told) == len(set(told))
    assert handles(session, told) >= {"walt", "dolores", "mateo", "june", "keisha", "tomas", "bea"}
    assert [one.kind for one in outcome.remarks] == ["your_week", "roster_untold"]
    assert outcome.remarks[1].values["who"] == ("Arlo",)  # has not agreed to be texted


def test_undo_takes_a_roster_back_to_what_stood_before_and_those_told_hear_it(session):
    before = scene(session).ledger.rebuilt()
    publish(session)
    outcome = says(session, "priya", Correct(undo=True))
    assert {one.fact.kind for one in outcome.news} == {"roster_off"}
    assert scene(session).ledger.rebuilt() == before
    assert scene(session).ledger.differences() == []


def test_a_new_shift_that_somebody_spoke_of_is_not_undone_from_under_them(session):
    later = date(2026, 6, 1)
    publish(session, date=later)
    shift = shift_on(session, later)
    says(session, "walt", ShiftAnswer(answer="yes", shift=shift.id))
    with pytest.raises(Refused, match="built_upon"):
        says(session, "priya", Correct(undo=True))


def test_who_said_they_can_come_is_given_an_open_place(session):
    says(session, "tomas", Free(windows=(window(WEDNESDAY),)))
    assert on(session, WEDNESDAY) == {"bea", "tomas"}


def test_busy_beats_free_and_a_promise(session):
    says(session, "bea", Busy(weekly=(WeeklyWindow("wed", time(8), time(20)),)))
    assert "bea" not in on(session, WEDNESDAY)
    outcome = publish(session)
    told = {one.person_id: one.fact for one in outcome.news}
    assert len(told[person_id(session, "bea")].values["off"]) == 1
    assert session.get(ShiftPlace, (1, shift_on(session, WEDNESDAY).id, person_id(session, "bea"))).answer == "no"


def test_free_until_a_day_does_not_hold_after_it(session):
    weekly = (WeeklyWindow("wed", time(8), time(20)),)
    says(session, "tomas", Free(weekly=weekly, until=WEDNESDAY - timedelta(days=1)))
    assert "tomas" not in on(session, WEDNESDAY)
    says(session, "tomas", Free(weekly=weekly, until=WEDNESDAY))
    assert "tomas" in on(session, WEDNESDAY)


def test_who_gets_no_texts_is_given_no_new_place_but_keeps_their_usual_one(session):
    says(session, "arlo", Free(windows=(window(THURSDAY),)))
    assert "arlo" not in on(session, THURSDAY)
    assert "arlo" in on(session, SATURDAY)


def test_minors_are_never_without_an_adult_and_the_ratio_is_the_farm_s(session):
    session.get_one(Farm, 1).minors_per_adult = 0
    assert not on(session, THURSDAY) & {"june", "arlo"}
    session.get_one(Farm, 1).minors_per_adult = 1
    for who in ("dolores", "mateo"):
        says(session, who, Busy(windows=(window(THURSDAY),)))
    assert on(session, THURSDAY) == set()


def test_somebody_who_has_not_told_their_age_counts_as_a_minor(session):
    session.get_one(Person, (1, person_id(session, "bea"))).age = "unknown"
    workers = made(session).week.problem.worker
    assert workers[person_id(session, "bea")].minor
    assert not workers[person_id(session, "walt")].minor


def test_minors_may_come_only_as_long_as_their_limits_let_them(session):
    """Saturday's shift is of three hours, the most for a minor on a day; a longer one is none for them."""
    assert {"june", "arlo"} <= on(session, SATURDAY)
    late = window(SATURDAY, 17, 20)
    says(session, "june", Free(windows=(late,)))
    session.add(Shift(farm_id=1, id="late", starts_at=at(SATURDAY, 17), ends_at=at(SATURDAY, 20), needed=2))
    session.flush()
    assert person_id(session, "june") not in made(session).week.problem.able["late"]


def at(day, hour):
    return datetime.combine(day, time(hour), CHICAGO)


def test_a_wish_to_come_once_a_week_is_kept(session):
    says(session, "dolores", RosterWish(most=1, per="week"))
    proposal = made(session)
    assert len(proposal.roster.of(person_id(session, "dolores"))) <= 1


def test_a_wish_to_come_twice_a_month_counts_the_shifts_of_the_month_so_far(session):
    """Walt is on three times in the week of May 4."""
    says(session, "walt", RosterWish(most=2, per="month"))
    assert made(session).week.problem.worker[person_id(session, "walt")].most_shifts == 0


def test_wishes_about_company_and_hours_reach_the_optimiser(session):
    says(session, "bea", RosterWish(beside=("june",), apart=("arlo",), part="afternoon"))
    worker = made(session).week.problem.worker[person_id(session, "bea")]
    assert handles(session, worker.beside) == {"june"}
    assert handles(session, worker.apart) == {"arlo"}
    assert worker.likes == {shift_on(session, THURSDAY).id}  # the only one that begins in an afternoon


def test_newcomers_are_those_who_have_not_worked_on_three_days(session):
    bea = person_id(session, "bea")
    days = session.exec(select(WorkedHours).where(WorkedHours.person_id == bea)).all()
    assert not made(session).week.problem.worker[bea].newcomer
    for one in days[2:]:
        session.delete(one)
    session.flush()
    assert made(session).week.problem.worker[bea].newcomer


def test_what_people_answered_yes_to_is_promised_and_a_swap_is_not(session):
    shift = shift_on(session, THURSDAY)
    says(session, "mateo", ShiftAnswer(answer="yes", shift=shift.id))
    says(session, "dolores", ShiftAnswer(answer="swap", shift=shift.id))
    promised = made(session).week.problem.promised
    assert (person_id(session, "mateo"), shift.id) in promised
    assert (person_id(session, "dolores"), shift.id) not in promised


def test_a_second_roster_of_a_week_changes_nothing_where_nothing_has_changed(session):
    publish(session)
    kept = [tuple(one) for one in kept_roster(scene(session).ledger, MONDAY).places]
    again = publish(session)
    assert [tuple(one) for one in kept_roster(scene(session).ledger, MONDAY).places] == kept
    assert all(not one.fact.values["off"] for one in again.news)


def test_a_shift_for_which_there_is_more_work_than_people_is_for_more_of_them(session):
    slots = made(session).week.slots
    monday = slots[shift_on(session, MONDAY).id]
    assert (monday.needed, monday.minutes > 180) == (3, True)
    publish(session)
    assert shift_on(session, MONDAY).needed == 3


def test_a_day_with_work_and_no_pattern_gets_a_shift_of_its_own(session):
    for one in session.exec(select(ShiftPattern)):
        session.delete(one)
    later = date(2026, 6, 1)
    week = roster_week(scene(session).ledger, scene(session).vocabulary, later, NOW)
    assert week.slots
    assert all(one.starts_at.time() == time(8) and one.minutes >= 90 for one in week.slots.values())
    assert "roster_new" in [one.kind for one in carry_out(MakeRoster(date=later), scene(session, "priya")).doubts]


def test_nothing_is_planned_on_a_closed_day(session):
    says(session, "priya", Closed(date=SATURDAY))
    assert not any(one.starts_at.date() == SATURDAY for one in made(session).week.slots.values())


def test_this_week_is_planned_from_now_on(session):
    week = made(session, date(2026, 5, 4)).week
    assert min(one.starts_at for one in week.slots.values()) > NOW
    assert len(week.slots) == 7  # all but the one of Monday morning


def test_a_week_that_is_over_is_refused_with_its_day(session):
    with pytest.raises(Refused, match="roster_past"):
        carry_out(MakeRoster(date=date(2026, 4, 30)), scene(session, "priya"))


def test_who_is_named_to_be_asked_would_fill_the_place_and_has_not_said_no(session):
    says(session, "mateo", Busy(windows=(window(WEDNESDAY),)))
    (gap,) = [one for one in made(session).open if one.shift.day == WEDNESDAY]
    asked = handles(session, {one.worker for one in gap.asks})
    assert asked
    assert not asked & {"mateo", "walt", "arlo", "june"}  # busy, busy, without texts, at school


def test_a_gap_names_nobody_who_reads_of_it(session):
    doubts = carry_out(MakeRoster(), scene(session, "priya")).doubts
    names = [name for gap in doubts[-1].values["gaps"] for name in gap.values["who"]]
    assert names
    assert "Priya" not in names


def test_those_who_can_step_in_are_the_willing_first_and_nobody_who_said_no(session):
    shift = shift_on(session, WEDNESDAY)
    says(session, "tomas", Free(windows=(window(WEDNESDAY),)))
    says(session, "mateo", Busy(windows=(window(WEDNESDAY),)))
    found = free_for(scene(session).ledger, shift)
    assert handles(session, found[:1]) == {"tomas"}
    assert not handles(session, found) & {"bea", "walt", "mateo", "arlo", "june"}  # on it, busy, busy, no texts, school


def test_who_was_given_the_smaller_share_is_asked_first_to_step_in(session):
    found = free_for(scene(session).ledger, shift_on(session, WEDNESDAY))
    workers = made(session).week.problem.worker
    shares = [workers[one].given_min / workers[one].asked_min for one in found]
    assert shares == sorted(shares)
    assert len(found) >= 3
