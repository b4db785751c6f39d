"""The service killed again and again at moments drawn by lot, under traffic: nothing is lost and nothing done twice.

Sixteen kills in an ordinary run; ROWCALL_TEST_KILLS=200 sets another number, ROWCALL_TEST_SEED other moments.
"""

import os
import random
import time
from datetime import timedelta

import pytest

from service import outbox
from tests.faults.service import Phones, check, twice

KILLS = int(os.environ.get("ROWCALL_TEST_KILLS", "16"))
AT_WORK = 0.85  # of the kills; the others fall while it starts
SEED = int(os.environ.get("ROWCALL_TEST_SEED", "4"))


def test_it_is_killed_at_random_moments_under_traffic(service, capsys):
    chance = random.Random(SEED)
    began, cut_off = time.monotonic(), 0
    with Phones(service, SEED) as phones:
        for _ in range(KILLS):
            service.start(wait=False)
            if chance.random() < AT_WORK:
                phones.wait_for(chance.randint(0, 2))
            time.sleep(chance.uniform(0, 0.1))
            service.kill()
            cut_off += service.in_the_carriers_hands()
        service.start()
    service.forward(timedelta(seconds=2 * outbox.LOOK_UP_AFTER_S))
    service.wait_for(service.idle)
    service.kill()
    check(service, phones.acknowledged)
    assert twice(service) == 0
    with capsys.disabled():
        print(
            f"\n{KILLS} kills in {time.monotonic() - began:.0f} s: {len(phones.acknowledged)} texts acknowledged, each with"
            f" one effect and one reply; {cut_off} kills fell while the carrier was being asked to take a text"
        )


WINDOW = outbox.LOOK_UP_AFTER_S
"""Seconds within which a carrier must list what it took, so that nothing goes out twice."""


@pytest.mark.parametrize(("lag_s", "times"), [(0, 1), (WINDOW - 5, 1), (WINDOW + 10, 2)])
def test_only_where_the_carrier_lists_too_late_what_it_took_does_a_text_go_out_twice(service, lag_s, times):
    """The window that no sender can close: the carrier has the text, its answer was lost, and its list shows nothing yet."""
    loopback = service.loopback
    loopback.lag = timedelta(seconds=lag_s)
    service.start()
    service.wait_for(service.idle)
    loopback.then("take and never answer")
    assert service.post("SM" + "0" * 32, "+13125550101", "ph main is 5.900000") == 200
    service.wait_for(lambda: replies(loopback))
    service.kill()
    service.start()
    for _ in range(4):
        service.forward(timedelta(seconds=WINDOW / 2))
        time.sleep(0.8)
    service.forward(timedelta(minutes=5))
    service.wait_for(service.idle)
    assert len(replies(loopback)) == times


def replies(loopback):
    return [text for text in loopback.texts if text["body"].startswith("Noted")]
