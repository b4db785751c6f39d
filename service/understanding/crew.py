"""Reports about people's time: free, busy, here, gone, hours worked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import groupby

from core.notes import Arrive, Busy, Free, Hours, Leave, Note, ShiftAnswer
from service.understanding.amounts import amounts
from service.understanding.found import Found, Report, Told
from service.understanding.numbers import ORDINAL_ENDS
from service.understanding.reading import ShiftAhead
from service.understanding.sheet import Clause, Sheet, Span
from service.understanding.times import Stretch, said_day, stretches
from service.understanding.times.clocks import Clock, clock_at


def arrive(report: Report, told: Told) -> Iterator[Found]:
    """Checks in."""
    yield Found(Arrive(at=_clock(report.clause, told)), (), report.clause.start)


def leave(report: Report, told: Told) -> Iterator[Found]:
    """Checks out."""
    yield Found(Leave(at=_clock(report.clause, told)), (), report.clause.start)


def _clock(clause: Clause, told: Told) -> datetime | None:
    """The time said, on the day of the text; one that lies ahead by a half day is meant before noon."""
    clocks = clause.spans("clock")
    clock: Clock | None = clocks[0].value if clocks else _loose_clock(clause)
    if clock is None:
        return None
    at = datetime.combine(told.sent.date(), clock.as_time())
    if clock.half is None and not clock.exact and at > told.sent + timedelta(hours=1) and at.hour >= 12:
        at -= timedelta(hours=12)
    return at


def _loose_clock(clause: Clause) -> Clock | None:
    for span in clause.spans("time.at"):
        read = clock_at(clause.sheet, span.end, clause.end)
        if read:
            return read[0]
    return None


def hours(report: Report, told: Told) -> Iterator[Found]:
    """Time worked, as a length or from one hour to another."""
    clause = report.clause
    minutes = worked_minutes(clause, told)
    day = said_day(clause, told.sent, past=True)
    yield Found(Hours(minutes=minutes, date=day), () if minutes else ("count",), clause.start)


def worked_minutes(clause: Clause, told: Told) -> float | None:
    """Minutes of a length ("2 hrs and 15 min", "dos horas y cuarto") or a range of hours; None when neither is said."""
    total = 0.0
    for one in amounts(clause):
        if one.unit == "hours":
            total += one.value * 60
        elif one.unit == "minutes":
            total += one.value
    if total:
        return total
    spans = [
        hours
        for stretch in stretches(clause, told.sent)
        for hours in stretch.hours
        if hours[1] != clause.sheet.vocabulary.closes
    ]
    if not spans:
        return None
    start, end = spans[0]
    return (end.hour - start.hour) * 60.0 + end.minute - start.minute


def availability(pieces: list[Clause], told: Told) -> Iterator[Found]:
    """Can and cannot come, piece by piece; a piece that names only a time goes on with what was said before it."""
    said: list[tuple[bool | None, Stretch]] = []
    polarity: bool | None = None
    before = 0
    for piece, own in _by_polarity(pieces):
        if own is not None or (_other_words(piece) and piece.start - before > 2):
            polarity = own  # a time in a sentence of its own goes on with can or cannot only when it says nothing else
        beside, before = piece.start - before <= 2, piece.end
        for stretch in stretches(piece, told.sent):
            _join(said, polarity, own if beside else None, stretch)
    yield from merged(
        [one for answer, stretch in said if answer is not None for one in as_notes(answer, stretch, told)]
    )


def merged(found: list[Found]) -> Iterator[Found]:
    """Neighbouring windows of the same kind in one note."""
    for _, group in groupby(found, key=lambda one: (type(one.note), bool(getattr(one.note, "windows", ())))):
        notes = list(group)
        windows = tuple(window for one in notes for window in getattr(one.note, "windows", ()))
        if windows and isinstance(notes[0].note, (Free, Busy)):
            yield Found(replace(notes[0].note, windows=tuple(dict.fromkeys(windows))))
        else:
            yield from notes


def _by_polarity(pieces: list[Clause]) -> list[tuple[Clause, bool | None]]:
    """Neighbouring pieces joined so that each says can or cannot once: a list of days may hold commas."""
    found: list[tuple[Clause, bool | None]] = []
    for piece in pieces:
        own = polarity_of(piece)
        last, before = found[-1] if found else (None, None)
        if own is None and len(_other_words(piece)) > 3:
            continue
        if last is not None and piece.start - last.end <= 2 and _joins(before, own, piece):
            found[-1] = Clause(piece.sheet, last.start, piece.end), own if before is None else before
        else:
            found.append((piece, own))
    return found


def _joins(before: bool | None, own: bool | None, piece: Clause) -> bool:
    return own is None or before is None or (own == before and not _names_day(piece))


def names_time(clause: Clause) -> bool:
    """Whether a clause names any day or hour."""
    return any(
        clause.has(one)
        for one in ("day", "relday", "part", "days", "clock", "month", "relpart", "time.week", "time.date")
    )


def _names_day(clause: Clause) -> bool:
    return any(clause.has(one) for one in ("day", "relday", "days", "time.date"))


def _join(said: list[tuple[bool | None, Stretch]], polarity: bool | None, own: bool | None, stretch: Stretch) -> None:
    last = said[-1][1] if said else None
    if last is not None and not stretch.days and said[-1][0] in (polarity, None):
        last.hours.extend(stretch.hours)
        last.parts.extend(stretch.parts)
        last.until = last.until or stretch.until
        said[-1] = (polarity, last)
        return
    if last is not None and not stretch.days:
        stretch.days = list(last.days)
    if last is not None and said[-1][0] is None and own is not None:
        said[:] = [(own, one) if answer is None else (answer, one) for answer, one in said]
    if last is not None and stretch.until and not last.until:
        last.until, last.weekly = stretch.until, True
    said.append((polarity, stretch))


def polarity_of(clause: Clause) -> bool | None:
    """Whether a clause says can (True), cannot (False) or neither; "cannot" wins."""
    spans = clause.spans("can")
    if not spans:
        return None
    if any(one.value == "no" and is_own(clause, one) for one in spans):
        return False
    own = [one for one in spans if one.value == "yes" and is_own(clause, one)]
    if not own:
        return None
    return not any(0 <= one.start - denial.end <= 2 for one in own for denial in clause.spans("hedge.not"))


def is_own(clause: Clause, span: Span) -> bool:
    """Whether words for can or cannot are about the sender and about a time.

    They are when the sender is named in them or just before, or when they begin what is said, times and greetings
    aside; never when somebody else is named just before. A bare "can't" must not lead on to some other verb.
    """
    if any(0 <= span.start - one.end <= 2 for one in clause.spans("other")):
        return False
    if any(one.start <= span.start and span.end < one.end for one in clause.spans("greeting")):
        return False
    if _is_weak(clause, span) and (len(_other_words(clause)) > 1 or not names_time(clause)):
        return False
    single = span.end - span.start == 1
    if single and not names_time(clause) and clause.end - clause.start > 3:
        return False
    bare = single or any(one.end == span.end for one in clause.spans("modal"))
    if bare and not _leads_to_time(clause, span.end):
        return False
    if any(one.start <= span.end + 1 and span.start - one.end <= 2 for one in clause.spans("self")):
        return True
    return all(_is_timely(clause, index) for index in range(clause.start, span.start))


def _is_weak(clause: Clause, span: Span) -> bool:
    return any(one.start == span.start and one.end == span.end for one in clause.spans("can_weak"))


def _other_words(clause: Clause) -> list[int]:
    """The words of a clause that are neither time nor about the sender."""
    own = [one for family in ("self", "can") for one in clause.spans(family)]
    return [
        index
        for index in range(clause.start, clause.end)
        if not _is_timely(clause, index) and not any(one.start <= index < one.end for one in own)
    ]


def _leads_to_time(clause: Clause, index: int) -> bool:
    coming = clause.sheet.at("coming", index)
    index = coming.end if coming else index
    return index >= clause.end or _is_timely(clause, index)


def _is_timely(clause: Clause, index: int) -> bool:
    """Whether a token is part of a time, a greeting or a small word between them."""
    sheet = clause.sheet
    if sheet.tokens[index].kind != "word" or sheet.within(index, "word.between") or _ends_ordinal(sheet, index):
        return True
    families = [one for one in sheet.marks if one.startswith("time.")]
    families += TIMELY
    return any(one.start <= index < one.end for family in families for one in clause.spans(family))


def _ends_ordinal(sheet: Sheet, index: int) -> bool:
    return sheet.words[index] in ORDINAL_ENDS and sheet.tokens[index].glued and sheet.number_like(index - 1)


TIMELY = (
    "coming",
    "day",
    "relday",
    "part",
    "clock",
    "days",
    "month",
    "meridiem",
    "number",
    "greeting",
    "who",
    "everyday",
    "join.and",
    "answer",
)


def as_notes(can: bool, stretch: Stretch, told: Told) -> Iterator[Found]:
    """A stretch as free or busy, or as a no to the shifts that it cuts into."""
    if stretch.empty or not stretch.days:
        return
    if _alternates(told) and stretch.weekly:
        yield Found((Free if can else Busy)(), ("when",))
        return
    if stretch.weekly or stretch.until:
        weekly = stretch.weekly_windows(told.sheet)
        note: Note = (Free if can else Busy)(weekly=weekly, until=stretch.until)
        yield Found(note)
        return
    windows = stretch.windows(told.sheet, told.sent)
    if not windows:
        return
    if not can:
        on_shift = _shifts_on(windows, told)
        if on_shift:
            yield from (Found(ShiftAnswer(answer="no", shift=one.id)) for one in on_shift)
            return
    yield Found((Free if can else Busy)(windows=windows))


def _alternates(told: Told) -> bool:
    """Whether "every other week" is said, which no window can hold: the dates have to be asked."""
    return told.sheet.whole().has("time.other")


def _shifts_on(windows: tuple[object, ...], told: Told) -> list[ShiftAhead]:
    """The sender's shifts that a time they cannot come cuts into."""
    found: list[ShiftAhead] = []
    for shift in told.context.shifts:
        for window in windows:
            start, end = window.start, window.end  # type: ignore[attr-defined]
            if shift.start.replace(tzinfo=None) < end and start < shift.end.replace(tzinfo=None) and shift not in found:
                found.append(shift)
    return found
