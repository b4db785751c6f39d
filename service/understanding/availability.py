"""When people can and cannot come, piece by piece of what they say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import time
from itertools import groupby, pairwise

from core.notes import Busy, Free, Note, ShiftAnswer
from service.understanding.amounts import amounts
from service.understanding.found import Found, Told
from service.understanding.polarity import names_day, names_time, other_words, polarity_of
from service.understanding.reading import ShiftAhead
from service.understanding.sheet import Clause
from service.understanding.times import Stretch, stretches


def availability(pieces: list[Clause], told: Told) -> Iterator[Found]:
    """Can and cannot come, piece by piece; a piece that names only a time goes on with what was said before it."""
    said: list[tuple[bool | None, Stretch]] = []
    polarity: bool | None = None
    before = 0
    for piece, own in _by_polarity([part for one in pieces for part in _turns(one)]):
        if own is not None or (other_words(piece) and piece.start - before > 2):
            polarity = own  # a time in a sentence of its own goes on with can or cannot only when it says nothing else
        beside, before = piece.start - before <= 2, piece.end
        for stretch in stretches(piece, told.sent):
            _end_after(stretch, piece)
            if polarity is not None and (_some_of_a_week(stretch, piece) or stretch.vague):
                yield Found(Free() if polarity else Busy(), ("when",))
                return
            if said and stretch.days and not stretch.hours and piece.has("word.same_time"):
                stretch.hours = list(said[-1][1].hours)
            _join(said, polarity, own if beside else None, stretch)
    found = [one for answer, stretch in said if answer is not None for one in as_notes(answer, stretch, told)]
    yield from _unsure(found) or merged(found) if found or said else _some_week(pieces)


def _some_week(pieces: list[Clause]) -> Iterator[Found]:
    """ "la otra semana si puedo ir": a week that no day can be read of has to be asked about."""
    answers = {polarity_of(one) for one in pieces if one.has("time.week") and one.has("self")} - {None}
    if len(answers) == 1:
        yield Found(Free() if answers.pop() else Busy(), ("when",))


def _unsure(found: list[Found]) -> list[Found]:
    """What has to be asked when the same hours are said to be free and not."""
    free = [window for one in found if isinstance(one.note, Free) for window in one.note.windows or ()]
    busy = [window for one in found if isinstance(one.note, Busy) for window in one.note.windows or ()]
    torn = any(one.start < other.end and other.start < one.end for one in free for other in busy)
    return [Found(Free(), ("when",))] if torn else []


def _end_after(stretch: Stretch, clause: Clause) -> None:
    """An hour to begin at and a length ("an hr sunday starting 10:30") make a stretch that ends."""
    lengths = [one for one in amounts(clause) if one.unit in ("hours", "minutes")]
    closes = clause.sheet.vocabulary.closes
    if len(lengths) != 1 or len(stretch.hours) != 1 or stretch.hours[0][1] != closes:
        return
    start = stretch.hours[0][0]
    minutes = start.hour * 60 + start.minute + round(lengths[0].value * (1 if lengths[0].unit == "minutes" else 60))
    if minutes <= closes.hour * 60 + closes.minute:
        stretch.hours = [(start, time(minutes // 60 % 24, minutes % 60))]


def _some_of_a_week(stretch: Stretch, clause: Clause) -> bool:
    """ "one day next week", "2 hours on saturday": which day or hour has to be asked."""
    if stretch.hours or not stretch.days:
        return False
    open_week = clause.has("time.week") and not clause.has("day") and len(stretch.days) > 1
    length = any(one.unit in ("hours", "minutes") for one in amounts(clause)) and not stretch.parts
    return length or (clause.has("word.some") and open_week)


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
    held: Clause | None = None
    for piece, own in zip(pieces, _polarities(pieces), strict=True):
        last, before = found[-1] if found else (None, None)
        if held is not None and own is not None and _refers_back(piece):
            found = [one for one in found if one[0].end <= held.start]
            found.append((held, own))  # "rehearsals swallow every friday, so i am not available then"
            continue
        held = _held(held, piece, own)
        if own is None and _is_talk(piece, bool(found)):
            continue
        if last is not None and piece.start - last.end <= 2 and _joins(before, own, piece):
            found[-1] = Clause(piece.sheet, last.start, piece.end), own if before is None else before
        else:
            found.append((piece, own))
    return found


def _turns(piece: Clause) -> list[Clause]:
    """A piece in two where, after a day that cannot be, another day can: "not sat. sun im ok 1-3"."""
    days = piece.spans("day") + piece.spans("relday")
    for before, after in pairwise(sorted(piece.spans("can"), key=lambda one: one.start)):
        if (before.value, after.value) != ("no", "yes") or after.start < before.end:
            continue
        near = [one for one in days if before.end <= one.start and 0 <= after.start - one.end <= 1]
        earlier = [one for one in days if one.start < min((day.start for day in near), default=0)]
        if near and earlier and not any(one.start == after.end for one in days):
            at = near[-1].start
            return [Clause(piece.sheet, piece.start, at), Clause(piece.sheet, at, piece.end)]
    return [piece]


def _polarities(pieces: list[Clause]) -> list[bool | None]:
    """Can or cannot; a "yes" beside a time says can where another piece says cannot ("tues no, thurs yes 4-6")."""
    own = [polarity_of(one) for one in pieces]
    if False not in own:
        return own
    return [
        True if said is None and piece.has("answer", "yes") and names_time(piece) else said
        for piece, said in zip(pieces, own, strict=True)
    ]


def _held(held: Clause | None, piece: Clause, own: bool | None) -> Clause | None:
    """The time that is named with neither can nor cannot, as far as it goes on."""
    if own is not None or not names_time(piece):
        return None
    return piece if held is None or piece.start - held.end > 2 else Clause(piece.sheet, held.start, piece.end)


def _refers_back(piece: Clause) -> bool:
    """Whether a piece means the days named before it ("so i cant come then")."""
    after = piece.sheet.at("word.anaphor", piece.end) is not None
    return (after or piece.has("word.anaphor")) and not names_time(piece)


def _is_talk(piece: Clause, said: bool) -> bool:
    """Whether a piece that says neither can nor cannot tells of something else, or why ("because school ends at 3")."""
    others = len(other_words(piece))
    reason = said and piece.sheet.within(piece.start - 1, "word.because") if piece.start else False
    dated = any(piece.has(one) for one in ("day", "relday", "days", "month"))
    return others > (0 if reason else 1 if said and not dated else 3)


def _joins(before: bool | None, own: bool | None, piece: Clause) -> bool:
    if own is False and before is False and piece.has("part"):
        return False
    return own is None or before is None or (own == before and not names_day(piece))


def _join(said: list[tuple[bool | None, Stretch]], polarity: bool | None, own: bool | None, stretch: Stretch) -> None:
    last = said[-1][1] if said else None
    if last is not None and not stretch.days and not (last.hours or last.parts) and said[-1][0] is False:
        if polarity is True:  # "wednesdays i'm off, can do 12 to 4"
            last.hours, last.parts = stretch.hours, stretch.parts
            said[-1] = (True, last)
            return
        if own is False:  # "no mondays, not mornings not nights"
            return
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
