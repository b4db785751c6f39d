"""A month of readings with noise and three faults planted in it: each found, told, passed on and cleared once.

Readings come through the act that every way of equipment uses, texts through the conversation, alarms through the
clockwork's own part, on the demo farm's real books. The noise is drawn from a fixed seed.
"""

import itertools
import random
from collections import Counter
from datetime import timedelta

import pytest
from sqlmodel import select

from core.acts.equipment import deliver
from core.books.ledger import Ledger
from core.books.tables import Alarm
from core.readings.admission import Raw
from service import alarms
from tests.demo_farm import FARM
from tests.practice_line import Line
from tests.service.ticks import local, place, texts

START, DAYS, EVERY = local(2026, 5, 4), 30, timedelta(hours=1)
USUAL = {("ph", "main"): (5.95, 0.04), ("ec", "main"): (1.65, 0.02), ("air_temp", ""): (20.5, 0.4)}
UNITS = {"ec": "mS/cm", "air_temp": "C"}

ACID_OUT = (local(2026, 5, 12, 10), local(2026, 5, 12, 20))  # nobody answers: the dosing pump has run dry
WEAK = (local(2026, 5, 18, 9), local(2026, 5, 18, 11))  # somebody takes it on
DEAD = (local(2026, 5, 25, 9), local(2026, 5, 25, 15))  # the sender of the air's temperature has no power


def value(measure, where, at, noise):
    mean, spread = USUAL[measure, where]
    if measure == "ph" and ACID_OUT[0] <= at < ACID_OUT[1]:
        mean = 6.7
    if measure == "ec" and WEAK[0] <= at < WEAK[1]:
        mean = 1.1
    return noise.gauss(mean, spread)


def readings(at, noise):
    for measure, where in USUAL:
        silent = measure == "air_temp" and DEAD[0] <= at < DEAD[1]
        if not silent:
            yield Raw(measure, round(value(measure, where, at, noise), 2), UNITS.get(measure, ""), where, at)


def play(books, answers=()):
    """A month, read and looked at every hour; answers are (moment, who, text)."""
    noise, line, answers = random.Random(7), Line(books), list(answers)
    for step in range(DAYS * 24):
        now = START + step * EVERY
        with books.write() as session:
            deliver(Ledger(session, FARM), "box", list(readings(now, noise)), now)
        alarms.see_to(books, FARM, now, place)
        while answers and answers[0][0] <= now:
            _, who, said = answers.pop(0)
            line.now = now
            line.text(who, said)


@pytest.fixture
def month(demo_books):
    play(demo_books, [(WEAK[0] + timedelta(hours=1), "walt", "on it")])
    return demo_books


def told(books, kind):
    return [one for one in texts(books) if one.key.startswith(f"{kind}:")]


def test_a_month_with_three_faults(month):
    with month.read() as session:
        found = session.exec(select(Alarm).where(Alarm.place != "nursery").order_by(Alarm.opened_at)).all()
        assert [(one.measure, one.kind) for one in found] == [
            ("ph", "high"),
            ("ec", "low"),
            ("air_temp", "missing"),
        ]
        assert all(one.over_at is not None for one in found)
        assert Ledger(session, FARM).differences() == []
    assert Counter(one.key for one in texts(month)).most_common(1)[0][1] == 1
    acid, weak, dead = ([one for one in told(month, "alarm") if f":{row.entry}:" in one.key] for row in found)
    assert len(acid) == 3, "nobody answered: a lead, the other lead and the coordinator"
    assert [later.created_at - one.created_at for one, later in itertools.pairwise(acid)] == [
        timedelta(minutes=60)  # 45 minutes, at the next look
    ] * 2
    assert len(weak) == 1, "who was told took it on"
    assert 1 <= len(dead) <= 3, "nobody answered for as long as it was silent"
    assert len({one.key for one in texts(month)}) == len(texts(month))
    for row in found:
        heard = [one.person_id for one in told(month, "alarm") if f":{row.entry}:" in one.key]
        cleared = [one.person_id for one in told(month, "alarm-over") if f":{row.entry}:" in one.key]
        assert sorted(cleared) == sorted(heard)
