"""The earlier day that a report is of: "yesterday", "on sunday", "3 days ago", "el 2 de mayo"."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from service.understanding.clauses import Sentence
from service.understanding.found import Found, Report, Told
from service.understanding.sheet import Clause, Sheet
from service.understanding.times import day_at, end_of_date
from service.understanding.times.clocks import Clock
from service.understanding.tokens import fold

OF_A_DAY = frozenset({"harvest", "loss", "sow", "stand", "move", "clean", "reading", "added", "calibrated", "gave"})
"""Kinds of reports that are of a day and have no slot for it."""

NOON = time(12)
MOST_DAYS = 366
SHORT = 3
"""Letters; so short a name of a day is one only behind a word like "on": "they sat in the sun" names none."""


@dataclass(frozen=True, slots=True)
class Said:
    """A day that a text names, today included, and the tokens that name it."""

    start: int
    end: int
    day: date


def mark_dates(sheet: Sheet) -> None:
    """Mark "3 days ago" as `days_ago` and "may 2" as `dated`: figures in them count nothing."""
    for index in range(len(sheet.tokens)):
        _mark_date(sheet, index)
        _mark_days_ago(sheet, index)


def _mark_days_ago(sheet: Sheet, index: int) -> None:
    before = sheet.at("time.ago_before", index)
    at = before.end if before else index
    many, days = _number(sheet, at), sheet.at("time.days", at + 1)
    after = sheet.at("time.ago", days.end) if days else None
    if many is None or days is None or not (before or after):
        return
    end = after.end if after else days.end
    sheet.mark("days_ago", index, end, many)
    sheet.taken.update(range(index, end))


def _number(sheet: Sheet, index: int) -> int | None:
    """A number of days, in digits or as one word."""
    word, glue = sheet.at("number", index), sheet.at("glue", index)
    digits = sheet.number_like(index) and sheet.words[index].isdigit()
    many = int(sheet.words[index]) if digits else int(word.value) if word else int(bool(glue and glue.value == "one"))
    return many if 1 <= many <= MOST_DAYS else None


def _mark_date(sheet: Sheet, index: int) -> None:
    end = end_of_date(sheet, index)
    if end is not None and not any(sheet.at(one, end) for one in ("crop", "unit", "join.of")):
        sheet.mark("dated", index, end, None)
        sheet.taken.update(range(index, end))


def happened(reports: Sequence[Report], parts: Sequence[Sentence], told: Told) -> list[tuple[datetime, ...]]:
    """For each report the moments that it is of, where they are of earlier days; empty for today's.

    A day said before all reports of a sentence holds for them on; one said behind reports of one kind, for them all.
    """
    own = [_days(one.clause, told) if one.kind in OF_A_DAY else [] for one in reports]
    for part in parts:
        inside = [at for at, one in enumerate(reports) if part.clause.start <= one.clause.start < part.clause.end]
        _share(own, reports, inside, _opening(part, told))
    return [_moments(days, one.clause, told) for days, one in zip(own, reports, strict=True)]


def dated(found: Iterable[Found], moments: tuple[datetime, ...]) -> Iterator[Found]:
    """The notes of a report with when each was so; as many days as notes are one each, else the first is of all."""
    notes = list(found)
    each = moments if len(moments) == len(notes) else moments[:1] * len(notes)
    for one, at in zip(notes, each or (None,) * len(notes), strict=True):
        yield replace(one, happened_at=at)


def _share(own: list[list[Said]], reports: Sequence[Report], inside: list[int], opening: list[Said]) -> None:
    """Give the reports of one sentence that name no day that of those beside them."""
    leading = opening
    for at in inside:
        if not own[at] and reports[at].kind in OF_A_DAY:
            own[at] = leading
        if own[at] and _leads(own[at][0], reports[at].clause):
            leading = own[at]
    for at, after in reversed(list(pairwise(inside))):
        if not own[at] and reports[at].kind == reports[after].kind:
            own[at] = own[after]


def _leads(said: Said, clause: Clause) -> bool:
    """Whether a day was said before what is reported."""
    return not any(one.start < said.start for family in ("count", "crop", "place") for one in clause.spans(family))


def _opening(part: Sentence, told: Told) -> list[Said]:
    """The day that a sentence begins with, set apart: "yesterday, ..."."""
    first = part.pieces[0] if part.pieces else part.clause
    days = _days(first, told)
    return days if days and len(first.words) <= days[0].end - days[0].start + 2 else []


def _moments(days: list[Said], clause: Clause, told: Told) -> tuple[datetime, ...]:
    if not any(one.day < told.sent.date() for one in days):
        return ()
    clocks: list[Clock] = [one.value for one in clause.spans("clock")]
    hour = clocks[0].as_time() if len(clocks) == 1 else NOON
    return tuple(datetime.combine(one.day, hour) for one in days)


def _days(clause: Clause, told: Told) -> list[Said]:
    found = []
    index = clause.start
    while index < clause.end:
        said = _day(clause.sheet, index, told.sent)
        if said is not None and said.end <= clause.end and said.day <= told.sent.date():
            found.append(said)
        index = said.end if said else index + 1
    return found


def _day(sheet: Sheet, index: int, sent: datetime) -> Said | None:
    """The day that begins at a token, unless something else is of that day ("for saturday", "like yesterday")."""
    ago = sheet.at("days_ago", index)
    if ago is not None:
        return Said(index, ago.end, sent.date() - timedelta(days=int(ago.value)))
    if not any(sheet.at(family, index) for family in ("relday", "day", "dated")):
        return None
    read = day_at(sheet, index, sent, past=True)
    if read is None or read[0].plural or _of_another(sheet, index, read[1]):
        return None
    return Said(index, read[1], read[0].date)


def _of_another(sheet: Sheet, index: int, end: int) -> bool:
    """Whether something else than the report is of a day: what it is for, what was sown then; or a word is no day."""
    at = index - (sheet.before("time.on", index) is not None)
    named = sheet.at("day", index)
    owned = named is not None and "'" in fold(sheet.text[sheet.tokens[index].start : sheet.tokens[index].end])
    short = named is not None and len(sheet.words[index]) <= SHORT and at == index  # "sat", "sun", "mar"
    other = any(sheet.before(family, where) for family in ("time.not_of", "time.next") for where in (at, index))
    return owned or short or other or sheet.at("time.next", end) is not None
