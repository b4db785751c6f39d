"""What people say about the numbered list last sent to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from core.notes import TaskReport
from service.understanding.amounts import amounts
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Told
from service.understanding.numbers import ORDINAL_ENDS
from service.understanding.sheet import Clause, Span, overlaps
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
    bare: bool


def tasks(sentences: list[Sentence], told: Told) -> list[Found]:
    """The notes about tasks on the list; [] when the text says nothing of them."""
    if not told.context.tasks:
        return []
    found: list[Found] = []
    for sentence in _enumerated(told) or sentences:
        if not (sentence.question or _wonders(sentence.clause)):
            found.extend(_timed(list(_sentence(sentence, told, bool(found))), sentence.clause))
    return found


def _timed(found: list[Found], clause: Clause) -> list[Found]:
    """ "2 done, 25 min": how long it took, where one task is done and one time is said."""
    times = [one for one in amounts(clause) if one.unit in IN_MINUTES and not one.vague]
    note = found[0].note if len(found) == 1 else None
    if not isinstance(note, TaskReport) or note.state != "done" or note.n is None or len(times) != 1:
        return found
    minutes = times[0].value * IN_MINUTES[str(times[0].unit)]
    return [replace(found[0], note=replace(note, minutes=minutes))]


IN_MINUTES = {"minutes": 1, "hours": 60}


def _wonders(clause: Clause) -> bool:
    """ "did someone do 3", "can i skip 2": a question whatever its mark."""
    start = clause.sheet.at("hedge.request", clause.start)
    return start is not None and start.end - start.start > 1 and clause.sheet.at("ask.weak", clause.start) is not None


def _enumerated(told: Told) -> list[Sentence]:
    """ "1. done 2. done 3. no time": what stands between one number with a dot and the next is said of it."""
    sheet = told.sheet
    starts = [
        at
        for at in range(len(sheet.tokens) - 2)
        if sheet.number_like(at) and sheet.is_mark(at + 1, ".", ")", ":") and sheet.tokens[at + 1].glued
    ]
    if len(starts) < 2 or starts[0] != 0:
        return []
    parts = [Clause(sheet, start, end) for start, end in pairwise([*starts, len(sheet.tokens)])]
    return [Sentence(one, (one,), question=False) for one in parts]


def _sentence(sentence: Sentence, told: Told, said: bool) -> Iterator[Found]:
    signed = sentence.clause.has("task") and not any(one.has("task") for one in sentence.pieces)  # "1-3 ✅"
    parts = (sentence.clause,) if signed else sentence.pieces
    pieces = [_piece(one, told) for one in _counted_on(parts) if not _other(one)]
    if _doubtful(sentence, pieces):
        yield Found(TaskReport(state=next(one.state for one in pieces if one.state)), ("which",))
        return
    but = _but(sentence.clause)
    for one in pieces:
        one.but = but
    if any(one.whole and (one.but or one.numbers == []) for one in pieces) and any(
        one.state or one.but for one in pieces
    ):
        yield from _whole_list(pieces, sentence.clause, told)
        return
    waiting: list[int] = []
    state: str | None = None
    for piece in pieces:
        if piece.state is None:
            if state is not None and not waiting and piece.bare and state != "partial" and not piece.planned:
                yield from _notes(piece.numbers, state, None)
            else:
                waiting += piece.numbers
            continue
        numbers = [*waiting, *piece.numbers]
        waiting, state = [], piece.state
        yield from _notes(numbers, state, piece.count)
    if state is not None and not any(one.numbers for one in pieces):
        yield from _unnumbered(sentence.clause, state, told, said)


def _counted_on(pieces: tuple[Clause, ...]) -> list[Clause]:
    """The pieces, each "4 towers" that follows a task done in part joined to it."""
    found: list[Clause] = []
    for piece in map(_before_reading, pieces):
        counted = piece.has("unit") or any(piece.has(one) for one in ("thing", "cleanable", "crop"))
        if found and counted and piece.has("count") and _state(found[-1]) == "partial" and _state(piece) is None:
            found[-1] = Clause(piece.sheet, found[-1].start, piece.end)
        else:
            found.append(piece)
    return found


def _before_reading(piece: Clause) -> Clause:
    """What is said of a task before a reading begins ("3 is done and also the nursery ph was 6.2")."""
    measured = measures(piece)
    if not measured:
        return piece
    tanks = [one.start for one in piece.spans("tank") if one.start < measured[0].start]
    before = Clause(piece.sheet, piece.start, min([measured[0].start, *tanks]))
    return before if before.has("task") else piece


def _doubtful(sentence: Sentence, pieces: list[_Piece]) -> bool:
    """Whether a sentence is not sure which of two it was ("3 done i think, or was it 2")."""
    numbers = {n for one in pieces for n in one.numbers}
    said = [one.state for one in pieces if one.state]
    return len(numbers) > 1 and bool(said) and said[0] != "cannot" and sentence.clause.has("word.doubt")


def _but(clause: Clause) -> bool:
    """Whether the whole list is named and something taken out of it."""
    wholes = clause.spans("whole")
    return bool(wholes) and any(
        one.start <= span.start <= one.end + 3 for one in wholes for span in clause.spans("except")
    )


def _other(piece: Clause) -> bool:
    reported = bool(measures(piece)) or piece.has("supply") or piece.has("recipient") or piece.has("place")
    return reported or (piece.has("crop") and piece.has("act.harvest") and piece.has("count"))


def _notes(numbers: list[int], state: str, count: float | None) -> Iterator[Found]:
    for n in dict.fromkeys(numbers):
        yield Found(TaskReport(state=state, n=n, count=count if state == "partial" else None))


def _unnumbered(clause: Clause, state: str, told: Told, said: bool) -> Iterator[Found]:
    """Done, but which? The only task there is; else it is asked."""
    listed = told.context.tasks
    if said or clause.has("crop") or (state not in ("done", "started", "partial", "cannot")):
        return
    short = clause.end - clause.start <= 6 and state == "done"
    if short and clause.has("count") and not clause.has("unit"):  # "number 9 done", and the list ends at 3
        yield Found(TaskReport(state=state), ("which",))
        return
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


def _whole_list(pieces: list[_Piece], clause: Clause, told: Told) -> Iterator[Found]:
    """ "all done", "everything except 2 and 5 is finished", "all but 3"."""
    state = next((one.state for one in pieces if one.state), "done")
    but = any(one.but for one in pieces)
    taken_out = min((one.start for one in clause.spans("except")), default=clause.end)
    before = [one.value for one in clause.spans("task") if one.end <= taken_out]
    later = any(one.state == "cannot" and not one.whole for one in pieces)
    stuck = but and (before[0] != "cannot" and clause.has("task", "cannot") if before else later)
    if stuck:  # "everything is done except 4, I couldn't reach it"
        state = before[0] if before else "done"
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
        yield from _notes(excepted if stuck else [], "cannot", None)
    else:
        yield Found(TaskReport(state=state), ("which",))


def _piece(clause: Clause, told: Told) -> _Piece:
    state = _state(clause)
    numbers = task_numbers(clause, told)
    count = None
    if state is None and numbers and clause.has("numbered") and _of_so_many(clause):
        state = "partial"
    if state == "partial" and not numbers:
        counts = clause.spans("count")
        count = float(counts[0].value.value) if len(counts) == 1 else None
    if state == "partial" and numbers:
        numbers, count = _partial(clause, numbers)
        only = clause.spans("word.only_did")
        if (
            count is None and only and all(overlaps(one, only) for one in clause.spans("task", "partial"))
        ):  # "only did 1" finished that one
            state = "done"
    bare = bool(numbers) and not _tells_more(clause)
    return _Piece(numbers, state, count, clause.has("whole"), False, clause.has("hedge.plan"), bare)


def _tells_more(clause: Clause) -> bool:
    """ "3 is a crime scene" says something of its own; "and 3 too" goes on with what was said before."""
    begun = [one for one in clause.spans("word.is") if clause.sheet.at("ask.weak", one.start)]
    return bool(begun) and not clause.has("word.too")


def _of_so_many(clause: Clause) -> bool:
    """ "2 of 8 on number 1": one number out of another."""
    counts = clause.spans("count")
    return any(clause.sheet.at("join.of", one.end) and clause.sheet.at("count", one.end + 1) for one in counts)


def _state(clause: Clause) -> str | None:
    values = {one.value for one in clause.spans("task") if not _planned(clause, one)}
    return next((one for one in ORDER if one in values), None)


def _planned(clause: Clause, span: Span) -> bool:
    """ "I was going to start number 3" and "3 is not begun" start nothing; "I will take 3" does."""
    if span.value not in ("done", "started"):
        return False
    if any(0 <= span.start - one.end <= 1 for one in clause.spans("hedge.not") if not _numbers_one(clause, one)):
        return True
    return any(one.end <= span.start <= one.end + 1 for one in clause.spans("hedge.plan"))


def _numbers_one(clause: Clause, span: Span) -> bool:
    """ "No. 2 just started": a number sign, no denial."""
    return clause.sheet.at("numbered", span.start) is not None and clause.sheet.number_like(span.end)


def _partial(clause: Clause, numbers: list[int]) -> tuple[list[int], float | None]:
    """Of two numbers in "2 got through 10 of them" the first is the task, the second how many."""
    counts = clause.spans("count")
    part = [float(one.value.value) for one in counts if clause.sheet.at("join.out_of", one.end)]
    if len(part) == 1 and (part[0] != numbers[0] or len(numbers) > 1):
        return [one for one in numbers if one != part[0]][:1] or numbers[:1], part[0]
    figures = [float(one.value.value) for one in counts]
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
    if word and _is_pronoun(clause, word):
        return [], word.end
    if word and not sheet.at("join.of", word.end) and not sheet.at("unit", word.end):
        numbered = sheet.before("numbered", index) is not None or len(clause.spans("number")) >= 1
        return ([int(word.value)] if numbered and word.value.isdigit() else []), word.end
    return [], index + 1


def _is_pronoun(clause: Clause, word: Span) -> bool:
    """ "the easy one", "that one": an article or an adjective before "one" makes it no number."""
    before = word.start - 1
    if word.value != "1" or before < clause.start or clause.sheet.tokens[before].kind != "word":
        return False
    return not clause.sheet.within(before, "numbered", "join.and", "task", "number", "join.range", "join.or", "self")


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
