"""Which topic of a broker carries which measure, from a file of the farm's own, and what a message on it says. Pure.

The file holds one table a topic:

    [[topic]]
    topic = "greenhouse/main/ph"    # as it is published; + stands for one level, # for all below
    measure = "ph"
    where = "main"                  # a tank; nothing for the air
    unit = ""                       # as equipment writes it: uS/cm, ppm500, degF ...
    value = "reading"               # the key of the value where messages are JSON; absent: the message is the number
    at = "time"                     # the key of the time (ISO 8601 or seconds since 1970), absent: when it came in
"""

from __future__ import annotations

import json
import math
import tomllib
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from core.readings.admission import Raw

KEYS = ("topic", "measure", "where", "unit", "value", "at")


class BadTopics(ValueError):
    """The file of topics cannot be read; the message names what is wrong in it."""


@dataclass(frozen=True, slots=True)
class Topic:
    """One table of the file; `value` and `at` are None where the message is a bare number, or has no time."""

    topic: str
    measure: str
    where: str = ""
    unit: str = ""
    value: str | None = None
    at: str | None = None


def read_topics(text: str) -> tuple[Topic, ...]:
    """The topics in a file's text.

    Raises:
        BadTopics: it is no such file, a table lacks its topic or measure, or has a key that is none of ours.
    """
    try:
        rows = tomllib.loads(text).get("topic", [])
    except tomllib.TOMLDecodeError as wrong:
        raise BadTopics(str(wrong)) from None
    if not rows or not isinstance(rows, list):
        raise BadTopics("there is no [[topic]] in it")
    return tuple(_topic(row, at) for at, row in enumerate(rows, start=1))


def _topic(row: dict[str, Any], at: int) -> Topic:
    strange = sorted(set(row) - set(KEYS))
    if strange:
        raise BadTopics(f"topic {at}: no key {strange[0]!r}; there are {', '.join(KEYS)}")
    if not all(isinstance(value, str) for value in row.values()) or not row.get("topic") or not row.get("measure"):
        raise BadTopics(f"topic {at}: it needs a topic and a measure, all values in quotes")
    return Topic(**row)


def read_message(topic: Topic, payload: bytes, came: datetime) -> Raw | None:
    """What a message says; None where it holds no number, or a time that is none.

    Args:
        topic: what its topic carries.
        payload: the message.
        came: when it came in; whole seconds are kept, so that one delivered twice at once is one.
    """
    try:
        said = json.loads(payload)
    except ValueError:
        return None
    if topic.value is None:
        return _raw(topic, said, came.replace(microsecond=0))
    if not isinstance(said, dict):
        return None
    at = came.replace(microsecond=0) if topic.at is None else _moment(said.get(topic.at))
    return None if at is None else _raw(topic, said.get(topic.value), at)


def _raw(topic: Topic, value: Any, at: datetime) -> Raw | None:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return None
    return Raw(topic.measure, float(value), topic.unit, topic.where, at)


def _moment(said: Any) -> datetime | None:
    """A time as equipment writes it; one without a zone is in UTC."""
    try:
        if isinstance(said, int | float) and not isinstance(said, bool):
            return datetime.fromtimestamp(said, UTC)
        moment = datetime.fromisoformat(str(said))
    except (ValueError, OverflowError, OSError):
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
