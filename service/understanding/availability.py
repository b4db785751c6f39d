"""When people can and cannot come, piece by piece of what they say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import time
from itertools import groupby

from core.notes import Busy, Free, Note, ShiftAnswer
from service.understanding.amounts import amounts
from service.understanding.found import Found, Told
from service.understanding.numbers import ORDINAL_ENDS
from service.understanding.reading import ShiftAhead
from service.understanding.sheet import Clause, Sheet, Span, overlaps
from service.understanding.times import Stretch, stretches


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
            _end_after(stretch, piece)
            if polarity is not None and (_some_of_a_week(stretch, piece) or stretch.vague):
                yield Found(Free() if polarity else Busy(), ("when",))
                return
            if said and stretch.days and not stretch.hours and piece.has("word.same_time"):
                stretch.hours = list(said[-1][1].hours)
            _join(said, polarity, own if beside else None, stretch)
    found = [one for answer, stretch in said if answer is not None for one in as_notes(answer, stretch, told)]
    yield from _unsure(found) or merged(found)


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
    others = len(_other_words(piece))
    reason = said and piece.sheet.within(piece.start - 1, "word.because") if piece.start else False
    dated = any(piece.has(one) for one in ("day", "relday", "days", "month"))
    return others > (0 if reason else 1 if said and not dated else 3)


def _joins(before: bool | None, own: bool | None, piece: Clause) -> bool:
    if own is False and before is False and piece.has("part"):
        return False
    return own is None or before is None or (own == before and not _names_day(piece))


def names_time(clause: Clause) -> bool:
    """Whether a clause names any day or hour."""
    return any(
        clause.has(one)
        for one in ("day", "relday", "part", "days", "clock", "month", "relpart", "time.week", "time.date")
    ) or any(_is_slashed(clause, index) for index in range(clause.start + 1, clause.end - 1))


def _is_slashed(clause: Clause, index: int) -> bool:
    """A date in figures ("6/14")."""
    sheet = clause.sheet
    return sheet.is_mark(index, "/") and sheet.number_like(index - 1) and sheet.number_like(index + 1)


def _names_hours(clause: Clause) -> bool:
    """Whether a range of bare figures is said ("12 to 4")."""
    return any(
        clause.sheet.number_like(one.start - 1) and clause.sheet.number_like(one.end) for one in clause.spans("time.to")
    )


def _names_day(clause: Clause) -> bool:
    return any(clause.has(one) for one in ("day", "relday", "days", "time.date"))


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


def polarity_of(clause: Clause) -> bool | None:
    """Whether a clause says can (True), cannot (False) or neither; "cannot" wins."""
    later = [one for one in clause.spans("time.after") if one.end - one.start > 1]  # "not before 4"
    elsewhere = (*later, *clause.spans("time.notthis"), *clause.spans("part", "none"), *clause.spans("word.perhaps"))
    spans = [one for one in clause.spans("can") if not overlaps(one, elsewhere)]
    if not spans:
        return None
    if any(one.value == "no" and is_own(clause, one) for one in spans):
        return False
    own = [one for one in spans if one.value == "yes" and is_own(clause, one)]
    if not own:
        return None
    denials = [one for one in clause.spans("hedge.not") if not overlaps(one, clause.spans("time.notthis"))]
    return not any(0 <= one.start - denial.end <= 2 for one in own for denial in denials)


def is_own(clause: Clause, span: Span) -> bool:
    """Whether words for can or cannot are about the sender and about a time.

    They are when the sender is named in them or just before, or when they begin what is said, times and greetings
    aside; never when somebody else is named just before. A bare "can't" must not lead on to some other verb.
    """
    anew = max(
        (at + 1 for at in range(clause.start, span.start) if clause.sheet.is_mark(at, ":")), default=clause.start
    )
    clause = Clause(clause.sheet, anew, clause.end)
    if any(0 <= span.start - one.end <= 2 for one in clause.spans("other")):
        return False
    if any(one.start <= span.start and span.end < one.end for one in clause.spans("greeting")):
        return False
    if _is_weak(clause, span) and (len(_other_words(clause)) > 1 or not names_time(clause)):
        return False
    single = span.end - span.start == 1
    if single and not (names_time(clause) or _names_hours(clause)) and clause.end - clause.start > 3:
        return False
    if _leads_elsewhere(clause, span):
        return False
    bare = single or any(one.end == span.end for one in clause.spans("modal"))
    if bare and not _leads_to_time(clause, span.end):
        return False
    if any(one.start <= span.end + 1 and span.start - one.end <= 2 for one in clause.spans("self")):
        return True
    return all(_is_timely(clause, index) for index in range(clause.start, span.start))


def _leads_elsewhere(clause: Clause, span: Span) -> bool:
    """ "cant come to meet you", "was able to raise 200": the words go on to something else than the farm or a time."""
    sheet = clause.sheet
    to = span.end if span.end < clause.end and sheet.words[span.end] == "to" else None
    if sheet.words[span.end - 1] == "to":
        to = span.end - 1
    if to is None or any(one.start <= to < one.end for one in clause.spans("coming")):
        return False
    after = to + 1
    at_home = sheet.at("coming", after) or sheet.at("other", after) or sheet.within(after, "word.article")
    return after < clause.end and not at_home and not _is_timely(clause, after)


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
    if any(one.value in ("hours", "minutes") and one.start - 1 <= index < one.end for one in clause.spans("unit")):
        return sheet.within(index, "unit", "glue", "count")  # "for an hour"
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
