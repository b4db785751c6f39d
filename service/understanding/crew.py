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
    if not _on_another_day(report.clause, told) and not _lies_ahead(report.clause, told):
        yield Found(Leave(at=_clock(report.clause, told)), (), report.clause.start)


EARLIEST = 6
"""O'clock; an hour before it, which 5 said at 10 in the morning would be, is one of the evening to come."""


def _lies_ahead(clause: Clause, told: Told) -> bool:
    """ "going home at 5", said in the morning, tells of later."""
    at = _clock(clause, told)
    return at is not None and at.hour < EARLIEST <= told.sent.hour


def _on_another_day(clause: Clause, told: Told) -> bool:
    """ "we left at 5 yesterday" checks nobody out now."""
    day = said_day(clause, told.sent, past=True)
    return day is not None and day != told.sent.date()


def punched(pieces: list[Clause], told: Told) -> Iterator[Found]:
    """ "in 9:05", "out 5:45": a word for coming or going with a clock time and nothing else."""
    for piece in pieces:
        chained = list(_chain(piece))
        for value, clock in chained:
            yield Found((Arrive if value == "arrive" else Leave)(at=_on_the_day(clock, told)), (), piece.start)
        if not chained and _walks_in(piece):
            yield Found(Arrive(at=_clock(piece, told)), (), piece.start)


def _chain(piece: Clause) -> list[tuple[str, Clock]]:
    """The comings and goings that fill a piece, each with its hour ("in 9:00 out 11:30", "on site 0855")."""
    found: list[tuple[str, Clock]] = []
    at = piece.start
    while at < piece.end:
        spans = [one for one in piece.spans("punch") if one.start == at]
        end = max((one.end for one in spans), default=at)
        read = clock_at(piece.sheet, end, piece.end)
        if not spans or read is None or not (read[2] or len(piece.sheet.tokens[end].text) in (3, 4)):
            return []
        found.append((next(one.value for one in spans if one.end == end), read[0]))
        at = read[1]
    return found


def _walks_in(piece: Clause) -> bool:
    """ "walked in at 8:05 with the lamps still yawning", "ya estoy aqui con los dos": what follows is colour."""
    spans = [one for one in piece.spans("arrive") if one.start == piece.start and one.end - one.start > 1]
    others = ("day", "relday", "part", "hedge.plan", "hedge.not", "crop", "supply")
    if not spans or any(piece.has(one) for one in others):
        return False
    end = max(one.end for one in spans)
    clock = next((one for one in piece.spans("clock") if 0 <= one.start - end <= 1), None)
    short = sum(token.kind == "word" for token in piece.sheet.tokens) <= LONGEST_GREETING
    return piece.sheet.at("word.with", clock.end if clock else end) is not None and (clock is not None or short)


LONGEST_GREETING = 9
"""Words; in a longer text "I'm here with" is talk."""


def names_hour(clause: Clause) -> bool:
    """Whether a clause names an hour of the day, by figures after a word such as "at" too."""
    return clause.has("clock") or _loose_clock(clause) is not None


def timed_once(found: list[Found]) -> list[Found]:
    """The notes without a coming or going that another one tells with its hour ("left at 11:40 and locked up")."""
    timed = {one.note.act for one in found if getattr(one.note, "at", None) is not None}
    return [one for one in found if not (one.note.act in timed and getattr(one.note, "at", True) is None)]


def bare_hours(whole: Clause, told: Told) -> list[Found]:
    """A length of time and nothing else ("1.5 h", "hours 1.5 today", "2 hrs 15 min") is time worked."""
    named = whole.spans("unit", "hours")
    small = (
        "count",
        "unit",
        "relday",
        "day",
        "part",
        "greeting",
        "glue",
        "period",
        "join.and",
        "word.between",
        "self",
        "act.worked",
    )
    words = [one for one in range(whole.start, whole.end) if told.sheet.tokens[one].kind == "word"]
    figures = whole.has("number") or any(told.sheet.number_like(one) for one in range(whole.start, whole.end))
    other = whole.has("clock") or whole.has("punch") or not figures
    if not named or other or not all(told.sheet.within(one, *small) for one in words):
        return []
    day = said_day(whole, told.sent, past=True)
    bare = [one.value for one in amounts(whole) if one.unit is None and not one.vague]
    minutes = worked_minutes(whole, told) or (bare[0] * 60 if len(bare) == 1 and bare[0] <= 24 else None)
    ahead = any(int(one.value) > 0 for one in whole.spans("relday"))
    return [Found(Hours(minutes=minutes, date=day))] if minutes and not ahead else []


def _clock(clause: Clause, told: Told) -> datetime | None:
    """The time said, on the day of the text; one that lies ahead by a half day is meant before noon."""
    clocks = clause.spans("clock")
    clock: Clock | None = clocks[0].value if clocks else _loose_clock(clause)
    return _on_the_day(clock, told) if clock else None


def _on_the_day(clock: Clock, told: Told) -> datetime:
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


def _whole_before(clause: Clause, index: int) -> int:
    """The whole number joined to a fraction by a hyphen ("2-1/2 hrs"), 0 where there is none."""
    sheet = clause.sheet
    joined = sheet.is_mark(index - 1, "-") and sheet.tokens[index - 1].glued and sheet.number_like(index - 2)
    text = sheet.tokens[index - 2].text if joined and index - 2 >= clause.start else ""
    return int(text) if text.isdigit() else 0


def worked_minutes(clause: Clause, told: Told) -> float | None:
    """Minutes of a length ("2 hrs and 15 min", "dos horas y cuarto") or a range of hours; None when neither is said."""
    total = 0.0
    for one in amounts(clause):
        if one.unit == "hours":
            total += (one.value + _whole_before(clause, one.start) * (one.value < 1)) * 60
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
