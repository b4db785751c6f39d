"""What an act or a question comes to: facts, never sentences. The words room turns them into a person's language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing to say: `kind` names its sentence in the language files, `values` fill it."""

    kind: str
    values: Mapping[str, Any] = field(default_factory=dict)


def fact(kind: str, /, **values: Any) -> Fact:
    """A fact, written short."""
    return Fact(kind, values)


@dataclass(frozen=True, slots=True)
class News:
    """A fact that concerns others than the sender: to one person, or to everyone with a role."""

    fact: Fact
    person_id: int | None = None
    role: str | None = None
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing that goes with an answer: a measure in a tank or "room", from one instant to before another."""

    measure: str
    where: str
    since: datetime
    until: datetime


@dataclass(frozen=True, slots=True)
class Outcome:
    """The result of one act.

    facts: what was recorded or answered, in the order to say it.
    remarks: what the sender should know besides ("A1-A4 to clean").
    doubts: why it would be surprising; where there are any, nothing was written and the sender is asked first.
    entry: the number of the journal entry; None when nothing was written.
    news: what others are told because of it.
    first: what must be said before anything else (get help).
    picture: what is drawn beside the words, where pictures can go.
    whom: the first name of whom it is, where the sender spoke for somebody else.
    listed: the tasks just listed to the sender, in order; the numbers people answer with follow from it.
    """

    facts: tuple[Fact, ...] = ()
    remarks: tuple[Fact, ...] = ()
    doubts: tuple[Fact, ...] = ()
    entry: int | None = None
    news: tuple[News, ...] = ()
    listed: tuple[int, ...] = ()
    first: tuple[Fact, ...] = ()
    picture: Picture | None = None
    whom: str | None = None
