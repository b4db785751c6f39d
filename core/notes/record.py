"""The table of notes by their act, and the plain record each is kept and scored as."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date, datetime, time
from typing import Any

from core.notes.alarms import QuietAlarm, SetRange, TakeAlarm
from core.notes.crew import ApproveHours, Arrive, Busy, Free, Hours, Leave, ShiftAnswer, TaskReport
from core.notes.dosing import Calibrate, Reckon, Want
from core.notes.growing import Clean, DescribeCrop, Gave, Harvest, Loss, Move, PlaceUse, Sow, Stand
from core.notes.note import Note, Record, WeeklyWindow, Window
from core.notes.people import GiveRole, LeaveCrew, OtherNumber, Pause, Reminding, RemovePerson, Trained
from core.notes.planning import WhatIf
from core.notes.roster import MakeRoster, RosterWish
from core.notes.talk import AddPerson, Announce, Ask, Closed, Correct, Target
from core.notes.trouble import FollowUp
from core.notes.water import Added, Calibrated, Reading, Stock, Trouble

NOTES: dict[str, type[Note]] = {
    kind.act: kind
    for kind in (
        *(Harvest, Loss, Sow, Stand, Move, Clean, Reading, Added, Calibrated, Free, Busy, ShiftAnswer, Arrive),
        *(
            Leave,
            Hours,
            ApproveHours,
            TaskReport,
            Stock,
            Trouble,
            Gave,
            Correct,
            Ask,
            Announce,
            Target,
            AddPerson,
            Closed,
        ),
        *(Want, Reckon, Calibrate, WhatIf),
        *(Trained, Pause, LeaveCrew, RemovePerson, GiveRole, OtherNumber, Reminding),
        *(DescribeCrop, PlaceUse),
        *(TakeAlarm, QuietAlarm, SetRange),
        *(MakeRoster, RosterWish),
        FollowUp,
    )
}


class UnknownNote(ValueError):
    """A record names an act or a slot that does not exist."""


def to_record(note: Note) -> Record:
    """The note as the plain JSON record of the labelled sets: absent slots left out, times as YYYY-MM-DDTHH:MM."""
    record: Record = {"act": note.act}
    for slot in fields(note):
        value = getattr(note, slot.name)
        if value is None or value == ():
            continue
        if slot.metadata.get("single") and len(value) == 1:
            value = value[0]
        record[slot.metadata.get("key", slot.name)] = _plain(value)
    return record


def from_record(record: Mapping[str, Any]) -> Note:
    """The note a record describes.

    Raises:
        UnknownNote: the act or one of the slots is not one of ours; the message names it and lists the valid ones.
    """
    kind = NOTES.get(str(record.get("act")))
    if kind is None:
        raise UnknownNote(f"no act {record.get('act')!r}; the acts are {', '.join(sorted(NOTES))}")
    slots = {slot.metadata.get("key", slot.name): slot.name for slot in fields(kind)}
    unknown = set(record) - set(slots) - {"act"}
    if unknown:
        raise UnknownNote(f"{kind.act} has no slot {', '.join(sorted(unknown))}; it has {', '.join(sorted(slots))}")
    return kind(**{slots[key]: _typed(kind, key, value) for key, value in record.items() if key != "act"})


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%dT%H:%M")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Window):
        return {"start": _plain(value.start), "end": _plain(value.end)}
    if isinstance(value, WeeklyWindow):
        return {"day": value.day, "start": f"{value.start:%H:%M}", "end": f"{value.end:%H:%M}"}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def _window(value: Mapping[str, str]) -> Window:
    return Window(datetime.fromisoformat(value["start"]), datetime.fromisoformat(value["end"]))


def _weekly(value: Mapping[str, Any]) -> WeeklyWindow:
    return WeeklyWindow(value["day"], time.fromisoformat(value["start"]), time.fromisoformat(value["end"]))


_READERS: dict[str, Callable[[Any], Any]] = {
    "windows": lambda value: tuple(map(_window, value)),
    "weekly": lambda value: tuple(map(_weekly, value)),
    "until": date.fromisoformat,
    "date": date.fromisoformat,
    "at": datetime.fromisoformat,
    "places": tuple,
    "from": tuple,
    "standards": tuple,
    "beside": tuple,
    "apart": tuple,
    "shown": tuple,
}


def _typed(kind: type[Note], key: str, value: Any) -> Any:
    """A slot's value as its type wants it; `to` is a list of places in a move and a name elsewhere."""
    if value is None:
        return None
    if (kind is Trouble and key == "where") or (kind is Move and key == "to"):
        return (value,) if isinstance(value, str) else tuple(value)
    if key == "was" and isinstance(value, list):
        return tuple(value)
    reader = _READERS.get(key)
    return reader(value) if reader else value
