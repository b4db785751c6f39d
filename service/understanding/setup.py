"""What is said of the farm's own set-up: crops it grows from now on or grows otherwise, and places out of use."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from core.notes import DescribeCrop, PlaceUse
from core.vocabulary import Vocabulary
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Told
from service.understanding.sheet import Clause, Span

DAYS_IN = {"days": 1, "weeks": 7}
NEAR = 5
"""Tokens between a number of days and the stage it is of."""


def set_up(told: Told, sentences: list[Sentence]) -> list[Found] | None:
    """The notes about crops and places; None when the text holds none."""
    whole = told.sheet.whole()
    if any(one.question for one in sentences):
        return None
    return _new_crop(whole) or _changed_crop(whole) or _use(whole) or None


def _use(clause: Clause) -> list[Found]:
    """ "A5 is broken", "tower A5 works again": places and how they are, and nothing else of plants or water."""
    said = clause.spans("use")
    places = tuple(dict.fromkeys(code for one in clause.spans("place") for code in one.value))
    others = any(clause.has(one) for one in ("crop", "count", "tank", "measure", "trouble", "supply", "act.clean"))
    if not said or not (places or clause.has("rowless")) or others or len(clause.words) > LONGEST_USE:
        return []
    return [Found(PlaceUse(places=places, out=said[-1].value == "out"), () if places else ("where",), clause.start)]


LONGEST_USE = 14
"""Tokens of a text about places out of use; a longer one tells of something else besides."""


def _new_crop(clause: Clause) -> list[Found]:
    """ "new crop: thai basil like basil, 3 weeks in the towers"."""
    lead = clause.spans("growth", "new")
    if not lead or lead[0].start - clause.start > 2:
        return []
    rest = Clause(clause.sheet, lead[0].end, clause.end)
    like = rest.spans("growth", "like")
    figures = _figures(rest)
    ends = [one.start for one in like] + [
        at for at in range(rest.start, rest.end) if clause.sheet.is_mark(at, ",", ".")
    ]
    name = Clause(clause.sheet, rest.start, min(ends, default=rest.end)).text.strip(" :.,\"'")
    if not name:
        return [Found(DescribeCrop(new=True, **figures), ("what",), clause.start)]
    crop = _crop_like(rest, like[0]) if like else _known(name, clause.sheet.vocabulary)
    return [Found(DescribeCrop(name=name, crop=crop, new=True, **figures), () if crop else ("crop",), clause.start)]


def _crop_like(clause: Clause, like: Span) -> str | None:
    """The crop named behind "like": one of the farm's, or one of our profiles."""
    after = Clause(clause.sheet, like.end, clause.end)
    named = after.spans("crop")
    if named and named[0].start - like.end <= 1:
        return str(named[0].value)
    for length in (3, 2, 1):
        said = Clause(clause.sheet, like.end, min(like.end + length, clause.end)).text
        crop = _known(said, clause.sheet.vocabulary)
        if crop:
            return crop
    return None


def _known(name: str, vocabulary: Vocabulary) -> str | None:
    """The crop with a profile that is called so in any language."""
    return vocabulary.growable.get(name.casefold().strip(" .,"))


def _changed_crop(clause: Clause) -> list[Found]:
    """ "kale takes 30 days in the towers": a crop of the farm that is grown otherwise from now on."""
    crop, takes = clause.one("crop"), clause.spans("growth", "takes")
    figures = _figures(clause)
    if crop is None or not takes or not figures or clause.has("place") or clause.has("act.harvest"):
        return []
    return [Found(DescribeCrop(crop=crop, **figures), (), clause.start)]


def _figures(clause: Clause) -> Mapping[str, Any]:
    """Days of each stage and number of cuts, each number with the stage that stands nearest behind or before it."""
    found: dict[str, int] = {}
    for count in clause.spans("count"):
        unit = clause.sheet.at("growth", count.end)
        value = count.value.value
        if unit is not None and unit.value in DAYS_IN:
            stage = _stage(clause, count.start, unit.end)
            if stage is not None:
                found[f"{stage}_days"] = round(value * DAYS_IN[unit.value])
        elif unit is not None and unit.value == "cuts":
            found["cuts"] = round(value)
    return found


def _stage(clause: Clause, start: int, end: int) -> str | None:
    """The stage named behind a number of days, or where none is, just before it."""
    stages = clause.spans("growth", "cover", "shelf", "tower", "regrow")
    behind = [one for one in stages if 0 <= one.start - end <= NEAR and not _other_number(clause, end, one.start)]
    before = [one for one in stages if 0 <= start - one.end <= 2]
    near = behind[:1] or before[-1:]
    return str(near[0].value) if near else None


def _other_number(clause: Clause, start: int, end: int) -> bool:
    return any(start <= one.start < end for one in clause.spans("count"))
