"""Numbers, however they are written: digits, words, dozens, halves, decimals said aloud."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import Indel

from service.understanding.sheet import Sheet, Span, overlaps

ORDINAL_ENDS = frozenset({"st", "nd", "rd", "th", "ro", "ra", "do", "da", "er", "o", "to", "ta"})
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+")
_DECIMAL_COMMA = re.compile(r"\d+,\d{1,2}")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number and how sure it is: `vague` for a range ("15-18") or an "-ish"."""

    value: float
    vague: bool = False


def plain_number(text: str) -> float | None:
    """The number a token of digits stands for; None for a clock time ("10:30") or a list ("1,3,4").

    A comma before three digits groups thousands, before one or two it is the decimal comma of Spanish.
    """
    if ":" in text or text.count(".") > 1:
        return None
    if _THOUSANDS.fullmatch(text):
        return float(text.replace(",", ""))
    if _DECIMAL_COMMA.fullmatch(text):
        return float(text.replace(",", "."))
    if "," in text:
        return None
    return float(text) if len(text) <= 9 else None


def mark_numbers(sheet: Sheet) -> None:
    """Mark every number that is not part of a place or a time as a count."""
    index = 0
    while index < len(sheet.tokens):
        read = None if index in sheet.taken else _number_at(sheet, index)
        if read is None:
            index += 1
            continue
        value, end = _multiplied(sheet, *read)
        value, end = _with_fraction(sheet, value, end)
        if not _is_ordinal(sheet, index, end):
            sheet.mark("count", index, end, Quantity(value))
        index = end
    _mark_ranges(sheet)


def _number_at(sheet: Sheet, index: int) -> tuple[float, int] | None:
    if sheet.number_like(index):
        value = plain_number(sheet.tokens[index].text)
        if value is None or _is_code(sheet, index) or _means_to(sheet, index):
            return None
        pointed = _decimals(sheet, value, index + 1) if value.is_integer() else (value, index + 1)
        return pointed if pointed[1] > index + 1 else _slashed(sheet, value, index + 1)
    fraction = sheet.at("fraction", index)
    if fraction and (_measurable(sheet, fraction.end) or _part_of_tray(sheet, fraction)):
        return float(fraction.value), fraction.end
    one = None if sheet.at("vague.count", index) else sheet.at("glue", index)
    if (
        one
        and one.value == "one"
        and (sheet.at("scale", one.end) or _counted_unit(sheet, one.end) or _whole_unit(sheet, one.end))
    ):
        return 1.0, one.end
    scale = sheet.at("scale", index)
    if scale and len(sheet.words[index]) > 1:
        return (1.0, index) if scale.value != "12" or _dozen_alone(sheet, index) else None
    return _spelled_out(sheet, index)


def _is_code(sheet: Sheet, index: int) -> bool:
    """A number with letters glued behind it that are no unit or thing ("2A", "150p") counts nothing."""
    after = index + 1
    if after >= len(sheet.tokens) or sheet.tokens[after].kind != "word" or not sheet.tokens[after].glued:
        return False
    meant = any(sheet.at(family, after) for family in ("unit", "crop", "scale", "supply", "cleanable", "join.and"))
    return not meant and sheet.words[after] not in ORDINAL_ENDS and not sheet.at("vague.count", after)


def _means_to(sheet: Sheet, index: int) -> bool:
    """ "gave 10 romaine 2 the kitchen": the figure stands for the word that sounds like it."""
    to = sheet.at("join.to", index)
    if to is None:
        return False
    return sheet.at("recipient", to.end) is not None or (
        sheet.within(to.end, "word.article") and sheet.at("recipient", to.end + 1) is not None
    )


def _dozen_alone(sheet: Sheet, index: int) -> bool:
    return not sheet.words[index].endswith("s")


def _measurable(sheet: Sheet, index: int) -> bool:
    return sheet.at("unit", index) is not None or sheet.at("scale", index) is not None


def _part_of_tray(sheet: Sheet, fraction: Span) -> bool:
    """ "2 trays of romaine and half of mint"."""
    of = sheet.at("join.of", fraction.end)
    trays = any(one.value == "trays" and one.end <= fraction.start for one in sheet.marks.get("unit", ()))
    return trays and of is not None and sheet.at("crop", of.end) is not None


def _counted_unit(sheet: Sheet, index: int) -> bool:
    unit = sheet.at("unit", index)
    return unit is not None and unit.value not in ("heads", "plugs", "years", "times", "buckets", "l", "g", "f", "c")


