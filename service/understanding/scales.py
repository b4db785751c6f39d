"""Which of the two scales of ppm a meter reads on, where that is said: "1050 ppm on 500", "escala 700"."""

from __future__ import annotations

from service.understanding.sheet import Clause, Sheet

SCALES = {"500": 500.0, "700": 700.0}
"""ppm of a meter in one mS/cm; the number is the scale's name."""

WORDS = ("scale", "escala")
REACH = 2
"""Tokens between the word for a scale, or ppm, and its number."""


def mark_scales(sheet: Sheet) -> None:
    """Mark the number of a scale, so that it counts nothing: beside the word for it, or right behind "ppm"."""
    for at, word in enumerate(sheet.words):
        near = sheet.words[max(at - REACH, 0) : at + REACH + 1]
        behind = any(sheet.words[index].startswith("ppm") for index in range(max(at - REACH, 0), at))
        if word in SCALES and (behind or any(one in WORDS for one in near)):
            sheet.mark("ppm_scale", at, at + 1, SCALES[word])
            sheet.taken.add(at)
        elif word.startswith("ppm") and word[3:] in SCALES:
            sheet.mark("ppm_scale", at, at + 1, SCALES[word[3:]])


def scale_of(clause: Clause) -> float | None:
    """The scale that a text names, in ppm of its meter to one mS/cm; None where it names none or both."""
    found: float | None = clause.sheet.whole().one("ppm_scale")
    return found
