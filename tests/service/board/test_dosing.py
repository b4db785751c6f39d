"""Dosing: each sum comes to what the core reckons, shows its steps and cautions, and is never put before a minor."""

import re

import pytest
from sqlmodel import select

from core.books.tables import Entry, Person
from core.climate import dli_mol, vpd_kpa
from core.dosing.acids import bottle, dose
from core.dosing.carbonate import MG_CACO3_A_MEQ, Buffers, buffers_of
from core.dosing.elements import molar_masses
from core.dosing.recipes import recipe
from core.dosing.tank import Feed, lower_ec, raise_ec, top_up
from service.board.steps import slug
from service.board.sums import SUMS
from service.board.wording import languages, page_words

FEED = {"a_ml_l": 5, "b_ml_l": 5, "rise": 1.6, "water_ec": 0.3}
EC = {"volume": 100, "holds": 150, "now": 1.1, "want": 1.6, **FEED}
PH = {
    "volume": 100, "now": 6.8, "want": 5.8, "substance": "phosphoric", "percent": 75, "density": 1.58,
    "alkalinity": 100, "water_ph": 7.6, "phosphorus": 31, "temp_c": 22,
}  # fmt: skip
ASKED = {
    "ec": EC,
    "top_up": {**EC, "volume": 40},
    "ph": PH,
    "recipe": {"recipe": "leafy", "litres": 100, "want_ec": 1.6},
    "stock": {"recipe": "leafy", "ratio": 100, "litres": 10, "batch": 100},
    "units": {"value": 72, "unit": "degF", "to": "degC"},
    "air": {"scale": "degF", "air": 72, "humidity": 60, "wall": 55},
    "light": {"ppfd": 250, "hours": 16, "want_dli": 15},
    "lamps": {"watts": 400},
}
"""A sum of each kind as it is filled in."""


def work_out(client, name, **changed):
    return client.get("/board/dosing", params={"sum": name} | ASKED[name] | changed)