def _whole_unit(sheet: Sheet, index: int) -> bool:
    """ "a full tray"."""
    return sheet.at("adjective", index) is not None and _counted_unit(sheet, index + 1)


def _slashed(sheet: Sheet, value: float, end: int) -> tuple[float, int]:
    """A fraction written with a stroke: "1/2 tray", "2 1/2"; a count of a total ("60/72") stays two numbers."""
    hyphen = sheet.is_mark(end, "-") and sheet.tokens[end].glued  # "2-1/2"
    for whole, at in ((0.0, end - 1), (value, end + hyphen)):
        part = _stroke(sheet, at)
        if part is not None:
            return whole + part, at + 3
    return value, end


def _stroke(sheet: Sheet, at: int) -> float | None:
    texts = [token.text for token in sheet.tokens[at : at + 3]]
    if len(texts) == 3 and texts[1] == "/" and f"{texts[0]}/{texts[2]}" in ("1/2", "1/4", "3/4", "1/3", "2/3"):
        return int(texts[0]) / int(texts[2])
    return None


def _spelled_out(sheet: Sheet, index: int) -> tuple[float, int] | None:
    """A number in words: "twenty four", "treinta y dos", "a hundred and two", "six point four"."""
    first = sheet.at("number", index)
    if first is None or _is_pronoun(sheet, first) or _is_group(sheet, first):
        return None
    value, end = float(first.value), first.end
    following = _small_after(sheet, value, end)
    if following:
        value, end = value + following[0], following[1]
    return _decimals(sheet, value, end)


def _is_group(sheet: Sheet, span: Span) -> bool:
    """ "los dos", "the three of us": a number in words after an article that counts nothing named."""
    if not sheet.within(span.start - 1, "word.article") or sheet.at("glue", span.end) or sheet.at("number", span.end):
        return False
    counted = ("unit", "crop", "adjective", "scale", "join.of", "supply", "cleanable")
    return not any(sheet.at(one, span.end) for one in counted)


def _small_after(sheet: Sheet, value: float, end: int) -> tuple[float, int] | None:
    """The ones after tens, with or without a joining word or hyphen."""
    if value < 20 or value % 10:
        return None
    glue = sheet.at("glue", end)
    joined = glue is not None and glue.value == "and"
    hyphen = end < len(sheet.words) and sheet.words[end] == "-"
    after = sheet.at("number", end + 1 if joined or hyphen else end)
    if after is None or not 0 < float(after.value) < 10 or (joined and sheet.lexicon.language == "en"):
        return None
    return float(after.value), after.end


def _decimals(sheet: Sheet, value: float, end: int) -> tuple[float, int]:
    glue = sheet.at("glue", end)
    if glue is None or glue.value != "point":
        return value, end
    if sheet.number_like(glue.end) and sheet.tokens[glue.end].text.isdigit():
        return float(f"{int(value)}.{sheet.tokens[glue.end].text}"), glue.end + 1
    after = sheet.at("number", glue.end)
    if after is None:
        return value, end
    decimals = int(float(after.value))
    return float(f"{int(value)}.{decimals}"), after.end


def _is_pronoun(sheet: Sheet, span: Span) -> bool:
    """ "that one", "una" before a thing that is not counted, "one day"."""
    if span.value != "1":
        return False
    if overlaps(span, sheet.marks.get("ordinal", ())) or overlaps(span, sheet.marks.get("tank", ())):
        return True
    point = sheet.at("glue", span.end)
    if point is not None and point.value == "point":
        return False
    before = sheet.words[span.start - 1] if span.start else ""
    thrown = any(sheet.at(one, span.end + 1) for one in ("cull", "reason", "act.loss"))
    if thrown and sheet.within(span.end, "word.link"):
        return False
    of = sheet.at("join.of", span.end)
    kind = sheet.at("adjective", span.end)
    after = kind.end if kind is not None and of is None else span.end
    of = of or sheet.at("join.of", after)
    counted = sheet.at("unit", after) or sheet.at("crop", of.end if of else after)
    asked_for = not before and span.end == len(sheet.words)
    numbered = sheet.before("numbered", span.start)
    return not (counted or asked_for or sheet.at("scale", span.end) or numbered)


