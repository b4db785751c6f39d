"""The roster: that it is to be made, and what people wish of it. Read only where a text says nothing else besides."""

from __future__ import annotations

from core.notes import MakeRoster, RosterWish
from service.understanding.found import Found, Told
from service.understanding.sheet import Clause, Span
from service.understanding.times import said_day, said_period

COURTESIES = ("rostering", "greeting")
BESIDE_ROSTER = (*COURTESIES, "ask_lead", "period", "day", "relday", "dated", "count", "time", "join", "word.between")
"""What may stand beside "make the roster": which week, and courtesies."""

BESIDE_WISH = (*COURTESIES, "part", "count", "who", "glue", "self", "join.and", "join.or", "join.nor")
"""What may stand in a wish; a text with any other word tells of something else."""

ONCE = {"once": 1, "twice": 2}
MOST_OFTEN = 31


def rostered(told: Told) -> list[Found] | None:
    """The note of a text that asks for the roster, or wishes something of it; None when it is no such text."""
    whole = told.sheet.whole()
    if not whole.has("rostering"):
        return None
    return _make(whole, told) or _wish(whole, told)


def _make(whole: Clause, told: Told) -> list[Found] | None:
    if not whole.has("rostering", "make") or not _is_all(whole, BESIDE_ROSTER) or whole.has("time.notthis"):
        return None
    day = said_day(whole, told.sent, False)
    if day is None and said_period(whole) in ("week", "today") and not whole.has("time.next"):
        day = told.sent.date()
    return [Found(MakeRoster(date=day))]


def _wish(whole: Clause, told: Told) -> list[Found] | None:
    if not _is_all(whole, BESIDE_WISH):
        return None
    if whole.has("rostering", "none"):
        return [Found(RosterWish(none=True))]
    beside, apart = (_company(whole, kind, told) for kind in ("beside", "apart"))
    most, per = _how_often(whole)
    wish = RosterWish(beside=beside, apart=apart, most=most, per=per, part=_part(whole))
    return [Found(wish)] if wish != RosterWish() else None


def _is_all(whole: Clause, families: tuple[str, ...]) -> bool:
    """Whether every word and number is one of some families, or of their parts ("time.week")."""
    sheet = whole.sheet
    known = [one for one in sheet.marks if one in families or one.partition(".")[0] in families]
    return all(
        sheet.within(at, *known) for at in range(whole.start, whole.end) if sheet.tokens[at].kind in ("word", "number")
    )


def _company(whole: Clause, kind: str, told: Told) -> tuple[str, ...]:
    """The people named behind "with" or "not with", up to the next of the two."""
    leads = whole.spans("rostering", "beside", "apart")
    found = []
    for who in whole.spans("who"):
        before = [one for one in leads if one.end <= who.start]
        if before and before[-1].value == kind and who.value != told.sender:
            found.append(str(who.value))
    return tuple(dict.fromkeys(found))


def _how_often(whole: Clause) -> tuple[int | None, str | None]:
    """At most so many shifts in a week or month."""
    pers = [one for one in ("week", "month") if whole.has("rostering", one)]
    meant = any(whole.has("rostering", one) for one in ("most", "prefer", "shifts"))
    counts = [*map(_number, whole.spans("count")), *(ONCE[one.value] for one in whole.spans("rostering", *ONCE))]
    if len(pers) != 1 or not meant or len(set(counts)) != 1 or not 1 <= counts[0] <= MOST_OFTEN:
        return None, None
    return counts[0], pers[0]


def _number(span: Span) -> int:
    value = span.value.value
    return int(value) if float(value).is_integer() else 0


def _part(whole: Clause) -> str | None:
    """Mornings, afternoons or evenings, by their plural and a word of liking: "morning please" greets."""
    if not whole.has("rostering", "prefer"):
        return None
    parts = {one.value for one in whole.spans("part") if whole.sheet.words[one.end - 1].endswith("s")}
    named = parts & set(whole.sheet.vocabulary.day_parts)
    return str(named.pop()) if len(parts) == len(named) == 1 else None
