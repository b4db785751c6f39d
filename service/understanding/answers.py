"""Answers to the question last put to the sender, read as what the question was about."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from typing import Any

from rapidfuzz.distance import OSA

from core.notes import (
    Added,
    Busy,
    Calibrated,
    Correct,
    Free,
    Gave,
    Harvest,
    Loss,
    Move,
    Note,
    Reading,
    ShiftAnswer,
    Sow,
    Stock,
    TaskReport,
    Trouble,
)
from service.understanding.amounts import MILLILITRES, amounts, lots
from service.understanding.clauses import sentences
from service.understanding.corrections import drops, mended_note, takes_back
from service.understanding.crew import names_hour
from service.understanding.found import Found, Told
from service.understanding.house import trouble_kind
from service.understanding.numbers import likely_crop
from service.understanding.sheet import Clause, overlaps
from service.understanding.shifts import says_y, shift_answer, shift_by_day
from service.understanding.tasks import task_numbers
from service.understanding.times import said_day, stretches
from service.understanding.tokens import tokens
from service.understanding.water import in_units, measures

Filler = Callable[[Note, Clause, Told], Note | None]


def amended(note: Note, **slots: Any) -> Note:
    """The same note with some slots changed; slots that its kind does not have are left out."""
    own = {slot.name for slot in fields(note)}
    return replace(note, **{name: value for name, value in slots.items() if name in own})


def yes_or_no(clause: Clause) -> bool | None:
    """Whether a text says yes or no: what it says first, the longer phrase where both begin together."""
    spans = clause.spans("answer", "yes", "no")
    if not spans:
        return True if says_y(clause) else None
    value: bool = spans[0].value == "yes"
    return value


def answered(told: Told) -> list[Found] | None:
    """The notes that the sender's answer makes; None when the text is no answer, [] when it declines."""
    asked = told.context.asked
    if asked is None:
        return None
    whole = told.sheet.whole()
    if asked.about == "shift":
        return shift_answer(whole, told, asked.shift)
    if asked.draft is None or _is_new_report(whole, asked.draft):
        return None
    same = asked.about in ("confirm", "same") and _same_or_another(whole) is not None
    if (whole.has("correct.undo") or takes_back(whole) or drops(whole)) and not (same or whole.has("count")):
        return [Found(Correct(undo=True))]
    if asked.about in ("confirm", "same"):
        return _confirmed(asked.draft, whole, told)
    if asked.about != "when" and _tells_of_coming(whole, told):
        return None
    filled = _filled(asked.about, asked.draft, whole, told)
    if filled is None:
        return None
    if not (whole.has("act.clean") or whole.has("trouble")):  # "12 bunches and cleaned F1"
        filled = _and_more(filled, whole, told)
    return [Found(filled, lacking(filled))]


def _filled(about: str, draft: Note, whole: Clause, told: Told) -> Note | None:
    """The draft with what was asked for, from the whole text or the first of its sentences that says it."""
    fill = FILLERS.get(about)
    if fill is None:
        return None
    clauses = (whole, *(one.clause for one in sentences(told.sheet)))
    return next((filled for one in clauses if (filled := fill(draft, one, told)) is not None), None)


def _and_more(draft: Note, clause: Clause, told: Told) -> Note:
    """An answer that tells more than was asked ("12 bunches, F1 thru F3") fills the other empty slots too."""
    for slot, families, fill in (
        ("crop", ("crop",), _crop),
        ("places", ("place",), _where),
        ("where", ("tank",), _where),
        ("count", ("count",), _count),
    ):
        own = {one.name for one in fields(draft)}
        empty = slot in own and not getattr(draft, slot)
        weighed = slot == "count" and any(getattr(draft, one, None) for one in ("weight_g", "trays"))
        if empty and not weighed and any(clause.has(one) for one in families):
            draft = fill(draft, clause, told) or draft
    return draft


def _is_new_report(clause: Clause, draft: Note) -> bool:
    """Whether a text tells something of its own: a verb with a crop and a number, or things the draft is not about."""
    acted = any(family.startswith("act.") and clause.spans(family) for family in clause.sheet.marks)
    if acted and clause.has("crop") and clause.has("count") and not clause.has("correct.mend"):
        return True
    crop = getattr(draft, "crop", None)
    others = (
        clause.has("supply") and not isinstance(draft, (Added, Stock, Sow)),
        bool(measures(clause)) and not isinstance(draft, (Reading, Calibrated)),
        clause.has("recipient") and not isinstance(draft, Gave),
        crop is not None and clause.has("crop") and clause.one("crop") != crop,
    )
    return any(others) and not clause.has("correct.mend")


