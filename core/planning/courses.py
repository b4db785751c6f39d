"""The days of plants on their way: off the cover, into the towers, ready; each put off while the farm is closed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.planning.model import Crop, Problem, Standing


@dataclass(frozen=True, slots=True)
class Course:
    """Day numbers of plants sown or standing; those of stages that lie behind them are the plan's first day.

    cut: the number of the cut they come to next, 0 for the first.
    """

    sown: int
    off_cover: int
    in_towers: int
    ready: int
    cut: int = 0


def open_day(day: int, closed: frozenset[int]) -> int:
    """The day itself, or the same weekday of the next week in which the farm is open."""
    while day // 7 in closed:
        day += 7
    return day


def sown_course(problem: Problem, crop: Crop, week: int) -> Course:
    """The days of plugs sown in a week."""
    sown = problem.sowing_day(week)
    off_cover = open_day(sown + crop.cover_days, problem.closed)
    in_towers = open_day(off_cover + crop.shelf_days, problem.closed)
    return Course(sown, off_cover, in_towers, open_day(in_towers + crop.tower_days, problem.closed))


def standing_course(problem: Problem, crop: Crop, one: Standing) -> Course | None:
    """The days of what stands; what is overdue is due today. None for plants that have given all their cuts."""
    today, since = problem.day_number(problem.today), problem.day_number(one.since)

    def _due(day: int) -> int:
        return open_day(max(day, today), problem.closed)

    if one.where == "tower":
        if one.cuts == 0 or one.last_cut is None:
            return Course(today, today, today, _due(since + crop.tower_days))
        if crop.regrow_days is None or one.cuts >= crop.cuts:
            return None
        return Course(today, today, today, _due(problem.day_number(one.last_cut) + crop.regrow_days), one.cuts)
    off_cover = _due(since + crop.cover_days) if one.where == "cover" else today
    in_towers = _due((off_cover if one.where == "cover" else since) + crop.shelf_days)
    return Course(today, off_cover, in_towers, _due(in_towers + crop.tower_days))


def last_week_to_cut(problem: Problem, crop: Crop, week: int) -> int:
    """The week in which what is ready in `week` is cut at the latest: its wait is over, or the farm opens again."""
    return open_day(7 * (week + crop.wait_weeks), problem.closed) // 7


def cut_phases(crop: Crop, ready: int, first: int) -> Iterator[tuple[int, int, int]]:
    """Each cut from the first on: its number, its weekday, and the weeks from it to the next one.

    What is cut waits whole weeks only, so that a cut keeps its weekday whenever it is taken.
    """
    weekday = ready % 7
    for cut in range(first, crop.cuts):
        lag, after = divmod(weekday + (crop.regrow_days or 0), 7)
        yield cut, weekday, lag
        weekday = after
