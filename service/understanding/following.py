"""What is said of a trouble that is open: that somebody sees to it, how it stands, that it is over."""

from __future__ import annotations

from collections.abc import Sequence

from core.notes import FollowUp, TaskReport, Trouble
from service.understanding.amounts import amounts
from service.understanding.found import Found, Told
from service.understanding.reading import OpenTrouble
from service.understanding.sheet import Clause

LONGEST = 14  # tokens of a text that only follows a trouble up
LONGEST_BARE = 6  # and of one that names none: "ok all done now", "ya lo arregle"
BESIDE = (
    *("greeting", "word.article", "word.it", "trouble", "place", "tank", "thing", "self", "broken", "relday", "answer"),
)
"""What may stand beside the words by which somebody takes a trouble on."""

SAYS = ("word.take_on", "word.fixed", "word.over_now", "word.worse")
LITTLE = 3  # letters of words that say nothing by themselves: "now", "all", "ya"

OTHER_THINGS = (
    *("crop", "supply", "recipient", "measure", "clock"),
    *("act.harvest", "act.sow", "act.move", "act.gave"),
)
"""What a text about something else has in it."""


def taken_on(told: Told) -> list[Found] | None:
    """ "on it", "I got the pump", "voy": all the text, so that "on it tuesday at 4" is no such thing."""
    whole = told.sheet.whole()
    spans = whole.spans("word.take_on")
    if not told.context.troubles or not spans or "?" in told.sheet.words:
        return None
    beside = [at for at in range(whole.end) if told.sheet.tokens[at].kind != "mark"]
    if not all(told.sheet.within(at, "word.take_on", *BESIDE) or told.sheet.number_like(at) for at in beside):
        return None
    free = [one for one in told.context.troubles if not one.taken]
    meant = _meant(whole, told, free) or _meant(whole, told, told.context.troubles)
    return _found("take", meant) if meant else None


def followed(told: Told, reported: Sequence[Found]) -> list[Found] | None:
    """ "the leak is fixed", "done with the pump", "still no better": what was told besides stays told.

    Args:
        told: the text, and what is open.
        reported: what the text tells by itself.
    """
    whole = told.sheet.whole()
    step = _step(whole)
    if not told.context.troubles or step is None or "?" in told.sheet.words or whole.end > LONGEST:
        return None
    besides = [one for one in reported if not isinstance(one.note, Trouble) and not one.missing]
    if not _is_of_trouble(whole, told, reported, besides):
        return None
    mine = [] if _names(whole, told) else [one for one in told.context.troubles if one.mine]
    meant = _meant(whole, told, mine or told.context.troubles)
    return [*besides, *_found(step, meant)] if meant else None


def _is_of_trouble(whole: Clause, told: Told, reported: Sequence[Found], besides: Sequence[Found]) -> bool:
    """Whether the words are about a trouble: named, where the text tells of other things too ("done 3" is a task)."""
    if any(isinstance(one.note, TaskReport) for one in reported):
        return False
    if besides:
        return whole.has("trouble") and whole.has("word.fixed")
    return not any(whole.has(family) for family in OTHER_THINGS)


def named_trouble(clause: Clause, told: Told) -> int | None:
    """The number of the one open trouble that an answer to "which one?" names."""
    meant = _named(clause, told, told.context.troubles) if _names(clause, told) else []
    return meant[0].n if len(meant) == 1 else None


def _step(whole: Clause) -> str | None:
    """Whether a text says that something is over, or goes on; the latter where it says both ("not fixed yet")."""
    if whole.has("word.worse"):
        return "still"
    return "fixed" if whole.has("word.fixed") or whole.has("word.over_now") else None


def _meant(whole: Clause, told: Told, troubles: Sequence[OpenTrouble]) -> list[OpenTrouble]:
    """The troubles a text can be about: those it names, else those that the sender has just been told of."""
    if _names(whole, told):
        return _named(whole, told, troubles)
    return [one for one in troubles if one.told or one.mine] if _is_bare(whole) else []


def _is_bare(whole: Clause) -> bool:
    """Whether a short text says nothing but how it stands: "ok its fixed now", not "bea's hand is fixed"."""
    rest = [at for at in range(whole.end) if not whole.sheet.within(at, *SAYS, *BESIDE)]
    little = all(len(whole.sheet.words[at]) <= LITTLE for at in rest)
    return whole.end <= LONGEST_BARE and little and not whole.has("who")


def _names(whole: Clause, told: Told) -> bool:
    return whole.has("trouble") or whole.has("place") or whole.has("tank") or bool(_numbers(whole, told))


def _named(whole: Clause, told: Told, troubles: Sequence[OpenTrouble]) -> list[OpenTrouble]:
    """Those with the number said; else those of a kind or a place said, and of both where there are such."""
    numbered = [one for one in troubles if one.n in _numbers(whole, told)]
    if numbered:
        return numbered
    kinds = {one.value for one in whole.spans("trouble")}
    places = {code for one in whole.spans("place") for code in one.value} | {one.value for one in whole.spans("tank")}
    alike = [one for one in troubles if one.kind in kinds or not kinds]
    there = [one for one in alike if places & set(one.places)]
    return there or [one for one in alike if not (places and one.places)]


def _numbers(whole: Clause, told: Told) -> set[int]:
    """Bare numbers in a text that are the number of an open trouble."""
    said = {int(one.value) for one in amounts(whole) if one.unit is None and float(one.value).is_integer()}
    return said & {one.n for one in told.context.troubles}


def _found(step: str, meant: Sequence[OpenTrouble]) -> list[Found]:
    """One follow-up; which of several it is about has to be asked."""
    one = len(meant) == 1
    return [Found(FollowUp(step=step, n=meant[0].n if one else None), () if one else ("which",))]
