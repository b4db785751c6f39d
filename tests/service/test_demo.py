"""The invented farm: whole, consistent, and alive on whatever day it is loaded."""

import json
from collections import Counter
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import SQLModel, select

import service.tables  # noqa: F401  (its tables are made too)
from core.books import tables
from core.books.ledger import Ledger
from core.books.store import Books
from core.books.vocabulary import vocabulary
from core.crops import next_cut
from core.errors import NoSuchFarm
from core.readings import judge
from service import demo

CHICAGO = ZoneInfo("America/Chicago")
DAYS = {
    "a Monday": datetime(2026, 5, 4, 11, 30, tzinfo=UTC),
    "29 February": datetime(2028, 2, 29, 15, tzinfo=UTC),
    "the morning clocks go forward": datetime(2026, 3, 8, 14, tzinfo=UTC),
    "the hour that comes twice": datetime(2026, 11, 1, 6, 30, tzinfo=UTC),
    "just before midnight on New Year's Eve": datetime(2027, 1, 1, 5, 59, tzinfo=UTC),
}


@pytest.fixture(scope="module")
def open_books(tmp_path_factory):
    opened = []

    def open_one():
        books = Books(f"sqlite:///{tmp_path_factory.mktemp('books')}/farm.db")
        SQLModel.metadata.create_all(books.engine)
        opened.append(books)
        return books

    yield open_one
    for books in opened:
        books.close()


@pytest.fixture(scope="module", params=DAYS.values(), ids=DAYS)
def moment(request):
    return request.param


@pytest.fixture(scope="module")
def farm(open_books, moment):
    """The demo as it is loaded on each of the days; the tests only look."""
    books = open_books()
    with books.write() as session:
        number = demo.load(session, moment).id
    with books.read() as session:
        yield Ledger(session, number)


def rows(ledger, table):
    return ledger.session.exec(select(table).where(table.farm_id == ledger.farm_id)).all()


def standing(ledger):
    crops = {crop.slug: crop for crop in rows(ledger, tables.Crop)}
    batches = {batch.code: crops[batch.crop] for batch in rows(ledger, tables.Batch)}
    return [(stand, batches[stand.batch]) for stand in rows(ledger, tables.Standing)]


def in_towers(ledger):
    towers = {place.code for place in rows(ledger, tables.Place) if place.kind == "tower"}
    return [(stand, crop) for stand, crop in standing(ledger) if stand.place in towers]


def test_the_books_of_the_demo_agree_with_its_journal(farm):
    assert farm.differences() == []


def test_the_farm_is_written_in_one_opening_entry_of_its_own(farm, moment):
    (entry,) = rows(farm, tables.Entry)
    assert (entry.act, entry.person_id, entry.said_at) == ("opening", None, moment)


def test_most_towers_are_planted_and_some_wait_to_be_cut_cleaned_or_filled(farm, moment):
    planted = {stand.place for stand, _ in in_towers(farm)}
    towers = {place.code: place.state for place in rows(farm, tables.Place) if place.kind == "tower"}
    today = moment.astimezone(CHICAGO).date()
    due = {stand.place: next_cut(crop, stand.since, stand.cuts, stand.last_cut) for stand, crop in in_towers(farm)}
    assert len(towers) == 144
    assert 95 <= len(planted) <= 110
    assert len([day for day in due.values() if day and day <= today]) >= 10
    assert len([day for day in due.values() if day and day > today]) >= 50
    assert Counter(state for code, state in towers.items() if code not in planted)["to clean"] >= 5
    assert Counter(state for code, state in towers.items() if code not in planted)["ready"] >= 10


def test_only_towers_that_are_clean_and_in_use_are_planted_and_none_is_overfull(farm):
    places = {place.code: place for place in rows(farm, tables.Place)}
    plants = Counter()
    for stand, _ in standing(farm):
        plants[stand.place] += stand.plants
        assert places[stand.place].state == "ready"
    assert [code for code, count in plants.items() if count > places[code].sites] == []


def test_every_crop_is_on_its_way_and_no_batch_has_more_plants_than_plugs(farm):
    assert {crop.slug for _, crop in standing(farm)} == {crop.slug for crop in rows(farm, tables.Crop)}
    plants = Counter()
    for stand, _ in standing(farm):
        plants[stand.batch] += stand.plants
    plugs = {batch.code: batch.plugs for batch in rows(farm, tables.Batch)}
    assert [batch for batch, count in plants.items() if count > plugs[batch]] == []