def _multiplied(sheet: Sheet, value: float, end: int) -> tuple[float, int]:
    """Dozens, hundreds, thousands: "two dozen", "a hundred and two", "media docena"."""
    scale = sheet.at("scale", end)
    if scale is None and _is_one(sheet, end):
        scale = sheet.at("scale", end + 1)
    if scale is None or (scale.value == "1000" and not value < 20):
        return value, end
    if len(sheet.words[scale.start]) == 1 and not sheet.tokens[scale.start].glued:
        return value, end
    value, end = value * float(scale.value), scale.end
    if scale.value in ("100", "1000"):
        glue = sheet.at("glue", end)
        start = glue.end if glue is not None and glue.value == "and" else end
        rest = None if sheet.number_like(start) else _spelled_out(sheet, start)
        if rest and rest[0] < float(scale.value):
            return value + rest[0], rest[1]
    return value, end


def _is_one(sheet: Sheet, index: int) -> bool:
    glue = sheet.at("glue", index)
    return glue is not None and glue.value == "one"


def _with_fraction(sheet: Sheet, value: float, end: int) -> tuple[float, int]:
    """ "two and a half", "dos y media", "a dozen and a half"; after a dozen the half is half of it."""
    glue = sheet.at("glue", end)
    if glue is None or glue.value not in ("plus_half", "plus_quarter"):
        return _with_rest(sheet, value, end)
    part = 0.5 if glue.value == "plus_half" else 0.25
    dozen = sheet.before("scale", end)
    return value + part * (float(dozen.value) if dozen else 1), glue.end


def _with_rest(sheet: Sheet, value: float, end: int) -> tuple[float, int]:
    """ "2 dozen + 4", "3 doz. less 1": what a dozen has over or lacks."""
    scale = sheet.before("scale", end)
    sign = sheet.at("word.more", end) or sheet.at("word.less", end)
    if scale is None or scale.value != "12" or sign is None:
        return value, end
    rest = _number_at(sheet, sign.end)
    if rest is None or not rest[0].is_integer() or not 0 < rest[0] < 12:
        return value, end
    less = sheet.at("word.less", end) is not None
    if not less and sheet.at("crop", rest[1]) and any(one.start < end for one in sheet.marks.get("crop", ())):
        return value, end  # "romaine 2 dozen and 4 kale"
    return value - rest[0] if less else value + rest[0], rest[1]


def _is_ordinal(sheet: Sheet, start: int, end: int) -> bool:
    if end - start != 1 or not sheet.number_like(start) or end >= len(sheet.tokens):
        return False
    return sheet.tokens[end].glued and sheet.words[end] in ORDINAL_ENDS and sheet.at("unit", end) is None


def _mark_ranges(sheet: Sheet) -> None:
    """Two numbers with a hyphen, "to" or "or" between them are one vague count."""
    counts = sheet.marks.get("count", [])
    merged: list[Span] = []
    for span in counts:
        if merged and _is_range(sheet, merged[-1], span):
            merged[-1] = Span(merged[-1].start, span.end, Quantity(merged[-1].value.value, vague=True))
        else:
            merged.append(span)
    sheet.marks["count"] = merged


def _is_range(sheet: Sheet, low: Span, high: Span) -> bool:
    if high.start - low.end != 1 or not low.value.value < high.value.value <= 3 * low.value.value + 3:
        return False
    between = sheet.is_mark(low.end, "-") or sheet.within(low.end, "join.or", "join.range")
    return between and sheet.at("unit", low.end) is None


def mark_slips(sheet: Sheet) -> None:
    """Mark the crop that a wrong word after a number and a unit stands for ("six bunches of partly")."""
    for span in sheet.marks.get("count", []):
        unit = sheet.at("unit", span.end)
        if unit is None or unit.value not in ("heads", "bunches"):
            continue
        index = unit.end + sheet.within(unit.end, "join.of")
        if index >= len(sheet.words) or sheet.at("crop", index) or len(sheet.words[index]) < 4:
            continue
        crop = likely_crop(sheet, sheet.words[index : index + 1])
        if crop:
            sheet.mark("crop", index, index + 1, crop)


CLOSE_ENOUGH = 0.7
"""How alike a word and a crop's name must be where only a crop can stand."""


def likely_crop(sheet: Sheet, words: list[str]) -> str | None:
    """The one crop that a mistyped or mistaken word is like, where only a crop can be meant."""
    found: dict[str, float] = {}
    for word in words:
        if len(word) >= 3 and word.isalpha():
            near = process.extract(
                word, list(sheet.lexicon.crops), scorer=Indel.normalized_similarity, score_cutoff=CLOSE_ENOUGH
            )
            for name, score, _ in near:
                slug = sheet.lexicon.crops[name]
                found[slug] = max(found.get(slug, 0.0), score)
    best = sorted(found, key=lambda slug: -found[slug])
    if not best or (len(best) > 1 and found[best[0]] - found[best[1]] < 0.08):
        return None
    return best[0]
