"""How to reach a pH or EC, from the farm's own figures; what is refused, and to whom."""

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.acts.strengths import set_bottle, set_nutrients, set_water
from core.books.dosing import feed, to_ask
from core.books.tables import Entry, Measured, Strength
from core.dosing.acids import bottle, ph_after
from core.dosing.carbonate import buffers_of
from core.errors import NotListed, OutOfRange, Refused
from core.notes import Ask, Calibrated, Reckon, Want
from tests.demo_farm import NOW, scene


@pytest.fixture
def farm(demo_books):
    with demo_books.write() as session:
        yield session


def facts(note, where):
    return {one.kind: one.values for one in carry_out(note, where).facts}


def want(measure, value, now=None, where="main"):
    return Want(measure=measure, value=value, where=where, now=now)


def test_the_nutrients_go_by_the_tank_its_level_and_the_strength_of_the_bottles(farm):
    said = facts(want("ec", 1.6, now=1.1), scene(farm))["dose_nutrients"]
    litres = said["litres_ml"] / 1000
    assert litres == pytest.approx(420 * 0.73)
    assert said["a_ml"] == said["b_ml"] == pytest.approx(litres * 0.5 / 1.6 * 5, rel=0.02)
    assert said["first_a_ml"] == said["a_ml"] / 2
    assert said["full"] is None


def test_a_tank_of_unknown_level_is_taken_as_full_and_that_is_said(farm):
    for one in farm.exec(select(Measured).where(Measured.measure == "level")):
        farm.delete(one)
    said = facts(want("ec", 1.6, now=1.1), scene(farm))["dose_nutrients"]
    assert (said["litres_ml"], said["full"]) == (420_000, "as_full")


def test_the_acid_reaches_the_pH_and_a_quarter_of_it_goes_in_first(farm):
    said = facts(want("ph", 5.8, now=6.8, where="nursery"), scene(farm))["dose_acid"]
    litres = said["litres_ml"] / 1000
    water = buffers_of(2.0, 7.6, 21.4)
    plain = ph_after(water, 6.8, {bottle("phosphoric", 30, 1.18): said["ml"] / litres})
    assert plain < 5.8  # the phosphate of the nutrients takes the rest
    assert said["first_ml"] == pytest.approx(said["ml"] / 4, rel=0.1)


@pytest.mark.parametrize(
    ("note", "caution"),
    [
        (want("ec", 1.6, now=1.1), "caution_concentrate"),
        (want("ph", 5.8, now=6.8), "caution_ph_down"),
        (want("ph", 6.0, now=5.2), "caution_ph_up"),
    ],
)
def test_whatever_names_acid_or_concentrate_carries_its_caution(farm, note, caution):
    assert caution in facts(note, scene(farm))
    for one in farm.exec(select(Strength)).all():
        farm.delete(one)
    unknown = facts(note, scene(farm))
    assert caution in unknown
    assert "dose_unknown_bottle" in unknown


@pytest.mark.parametrize("note", [want("ec", 1.6, now=1.1), want("ph", 5.8, now=6.8), want("ec", 1.2, now=2.0)])
@pytest.mark.parametrize("minor", ["june", "arlo"])
def test_a_minor_is_told_whom_to_ask_and_nothing_else(farm, note, minor):
    assert facts(note, scene(farm, minor)) == {"dose_minor": {"who": "Walt"}}


def test_whom_a_minor_asks_is_grown_up_and_in_charge(farm):
    lead = to_ask(scene(farm).ledger, NOW)
    assert lead.grown_up
    assert lead.role in ("lead", "coordinator")


def test_water_alone_brings_the_ec_down_and_a_full_tank_is_drained_first(farm):
    assert "dose_water" in facts(want("ec", 1.4, now=1.6), scene(farm))
    drained = facts(want("ec", 1.0, now=2.8), scene(farm))["dose_drain"]
    assert drained["drain_ml"] > 0


def test_without_a_fresh_reading_it_is_measured_first(farm):
    assert "dose_measure_first" in facts(want("ph", 5.8), scene(farm))


