"""A carrier that is down for hours, hands texts over twice and in any order, or never hands them over at all."""

import random
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

from sqlmodel import select

from core.books.store import Books
from service.reconcile import EVERY
from service.tables import Inbound, Outbound
from tests.faults.service import CREW, FARM_PHONE, body, check, sid, twice
from tests.service.carriers.loopback import DROP

TEXTS = 30
ROUNDS_S = 0.8  # in which the service, with its waits shortened, ticks and sends at least twice


def test_the_carrier_is_down_for_hours(service):
    """Texts are taken down and answered all the while; the answers go out once each when it is back."""
    loopback = service.loopback
    service.start()
    for number in range(10):
        loopback.down = 503 if number % 2 else DROP
        assert service.post(sid(number), CREW[number % len(CREW)], body(number)) == 200
        time.sleep(ROUNDS_S / 2)
        service.forward(timedelta(minutes=30))
    assert loopback.texts == []
    assert loopback.asked < 200, "it is not asked without end"
    loopback.down = None
    for _ in range(60):
        service.forward(timedelta(hours=1))
        time.sleep(ROUNDS_S / 2)
        if service.idle():
            break
    service.wait_for(service.idle)
    service.kill()
    check(service, range(10))
    assert twice(service) == 0
    assert len([text for text in loopback.texts if " in main" in text["body"]]) == 10


def test_texts_and_news_are_handed_over_twice_and_in_any_order(service):
    chance = random.Random(7)
    service.start()
    handed = [number for number in range(TEXTS) for _ in range(chance.randint(1, 4))]
    chance.shuffle(handed)
    with ThreadPoolExecutor(8) as carrier:
        answers = list(
            carrier.map(lambda number: service.post(sid(number), CREW[number % len(CREW)], body(number)), handed)
        )
    assert set(answers) == {200}
    service.wait_for(service.idle)
    told = [(text, state) for text in service.loopback.texts for state in ("sent", "sent", "delivered")]
    chance.shuffle(told)
    with ThreadPoolExecutor(8) as carrier:
        assert set(carrier.map(lambda one: tell(service, *one), told)) == {204}
    service.kill()
    check(service, range(TEXTS))
    assert twice(service) == 0
    assert states(service) == {"delivered"}


def tell(service, text, state):
    return service.call("status", {"MessageSid": text["sid"], "MessageStatus": state}, query=query_of(text))


def query_of(text):
    return "?" + text["callback"].partition("?")[2]


def states(service):
    books = Books(f"sqlite:///{service.file}")
    with books.read() as session:
        found = {row.state for row in session.exec(select(Outbound))}
    books.close()
    return found


def test_texts_that_were_never_handed_over_are_fetched_from_the_carriers_list(service):
    """The service was down; what the carrier tried to hand over meanwhile is lost but for its list."""
    loopback = service.loopback
    service.start()
    assert service.post(sid(0), CREW[0], body(0)) == 200
    service.wait_for(service.idle)
    service.kill()
    for number in range(5):  # the first is known already
        sent_at = service.clock() + timedelta(seconds=number - 10)
        loopback.text_us(number, sent_at, body(number), **{"from": CREW[number], "to": FARM_PHONE})
    service.forward(EVERY)
    service.start()
    service.wait_for(lambda: inbound(service) == 5 and service.idle())
    service.forward(2 * EVERY)  # and once more, in vain
    time.sleep(ROUNDS_S)
    service.kill()
    check(service, range(5))
    assert twice(service) == 0


def inbound(service):
    books = Books(f"sqlite:///{service.file}")
    with books.read() as session:
        found = len(session.exec(select(Inbound.id)).all())
    books.close()
    return found
