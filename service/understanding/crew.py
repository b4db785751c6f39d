"""Reports about people's time: free, busy, here, gone, hours worked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from core.notes import Arrive, Hours, Leave
from service.understanding.amounts import amounts
from service.understanding.found import Found, Report, Told
from service.understanding.sheet import Clause, overlaps
from service.understanding.times import said_day, stretches
from service.understanding.times.clocks import Clock, clock_at


def arrive(report: Report, told: Told) -> Iterator[Found]:
    """Checks in."""
    if not _on_another_day(report.clause, told):
        yield Found(Arrive(at=_clock(report.clause, told)), (), report.clause.start)


def leave(report: Report, told: Told) -> Iterator[Found]:
    """Checks out."""
    if not _on_another_day(report.clause, told):
        yield Found(Leave(at=_clock(report.clause, told)), (), report.clause.start)


def _on_another_day(clause: Clause, told: Told) -> bool:
    """ "we left at 5 yesterday" checks nobody out now."""
    day = said_day(clause, told.sent, past=True)
    return day is not None and day != told.sent.date()


def punched(pieces: list[Clause], told: Told) -> Iterator[Found]:
    """ "in 9:05", "out 5:45": a word for coming or going with a clock time and nothing else."""
    for piece in pieces:
        spans = [one for one in piece.spans("punch") if one.start == piece.start]
        clocks = [one for one in piece.spans("clock") if one.end == piece.end]
        if spans and clocks and spans[0].end == clocks[0].start and not piece.has(spans[0].value):
            yield Found((Arrive if spans[0].value == "arrive" else Leave)(at=_clock(piece, told)), (), piece.start)


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
    if _is_offer(clause):
        return
    minutes = worked_minutes(clause, told)
    day = said_day(clause, told.sent, past=True) or said_day(_afterthought(clause), told.sent, past=True)
    yield Found(Hours(minutes=minutes, date=day), () if minutes else ("count",), clause.start)


def _afterthought(clause: Clause) -> Clause:
    """A day gone by right after a comma: "put me down for 2 hours, yesterday that was"."""
    sheet, start = clause.sheet, clause.end + 1
    day = sheet.at("relday", start) if sheet.is_mark(clause.end, ",") else None
    return Clause(sheet, start, day.end if day and int(day.value) < 0 else start)


def _is_offer(clause: Clause) -> bool:
    """ "I have two hours on saturday": a length of time that somebody has to give."""
    return any(overlaps(one, clause.spans("count")) for one in clause.spans("can", "yes"))


def worked_minutes(clause: Clause, told: Told) -> float | None:
    """Minutes of a length ("2 hrs and 15 min", "dos horas y cuarto") or a range of hours; None when neither is said."""
    total = 0.0
    for one in amounts(clause):
        if one.unit == "hours":
            total += one.value * 60
        elif one.unit == "minutes":
            total += one.value
    if total:
        return float(round(total))
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
