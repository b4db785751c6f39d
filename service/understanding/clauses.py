"""A text split into the pieces that can each report something, and its sentences."""

from __future__ import annotations

from dataclasses import dataclass

from service.understanding.sheet import Clause, Sheet

ENDS = frozenset({".", "!", "?", ";", "¿", "¡"})
BREAKS = frozenset({",", "(", ")", "…", "|", "•", "*", "~"})


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence and its pieces; `question` when it ends in a question mark."""

    clause: Clause
    pieces: tuple[Clause, ...]
    question: bool


def sentences(sheet: Sheet) -> list[Sentence]:
    """The sentences of a text, in order; none is empty."""
    found: list[Sentence] = []
    start = 0
    for index in range(len(sheet.tokens) + 1):
        ended = index == len(sheet.tokens) or sheet.words[index] in ENDS
        if not ended and not _new_line(sheet, index, start):
            continue
        if index > start:
            question = index < len(sheet.tokens) and sheet.words[index] == "?"
            clause = Clause(sheet, start, index)
            found.append(Sentence(clause, tuple(_pieces(clause)), question))
        start = index + 1 if ended else index
    return found


def _new_line(sheet: Sheet, index: int, start: int) -> bool:
    return index > start and "\n" in sheet.text[sheet.tokens[index - 1].end : sheet.tokens[index].start]


def _pieces(clause: Clause) -> list[Clause]:
    inside = _unbroken(clause)
    found: list[Clause] = []
    start = clause.start
    for index in range(clause.start, clause.end):
        if index < start or index in inside or not _breaks(clause.sheet, index):
            continue
        if index > start:
            found.append(Clause(clause.sheet, start, index))
        start = min(_past_joint(clause.sheet, index), clause.end)
    if clause.end > start:
        found.append(Clause(clause.sheet, start, clause.end))
    return [part for piece in found for apart in _dosed_apart(piece) for part in _comings_apart(apart)]


def _dosed_apart(piece: Clause) -> list[Clause]:
    """ "el tanque esta a la mitad le eche 2 litros": what was measured, run on with what was put in, in two."""
    for one in piece.spans("act.added"):
        before, after = Clause(piece.sheet, piece.start, one.start), Clause(piece.sheet, one.start, piece.end)
        measured = (before.has("measure") and before.has("count")) or (before.has("tank") and before.has("fraction"))
        if measured and after.has("count") and not before.has("act.added"):
            return [before, after]
    return [piece]


def _comings_apart(piece: Clause) -> list[Clause]:
    """A piece that begins with a phrase of arriving or ends with one of leaving, run on with a report, in two."""
    sheet = piece.sheet
    comes = [one.end for one in piece.spans("arrive") if one.start == piece.start and one.end - one.start > 1]
    goes = [one.start for one in piece.spans("leave") if one.end == piece.end and one.end - one.start > 1]
    for at, rest in (
        *((at, Clause(sheet, at, piece.end)) for at in comes),
        *(
            (at, Clause(sheet, piece.start, at))
            for at in goes
            if not (sheet.within(at - 1, *LEADING) or sheet.at("join.to", at))
        ),
    ):
        if piece.start < at < piece.end and _tells(rest):
            return [Clause(sheet, piece.start, at), Clause(sheet, at, piece.end)]
    return [piece]


LEADING = ("time.before", "time.after", "join.to", "join.from", "hedge.plan", "hedge.not")
"""Words after which leaving is not told as done ("before heading out")."""


def _tells(clause: Clause) -> bool:
    """Whether a stretch holds a figure of something."""
    return clause.has("count") and any(clause.has(one) for one in ("crop", "measure", "unit", "place", "supply"))


def _unbroken(clause: Clause) -> set[int]:
    """Tokens inside a number, a place or a phrase with a joining word of its own."""
    inside: set[int] = set()
    for family in (
        "count",
        "place",
        "badplace",
        "clock",
        "glue",
        "crop",
        "supply",
        "part",
        "can",
        "correct.undo",
        "act.clean",
        "except",
    ):
        for span in clause.spans(family):
            if span.end - span.start > 1:
                inside.update(range(span.start, span.end))
    for glue in clause.spans("join.and"):
        before, after = clause.sheet.before("unit", glue.start), clause.sheet.at("count", glue.end)
        unit = clause.sheet.at("unit", after.end) if after else None
        if before and unit and (before.value, unit.value) in (("hours", "minutes"), ("lb", "oz")):
            inside.update(range(glue.start, glue.end))
    return inside


def _breaks(sheet: Sheet, index: int) -> bool:
    word = sheet.words[index]
    if word in BREAKS or word.startswith(".."):
        return True
    token = sheet.tokens[index]
    if word == "-":
        return not token.glued and index + 1 < len(sheet.tokens) and not sheet.tokens[index + 1].glued
    if token.kind == "mark" and ord(word[0]) > 0x2000:
        return True
    joint = sheet.at("join.and", index)
    return joint is not None and (joint.end == index + 1 or sheet.within(joint.end - 1, "word.then"))


def _past_joint(sheet: Sheet, index: int) -> int:
    """Where the piece behind a break begins: after all words of the joint ("and then")."""
    joint = sheet.at("join.and", index)
    return joint.end if joint is not None else index + 1
