"""POST /readings: what equipment sends with its key is kept once, each fault is named, and nobody without a key gets in."""

import json
from datetime import timedelta

import pytest
from fastapi.testclient import TestClient
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Entry, Sample
from service.app import create_app
from service.readings.keys import NameTaken, holder, keys, make_key, remove_key
from service.settings import Settings
from tests.demo_farm import FARM, NOW


@pytest.fixture
def key(demo_books):
    with demo_books.write() as session:
        return make_key(session, FARM, "box", NOW)


@pytest.fixture
def post(demo_books, key):
    address = demo_books.engine.url.render_as_string(hide_password=False)
    app = create_app(Settings(database=address, clockwork=False, _env_file=None), clock=lambda: NOW)
    with TestClient(app) as client:

        def send(*readings, secret=key, body=None):
            shown = {"Authorization": f"Bearer {secret}"} if secret else {}
            return client.post("/readings", content=body or json.dumps({"readings": readings}), headers=shown)

        yield send


def reading(measure="ph", value=5.9, where="main", **more):
    return {"measure": measure, "value": value, "where": where, **more}


def samples(books):
    with books.read() as session:
        return {(one.measure, one.place): one.value for one in session.exec(select(Sample))}


def test_a_batch_in_many_units_is_kept_in_the_farms_own(demo_books, post):
    sent = post(
        reading(),
        reading("ec", 1640, unit="µS/cm"),
        reading("water_temp", 68, unit="°F"),
        reading("level", 55.5, unit="gal"),
        reading("co2", 700, where="", unit="ppm"),
    )
    assert (sent.status_code, sent.json()) == (200, {"taken": 5, "known": 0, "refused": []})
    kept = samples(demo_books)
    assert kept["ec", "main"] == 1.64
    assert kept["water_temp", "main"] == 20
    assert kept["level", "main"] == pytest.approx(100 * 55.5 * 3.785411784 / 420, abs=0.001)
    assert kept["co2", "room"] == 700


@pytest.mark.parametrize(("unit", "kept"), [("ppm500", 2.1), ("ppm700", 1.5), ("dS/m", 1.05), ("mS/cm", 1.05)])
def test_a_meters_ppm_are_taken_on_the_scale_they_name(demo_books, post, unit, kept):
    value = 1050 if unit.startswith("ppm") else 1.05
    assert post(reading("ec", value, unit=unit)).json()["taken"] == 1
    assert samples(demo_books)["ec", "main"] == kept


def test_sent_again_it_is_known_and_changes_nothing(demo_books, post):
    once = reading(measured_at=NOW.isoformat())
    assert post(once).json()["taken"] == 1
    again = post(once, once)
    assert (again.status_code, again.json()["taken"], again.json()["known"]) == (200, 0, 2)
    assert len(samples(demo_books)) == 1


def test_the_good_ones_are_kept_and_each_fault_is_named_with_its_place(demo_books, post):
    later = (NOW + timedelta(days=1)).isoformat()
    sent = post(
        reading(),
        reading(value=140),
        reading("acidity"),
        reading(where="attic"),
        reading("ec", 1050, unit="ppm"),
        reading("water_temp", 68),
        reading(measured_at=later),
    ).json()
    assert sent["taken"] == 1
    reasons = {one["index"]: one["reason"] for one in sent["refused"]}
    assert list(reasons) == [1, 2, 3, 4, 5, 6]
    assert reasons[1] == "140 cannot be right; it is from 0 to 14 pH"
    assert "no measure" in reasons[2]
    assert "main, nursery" in reasons[3]
    assert "ppm500 or ppm700" in reasons[4]
    assert "degF" in reasons[5]
    assert "in the future" in reasons[6]
    assert samples(demo_books) == {("ph", "main"): 5.9}


def test_where_nothing_can_be_kept_it_says_so_by_its_status(post):
    assert post(reading(value=140)).status_code == 422


@pytest.mark.parametrize(
    "body",
    [b"", b"hello", b"[]", b'{"readings": []}', b'{"readings": [{"measure": "ph"}]}', b"\xff", b'{"readings": [1]}'],
)
def test_what_is_no_batch_is_refused_with_the_reasons(post, body):
    sent = post(body=body or b" ")
    assert sent.status_code == 422
    assert sent.json()["detail"][0]["reason"]


def test_more_than_a_thousand_at_a_time_and_endless_calls_are_refused(post):
    assert post(*[reading()] * 1001).status_code == 422
    assert post(body=b" " * 1_000_001).status_code == 413


@pytest.mark.parametrize("secret", ["", "1.wrong", "99.x", "x.y", "1", "²." + "a" * 43, "9" * 30 + ".a"])
def test_without_a_key_of_the_farm_nothing_is_kept(demo_books, post, secret):
    sent = post(reading(), secret=secret) if secret.isascii() else post(reading(), secret=None)
    assert sent.status_code == 401
    assert sent.headers["WWW-Authenticate"] == "Bearer"
    assert samples(demo_books) == {}


def test_a_key_is_kept_only_as_a_digest_and_opens_nothing_once_it_is_taken_away(demo_books, post, key):
    with demo_books.write() as session:
        (row,) = keys(session, FARM)
        assert key.split(".")[1] not in str(row.model_dump())
        assert holder(session, key).name == "box"
        with pytest.raises(NameTaken):
            make_key(session, FARM, "box", NOW)
        assert remove_key(session, FARM, "box")
        assert not remove_key(session, FARM, "box")
    assert post(reading()).status_code == 401


def test_a_key_of_one_farm_is_none_of_another(demo_books, key):
    with demo_books.read() as session:
        assert holder(session, "2." + key.split(".")[1]) is None


def test_readings_of_equipment_are_no_entries_and_the_journal_stays_true(demo_books, post):
    with demo_books.read() as session:
        before = len(session.exec(select(Entry.n)).all())
    post(*[reading(value=5 + at / 100, measured_at=(NOW - timedelta(minutes=at)).isoformat()) for at in range(100)])
    with demo_books.read() as session:
        assert len(session.exec(select(Entry.n)).all()) == before
        assert len(session.exec(select(Sample.at)).all()) == 100
        assert Ledger(session, FARM).differences() == []


def test_a_time_without_a_zone_is_the_farms_own(demo_books, post):
    post(reading(measured_at="2026-05-04T08:00:00"))
    with demo_books.read() as session:
        assert session.exec(select(Sample.at)).one().hour == 13  # Chicago is five hours behind UTC in May
