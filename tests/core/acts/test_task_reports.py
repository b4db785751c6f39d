"""What "2 done" comes to, by kind of task, and what it teaches about how long work takes."""

from datetime import date, timedelta

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.acts.answers import answer
from core.acts.daily import make_tasks
from core.acts.listing import number_list
from core.books import growing, tasks
from core.books.ledger import Told
from core.books.tables import Cleaning, Task
from core.notes import Ask, Sow, TaskReport
from core.sizing import ENOUGH
from tests.demo_farm import NOW, person_id, scene

TODAY = date(2026, 5, 4)


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        make_tasks(scene(session).ledger, TODAY, Told(None, NOW, NOW))
        ids = [one.id for one in tasks.open_tasks(scene(session).ledger, TODAY)]
        number_list(scene(session).ledger, person_id(session, "walt"), ids, TODAY, scene(session).told)
        yield session


def task(session, what):
    return session.exec(select(Task).where(Task.what == what).order_by(Task.id)).first()


def number(session, one):
    listed = tasks.listed(scene(session).ledger, person_id(session, "walt"))
    return next(row.n for row, task in listed if task.id == one.id)


def say(session, what, state, *, after=0, minutes=None):
    at = NOW + timedelta(minutes=after)
    note = TaskReport(state=state, n=number(session, task(session, what)), minutes=minutes)
    return carry_out(note, scene(session, at=at, source=f"t:{after}{what}{state}"))


def test_uncovering_that_is_done_moves_what_was_due_to_the_shelf_on_the_list(session):
    one = task(session, "uncover")
    say(session, "uncover", "done")
    ledger = scene(session).ledger
    assert {batch.crop for _, batch in growing.standing(ledger, one.places)} >= {one.crop}
    assert all(stand.since > TODAY - timedelta(days=2) for stand, _ in growing.standing(ledger, ["dome"], one.crop))
    assert [one for one in growing.accounts(ledger) if not one.balanced] == []
    assert ledger.differences() == []


def test_towers_cleared_are_to_clean_and_their_plants_are_out(session):
    outcome = say(session, "clear", "done")
    assert [one.kind for one in outcome.remarks] == ["cleared", "to_clean"]
    places = task(session, "clear").places
    assert growing.standing(scene(session).ledger, places) == []
    assert {one.state for one in growing.places(scene(session).ledger, places).values()} == {"to clean"}


def test_cleaning_clears_what_gives_no_more_and_leaves_what_still_grows(session):
    one = task(session, "clean")
    say(session, "clean", "done")
    states = growing.places(scene(session).ledger, one.places)
    held = {stand.place for stand, _ in growing.standing(scene(session).ledger, one.places)}
    assert all(states[code].state == "ready" for code in one.places if code not in held)


def test_upkeep_that_is_done_is_not_due_the_next_day(session):
    later = TODAY + timedelta(days=30)
    ledger = scene(session).ledger
    make_tasks(ledger, later, Told(None, NOW, NOW))
    one = session.exec(select(Task).where(Task.what == "upkeep", Task.day == later)).first()
    number_list(ledger, person_id(session, "walt"), [one.id], later, scene(session).told)
    at = NOW + timedelta(days=30)
    carry_out(TaskReport(state="done", n=1), scene(session, at=at, source="t:up"))
    assert session.exec(select(Cleaning).where(Cleaning.what == one.places[0], Cleaning.on == later)).one()
    vocabulary = scene(session).vocabulary
    assert one.places[0] not in tasks.state(ledger, vocabulary, later + timedelta(days=1)).upkeep


def test_trays_sown_are_to_be_watered_in_until_somebody_did(session):
    ledger, words = scene(session).ledger, scene(session).vocabulary
    say(session, "water", "done")
    assert tasks.state(ledger, words, TODAY).to_water == []
    carry_out(Sow(crop="mint", count=10), scene(session, at=NOW + timedelta(days=1), source="t:s"))
    assert tasks.state(ledger, words, TODAY + timedelta(days=2)).to_water == ["dome"]
    assert tasks.state(ledger, words, TODAY + timedelta(days=4)).to_water == []


def test_minutes_are_those_said_or_those_from_started_to_done(session):
    say(session, "clean", "done", minutes=40)
    assert task(session, "clean").took_minutes == 40

    say(session, "clear", "started")
    say(session, "clear", "done", after=25)
    assert task(session, "clear").took_minutes == 25


def test_a_clock_somebody_else_started_or_that_ran_all_day_says_nothing(session):
    say(session, "clear", "started")
    say(session, "clear", "done", after=600)
    assert task(session, "clear").took_minutes is None


def test_enough_times_of_the_farm_s_own_replace_the_figure_of_the_data(session):
    ledger, words = scene(session).ledger, scene(session).vocabulary
    writing = ledger.enter("tasks", scene(session).told)
    for n in range(ENOUGH):
        writing.record(Task, id=900 + n, day=TODAY, what="clean", places=["A1", "A2"], minutes=10, state="done")
        writing.put(Task, {"id": 900 + n}, took_minutes=18.0)
    assert tasks.state(ledger, words, TODAY).minutes == {"clean": 9.0}


def numbers(session, about, who="bea"):
    one = scene(session, who)
    outcome = answer(Ask(about=about), one.told, one.ledger, one.vocabulary)
    if outcome.listed:
        number_list(one.ledger, person_id(session, who), outcome.listed, TODAY, one.told)
    lines = outcome.facts[0].values.get("tasks", ())
    return outcome.facts[0].kind, [line.values["n"] for line in lines], list(outcome.listed)


def test_more_goes_through_the_whole_list_and_says_when_that_is_all(session):
    shown, kinds = [], []
    for about in ("tasks", "more", "more", "more", "more"):
        kind, listed, ids = numbers(session, about)
        kinds.append(kind)
        shown += list(zip(listed, ids, strict=True))
    assert [n for n, _ in shown] == list(range(1, len(shown) + 1))
    open_ids = {one.id for one in tasks.open_tasks(scene(session).ledger, TODAY)}
    assert {id for _, id in shown} == open_ids
    assert kinds[-1] == "no_more_to_do"


def test_a_task_keeps_its_number_all_day(session):
    _, first, ids = numbers(session, "tasks")
    done = TaskReport(state="done", n=first[0])
    carry_out(done, scene(session, "bea", source="t:d"))
    _, second, later = numbers(session, "tasks")
    before = dict(zip(ids, first, strict=True))
    assert [before[one] for one in later if one in before] == [
        n for n, one in zip(second, later, strict=True) if one in before
    ]
    assert first[0] not in second
    assert max(second) == max(first) + 1