def _confirmed(draft: Note, clause: Clause, told: Told) -> list[Found] | None:
    """Yes, no, or the right figure instead ("25 not 250")."""
    says = _same_or_another(clause)
    if says is None:
        says = yes_or_no(clause)
    mended = mended_note(clause, draft, told)
    if mended is not None and says is not True:
        right = {slot.name: getattr(mended, slot.name) for slot in fields(mended) if slot.name not in ("undo", "was")}
        return [Found(amended(draft, **{name: value for name, value in right.items() if value}))]
    figure = _count(draft, clause, told) if clause.has("count") else None
    if figure is not None and says is not True:
        return [Found(figure, lacking(figure))]
    if figure is not None and figure != draft:
        return None  # "yes 25", and 250 was put
    if says is None or (says and _tells_else(draft, clause, told)):
        return None
    return [Found(draft)] if says else []


def _tells_of_coming(clause: Clause, told: Told) -> bool:
    """ "im coming saturday at 9", "see you at 4": no answer to what a report lacked."""
    day = said_day(clause, told.sent)
    ahead = day is not None and day > told.sent.date()
    return clause.has("word.there") and (ahead or names_hour(clause))


def _tells_else(draft: Note, clause: Clause, told: Told) -> bool:
    """Whether a yes goes on to a day, an hour or a place that the draft is not about ("I'm coming saturday")."""
    held = {code for slot in ("places", "origin", "to", "where") for code in getattr(draft, slot, None) or ()}
    windows = getattr(draft, "windows", None) or ()
    day = said_day(clause, told.sent)
    same_day = bool(windows) and day in {one.start.date() for one in windows}
    promised = clause.spans("answer", "yes")
    if promised and all(overlaps(one, clause.spans("word.there")) for one in promised):
        return True
    timed = day is not None or names_hour(clause) or any(clause.has(one) for one in ("days", "part", "time.week"))
    return (timed and not same_day) or any(set(one.value) - held for one in clause.spans("place"))


def _same_or_another(clause: Clause) -> bool | None:
    """Whether what was put for confirmation is called another than what is recorded already (True), or the same."""
    spans = sorted((*clause.spans("word.same"), *clause.spans("word.another")), key=lambda one: one.start - one.end)
    if not spans or clause.has("count"):
        return None
    return spans[0] in clause.spans("word.another")


def _crop(draft: Note, clause: Clause, told: Told) -> Note | None:
    crops = [one for one in clause.spans("crop") if not _denied(clause, one.start)]
    named = {one.value for one in crops}
    crop = next(iter(named)) if len(named) == 1 else (None if named else likely_crop(clause.sheet, clause.words))
    return amended(draft, crop=crop) if crop else None


def _denied(clause: Clause, index: int) -> bool:
    return any(index - 2 <= one.end <= index for one in clause.spans("hedge.not"))


def _where(draft: Note, clause: Clause, told: Told) -> Note | None:
    if isinstance(draft, (Reading, Added)):
        tank = _tank(clause)
        return amended(draft, where=tank) if tank else None
    codes = tuple(dict.fromkeys(code for one in clause.spans("place") for code in one.value))
    if not codes:
        return None
    if isinstance(draft, Trouble):
        return amended(draft, where=codes)
    return amended(draft, to=codes) if isinstance(draft, Move) else amended(draft, places=codes)


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


def _count(draft: Note, clause: Clause, told: Told) -> Note | None:
    if isinstance(draft, Reading):
        return _value(draft, clause, told)
    lot = lots(clause)[0]
    if lot.weight_g is not None and lot.count is None:
        return amended(draft, weight_g=lot.weight_g)
    if lot.trays is not None and isinstance(draft, (Sow, Move)):
        return amended(draft, trays=lot.trays)
    if lot.count is None or lot.vague or lot.conflict:
        return None
    return amended(draft, count=lot.count)


def _value(draft: Note, clause: Clause, told: Told) -> Note | None:
    given = amounts(clause)
    if not given or given[-1].vague:
        return None
    amount = given[-1]
    if isinstance(draft, Added):
        return amended(draft, amount_ml=amount.value * MILLILITRES[amount.unit]) if amount.unit in MILLILITRES else None
    if isinstance(draft, Reading):
        return amended(draft, value=in_units(draft.measure, amount, told))
    return _count(draft, clause, told)


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
        shift = shift_by_day(clause, told)
        return replace(draft, shift=shift) if shift else None
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
    "crop": _crop,
    "where": _where,
    "count": _count,
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
    elif isinstance(note, Reading):
        if note.value is None:
            yield "value"
        if note.where is None and note.measure not in ("air_temp", "humidity", "co2"):
            yield "where"
    elif isinstance(note, Added):
        if note.amount_ml is None:
            yield "value"
        if note.where is None:
            yield "where"