def part(page, name):
    found = re.search(rf'<section aria-labelledby="{name}-title".*?</section>', page.text, re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", found[0]).split()) if found else ""


def results(page):
    """The results of the steps, as shown."""
    return re.findall(r"= <b>(.*?)</b>", page.text)


def test_every_sum_has_an_example_here():
    assert list(ASKED) == list(SUMS)


@pytest.mark.parametrize("name", SUMS)
def test_every_sum_answers_with_its_result_and_its_steps(priya, name):
    page = work_out(priya, name)
    assert page.status_code == 200
    assert part(page, "result")
    assert results(page)


@pytest.mark.parametrize("name", SUMS)
def test_every_form_comes_filled_with_what_the_farm_knows(priya, name):
    page = priya.get("/board/dosing", params={"sum": name})
    assert page.status_code == 200
    assert part(page, "result") == ""
    for field in SUMS[name].fields:
        assert f'name="{field.name}"' in page.text


def test_the_tank_the_bottles_and_the_water_are_those_of_the_farms_books(priya):
    page = priya.get("/board/dosing?sum=ec").text
    value = {
        name: re.search(rf'name="{name}" type="text" value="([^"]*)"', page)[1] for name in ("now", "rise", "water_ec")
    }
    assert value == {"now": "1.5", "rise": "1.6", "water_ec": "0.3"}


def test_nutrients_come_to_what_the_core_reckons(priya):
    found = raise_ec(100, 1.1, 1.6, Feed(5, 5, 1.6))
    page = work_out(priya, "ec")
    assert f"{round(found.a_ml / 5) * 5} mL of A" in part(page, "result")
    assert results(page)[-1] == f"{found.a_ml + found.b_ml:.4g} mL"


def test_water_goes_in_where_the_ec_is_too_high_and_names_no_concentrate(priya):
    found = lower_ec(100, 150, 2.0, 1.6, 0.3)
    page = work_out(priya, "ec", now="2.0")
    assert results(page) == [f"{found.water_l:.4g} L"]
    assert "Take care" not in page.text


def test_a_tank_is_filled_up_with_water_and_nutrients(priya):
    found = top_up(40, 150, 1.1, 1.6, Feed(5, 5, 1.6), 0.3)
    assert results(work_out(priya, "top_up"))[-1] == f"{found.a_ml + found.b_ml:.4g} mL"


def test_acid_is_reckoned_by_the_carbonate_of_the_water_and_comes_with_its_caution(priya):
    own = buffers_of(100 / MG_CACO3_A_MEQ, 7.6, 22)
    water = Buffers(own.carbonate, 31 / molar_masses()["P"], 22)
    found = dose(bottle("phosphoric", 75, 1.58), water, 6.8, 5.8, 100)
    page = work_out(priya, "ph")
    assert results(page)[-1] == f"{found.ml:.4g} mL"
    assert "acid into water, never the reverse" in part(page, "result")


@pytest.mark.parametrize("name", [name for name, one in SUMS.items() if one.adults and name != "ec"])
def test_whatever_names_an_acid_or_a_concentrate_shows_its_caution(priya, name):
    assert "Gloves, goggles" in work_out(priya, name).text


def test_a_recipe_is_weighed_to_the_grams_of_its_source(priya):
    page = work_out(priya, "recipe", want_ec="")
    for material, mg_l in recipe("leafy").weighed.items():
        assert f">{mg_l * 100 / 1000:.2f}<" in page.text, material.name


def test_what_the_water_brings_is_not_weighed_again(priya):
    def calcium(page):
        return float(re.search(r"calcium nitrate</th><td class=\"n\">([\d.]+)", page.text)[1])

    plain, hard = work_out(priya, "recipe"), work_out(priya, "recipe", water_ca=40)
    lacking = 40 * 100 / 1000 / recipe_calcium()
    assert calcium(plain) - calcium(hard) == pytest.approx(lacking, abs=0.05)


def recipe_calcium():
    """Grams of calcium in a gram of the recipe's calcium nitrate."""
    return next(one.holds["Ca"] for one in recipe("leafy").weighed if "Ca" in one.holds)


def test_calcium_stands_in_a_stock_of_its_own(priya):
    page = work_out(priya, "stock").text
    first, second = re.findall(r"<tbody>(.*?)</tbody>", page, re.DOTALL)
    assert "calcium nitrate" in first
    assert "calcium" not in second


def test_a_stock_too_strong_to_dissolve_is_refused_with_the_reason(priya):
    assert "do not dissolve" in part(work_out(priya, "stock", ratio=900), "result")


def test_air_and_light_come_to_what_the_core_reckons(priya):
    air_c = (72 - 32) / 1.8
    assert f"VPD {vpd_kpa(air_c, 60):.2f} kPa" in part(work_out(priya, "air"), "result")
    assert f"{dli_mol(250, 16):.1f} mol a day" in part(work_out(priya, "light"), "result")


def test_a_unit_is_given_in_another(priya):
    assert "72 °F is 22.2222 °C." in part(work_out(priya, "units"), "result")


@pytest.mark.parametrize(("typed", "read"), [("1,6", "1.6"), (" 1.6 ", "1.6"), ("1.60", "1.6")])
def test_a_number_is_read_as_people_write_it(priya, typed, read):
    assert results(work_out(priya, "ec", want=typed)) == results(work_out(priya, "ec", want=read))


@pytest.mark.parametrize("typed", ["", "lots", "nan", "1e999", "-1", "٣٫٣.٣", "<b>"])
def test_what_is_no_figure_is_said_at_its_field_and_what_was_typed_is_kept(priya, typed):
    page = work_out(priya, "ec", want=typed)
    assert page.status_code == 422
    assert 'aria-describedby=" want-fault"' in page.text
    assert 'name="holds" type="text" value="150"' in page.text
    assert part(page, "result") == ""


@pytest.mark.parametrize(
    ("name", "changed"),
    [
        ("ec", {"want": 9.9, "rise": 0.01}),
        ("ph", {"want": 7.5}),
        ("ph", {"density": "", "percent": 33}),
        ("recipe", {"want_ec": 9.99, "recipe": "leafy", "water_ca": 900}),
        ("units", {"to": "mL"}),
        ("light", {"want_dli": 90}),
    ],
)
def test_what_cannot_be_reckoned_is_answered_in_words(priya, name, changed):
    page = work_out(priya, name, **changed)
    assert page.status_code in (200, 422)
    assert page.status_code == 200 or 'role="alert"' in page.text


def test_an_unknown_sum_and_an_unknown_choice_fall_back_to_the_first(priya):
    assert priya.get("/board/dosing?sum=magic").status_code == 200
    assert work_out(priya, "ph", substance="vinegar").status_code == 200


def test_nothing_on_the_page_is_recorded(app, priya):
    for name in SUMS:
        work_out(priya, name)
    with app.state.books.read() as session:
        assert not session.exec(select(Entry).where(Entry.source.startswith("board:"))).all()


def test_a_lead_who_is_a_minor_is_offered_no_acid_and_no_concentrate(app, walt):
    with app.state.books.write() as session:
        session.exec(select(Person).where(Person.handle == "walt")).one().age = "minor"
    page = walt.get("/board/dosing")
    assert "Acids and concentrates are for adults." in page.text
    for name, one in SUMS.items():
        asked = work_out(walt, name)
        assert ("sum_of" in asked.text) is False
        assert bool(part(asked, "result")) is not one.adults
        assert f'href="/board/dosing?sum={name}"' in page.text or one.adults


@pytest.mark.parametrize("language", languages())
def test_every_step_and_every_choice_has_words_in_every_language(priya, language):
    words = page_words(language, "dosing")
    for name in SUMS:
        for changed in ({}, {"now": 2.0}, {"now": 2.0, "holds": 100}) if name == "ec" else ({},):
            page = work_out(priya, name, **changed)
            said = [re.sub(r"<[^>]+>", "", one) for one in re.findall(r"<li><b>(.*?)</b><br>", page.text)]
            assert said
            assert set(said) <= set(page_words("en", "dosing").values())
    for one in SUMS.values():
        assert f"sum_of_{one.name}" in words
        assert f"about_{one.name}" in words
        assert f"no_{one.name}" in words
        for field in one.fields:
            assert {f"field_{field.name}", f"field_{one.name}_{field.name}"} & words.keys(), field.name
    assert {
        f"material_{slug(one.name)}"
        for found in ("leafy", "cooper", "hoagland_1", "hoagland_2")
        for one in recipe(found).weighed
    } <= words.keys()
