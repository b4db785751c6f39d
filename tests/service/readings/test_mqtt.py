"""Readings from a broker, through a real one on the loopback: kept, acknowledged after that, and the same as by any way."""

import json
import threading
import time
from contextlib import contextmanager

import paho.mqtt.client as paho
import pytest
from paho.mqtt.enums import CallbackAPIVersion
from sqlmodel import select

from core.books.tables import Sample
from service.readings.mqtt import Deaf, Subscriber, listener
from service.readings.topics import BadTopics, read_topics
from service.settings import Settings
from tests.demo_farm import NOW
from tests.service.readings.broker import LoopbackBroker

TOPICS = """
[[topic]]
topic = "box/main/ph"
measure = "ph"
where = "main"

[[topic]]
topic = "box/+/ec"
measure = "ec"
where = "main"
unit = "uS/cm"
value = "reading"
at = "time"
"""


@pytest.fixture(scope="module")
def broker():
    with LoopbackBroker() as running:
        yield running


@contextmanager
def listening(broker, books):
    subscriber = Subscriber(f"mqtt://127.0.0.1:{broker.port}", read_topics(TOPICS), books, lambda: NOW)
    subscribed = threading.Event()
    subscriber._client.on_subscribe = lambda *_: subscribed.set()
    subscriber.start()
    assert subscribed.wait(20)
    yield subscriber
    subscriber.stop()


@contextmanager
def equipment(broker):
    client = paho.Client(CallbackAPIVersion.VERSION2)
    client.connect("127.0.0.1", broker.port)
    client.loop_start()
    yield client
    client.disconnect()
    client.loop_stop()


def publish(client, topic, payload, **options):
    client.publish(topic, payload, qos=1, **options).wait_for_publish(timeout=20)


def samples(books):
    with books.read() as session:
        return [(one.measure, one.place, one.value, one.source) for one in session.exec(select(Sample))]


def until(wanted, found):
    """Wait for what another thread does: no longer than it takes, at most twenty seconds."""
    ends = time.monotonic() + 20
    while found() != wanted and time.monotonic() < ends:
        threading.Event().wait(0.02)
    assert found() == wanted


def test_messages_become_readings_in_the_farms_units(broker, demo_books):
    with listening(broker, demo_books), equipment(broker) as box:
        publish(box, "box/main/ph", b"6.1")
        publish(box, "box/7/ec", json.dumps({"reading": 1640, "time": NOW.isoformat()}))
        until([("ec", "main", 1.64, "mqtt"), ("ph", "main", 6.1, "mqtt")], lambda: sorted(samples(demo_books)))


def test_what_is_no_reading_or_cannot_be_right_keeps_nothing_up(broker, demo_books):
    with listening(broker, demo_books), equipment(broker) as box:
        for payload in (b"hello", b"\xff\xfe", b"140", b"true", b"null"):
            publish(box, "box/main/ph", payload)
        publish(box, "box/7/ec", json.dumps({"reading": 1640, "time": "tomorrow"}))
        publish(box, "box/main/ph", b"6.0")
        until([("ph", "main", 6.0, "mqtt")], lambda: samples(demo_books))


def test_a_reading_that_is_sent_twice_is_kept_once(broker, demo_books):
    with listening(broker, demo_books), equipment(broker) as box:
        for _ in range(2):
            publish(box, "box/7/ec", json.dumps({"reading": 1640, "time": NOW.isoformat()}))
        publish(box, "box/main/ph", b"6.0")
        until([("ec", "main", 1.64, "mqtt"), ("ph", "main", 6.0, "mqtt")], lambda: sorted(samples(demo_books)))


def test_a_message_kept_for_whoever_comes_later_is_no_reading_of_now(broker, demo_books):
    with equipment(broker) as box:
        publish(box, "box/main/ph", b"6.2", retain=True)
        with listening(broker, demo_books):
            publish(box, "box/7/ec", json.dumps({"reading": 1640, "time": NOW.isoformat()}))
            until([("ec", "main", 1.64, "mqtt")], lambda: samples(demo_books))
        publish(box, "box/main/ph", b"", retain=True)


def test_without_a_broker_nothing_listens(demo_books):
    assert isinstance(listener(Settings(_env_file=None), demo_books, lambda: NOW), Deaf)


@pytest.mark.parametrize("url", ["http://box", "mqtt://", "box:1883"])
def test_an_address_that_is_none_is_named(demo_books, url):
    with pytest.raises(ValueError, match="no address of a broker"):
        Subscriber(url, read_topics(TOPICS), demo_books, lambda: NOW)


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("", r"no \[\[topic\]\]"),
        ("[[topic]", "."),
        ('[[topic]]\ntopic = "a"', "needs a topic and a measure"),
        ('[[topic]]\ntopic = "a"\nmeasure = "ph"\nplace = "main"', "no key 'place'"),
    ],
)
def test_a_file_of_topics_that_cannot_be_read_says_why(text, named):
    with pytest.raises(BadTopics, match=named):
        read_topics(text)
