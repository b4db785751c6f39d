"""Whether something is told as done: not planned, denied, asked for, or part of another phrase."""

from __future__ import annotations

from service.understanding.amounts import GRAMS, MILLILITRES, amounts
from service.understanding.sheet import Clause, Span


def acted(clause: Clause, *acts: str) -> bool:
    """Whether one of the acts is told as done: said, and neither denied nor only planned."""
    heads = [one for act in acts for one in clause.spans(f"act.{act}")]
    return any(not unreal(clause, one) and not _inside(clause, one) for one in heads)


def _inside(clause: Clause, head: Span) -> bool:
    """Whether the words of an act are part of a longer phrase for what went wrong ("se fueron a flor")."""
    around = (*clause.spans("reason"), *clause.spans("trouble"))
    return any(
        one.start <= head.start and head.end <= one.end and one.end - one.start > head.end - head.start
        for one in around
    )


def unreal(clause: Clause, head: Span) -> bool:
    """Whether a word for a plan or a denial stands before the head and bears on it."""
    to = clause.sheet.before("join.to", head.start)
    had = clause.sheet.before("word.had", head.start)
    if to is not None and had is None and not clause.sheet.number_like(to.start):
        return True
    for family, reach in (("hedge.plan", 5), ("hedge.not", 5), ("hedge.request", 1)):
        for span in clause.spans(family):
            if span.start < head.start and head.start - span.end <= reach and not _covered(clause, span):
                return True
    return False


def _covered(clause: Clause, span: Span) -> bool:
    """A denial that is part of another phrase ("no more", "not one")."""
    inside = (*clause.spans("stock"), *clause.spans("correct.mend"), *clause.spans("greeting"))
    return any(
        one.start <= span.start and span.end <= one.end and one.end - one.start > span.end - span.start
        for one in inside
    )


def any_hedge(clause: Clause) -> bool:
    """Whether a clause plans or denies anything."""
    denials = [one for one in clause.spans("hedge.not") if clause.sheet.at("count", one.end) is None]
    return any(not _covered(clause, one) for one in (*clause.spans("hedge.plan"), *denials))


def planned(clause: Clause) -> bool:
    """Whether a clause speaks of a day to come."""
    return any(int(one.value) > 0 and not _is_morning(clause, one) for one in clause.spans("relday"))


def _is_morning(clause: Clause, span: Span) -> bool:
    return any(one.start < span.start < one.end for one in clause.sheet.marks.get("part", ()))


def plants(clause: Clause) -> bool:
    """Whether a number counts plants."""
    return any(one.unit in (None, "heads", "bunches", "plugs") for one in amounts(clause))


def weight(clause: Clause) -> bool:
    """Whether a weight is said."""
    return any(one.unit in GRAMS for one in amounts(clause))


def volume(clause: Clause) -> bool:
    """Whether a volume is said."""
    return any(one.unit in MILLILITRES for one in amounts(clause))
