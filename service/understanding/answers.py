"""Answers to the question last put to the sender, read as what the question was about."""

from __future__ import annotations

from dataclasses import fields

from core.notes import Added, Calibrate, Calibrated, Correct, Gave, Note, Reading, Sow, Stock, Want
from service.understanding.clauses import sentences
from service.understanding.confirming import confirmed, same_or_another, yes_or_no
from service.understanding.corrections import drops, takes_back
from service.understanding.crew import names_hour
from service.understanding.filling import FILLERS, filled_count, filled_crop, filled_where, lacking
from service.understanding.found import Found, Told
from service.understanding.sheet import Clause
from service.understanding.shifts import shift_answer
from service.understanding.times import said_day
from service.understanding.water import measures


def answered(told: Told) -> list[Found] | None:
    """The notes that the sender's answer makes; None when the text is no answer, [] when it declines."""
    asked = told.context.asked
    if asked is None:
        return None
    whole = told.sheet.whole()
    if asked.about == "shift":
        return shift_answer(whole, told, asked.shift)
    if asked.draft is None or _is_about_else(whole, asked.draft):
        return None
    affirmed = asked.about == "confirm" and yes_or_no(whole)
    if _is_new_report(whole) and not affirmed:
        return None
    same = asked.about in ("confirm", "same") and same_or_another(whole) is not None
    if (whole.has("correct.undo") or takes_back(whole) or drops(whole)) and not (same or whole.has("count")):
        return [Found(Correct(undo=True))]
    if asked.about in ("confirm", "same"):
        return confirmed(asked.draft, whole, told)
    if asked.about != "when" and _tells_of_coming(whole, told):
        return None
    filled = _filled(asked.about, asked.draft, whole, told)
    if filled is None:
        return None
    if not (whole.has("act.clean") or whole.has("trouble")):  # "12 bunches and cleaned F1"
        filled = _and_more(filled, whole, told)
    return [Found(filled, lacking(filled))]


def _filled(about: str, draft: Note, whole: Clause, told: Told) -> Note | None:
    """The draft with what was asked for, from the whole text or the first of its sentences that says it."""
    fill = FILLERS.get(about)
    if fill is None:
        return None
    clauses = (whole, *(one.clause for one in sentences(told.sheet)))
    return next((filled for one in clauses if (filled := fill(draft, one, told)) is not None), None)


def _and_more(draft: Note, clause: Clause, told: Told) -> Note:
    """An answer that tells more than was asked ("12 bunches, F1 thru F3") fills the other empty slots too."""
    for slot, families, fill in (
        ("crop", ("crop",), filled_crop),
        ("places", ("place",), filled_where),
        ("where", ("tank",), filled_where),
        ("count", ("count",), filled_count),
    ):
        own = {one.name for one in fields(draft)}
        empty = slot in own and not getattr(draft, slot)
        weighed = slot == "count" and any(getattr(draft, one, None) for one in ("weight_g", "trays"))
        if empty and not weighed and any(clause.has(one) for one in families):
            draft = fill(draft, clause, told) or draft
    return draft


def _is_new_report(clause: Clause) -> bool:
    """Whether a text tells something whole: a verb with a crop and a number."""
    acted = any(family.startswith("act.") and clause.spans(family) for family in clause.sheet.marks)
    return acted and clause.has("crop") and clause.has("count") and not clause.has("correct.mend")


def _is_about_else(clause: Clause, draft: Note) -> bool:
    """Whether a text names things that the draft is not about."""
    crop = getattr(draft, "crop", None)
    sown = isinstance(draft, Sow) and not clause.has("stock")  # "72 seeds", but not "a new packet of seeds"
    others = (
        clause.has("supply") and not (sown or isinstance(draft, (Added, Stock))),
        _measures_else(clause, draft),
        clause.has("recipient") and not isinstance(draft, Gave),
        crop is not None and clause.has("crop") and clause.one("crop") != crop,
    )
    return any(others) and not clause.has("correct.mend")


def _measures_else(clause: Clause, draft: Note) -> bool:
    """Whether a measure is named, and none of those named is the draft's."""
    named = {one.value for one in measures(clause)}
    if not named or isinstance(draft, Calibrated):
        return False
    if not isinstance(draft, (Reading, Calibrate, Want)):
        return True
    own = draft.measure
    return own is not None and not any(one == own or (one.endswith("temp") and own.endswith("temp")) for one in named)


def _tells_of_coming(clause: Clause, told: Told) -> bool:
    """ "im coming saturday at 9", "see you at 4": no answer to what a report lacked."""
    day = said_day(clause, told.sent)
    ahead = day is not None and day > told.sent.date()
    return clause.has("word.there") and (ahead or names_hour(clause))
