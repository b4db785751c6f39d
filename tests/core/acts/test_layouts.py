"""A farm of rafts and a bed beside its towers: the same acts, with each row's own sites."""

import pytest

from core.acts import carry_out
from core.acts.answers import answer
from core.books import growing, tasks
from core.books.tables import Farm, Place
from core.notes import Ask, Clean, Harvest, Move
from core.places import codes
from tests.demo_farm import FARM, NOW, scene


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        farm = session.get_one(Farm, FARM)
        farm.tower_rows = {**farm.tower_rows, "R": 3, "BED": 1}
        farm.row_kinds, farm.row_sites = {"R": "raft", "BED": "bed"}, {"R": 40, "BED": 100}
        writing = scene(session).ledger.enter("layout", scene(session).told)
        for row, kind, sites in (("R", "raft", 40), ("BED", "bed", 100)):
            for code in codes(row, farm.tower_rows[row]):
                writing.record(Place, code=code, kind=kind, sites=sites, state="ready")
        yield session


def say(session, note, source, **more):
    return carry_out(note, scene(session, source=source, **more))


def test_a_raft_takes_as_many_plants_as_it_has_sites(session):
    too_many = say(session, Move(crop="butterhead", count=44, origin=("shelf1",), to=("R1",)), "t:1")
    assert [one.kind for one in too_many.doubts] == ["doubt_more_than_sites"]
    moved = say(session, Move(crop="butterhead", count=40, origin=("shelf1",), to=("R1",)), "t:2")
    assert moved.facts[0].kind == "moved_to_towers"
    assert [(stand.place, stand.plants) for stand, _ in growing.standing(scene(session).ledger, ["R1"])] == [("R1", 40)]


def test_a_bed_is_picked_cleaned_and_asked_about_like_a_tower(session):
    say(session, Move(crop="butterhead", count=60, origin=("shelf1",), to=("BED1",)), "t:1")
    cut = say(session, Harvest(crop="butterhead", count=60, places=("BED1",)), "t:2", sure=True)
    assert [(one.kind, one.values["places"]) for one in cut.remarks] == [("to_clean", ("BED1",))]
    assert "BED1" in tasks.state(scene(session).ledger, scene(session).vocabulary, NOW.date()).dirty
    say(session, Clean(places=("BED1",)), "t:3")
    one = scene(session)
    (fact,) = answer(Ask(about="place", place="BED1"), one.told, one.ledger, one.vocabulary).facts
    assert fact.kind == "place_ready"
    assert one.ledger.differences() == []


def test_free_rafts_and_beds_are_there_to_be_planted(session):
    free = tasks.state(scene(session).ledger, scene(session).vocabulary, NOW.date()).free
    assert {"R1", "R2", "R3", "BED1"} <= set(free)
