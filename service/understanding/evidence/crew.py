"""What a piece must hold to be a report about people's time."""

from __future__ import annotations

from service.understanding.amounts import amounts
from service.understanding.evidence.told import acted, any_hedge
from service.understanding.sheet import Clause, Sheet, overlaps


def hours(clause: Clause) -> bool:
    """Time was worked."""
    timed = any(one.unit in ("hours", "minutes") for one in amounts(clause))
    if timed and acted(clause, "worked"):
        return any(one.unit == "hours" for one in amounts(clause)) or clause.has("act.worked")
    offered = any(overlaps(one, clause.spans("can", "yes")) for one in clause.spans("count"))
    if timed and clause.has("unit", "hours") and _only_hours(clause) and not offered:
        return True
    told = [one for one in clause.spans("act.worked") if clause.sheet.at("word.working", one.start)]
    return (
        bool(told) and clause.has("time.to") and (clause.has("count") or clause.has("clock")) and not any_hedge(clause)
    )


def _only_hours(clause: Clause) -> bool:
    """ "2 hours today for me": a length of time and nothing else."""
    small = ("count", "unit", "relday", "self", "word.between", "part", "day", "greeting", "who", "glue", "period")
    rest = [one for one in range(clause.start, clause.end) if clause.sheet.tokens[one].kind == "word"]
    dated = any(clause.has(one) for one in ("relday", "self", "day")) or _done_work(clause.sheet.whole())
    return dated and all(clause.sheet.within(one, *small) for one in rest)


def _done_work(whole: Clause) -> bool:
    """Whether a text tells of work done or of leaving, so that a length of time in it is time worked."""
    return any(whole.has(one) for one in ("leave", "crop", "place", "act.clean", "act.floor"))


def arrive(clause: Clause) -> bool:
    """Somebody checks in."""
    return _alone(clause, "arrive")


def leave(clause: Clause) -> bool:
    """Somebody checks out."""
    return _alone(clause, "leave") or _leaves_working(clause)


def _leaves_working(clause: Clause) -> bool:
    """Words of leaving at the end of a piece count where the text tells of work as well."""
    spans = clause.spans("leave")
    whole = clause.sheet.whole()
    worked = (whole.has("unit", "hours") and whole.has("act.worked")) or any(
        whole.has(f"act.{one}") and whole.has("crop") for one in ("harvest", "clean", "gave")
    )
    return bool(spans) and spans[-1].end == clause.end and worked and not clause.has("hedge.plan")


def _alone(clause: Clause, family: str) -> bool:
    """Whether a phrase fills its piece but for greetings, a time and small words."""
    spans = clause.spans(family)
    hedges = (*clause.spans("hedge.plan"), *clause.spans("hedge.not"))
    if not spans or any(not overlaps(one, spans) for one in hedges):
        return False
    longest = max(one.end - one.start for one in spans)
    small = _small if longest > 1 else _tiny
    rest = [index for index in range(clause.start, clause.end) if not clause.sheet.within(index, family)]
    return all(small(clause, index) for index in rest) and (
        _words(clause.sheet) <= LONGEST[family] or _busy_text(clause)
    )


LONGEST = {"arrive": 9, "leave": 14}
"""Words; in a longer text that tells of no work, "checking in" and "going home" are talk."""


def _words(sheet: Sheet) -> int:
    """The words of a text, greetings aside."""
    return sum(token.kind != "mark" and not sheet.within(at, "greeting") for at, token in enumerate(sheet.tokens))


def _busy_text(clause: Clause) -> bool:
    """Whether a longer text tells of work as well."""
    whole = clause.sheet.whole()
    return any(
        whole.has(one) for one in ("crop", "measure", "place", "act.clean", "tank", "supply", "cleanable")
    ) or whole.has("unit", "hours")


def _tiny(clause: Clause, index: int) -> bool:
    sheet = clause.sheet
    named = any(
        one.start <= index < one.end
        for family in ("clock", "time.at", "who", "greeting")
        for one in clause.spans(family)
    )
    return index in sheet.taken or sheet.tokens[index].kind == "mark" or named or sheet.within(index, "word.now")


def _small(clause: Clause, index: int) -> bool:
    sheet = clause.sheet
    if index in sheet.taken or sheet.tokens[index].kind == "mark" or sheet.within(index, "word.arriving"):
        return True
    if sheet.number_like(index) and sheet.before("time.at", index) is not None:
        return True
    families = ("greeting", "clock", "time.at", "who", "relday", "part", "answer", "number")
    return any(one.start <= index < one.end for family in families for one in clause.spans(family))
