"""What a draft lacks, and how a text fills one of its slots."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from typing import Any

from rapidfuzz.distance import OSA

from core.notes import (
    Added,
    Busy,
    Calibrate,
    FollowUp,
    Free,
    Harvest,
    Loss,
    Move,
    Note,
    Reading,
    ShiftAnswer,
    Sow,
    TaskReport,
    Trouble,
    Want,
)
from service.understanding.amounts import MILLILITRES, amounts
from service.understanding.following import named_trouble
from service.understanding.found import Told
from service.understanding.growing import directions
from service.understanding.house import trouble_kind
from service.understanding.lots import lots
from service.understanding.numbers import likely_crop
from service.understanding.polarity import polarity_of
from service.understanding.sheet import Clause
from service.understanding.shifts import shift_by_day
from service.understanding.tasks import task_numbers
from service.understanding.times import stretches
from service.understanding.tokens import tokens
from service.understanding.water import in_units, measures

Filler = Callable[[Note, Clause, Told], Note | None]


def amended(note: Note, **slots: Any) -> Note:
    """The same note with some slots changed; slots that its kind does not have are left out."""
    own = {slot.name for slot in fields(note)}
    return replace(note, **{name: value for name, value in slots.items() if name in own})


def filled_crop(draft: Note, clause: Clause, told: Told) -> Note | None:
    """The draft with the one crop that is named, or likely meant by a word that was misspelt."""
    crops = [one for one in clause.spans("crop") if not _denied(clause, one.start)]
    named = {one.value for one in crops}
    crop = next(iter(named)) if len(named) == 1 else (None if named else likely_crop(clause.sheet, clause.words))
    return amended(draft, crop=crop) if crop else None


def _denied(clause: Clause, index: int) -> bool:
    return any(index - 2 <= one.end <= index for one in clause.spans("hedge.not"))


def filled_where(draft: Note, clause: Clause, told: Told) -> Note | None:
    """The draft with its tank or its places; of a move, where the plants came from and went to."""
    if isinstance(draft, (Reading, Added, Want, Calibrate)):
        tank = _tank(clause)
        return amended(draft, where=tank) if tank else None
    codes = tuple(dict.fromkeys(code for one in clause.spans("place") for code in one.value))
    if not codes:
        return None
    if isinstance(draft, Trouble):
        return amended(draft, where=codes)
    if isinstance(draft, Move):
        origin, to = directions(clause)
        return amended(draft, origin=origin or draft.origin, to=to or draft.to)
    return amended(draft, places=codes)


def _tank(clause: Clause) -> str | None:
    """The tank named, by name, size, or what it feeds."""
    tank: str | None = clause.first("tank")
    if tank:
        return tank
    feeds = {one.value for one in clause.spans("thing") if one.value in ("shelf", "tower")}
    if len(feeds) == 1:
        wanted = "nursery" if feeds == {"shelf"} else "main"
        return wanted if wanted in clause.sheet.vocabulary.tanks else None
    return _tank_by_word(clause)


def _tank_by_word(clause: Clause) -> str | None:
    """The one tank that a word of its names means ("small" of "small tank"), a slip of one letter allowed."""
    names = {
        slug: {word.text for by_language in named.values() for name in by_language for word in tokens(name)}
        for slug, named in clause.sheet.vocabulary.tanks.items()
    }
    typed = [token.text for token in clause.sheet.tokens if len(token.text) > 3]
    for slips in (0, 1):
        meant = {
            slug
            for slug, words in names.items()
            for one in words
            for word in typed
            if OSA.distance(one, word) <= slips and len(one) > 3 and sum(one in other for other in names.values()) == 1
        }
        if len(meant) == 1:
            return meant.pop()
    return None


def filled_count(draft: Note, clause: Clause, told: Told) -> Note | None:
    """The draft with its number: plants, grams, trays, or the value of a measure."""
    if isinstance(draft, (Reading, Want)):
        return _value(draft, clause, told)
    lot = lots(clause)[0]
    if lot.weight_g is not None and lot.count is None:
        return amended(draft, weight_g=lot.weight_g)
    if lot.trays is not None and isinstance(draft, (Sow, Move)):
        return amended(draft, trays=lot.trays)
    if lot.count is None or lot.vague or lot.conflict:
        return None
    return amended(draft, count=lot.count)


OF_NO_MEASURE = frozenset({"heads", "bunches", "plugs", "trays", "packets", "lb", "hours", "minutes", "years", "times"})
"""Units of numbers that are no reading of a tank or of the air."""


def _value(draft: Note, clause: Clause, told: Told) -> Note | None:
    given = amounts(clause)
    if not given or given[-1].vague:
        return None
    amount = given[-1]
    if isinstance(draft, Added):
        return amended(draft, amount_ml=amount.value * MILLILITRES[amount.unit]) if amount.unit in MILLILITRES else None
    if isinstance(draft, (Reading, Want)):
        if amount.unit in OF_NO_MEASURE:
            return None
        value = in_units(draft.measure, amount, told)
        return None if math.isnan(value) else amended(draft, value=value)
    return filled_count(draft, clause, told)


def _when(draft: Note, clause: Clause, told: Told) -> Note | None:
    if not isinstance(draft, (Free, Busy)):
        return None
    for stretch in stretches(clause, told.sent):
        if stretch.days:
            if stretch.weekly or stretch.until:
                return replace(draft, weekly=stretch.weekly_windows(told.sheet), until=stretch.until)
            return replace(draft, windows=stretch.windows(told.sheet, told.sent))
    return None


def _which(draft: Note, clause: Clause, told: Told) -> Note | None:
    if isinstance(draft, ShiftAnswer):
        can = polarity_of(clause)
        if clause.has("everyday", "plural") or (can is not None and can != (draft.answer == "yes")):
            return None  # "puedo los martes" is said of times, not of the shift one is late for
        shift = shift_by_day(clause, told)
        return replace(draft, shift=shift) if shift else None
    if isinstance(draft, FollowUp):
        meant = named_trouble(clause, told)
        return replace(draft, n=meant) if meant is not None else None
    if isinstance(draft, TaskReport):
        numbers = task_numbers(clause, told)
        return replace(draft, n=numbers[0]) if len(numbers) == 1 else None
    return None


def _what(draft: Note, clause: Clause, told: Told) -> Note | None:
    if isinstance(draft, Trouble):
        kind = trouble_kind(clause) or clause.first("trouble")
        return replace(draft, kind=kind) if kind else None
    if isinstance(draft, Added):
        item = clause.first("supply")
        return replace(draft, item=item) if item else None
    found = measures(clause)
    return amended(draft, measure=found[0].value) if found else None


FILLERS: dict[str, Filler] = {
    "crop": filled_crop,
    "where": filled_where,
    "count": filled_count,
    "value": _value,
    "unit": _value,
    "when": _when,
    "which": _which,
    "what": _what,
}


def lacking(note: Note) -> tuple[str, ...]:
    """What a note cannot be recorded without."""
    return tuple(_lacks(note))


def _lacks(note: Note) -> Iterator[str]:
    if isinstance(note, (Harvest, Loss, Sow, Move)):
        if note.crop is None:
            yield "crop"
        if all(getattr(note, slot, None) is None for slot in ("count", "weight_g", "trays")):
            yield "count"
        return
    for slot, missing in NEEDED.get(note.act, ()):
        anywhere = slot == "where" and getattr(note, "measure", None) in ("air_temp", "humidity", "co2")
        if getattr(note, slot) is None and not anywhere:
            yield missing


NEEDED = {
    "reading": (("value", "value"), ("where", "where")),
    "added": (("amount_ml", "value"), ("where", "where")),
    "want": (("measure", "what"), ("value", "value"), ("where", "where")),
    "calibrate": (("measure", "what"), ("where", "where")),
}
"""Notes about tanks: the slots that each cannot be without, and what is asked for then."""