def test_there_is_a_shift_on_each_of_the_next_fourteen_days_at_its_own_hour(farm, moment):
    shifts = rows(farm, tables.Shift)
    today = moment.astimezone(CHICAGO).date()
    local = [shift.starts_at.astimezone(CHICAGO) for shift in shifts]
    assert {start.date() for start in local} == {today + timedelta(days=ahead) for ahead in range(14)}
    hours = {(pattern.day, pattern.start) for pattern in rows(farm, tables.ShiftPattern)}
    assert {(f"{start:%a}".lower(), start.time()) for start in local} == hours


def test_some_have_answered_about_their_next_shift_and_most_have_not(farm):
    answers = Counter(place.answer for place in rows(farm, tables.ShiftPlace))
    assert all(answers[answer] for answer in ("yes", "no", "late"))
    assert answers[""] > answers["yes"]


def test_just_one_of_the_latest_readings_is_out_of_range(farm):
    latest = {}
    for reading in sorted(rows(farm, tables.Measured), key=lambda one: one.at):
        latest[reading.measure, reading.place] = reading.value
    wrong = {key for key, value in latest.items() if judge(key[0], value) != "fine"}
    assert wrong == {("ph", "nursery")}


def test_some_supplies_are_low_and_most_are_not(farm):
    low_at = {supply.slug: supply.low_at for supply in rows(farm, tables.Supply)}
    low = {(stock.item, stock.crop) for stock in rows(farm, tables.Stock) if stock.amount <= low_at[stock.item]}
    assert low == {("ph_down", ""), ("gloves", ""), ("seed", "kale")}


def test_nothing_that_is_told_as_past_lies_ahead(farm, moment):
    today = moment.astimezone(CHICAGO).date()
    for table in (tables.Cut, tables.Delivery, tables.WorkedHours, tables.PlantLoss, tables.Cleaning):
        assert rows(farm, table)
        assert all(row.on < today for row in rows(farm, table))
    for table in (tables.Measured, tables.Addition, tables.Calibration, tables.TroubleReport, tables.Consent):
        assert rows(farm, table)
        assert all(row.at < moment for row in rows(farm, table))


def test_nobody_is_given_more_than_was_cut(farm):
    cut, given = Counter(), Counter()
    for row in rows(farm, tables.Cut):
        cut[row.crop] += row.count
    for row in rows(farm, tables.Delivery):
        given[row.crop] += row.count
    assert given
    assert [crop for crop in given if given[crop] > cut[crop]] == []


def test_a_minor_without_a_guardian_has_not_agreed_to_unasked_texts(farm):
    people = {person.handle: person for person in rows(farm, tables.Person)}
    assert people["june"].guardian_id == people["dolores"].id
    assert (people["arlo"].guardian_id, people["arlo"].agreed) == (None, False)
    assert all(person.agreed for handle, person in people.items() if handle != "arlo")


def test_everybody_who_agreed_did_so_in_words_of_their_language(farm):
    agreed = {person.id: person.language for person in rows(farm, tables.Person) if person.agreed}
    consents = {consent.person_id: consent.wording for consent in rows(farm, tables.Consent)}
    assert set(consents) == set(agreed)
    assert all(("Acepto" in consents[who]) == (language == "es") for who, language in agreed.items())


def test_every_person_s_number_is_one_of_the_fictitious_ones():
    """555-0100 to 555-0199 are set aside for fiction by the North American Numbering Plan (from memory)."""
    data = json.loads(demo.FIXTURE.read_text("utf-8"))
    phones = [one["phone"] for one in (*data["people"], data["farm"])]
    assert all(phone.startswith("+131255501") and len(phone) == 12 for phone in phones)
    assert len(set(phones)) == len(phones)


def test_the_words_of_the_demo_are_the_same_with_and_without_books(farm):
    assert vocabulary(farm.session, farm.farm_id) == demo.demo_vocabulary()


def test_the_demo_speaks_of_eight_crops_nine_people_and_towers_a1_to_f24():
    words = demo.demo_vocabulary()
    assert set(words.crops) == {"butterhead", "romaine", "oakleaf", "pak_choi", "kale", "parsley", "cilantro", "mint"}
    assert len(words.people) == 9
    assert words.people["walt"] == "Walt"
    assert words.is_tower("F24")
    assert not words.is_tower("F25")
    assert words.cover == "dome"


def test_the_words_of_a_farm_that_is_not_there_are_refused(open_books):
    with open_books().read() as session, pytest.raises(NoSuchFarm):
        vocabulary(session, 7)


def test_without_a_checkout_the_demo_says_what_to_do(monkeypatch, tmp_path):
    monkeypatch.setattr(demo, "FIXTURE", tmp_path / "farm.json")
    with pytest.raises(demo.DemoMissing, match="run from a checkout"):
        demo.demo_vocabulary()
