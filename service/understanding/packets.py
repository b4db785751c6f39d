"""The lot on a seed packet ("packet K23"), set apart before its figures are taken for a place or a count."""

from __future__ import annotations

from service.understanding.sheet import Sheet

LONGEST = 6
"""Tokens that one lot is written in, at most ("24-117-B")."""

FIGURES = 4
"""Digits from which a lot needs no letter: fewer would be a number of packets."""


def mark_packets(sheet: Sheet) -> None:
    """Mark each lot of a seed packet (its text as typed) as `packet`; its tokens count as taken."""
    for said in sheet.marks.get("packet_word", ()):
        start = said.end + sheet.is_mark(said.end, "#", ":")
        end = start
        while end < min(len(sheet.tokens), start + LONGEST) and (end == start or sheet.tokens[end].glued):
            if sheet.tokens[end].kind == "mark" and not sheet.is_mark(end, "-", "/"):
                break
            end += 1
        if end == start:
            continue
        lot = sheet.text[sheet.tokens[start].start : sheet.tokens[end - 1].end].strip("-/")
        digits = sum(one.isdigit() for one in lot)
        if digits and (digits < len(lot) or digits >= FIGURES):
            sheet.taken.update(range(said.start, end))
            sheet.mark("packet", said.start, end, lot)
