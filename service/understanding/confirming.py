"""A text laid beside a draft that waits to be confirmed: a yes, a no, or the right figure or place instead."""

from __future__ import annotations

from dataclasses import fields

from core.notes import Correct, Note
from service.understanding.amounts import amounts
from service.understanding.corrections import mended_note
from service.understanding.crew import names_hour
from service.understanding.filling import amended, filled_count, filled_where, lacking
from service.understanding.found import Found, Told
from service.understanding.reports import strange
from service.understanding.sheet import Clause, overlaps
from service.understanding.shifts import says_y
from service.understanding.times import said_day


def yes_or_no(clause: Clause) -> bool | None:
    """Whether a text says yes or no: what it says first, the longer phrase where both begin together."""
    said = clause.spans("answer", "yes", "no")
    spans = [one for one in said if one.start == clause.start or not clause.sheet.at("join.and", one.start)]
    if not spans:
        return True if says_y(clause) else None
    value: bool = spans[0].value == "yes"
    return value


def confirmed(draft: Note, clause: Clause, told: Told) -> list[Found] | None:
    """Yes, no, or the right figure or place instead ("25 not 250", "14 from B1 and B2")."""
    says = same_or_another(clause)
    if says is None:
        says = yes_or_no(clause)
    if says is not True:
        mended = _mended(draft, clause, told, denied=says is False)
        if mended is not None:
            return [Found(mended, lacking(mended))]
    elif clause.has("count") and filled_count(draft, clause, told) not in (None, draft):
        return None  # "yes 25", and 250 was put
    if says is None or (says and _tells_else(draft, clause, told)):
        return None
    return [Found(draft)] if says else []


def _mended(draft: Note, clause: Clause, told: Told, *, denied: bool) -> Note | None:
    """The draft put right: as told again, or by a word of correction, which goes first where it says what was wrong."""
    correction = mended_note(clause, draft, told)
    righted = None if correction is None else _righted(draft, correction)
    if righted is not None and correction is not None and (correction.was is not None or correction.crop):
        return righted
    return _retold(draft, clause, told, denied=denied) or righted


def _righted(draft: Note, correction: Correct) -> Note | None:
    said = {one.name: getattr(correction, one.name) for one in fields(correction) if one.name not in ("undo", "was")}
    right = {name: value for name, value in said.items() if value}
    if "places" in right:
        right["to"] = right["places"]
    mended = amended(draft, **right)
    return mended if mended != draft else None


def _retold(draft: Note, clause: Clause, told: Told, *, denied: bool) -> Note | None:
    """The draft with the figure and the places said now; a bare figure that is the draft's own stands for a yes."""
    figure = filled_count(draft, clause, told) if clause.has("count") else draft
    if figure is None or _is_talk(clause, draft):
        return None
    again = (filled_where(figure, clause, told) or figure) if clause.has("place") else figure
    if clause.has("crop") and draft != figure != again and not (denied or clause.has("correct.mend")):
        return None  # another figure of the crop from another place is another report
    bare = clause.has("count") and not (clause.has("place") or clause.has("crop"))
    counted = any(getattr(draft, slot, None) is not None for slot in ("count", "value", "weight_g", "trays"))
    return again if again != draft or (bare and counted) else None


TIMES = ("hours", "minutes", "years", "times")
"""Units of numbers that are no figure of a draft."""

RETELLING = (
    "join.to",
    "time.to",
    "join.of",
    "act.move",
    "act.sow",
    "act.loss",
    "act.gave",
    "thing",
    "answer",
    "adjective",
    "supply",
    "word.article",
    "word.link",
)
"""Words besides those of a harvest in which a draft is told again."""


def _is_talk(clause: Clause, draft: Note) -> bool:
    """Whether a text with a figure or a place goes beyond telling a draft again ("20 min on 1", "B7 looks nice")."""
    acts = {family for family in clause.sheet.marks if family.startswith("act.") and clause.has(family)}
    if acts and acts.isdisjoint({f"act.{draft.act}", "act.plant"}):
        return True
    beyond = [one for one in strange(clause) if not clause.sheet.within(one, *RETELLING)]
    return any(one.unit in TIMES for one in amounts(clause)) or len(beyond) > clause.has("count")


def _tells_else(draft: Note, clause: Clause, told: Told) -> bool:
    """Whether a yes goes on to a day, an hour or a place that the draft is not about ("I'm coming saturday")."""
    held = {code for slot in ("places", "origin", "to", "where") for code in getattr(draft, slot, None) or ()}
    windows = getattr(draft, "windows", None) or ()
    day = said_day(clause, told.sent)
    same_day = bool(windows) and day in {one.start.date() for one in windows}
    promised = clause.spans("answer", "yes")
    if promised and all(overlaps(one, clause.spans("word.there")) for one in promised):
        return True
    timed = day is not None or names_hour(clause) or any(clause.has(one) for one in ("days", "part", "time.week"))
    return (timed and not same_day) or any(set(one.value) - held for one in clause.spans("place"))


def same_or_another(clause: Clause) -> bool | None:
    """Whether what was put for confirmation is called another than what is recorded already (True), or the same."""
    spans = sorted((*clause.spans("word.same"), *clause.spans("word.another")), key=lambda one: one.start - one.end)
    if not spans or clause.has("count"):
        return None
    return spans[0] in clause.spans("word.another")
