"""Whether a clause says that the sender can or cannot come, and whether it names a time."""

from __future__ import annotations

from service.understanding.numbers import ORDINAL_ENDS
from service.understanding.sheet import Clause, Sheet, Span, overlaps


def polarity_of(clause: Clause) -> bool | None:
    """Whether a clause says can (True), cannot (False) or neither; "cannot" wins."""
    later = [one for one in clause.spans("time.after") if one.end - one.start > 1]  # "not before 4"
    elsewhere = (*later, *clause.spans("time.notthis"), *clause.spans("part", "none"), *clause.spans("word.perhaps"))
    if clause.has("word.again") or clause.has("closed_who"):
        elsewhere = (*elsewhere, *clause.spans("time.open"))  # "open thursday again" is the farm
    spans = [one for one in clause.spans("can") if not overlaps(one, elsewhere) and not _asks_others(clause, one)]
    if not spans:
        return None
    if any(one.value == "no" and is_own(clause, one) for one in spans):
        return False
    own = [one for one in spans if one.value == "yes" and is_own(clause, one)]
    if not own:
        return None
    denials = [one for one in clause.spans("hedge.not") if not overlaps(one, clause.spans("time.notthis"))]
    return not any(0 <= one.start - denial.end <= 2 for one in own for denial in denials)


def _asks_others(clause: Clause, span: Span) -> bool:
    """ "can anyone cover friday": somebody else is asked."""
    asked = clause.sheet.at("hedge.request", span.start)
    own = asked is not None and any(clause.sheet.within(at, "self") for at in range(asked.start, asked.end))
    return asked is not None and asked.end > span.end and not own


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


def names_day(clause: Clause) -> bool:
    """Whether a clause names any day."""
    return any(clause.has(one) for one in ("day", "relday", "days", "time.date"))


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
    if _is_weak(clause, span) and (len(other_words(clause)) > 1 or not names_time(clause)):
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


def other_words(clause: Clause) -> list[int]:
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


AROUND_TIMES = (
    *("day", "relday", "part", "clock", "days", "month", "meridiem", "number"),
    *("greeting", "who", "everyday", "join.and"),
)
"""Families of the words that make a time, or stand around one."""

TIMELY = ("coming", *AROUND_TIMES, "answer")
