"""When a reading, or the lack of one, is a trouble that somebody is told about, and when it is over. Pure.

An alarm begins when a measure has been off for its time to act without having been well inside its range between, and
ends when it is well inside again: the margin keeps a value that wavers about a limit from being told twice.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from importlib import resources
from typing import Any, Literal

from core.readings import Range, alarming, judge

Kind = Literal["low", "high", "missing", "stuck"]


@dataclass(frozen=True, slots=True)
class Rule:
    """One table of alarms.toml: durations from its minutes and hours, None where it has none."""

    margin: float
    act: timedelta
    act_hand: timedelta
    silent: timedelta
    gap: timedelta | None
    stuck: timedelta | None


@dataclass(frozen=True, slots=True)
class Seen:
    """What is known of one measure in one place at a moment.

    newest: when it was read last; by_equipment: whether equipment did.
    level: the middle value that equipment read within its time to act, or what a person read last.
    off_since: the first reading outside the range since it was last well inside; None where it is inside.
    same_since: since when equipment has read the very same value, where it did so often enough.
    habitual: whether people measure it by habit.
    usual_gap: how long it usually is from one reading of equipment to the next; looked up once it is silent.
    """

    newest: datetime
    by_equipment: bool
    level: float
    off_since: datetime | None = None
    same_since: datetime | None = None
    habitual: bool = False
    usual_gap: timedelta = timedelta(0)


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong: since when, with which value (None for a missing reading), and whether it can wait."""

    kind: Kind
    since: datetime
    value: float | None = None
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class Pace:
    """How long those in charge may take: until the next is told, and how long one who took it may take."""

    next_after: timedelta
    taken_for: timedelta


@lru_cache
def rules() -> dict[str, Rule]:
    """The rule of each measure."""
    return {measure: _rule(row) for measure, row in _data("alarms.toml").items()}


@lru_cache
def escalation() -> dict[str, dict[str, float]]:
    """The tables of escalation.toml."""
    return _data("escalation.toml")


def pace(urgent: bool) -> Pace:
    """How fast an alarm is passed on."""
    row = escalation()["urgent" if urgent else "usual"]
    return Pace(timedelta(minutes=row["next_min"]), timedelta(hours=row["taken_h"]))


def _data(file: str) -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath(file).read_text(encoding="utf-8"))


def _rule(row: dict[str, Any]) -> Rule:
    return Rule(
        row["margin"], timedelta(minutes=row["act_min"]), timedelta(minutes=row["act_hand_min"]),
        timedelta(hours=row["silent_h"]), _hours(row, "gap_h"), _hours(row, "stuck_h"),
    )  # fmt: skip


def _hours(row: dict[str, Any], name: str) -> timedelta | None:
    return timedelta(hours=row[name]) if name in row else None


def well_inside(measure: str, wanted: Range) -> Range:
    """The part of a range in which a value is well again; its middle where the range is narrower than two margins."""
    margin = rules()[measure].margin
    low, high = wanted.low + margin, wanted.high - margin
    middle = (wanted.low + wanted.high) / 2
    return Range(low, high) if low <= high else Range(middle, middle)


def trouble(measure: str, seen: Seen, wanted: Range, now: datetime) -> Trouble | None:
    """What is wrong with a measure at a moment and has gone on for long enough to tell somebody, the worst first.

    Args:
        measure: one of the measures of alarms.toml.
        seen: what is known of it.
        wanted: its range there.
        now: an aware instant, not before `seen.newest`.
    """
    return _missing(measure, seen, now) or _off(measure, seen, wanted, now) or _stuck(measure, seen, now)


def _missing(measure: str, seen: Seen, now: datetime) -> Trouble | None:
    rule = rules()[measure]
    allowed = _silence(rule, seen)
    return Trouble("missing", seen.newest) if allowed is not None and now - seen.newest >= allowed else None


def _silence(rule: Rule, seen: Seen) -> timedelta | None:
    """How long nothing may be read; None where it may for ever."""
    if not seen.by_equipment:
        return rule.gap if seen.habitual else None
    return max(rule.silent, seen.usual_gap * escalation()["silent"]["gaps"])


def _off(measure: str, seen: Seen, wanted: Range, now: datetime) -> Trouble | None:
    side = judge(measure, seen.level, wanted)
    if side == "fine" or seen.off_since is None or now - seen.newest > timedelta(hours=escalation()["fresh"]["hours"]):
        return None
    urgent = alarming(measure, seen.level)
    return (
        Trouble(side, seen.off_since, seen.level, urgent)
        if now - seen.off_since >= _allowed(measure, seen, urgent)
        else None
    )


def _allowed(measure: str, seen: Seen, urgent: bool) -> timedelta:
    if urgent:
        return timedelta(minutes=escalation()["urgent"]["act_min"]) if seen.by_equipment else timedelta(0)
    return rules()[measure].act if seen.by_equipment else rules()[measure].act_hand


def _stuck(measure: str, seen: Seen, now: datetime) -> Trouble | None:
    longest = rules()[measure].stuck
    if longest is None or seen.same_since is None or seen.newest - seen.same_since < longest:
        return None
    return Trouble("stuck", seen.same_since, seen.level)


def is_over(kind: str, since: datetime, measure: str, seen: Seen, wanted: Range) -> bool:
    """Whether an alarm of a kind is over: read again since, changed again, or well inside the range again."""
    if kind == "missing":
        return seen.newest > since
    if kind == "stuck":
        return seen.same_since is None
    return seen.level in well_inside(measure, wanted)


def next_change(measure: str, seen: Seen, wanted: Range, now: datetime) -> datetime | None:
    """When something that is not a trouble yet will be one if nothing is read meanwhile; None where nothing will."""
    rule = rules()[measure]
    silent = _silence(rule, seen)
    ends = [seen.newest + silent] if silent is not None else []
    if seen.off_since is not None and judge(measure, seen.level, wanted) != "fine":
        ends.append(seen.off_since + _allowed(measure, seen, alarming(measure, seen.level)))
    return min((one for one in ends if one > now), default=None)


@dataclass(frozen=True, slots=True)
class InCharge:
    """Somebody who may be told of an alarm, as far as that bears on whether and when."""

    id: int
    role: str
    grown_up: bool
    on_shift: bool


def chain(people: Sequence[InCharge]) -> list[int]:
    """Who is told of an alarm, one after another: one who is on shift now, then leads, then coordinators.

    Of those on shift it is the lead or coordinator there, else who joined first. Nobody who is not of age.
    """
    of_age = [one for one in people if one.grown_up]
    there = sorted((one for one in of_age if one.on_shift), key=lambda one: one.role == "volunteer")
    leads, coordinators = ([one for one in of_age if one.role == role] for role in ("lead", "coordinator"))
    return list(dict.fromkeys(one.id for one in (*there[:1], *leads, *coordinators)))
