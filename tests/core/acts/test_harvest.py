"""A cut: what it takes off the towers, and what makes it doubtful."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.books import growing
from core.books.tables import Cut, Place, PlantLoss, Standing, Task
from core.errors import Refused
from core.notes import Correct, Harvest
from tests.demo_farm import FARM, NOW, person_id, scene


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        yield session


def heads_in(session, *codes):
    return sum(stand.plants for stand, _ in growing.standing(scene(session).ledger, codes))


def full_towers(session, crop):
    """Two towers of a crop, side by side, with their plants."""
    stands = [stand for stand, _ in growing.standing(scene(session).ledger, crop=crop) if stand.place[0] in "ABCDEF"]
    places = tuple(one.place for one in stands if one.place[1:].isdigit())[:2]
    return places, sum(one.plants for one in stands if one.place in places)


def test_whole_heads_leave_their_towers_which_are_then_to_clean(session):
    places, plants = full_towers(session, "romaine")
    outcome = carry_out(Harvest(crop="romaine", count=plants, places=places), scene(session))
    assert heads_in(session, *places) == 0
    assert {session.get(Place, (FARM, code)).state for code in places} == {"to clean"}
    assert [one.kind for one in outcome.remarks] == ["to_clean"]


def test_heads_that_were_not_there_are_booked_as_gaps(session):
    places, plants = full_towers(session, "romaine")
    carry_out(Harvest(crop="romaine", count=plants - 3, culled=1, places=places), scene(session))
    assert heads_in(session, *places) == 0
    gaps = [one for one in session.exec(select(PlantLoss)) if one.reason == "gap" and one.entry > 1]
    assert [one.count for one in gaps] == [2]


def test_a_small_pick_leaves_the_rest_standing(session):
    places, plants = full_towers(session, "romaine")
    outcome = carry_out(Harvest(crop="romaine", count=5, places=places), scene(session))
    assert heads_in(session, *places) == plants - 5
    assert outcome.remarks[-1].kind == "still_standing"


def test_a_herb_stands_on_after_its_cut_and_regrows(session):
    places, plants = full_towers(session, "mint")
    before = session.exec(select(Standing).where(Standing.place == places[0])).all()
    cuts = before[0].cuts
    outcome = carry_out(Harvest(crop="mint", count=6, places=places), scene(session))
    stand = session.exec(select(Standing).where(Standing.place == places[0], Standing.plants > 0)).one()
    assert heads_in(session, *places) == plants
    assert (stand.cuts, stand.last_cut.isoformat()) == (cuts + 1, "2026-05-04")
    assert outcome.remarks[0].kind in ("regrows", "last_cut")


def test_a_harvest_without_towers_asks_for_them_and_empties_none(session):
    before = session.exec(select(Standing.plants)).all()
    outcome = carry_out(Harvest(crop="romaine", count=4), scene(session))
    assert [one.kind for one in outcome.remarks] == ["which_towers"]
    assert session.exec(select(Standing.plants)).all() == before


@pytest.mark.parametrize(
    ("note", "doubt"),
    [
        (Harvest(crop="romaine", count=300, places=("A1",)), "doubt_"),
        (Harvest(crop="romaine", count=9999), "doubt_more_than_stands"),
        (Harvest(crop="romaine", count=1.5), "doubt_part"),
    ],
)
def test_a_surprising_harvest_is_doubted_and_not_written(session, note, doubt):
    outcome = carry_out(note, scene(session))
    assert outcome.doubts[0].kind.startswith(doubt)
    assert outcome.entry is None
    assert session.exec(select(Cut).where(Cut.entry > 1)).all() == []


def test_a_doubted_harvest_is_written_when_its_sender_is_sure(session):
    outcome = carry_out(Harvest(crop="romaine", count=9999), scene(session, sure=True))
    assert outcome.entry is not None


def test_an_impossible_tower_is_refused_and_the_valid_rows_named(session):
    with pytest.raises(Refused) as refused:
        carry_out(Harvest(crop="romaine", count=3, places=("Z9",)), scene(session))
    assert refused.value.kind == "no_such_place"
    assert refused.value.values == {"code": "Z9", "first": "A", "last": "F", "towers": 24}


def test_the_same_cut_told_by_two_people_is_asked_about(session):
    _, plants = full_towers(session, "romaine")
    carry_out(Harvest(crop="romaine", count=plants), scene(session, "walt", source="t:1"))
    later = scene(session, "keisha", at=NOW + timedelta(hours=2), source="t:2")
    outcome = carry_out(Harvest(crop="romaine", count=plants - 1), later)
    assert outcome.doubts[0].kind == "doubt_same_cut"
    assert outcome.doubts[0].values["who"] == "Walt"


def test_two_cuts_half_a_day_apart_are_two(session):
    carry_out(Harvest(crop="romaine", count=4), scene(session, "walt", source="t:1"))
    later = scene(session, "keisha", at=NOW + timedelta(hours=9), source="t:2")
    assert carry_out(Harvest(crop="romaine", count=4), later).entry


def test_one_persons_two_cuts_of_a_crop_are_not_doubted(session):
    carry_out(Harvest(crop="romaine", count=4), scene(session, source="t:1"))
    assert carry_out(Harvest(crop="romaine", count=4), scene(session, source="t:2")).entry


def test_a_cut_of_listed_towers_closes_its_task_and_undo_opens_it_again(session):
    places, plants = full_towers(session, "romaine")
    opening = scene(session).ledger.enter("tasks", scene(session).told)
    opening.record(Task, id=900, day=scene(session).day, what="harvest", crop="romaine", places=list(places), minutes=9)
    carry_out(Harvest(crop="romaine", count=plants, places=places), scene(session, source="t:2"))
    assert session.get(Task, (FARM, 900)).state == "done"
    carry_out(Correct(undo=True), scene(session, source="t:3"))
    assert session.get(Task, (FARM, 900)).state == "open"


def test_undo_puts_every_head_back(session):
    places, plants = full_towers(session, "romaine")
    carry_out(Harvest(crop="romaine", count=plants, places=places), scene(session, source="t:1"))
    carry_out(Correct(undo=True), scene(session, source="t:2"))
    assert heads_in(session, *places) == plants
    assert {session.get(Place, (FARM, code)).state for code in places} == {"ready"}
    assert session.exec(select(Cut).where(Cut.person_id == person_id(session, "walt"), Cut.entry > 1)).all() == []


def test_a_mended_count_replaces_the_first_and_keeps_its_time(session):
    carry_out(Harvest(crop="mint", count=24), scene(session, sure=True, source="t:1"))
    carry_out(Correct(count=42), scene(session, sure=True, at=NOW + timedelta(minutes=3), source="t:2"))
    cut = session.exec(select(Cut).where(Cut.crop == "mint", Cut.entry > 1)).one()
    assert (cut.count, cut.at) == (42, NOW)


def test_nothing_to_undo_is_said_so(session):
    with pytest.raises(Refused) as refused:
        carry_out(Correct(undo=True), scene(session, "bea"))
    assert refused.value.kind == "nothing_to_undo"
