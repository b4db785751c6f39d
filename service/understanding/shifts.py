"""What people say about a shift they have: coming, not coming, late, wanting to swap."""

from __future__ import annotations

from core.notes import ShiftAnswer
from service.understanding.amounts import amounts
from service.understanding.found import Found, Told
from service.understanding.reading import ShiftAhead
from service.understanding.sheet import Clause, Span, overlaps
from service.understanding.times import said_day, stretches
from service.understanding.times.clocks import Clock

LONGEST_ANSWER = 30
"""Words; a longer text is a story, in which a stray "no" is no answer."""


def shift_answer(clause: Clause, told: Told, shift: str | None) -> list[Found] | None:
    """The answer to "are you coming?"; None when the text is none."""
    answer = said_answer(clause)
    if answer is None or (answer in ("yes", "no") and not (_is_answer(clause, answer) and _means_it(clause, answer))):
        return None
    own = next((one for one in told.context.shifts if one.id == shift), None)
    minutes = _minutes(clause, own) if answer == "late" else None
    return [Found(ShiftAnswer(answer=answer, shift=shift, minutes=minutes))]


def said_answer(clause: Clause) -> str | None:
    """Late and swap tell more than yes and no; of those the first one said counts, "yes but no" aside."""
    spans = [one for one in clause.spans("answer") if not _is_part_of_day(clause, one)]
    values = [one.value for one in spans]
    for strong in ("swap", "late"):
        if strong in values and not _denied(clause, strong) and not (strong == "swap" and _arranged(clause)):
            return strong
    plain = [one for one in spans if one.value in ("yes", "no")]
    if not plain:
        return "yes" if says_y(clause) else None
    long_no = [one for one in plain if one.value == "no" and one.end - one.start > 1]
    value: str = "no" if long_no else plain[0].value
    return value


def _is_part_of_day(clause: Clause, answer: Span) -> bool:
    """The "tarde" of "por la tarde" is no lateness."""
    return any(one.end - one.start > 1 and one.start <= answer.start < one.end for one in clause.spans("part"))


def _arranged(clause: Clause) -> bool:
    """ "yes I switched with a coworker so I can be there": begun with yes, a change already made elsewhere."""
    spans = clause.spans("answer")
    made = clause.spans("word.exchanged")
    swaps = clause.spans("answer", "swap")
    return spans[0].value == "yes" and spans[-1].value == "yes" and all(overlaps(one, made) for one in swaps)


def says_y(clause: Clause) -> bool:
    """The letter y alone, which inside a Spanish text is "and"."""
    return [one.text for one in clause.sheet.tokens[clause.start : clause.end] if one.kind != "mark"] == ["y"]


def _means_it(clause: Clause, answer: str) -> bool:
    """Neither unsure ("not sure yet") nor a question of the sender's own ("is walt coming?")."""
    spans = clause.spans("answer", answer)
    first = spans[0].start if spans else clause.start
    unsure = [
        one for one in clause.spans("word.perhaps") if clause.sheet.words[one.start] not in ("if", "unless", "si")
    ]
    if any(one.start <= first for one in unsure):
        return False
    asked = clause.sheet.is_mark(clause.end - 1, "?") and not any(
        clause.sheet.is_mark(at, ",", ".") for at in range(first, clause.end)
    )
    return not (asked and first > clause.start and clause.has("ask.weak") and clause.spans("ask.weak")[0].start < first)


def _denied(clause: Clause, answer: str) -> bool:
    span = clause.spans("answer", answer)[0]
    return any(0 <= span.start - one.end <= 1 for one in clause.spans("hedge.not")) and answer == "late"


def _is_answer(clause: Clause, answer: str) -> bool:
    spans = clause.spans("answer", answer)
    if not spans:
        return True
    early = spans[0].start - clause.start <= 4 or any(one.end - one.start > 1 for one in spans)
    return early and clause.end - clause.start <= 2 * LONGEST_ANSWER


def minutes_late(clause: Clause) -> float | None:
    """The minutes someone will be late by: a length, or a bare number beside the word for late."""
    for one in amounts(clause):
        if one.unit == "minutes":
            return one.value
        if one.unit == "hours":
            return one.value * 60
    bare = [one.value for one in amounts(clause) if one.unit is None and 1 <= one.value <= 90]
    return bare[0] if len(bare) == 1 and not clause.has("clock") else None


def _minutes(clause: Clause, shift: ShiftAhead | None) -> float | None:
    """The minutes late by, said or counted from the start of the shift to the hour said."""
    minutes = minutes_late(clause)
    clock: Clock | None = clause.first("clock")
    if minutes is not None or clock is None or shift is None:
        return minutes
    at = clock.as_time()
    late = (at.hour - shift.start.hour) * 60 + at.minute - shift.start.minute
    return float(late) if 0 < late <= 180 else None


def shift_by_day(clause: Clause, told: Told) -> str | None:
    """The one of the sender's shifts that a text means: by its day or part of day, or the only one there is."""
    found = shifts_meant(clause, told)
    return found[0].id if len(found) == 1 else None


def shifts_meant(clause: Clause, told: Told) -> list[ShiftAhead]:
    """The sender's shifts on the days a text names; all of them when it names none."""
    shifts = list(told.context.shifts)
    said = [one for one in stretches(clause, told.sent) if one.days]
    if not said:
        day = said_day(clause, told.sent)
        return [one for one in shifts if one.start.date() == day] if day else shifts
    windows = [window for one in said for window in one.windows(told.sheet, told.sent)]
    found = [
        shift
        for shift in shifts
        if any(
            shift.start.replace(tzinfo=None) < one.end and one.start < shift.end.replace(tzinfo=None) for one in windows
        )
    ]
    named = {day.weekday for one in said for day in one.days if day.weekday is not None}
    return found or [one for one in shifts if one.start.weekday() in named]  # "my thursday shift", said on a Thursday


def unasked(clause: Clause, told: Told) -> list[Found]:
    """Something said about a shift of the sender's without having been asked."""
    if not told.context.shifts:
        return []
    answer = said_answer(clause)
    if answer is None or answer == "yes":
        return []
    if answer == "no" and not (_is_answer(clause, answer) and _cannot(clause)):
        return []
    meant = shifts_meant(clause, told)
    minutes = _minutes(clause, meant[0] if len(meant) == 1 else None) if answer == "late" else None
    if answer == "late" and len(meant) > 1:
        meant = [one for one in meant if one.start.date() == told.sent.date()][:1] or meant
    if len(meant) == 1:
        return [Found(ShiftAnswer(answer=answer, shift=meant[0].id, minutes=minutes))]
    if not meant:
        return []
    return [Found(ShiftAnswer(answer=answer, minutes=minutes), ("which",))]


def _cannot(clause: Clause) -> bool:
    """A bare "no" or "wrong" that nobody asked for is about no shift."""
    weak = ("no", "nope", "n", "nah", "wrong", "mal", "pass", "negative", "incorrecto")
    return any(
        one.end - one.start > 1 or clause.sheet.words[one.start] not in weak for one in clause.spans("answer", "no")
    )