def test_nothing_is_dosed_by_a_probe_that_did_badly(farm):
    carry_out(Calibrated(measure="ph", where="main", slope_pct=70.0, offset_mv=35.0, standards=(7.0, 4.0)), scene(farm))
    assert list(facts(want("ph", 5.8, now=6.8), scene(farm))) == ["dose_bad_probe"]


def test_nothing_is_dosed_for_less_than_the_probe_can_tell(farm):
    assert "dose_not_needed" in facts(want("ph", 5.8, now=5.85), scene(farm))


@pytest.mark.parametrize("note", [want("ph", 2.0, now=6.8), want("ec", 9.0, now=1.1), want("ph", 11.0, now=6.0)])
def test_what_no_plant_wants_is_refused(farm, note):
    with pytest.raises(Refused, match="unwise_target"):
        carry_out(note, scene(farm))


def test_an_ec_below_the_waters_own_is_out_of_reach(farm):
    assert "dose_out_of_reach" in facts(want("ec", 0.2, now=1.4), scene(farm))


def test_nothing_is_written_for_a_question(farm):
    before = len(farm.exec(select(Entry)).all())
    for note in (want("ec", 1.6, now=1.1), Reckon(about="vpd"), Reckon(about="dli", ppfd=250, hours=16)):
        carry_out(note, scene(farm))
    assert len(farm.exec(select(Entry)).all()) == before


def test_air_that_was_not_said_is_as_the_room_last_read(farm):
    said = facts(Reckon(about="vpd"), scene(farm))["vpd_fine"]
    assert (said["air_c"], said["humidity"]) == (22.9, 62)


@pytest.mark.parametrize(
    ("note", "kind"),
    [
        (Reckon(about="vpd", air_c=20, humidity=90), "vpd_low"),
        (Reckon(about="vpd", air_c=30, humidity=40), "vpd_high"),
        (Reckon(about="dew_point", air_c=22, humidity=60, wall_c=10), "wall_drips"),
        (Reckon(about="dew_point", air_c=22, humidity=60, wall_c=20), "wall_dry"),
        (Reckon(about="light_hours", dli=15, ppfd=250), "light_hours"),
        (Reckon(about="dli"), "light_needed"),
        (Reckon(about="lamp_heat"), "watts_needed"),
    ],
)
def test_each_sum_has_its_answer(farm, note, kind):
    assert kind in facts(note, scene(farm))


def test_figures_that_cannot_be_are_refused(farm):
    with pytest.raises(Refused, match="unreckonable"):
        carry_out(Reckon(about="vpd", air_c=22, humidity=160), scene(farm))


def test_what_a_coordinator_sets_is_kept_in_the_journal_and_can_be_taken_back(farm):
    where = scene(farm)
    entry = set_nutrients(4, 4, 2.0, where).entry
    assert feed(where.ledger).raises_ms_cm == 2.0
    where.ledger.reverse(entry, where.told)
    assert feed(where.ledger).raises_ms_cm == 1.6
    assert where.ledger.differences() == []


@pytest.mark.parametrize(
    "wrong",
    [
        lambda where: set_nutrients(0, 0, 1.6, where),
        lambda where: set_bottle("ph_down", "potassium_hydroxide", 45, None, where),
        lambda where: set_bottle("ph_up", "phosphoric", 75, None, where),
        lambda where: set_bottle("ph_down", "phosphoric", 20, None, where),
        lambda where: set_bottle("ph_down", "vinegar", 5, 1.0, where),
        lambda where: set_water(0, 10, 0.3, where),
        lambda where: set_water(2, 7.5, -1, where),
    ],
)
def test_figures_of_a_bottle_or_water_that_cannot_be_are_refused(farm, wrong):
    with pytest.raises((OutOfRange, NotListed)):
        wrong(scene(farm))


def test_a_bottle_that_is_used_is_told_with_its_days(farm):
    said = facts(Ask(about="stock", item="ph_down"), scene(farm))
    assert said["stock_lasts"]["n"] == pytest.approx(400 / 15 * 5, rel=0.05)  # 15 mL in five days, 0.4 L left
