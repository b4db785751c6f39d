"""The forecast from the books: what the farm has counted, and what is answered."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.acts.answers import answer
from core.acts.forecast import growths, look_ahead, sowings, standing, work_days
from core.acts.planning import make_plan
from core.books import growing, growth
from core.books.tables import ShiftPattern
from core.notes import Ask, Correct, Harvest
from core.planning.growth import published
from tests.demo_farm import NOW, scene


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        yield session


def counted(session, crop):
    now = scene(session)
    return growth.counts(now.ledger, now.vocabulary.zone)[crop]


def a_tower(session, crop):
    """A tower of a crop, its plants, and the day they came there."""
    now = scene(session)
    stand = next(stand for stand, _ in growing.standing(now.ledger, crop=crop) if now.vocabulary.is_tower(stand.place))
    return stand.place, stand.plants, stand.since


def asked(session, **about):
    now = scene(session)
    [said] = answer(Ask(about="forecast", **about), now.told, now.ledger, now.vocabulary).facts
    return said


def test_germination_counts_are_learnt_from(session):
    assert (35, 40) in counted(session, "kale").germination
    now = scene(session)
    before = published(growing.crops(now.ledger)["kale"])
    assert growths(now.ledger, now.vocabulary)["kale"].germination.mean > before.germination.mean


def test_days_in_the_nursery_are_those_from_sowing_to_the_towers(session):
    assert set(counted(session, "butterhead").nursery_days) == {14}


def test_a_cut_of_heads_tells_days_and_how_many_lived(session):
    place, plants, since = a_tower(session, "romaine")
    carry_out(Harvest(crop="romaine", count=plants - 1, places=(place,)), scene(session))
    day = scene(session).day
    seen = counted(session, "romaine")
    assert seen.tower_days == [(since, ((day - since).days,))]
    assert seen.towers == [(plants - 1, plants)]


def test_a_cut_that_was_taken_back_tells_nothing(session):
    place, plants, _ = a_tower(session, "romaine")
    carry_out(Harvest(crop="romaine", count=plants, places=(place,)), scene(session))
    carry_out(Correct(undo=True), scene(session))
    assert counted(session, "romaine").tower_days == []


def test_cuts_of_a_herb_tell_its_regrowth_and_its_bunches(session):
    place, plants, _ = a_tower(session, "mint")
    for days, bunches in ((0, plants), (20, plants + 2)):
        said = scene(session, source=f"t:{days}", at=NOW + timedelta(days=days), sure=True)
        carry_out(Harvest(crop="mint", count=bunches, places=(place,)), said)
    seen = counted(session, "mint")
    assert seen.picked == [1, (plants + 2) / plants]
    assert (20,) in [days for _, days in seen.regrow_days]


def test_what_stands_is_taken_whole(session):
    now = scene(session)
    assert sum(one.plants for one in standing(now.ledger)) == sum(one.plants for one, _ in growing.standing(now.ledger))


def test_cutting_is_expected_on_days_with_a_shift(session):
    for pattern in session.exec(select(ShiftPattern)).all():
        if pattern.day not in ("tue", "sat"):
            session.delete(pattern)
    assert work_days(scene(session).ledger) == (1, 5)


def test_where_no_shifts_are_set_cutting_is_expected_any_day(session):
    for pattern in session.exec(select(ShiftPattern)).all():
        session.delete(pattern)
    assert work_days(scene(session).ledger) == tuple(range(7))


def test_what_is_sown_from_next_week_on_is_what_the_kept_plan_says(session):
    now = scene(session)
    by_thumb = sowings(now.ledger, growths(now.ledger, now.vocabulary), now.day, now.day + timedelta(weeks=4))
    _, plan = make_plan(now.ledger, now.vocabulary, now.day)
    planned = sowings(now.ledger, growths(now.ledger, now.vocabulary), now.day, now.day + timedelta(weeks=4))
    for week in (1, 2, 3):
        monday = now.day + timedelta(weeks=week)
        assert {one.crop: one.plugs for one in planned if one.day == monday} == {
            crop: plugs[week] for crop, plugs in plan.sow.items()
        }
    assert planned != by_thumb


def test_one_crop_is_forecast_alike_alone_and_among_others(session):
    now = scene(session)
    alone = look_ahead(now.ledger, now.vocabulary, now.day, 4, draws=100, crop="kale")
    assert set(alone.draws) == {"kale"}
    assert alone.of(1, "kale") == look_ahead(now.ledger, now.vocabulary, now.day, 4, draws=100).of(1, "kale")


def test_all_crops_of_next_week_are_answered_where_nothing_is_named(session):
    said = asked(session)
    assert said.kind == "forecast_week"
    assert (said.values["day"] - scene(session).day).days == 7
    assert said.values["more"] == 4


def test_one_crop_is_answered_for_three_weeks(session):
    said = asked(session, crop="kale", period="week")
    days = [one.values["day"] for one in said.values["weeks"]]
    assert [(day - scene(session).day).days for day in days] == [0, 7, 14]
    assert all(one.values["low"] <= one.values["n"] <= one.values["high"] for one in said.values["weeks"])


def test_a_crop_of_which_nothing_comes_is_said_to_be_so(session):
    assert asked(session, crop="basil").kind == "forecast_none_of"


def test_nobody_looks_a_year_ahead(session):
    assert asked(session, date=scene(session).day + timedelta(days=365)).kind == "forecast_too_far"


def test_the_forecast_writes_nothing_and_is_the_same_twice(session):
    now = scene(session)
    first, second = (look_ahead(now.ledger, now.vocabulary, now.day, 4, draws=200) for _ in range(2))
    assert first.of(1) == second.of(1)
    assert not session.new
    assert not session.dirty
