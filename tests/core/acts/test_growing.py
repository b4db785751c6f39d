"""Crops and places as a farm sets them up, and what stood where on a past day, through the public acts."""

from datetime import date, timedelta

import pytest

from core.acts import carry_out
from core.acts.answers import answer
from core.acts.crops import take_up
from core.books import growing
from core.books.tables import Crop
from core.crop_files import read_crop
from core.crops import profiles
from core.errors import Refused
from core.notes import Ask, Clean, Correct, DescribeCrop, Harvest, Loss, Move, PlaceUse, Sow, Target
from tests.demo_farm import NOW, scene

TODAY = date(2026, 5, 4)


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        yield session


def say(session, note, *, who="priya", days=0, minutes=0, sure=False):
    at = NOW + timedelta(days=days, minutes=minutes)
    return carry_out(note, scene(session, who, at=at, sure=sure, source=f"t:{at.isoformat()}"))


def crop(session, slug):
    return session.get(Crop, (1, slug))


def asked(session, place, day, days=0):
    now = scene(session, at=NOW + timedelta(days=days))
    (found,) = answer(Ask(about="place", place=place, date=day), now.told, now.ledger, now.vocabulary).facts
    return found.kind, [(one.values["crop"], one.values["plants"]) for one in found.values.get("held", ())]


def test_a_new_crop_is_grown_like_the_one_named_but_for_what_was_said(session):
    say(session, DescribeCrop(name="thai basil", crop="basil", new=True, tower_days=24))
    made, basil = crop(session, "thai_basil"), profiles()["basil"]
    assert (made.tower_days, made.shelf_days, made.cuts) == (24, basil.shelf_days, basil.cuts)
    assert made.losses == dict(basil.losses)
    assert say(session, Sow(crop="thai_basil", count=10), minutes=1).facts[0].values["plugs"] == 10


def test_one_of_our_profiles_keeps_its_names(session):
    say(session, DescribeCrop(name="chard", crop="chard", new=True))
    assert "acelga" in crop(session, "chard").names["es"]
    assert scene(session).ledger.differences() == []


def test_a_farm_may_set_its_own_figures(session):
    say(session, DescribeCrop(crop="kale", tower_days=33, cuts=4))
    assert (crop(session, "kale").tower_days, crop(session, "kale").cuts) == (33, 4)
    say(session, Correct(undo=True), minutes=1)
    assert (crop(session, "kale").tower_days, crop(session, "kale").cuts) == (28, 5)


@pytest.mark.parametrize(
    ("note", "refusal"),
    [
        (DescribeCrop(crop="kale", tower_days=300), "crop_figure"),
        (DescribeCrop(crop="romaine", cuts=3), "crop_regrow"),
        (DescribeCrop(name="mint", crop="kale", new=True), "name_taken"),
        (DescribeCrop(name="the kitchen", crop="kale", new=True), "name_taken"),
        (DescribeCrop(name="sorrel", crop="sorrel", new=True), "no_such_crop"),
        (DescribeCrop(name="baby cos", crop="romaine", new=True, cuts=2), "crop_regrow"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(session, note, refusal):
    with pytest.raises(Refused, match=refusal):
        say(session, note)
    assert len(growing.crops(scene(session).ledger)) == 8


def test_only_the_coordinator_describes_crops(session):
    with pytest.raises(Refused, match="not_allowed"):
        say(session, DescribeCrop(crop="kale", tower_days=30), who="walt")


@pytest.mark.parametrize("follows", [Sow(crop="thai_basil", count=9), Target(crop="thai_basil", count=9, per="week")])
def test_a_crop_that_is_in_use_is_not_taken_back(session, follows):
    say(session, DescribeCrop(name="thai basil", crop="basil", new=True))
    carry_out(follows, scene(session, "priya", at=NOW + timedelta(minutes=1), source="other"))
    entry = scene(session).ledger.wrote("crop", "thai_basil")
    with pytest.raises(Refused, match="built_upon"):
        scene(session).ledger.reverse(entry, scene(session).told)


def test_a_file_gives_a_crop_of_the_farm_its_values(session):
    text = '[kale]\nlike = "kale"\nnames.en = ["kale"]\n[kale.figures]\nmass_g = 90\n'
    own = {slug: growing.grown(row) for slug, row in growing.crops(scene(session).ledger).items()}
    take_up(read_crop(text, own), scene(session))
    assert crop(session, "kale").mass_g == 90
    assert scene(session).ledger.differences() == []


def test_a_file_may_not_call_a_crop_what_another_thing_is_called(session):
    text = '[fancy]\nlike = "kale"\nnames.en = ["romaine"]\n'
    with pytest.raises(Refused, match="name_taken"):
        take_up(read_crop(text, profiles()), scene(session))


def test_a_tower_out_of_use_is_not_planted_and_leads_hear_of_it(session):
    outcome = say(session, PlaceUse(places=("A24",), out=True), who="bea")
    assert [(one.role, one.fact.kind) for one in outcome.news] == [("lead", "news_out_of_use")]
    with pytest.raises(Refused, match="out_of_use"):
        say(session, Move(crop="romaine", count=8, origin=("shelf2",), to=("A24",)), minutes=1)


def test_what_works_again_is_cleaned_before_it_is_planted(session):
    say(session, PlaceUse(places=("A24",), out=True))
    say(session, PlaceUse(places=("A24",), out=False), minutes=1)
    assert growing.places(scene(session).ledger, ["A24"])["A24"].state == "to clean"


def test_plants_in_a_tower_out_of_use_are_named(session):
    outcome = say(session, PlaceUse(places=("A1", "A2"), out=True))
    assert [(one.kind, one.values["places"]) for one in outcome.remarks] == [("still_planted", ("A1", "A2"))]


def test_what_stood_in_a_place_on_a_past_day_is_told_from_the_journal(session):
    assert asked(session, "B1", TODAY - timedelta(days=1)) == ("place_held", [("romaine", 8)])
    say(session, Harvest(crop="romaine", count=8, places=("B1",)), days=2, who="walt")
    say(session, Clean(places=("B1",)), days=3, who="walt")
    say(session, Move(crop="oakleaf", count=8, origin=("shelf2",), to=("B1",)), days=4, who="walt")
    days = [asked(session, "B1", TODAY + timedelta(days=ahead), days=6) for ahead in range(1, 6)]
    assert days == [
        ("place_held", [("romaine", 8)]),
        ("place_held_nothing", []),
        ("place_held_nothing", []),
        ("place_held", [("oakleaf", 8)]),
        ("place_held", [("oakleaf", 8)]),
    ]


def test_what_was_taken_back_never_stood_there(session):
    say(session, Loss(crop="romaine", count=3, reason="wilt", places=("B1",)), who="walt")
    assert asked(session, "B1", TODAY, days=1) == ("place_held", [("romaine", 5)])
    say(session, Correct(undo=True), who="walt", minutes=5)
    assert asked(session, "B1", TODAY, days=1) == ("place_held", [("romaine", 8)])


def test_before_the_books_begin_they_say_so_unless_it_was_said_since_when(session):
    since = TODAY - timedelta(days=34)
    assert asked(session, "B1", since)[0] == "place_held"
    assert asked(session, "B1", since - timedelta(days=1))[0] == "place_before_books"
