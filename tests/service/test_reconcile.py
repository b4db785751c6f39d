"""Texts that were never handed over are found in the carrier's list, and placed by the time they were sent."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.books.tables import Farm
from service import inbox, reconcile
from service.carriers import TextIn
from service.tables import Inbound
from tests.service.carriers.farm import JUNES_PHONE, NOW, NUMBER, WALTS_PHONE
from tests.service.carriers.loopback import a_twilio

MORNING = NOW - timedelta(hours=5)
FROM_WALT = {"from": WALTS_PHONE, "to": NUMBER}


@pytest.fixture
def caught_up(books, twilio):
    """Compares with the carrier's list; the texts woken. The first time there is nothing to compare with."""

    def catch_up(now):
        woken = []
        found = reconcile.catch_up(books, twilio, now, lambda farm_id, inbound_id: woken.append((farm_id, inbound_id)))
        assert found == len(woken)
        return [inbound_id for _, inbound_id in woken]

    assert catch_up(MORNING) == []
    return catch_up


def stored(books):
    with books.read() as session:
        rows = list(session.exec(select(Inbound).order_by(Inbound.sent_at)).all())
        session.expunge_all()
        return rows


def test_after_an_outage_what_is_missing_is_taken_in_with_the_time_it_was_sent(books, caught_up, loopback):
    loopback.text_us(1, MORNING + timedelta(minutes=10), "picked 12 basil", **FROM_WALT)
    loopback.text_us(2, MORNING + timedelta(minutes=70), "ph main 5.9", **FROM_WALT)
    loopback.now = NOW
    assert len(caught_up(NOW)) == 2
    rows = stored(books)
    assert [one.body for one in rows] == ["picked 12 basil", "ph main 5.9"]
    assert [one.sent_at for one in rows] == [MORNING + timedelta(minutes=10), MORNING + timedelta(minutes=70)]
    assert {one.received_at for one in rows} == {NOW}


def test_doing_it_again_and_again_changes_nothing(books, caught_up, loopback):
    loopback.text_us(1, NOW - timedelta(minutes=5), "picked 12 basil", **FROM_WALT)
    loopback.now = NOW
    assert len(caught_up(NOW)) == 1
    assert [caught_up(NOW + n * reconcile.EVERY) for n in (1, 2, 3)] == [[], [], []]
    assert len(stored(books)) == 1


def test_a_text_that_was_handed_over_is_the_same_text(books, caught_up, loopback):
    loopback.text_us(1, NOW - timedelta(seconds=2), "ph main 5.9", **FROM_WALT)
    with books.write() as session:
        text = TextIn("twilio", f"SM{1:032x}", NUMBER, WALTS_PHONE, "ph main 5.9")
        inbox.receive(session, session.get_one(Farm, 1), text, NOW)
    loopback.now = NOW
    assert caught_up(NOW) == []
    assert len(stored(books)) == 1


def test_a_text_listed_late_is_found_by_the_overlap(books, caught_up, loopback):
    loopback.now = NOW
    caught_up(NOW)
    loopback.text_us(1, NOW - timedelta(minutes=20), "ph main 5.9", **FROM_WALT)
    assert len(caught_up(NOW + reconcile.EVERY)) == 1


def test_it_is_done_every_so_often_only(caught_up, loopback):
    listed = loopback.listed
    caught_up(MORNING + reconcile.EVERY - timedelta(seconds=1))
    assert loopback.listed == listed
    caught_up(MORNING + reconcile.EVERY)
    assert loopback.listed == listed + 1


def test_a_list_of_many_pages_is_read_to_its_end(books, caught_up, loopback):
    for n in range(130):
        loopback.text_us(n, MORNING + timedelta(minutes=n), f"text {n}", **FROM_WALT)
    loopback.now = NOW
    assert len(caught_up(NOW)) == 130


def test_what_we_sent_ourselves_and_what_went_to_others_is_no_text_to_us(books, caught_up, loopback):
    loopback.text_us(1, NOW, "to another number", **{"from": WALTS_PHONE, "to": "+13125550177"})
    loopback.text_us(2, NOW, "our own", **{"from": NUMBER, "to": NUMBER, "direction": "outbound-api"})
    loopback.now = NOW
    assert caught_up(NOW) == []


def test_pictures_come_along(books, caught_up, loopback):
    loopback.text_us(1, NOW, "", num_media="1", **{"from": JUNES_PHONE, "to": NUMBER})
    loopback.now = NOW
    caught_up(NOW)
    (medium,) = stored(books)[0].media
    assert medium["type"] == "image/jpeg"
    assert medium["url"].startswith(loopback.url)


@pytest.mark.parametrize("page", [{}, {"messages": [{"sid": "SM1"}]}, {"messages": [{"direction": "inbound"}]}])
def test_a_list_that_makes_no_sense_is_no_list_and_is_asked_for_again(books, caught_up, loopback, page, caplog):
    loopback.lists = page
    assert caught_up(NOW) == []
    loopback.lists = None
    loopback.text_us(1, NOW, "ph main 5.9", **FROM_WALT)
    loopback.now = NOW
    assert len(caught_up(NOW + timedelta(seconds=20))) == 1


def test_a_carrier_out_of_reach_is_asked_again_at_the_next_tick(books, loopback, caught_up, caplog):
    lost = a_twilio(loopback, account="another")
    assert reconcile.catch_up(books, lost, NOW, print) == 0
    lost.close()
    loopback.text_us(1, NOW, "ph main 5.9", **FROM_WALT)
    loopback.now = NOW
    assert len(caught_up(NOW + timedelta(seconds=20))) == 1
    assert "5550142" not in caplog.text


def test_a_clock_set_back_compares_again(caught_up, loopback):
    loopback.text_us(1, MORNING - timedelta(hours=2), "ph main 5.9", **FROM_WALT)
    assert len(caught_up(MORNING - timedelta(hours=2))) == 1
