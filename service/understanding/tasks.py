"""What people say about the numbered list last sent to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.notes import TaskReport
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Told
from service.understanding.numbers import ORDINAL_ENDS
from service.understanding.sheet import Clause, Span
from service.understanding.water import measures

ORDER = ("cannot", "partial", "take", "started", "done")
"""Where one piece says several things of a task, the first of these counts."""


@dataclass(slots=True)
class _Piece:
    """What one piece of a text says of tasks."""

    numbers: list[int]
    state: str | None
    count: float | None
    whole: bool
    but: bool
    planned: bool


def tasks(sentences: list[Sentence], told: Told) -> list[Found]:
    """The notes about tasks on the list; [] when the text says nothing of them."""
    if not told.context.tasks:
        return []
    found: list[Found] = []
    for sentence in sentences:
        if not sentence.question:
            found.extend(_sentence(sentence, told, bool(found)))
    return found


def _sentence(sentence: Sentence, told: Told, said: bool) -> Iterator[Found]:
    if measures(sentence.clause) or sentence.clause.has("supply") or sentence.clause.has("recipient"):
        return
    pieces = [_piece(one, told) for one in sentence.pieces if not _other(one)]
    but = _but(sentence.clause)
    for one in pieces:
        one.but = but
    if any(one.whole and (one.but or one.numbers == []) for one in pieces) and any(
        one.state or one.but for one in pieces
    ):
        yield from _whole_list(pieces, told)
        return
    waiting: list[int] = []
    state: str | None = None
    for piece in pieces:
        if piece.state is None:
            if state is not None and not waiting and piece.numbers and state != "partial" and not piece.planned:
                yield from _notes(piece.numbers, state, None)
            else:
                waiting += piece.numbers
            continue
        numbers = [*waiting, *piece.numbers]
        waiting, state = [], piece.state
        yield from _notes(numbers, state, piece.count)
    if state is not None and not any(one.numbers for one in pieces):
        yield from _unnumbered(sentence.clause, state, told, said)


def _but(clause: Clause) -> bool:
    """Whether the whole list is named and something taken out of it."""
    wholes = clause.spans("whole")
    return bool(wholes) and any(
        one.start <= span.start <= one.end + 3 for one in wholes for span in clause.spans("except")
    )


def _other(piece: Clause) -> bool:
    return (piece.has("crop") and piece.has("act.harvest") and piece.has("count")) or piece.has("place")


def _notes(numbers: list[int], state: str, count: float | None) -> Iterator[Found]:
    for n in dict.fromkeys(numbers):
        yield Found(TaskReport(state=state, n=n, count=count if state == "partial" else None))


def _unnumbered(clause: Clause, state: str, told: Told, said: bool) -> Iterator[Found]:
    """Done, but which? The only task there is; else it is asked."""
    listed = told.context.tasks
    if said or clause.has("crop") or (state not in ("done", "started", "partial", "cannot")):
        return
    short = clause.end - clause.start <= 6 and state == "done"
    if not (short or clause.has("count")):
        return
    if len(listed) == 1 and not clause.has("count"):
        yield Found(TaskReport(state=state, n=listed[0].n))
    elif clause.has("count") and not _of_them(clause):
        return
    else:
        yield Found(TaskReport(state=state), ("which",))


def _of_them(clause: Clause) -> bool:
    return any(clause.sheet.at("join.of", one.end) for one in clause.spans("count"))


def _whole_list(pieces: list[_Piece], told: Told) -> Iterator[Found]:
    """ "all done", "everything except 2 and 5 is finished", "all but 3"."""
    state = next((one.state for one in pieces if one.state), "done")
    but = any(one.but for one in pieces)
    excepted = [n for one in pieces for n in one.numbers]
    if not but and excepted:
        for piece in pieces:
            if piece.state and piece.numbers and not piece.whole:
                yield from _notes(piece.numbers, piece.state, piece.count)
        return
    if not but:
        yield Found(TaskReport(state=state, all=True))
    elif excepted:
        yield from _notes([one.n for one in told.context.tasks if one.n not in excepted], state, None)
    else:
        yield Found(TaskReport(state=state), ("which",))


def _piece(clause: Clause, told: Told) -> _Piece:
    state = _state(clause)
    numbers = task_numbers(clause, told)
    count = None
    if state == "partial" and numbers:
        numbers, count = _partial(clause, numbers)
    return _Piece(numbers, state, count, clause.has("whole"), False, clause.has("hedge.plan"))


def _state(clause: Clause) -> str | None:
    values = {one.value for one in clause.spans("task") if not _planned(clause, one)}
    return next((one for one in ORDER if one in values), None)


def _planned(clause: Clause, span: Span) -> bool:
    """ "I was going to start number 3" starts nothing; "I will take 3" does."""
    if span.value not in ("done", "started"):
        return False
    return any(one.end <= span.start <= one.end + 1 for one in clause.spans("hedge.plan"))


def _partial(clause: Clause, numbers: list[int]) -> tuple[list[int], float | None]:
    """Of two numbers in "2 got through 10 of them" the first is the task, the second how many."""
    figures = [float(one.value.value) for one in clause.spans("count")]
    others = [one for one in figures if one != numbers[0]]
    return numbers[:1], others[0] if len(others) == 1 else None


def task_numbers(clause: Clause, told: Told) -> list[int]:
    """The numbers of listed tasks that a clause names, by number, order ("the first two") or "the last one"."""
    listed = [one.n for one in told.context.tasks]
    found: list[int] = []
    index = clause.start
    while index < clause.end:
        numbers, index = _numbers_at(clause, index, listed)
        found += [one for one in numbers if one in listed and one not in found]
    return found


def _numbers_at(clause: Clause, index: int, listed: list[int]) -> tuple[list[int], int]:
    sheet = clause.sheet
    ordinal = sheet.at("ordinal", index)
    if ordinal and ordinal.end <= clause.end:
        return _ordinal(clause, ordinal, listed)
    if sheet.within(index, "whole"):
        return [], index + 1
    if sheet.number_like(index):
        text = sheet.tokens[index].text
        digits = [int(one) for one in text.split(",") if one.isdigit() and len(one) <= 2]
        unit = sheet.at("unit", index + 1)
        counted = (unit is not None and len(sheet.words[index + 1]) > 1) or _counts_them(clause, index + 1)
        ended = index + 1 < clause.end and sheet.tokens[index + 1].glued and sheet.words[index + 1] in ORDINAL_ENDS
        last = _range_end(clause, index, digits)
        if last is not None and not counted:
            return list(range(digits[0], last + 1)), index + 3
        return ([] if counted and not ended else digits), index + 1
    word = sheet.at("number", index)
    if word and not _counts_them(clause, word.end) and not sheet.at("unit", word.end):
        numbered = sheet.before("numbered", index) is not None or len(clause.spans("number")) >= 1
        return ([int(word.value)] if numbered and word.value.isdigit() else []), word.end
    return [], index + 1


def _range_end(clause: Clause, index: int, digits: list[int]) -> int | None:
    """The last number of a range of tasks ("1-3 done", "1 to 3")."""
    sheet = clause.sheet
    joint = sheet.at("join.range", index + 1)
    if len(digits) != 1 or joint is None or joint.end != index + 2 or not sheet.number_like(index + 2):
        return None
    text = sheet.tokens[index + 2].text
    return int(text) if text.isdigit() and digits[0] < int(text) <= 20 else None


def _counts_them(clause: Clause, index: int) -> bool:
    of = clause.sheet.at("join.of", index)
    return of is not None and not clause.sheet.within(of.end, "word.article")


def _ordinal(clause: Clause, span: Span, listed: list[int]) -> tuple[list[int], int]:
    count = clause.sheet.at("count", span.end)
    many = int(count.value.value) if count else 1
    if span.value == "-1":
        return listed[-many:], count.end if count else span.end
    start = int(span.value)
    return list(range(start, start + many)), count.end if count else span.end
