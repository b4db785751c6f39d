"""What came of a season, and of several: the figures by which ways of sowing are compared."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from statistics import fmean, stdev
from time import perf_counter

from core.planning.growth import Growth
from core.planning.simulator.foresight import Foresight
from core.planning.simulator.game import Game
from core.planning.simulator.house import House
from core.planning.simulator.nature import Luck, Nature
from core.planning.simulator.policies import Policy, ThePlan, rule_of_thumb
from core.planning.simulator.record import Record

NEARLY = 0.5
"""Less than half a head short is not short."""


@dataclass(frozen=True, slots=True)
class Score:
    """One season under one policy.

    targets_met: share of all weekly targets (each crop, each week) that were met. [0 to 1]
    given: share of the heads and bunches asked for that were given. [0 to 1]
    wasted: heads and bunches a week that nobody took. thrown: seedlings a week thrown out for want of room.
    hours: of work a week. occupied: share of the towers planted, on the average day. [0 to 1]
    by_week: share of what was asked for that was given, week by week. [0 to 1]
    seconds: the season took to play, of which planning seconds were the plan's.
    """

    targets_met: float
    given: float
    wasted: float
    thrown: float
    hours: float
    occupied: float
    by_week: tuple[float, ...]
    seconds: float = 0.0
    planning: float = 0.0


@dataclass(frozen=True, slots=True)
class Summary:
    """Several seasons under one policy: figure -> mean and standard deviation (None for a single season)."""

    policy: str
    seasons: int
    figures: Mapping[str, tuple[float, float | None]]


POLICIES: Mapping[str, Callable[[Mapping[str, Growth]], Policy]] = {
    "rule of thumb": rule_of_thumb,
    "plan": ThePlan,
    "foresight": Foresight,
}
"""The ways of sowing that are compared, by name."""


def score(game: Game, record: Record, seconds: float = 0.0, planning: float = 0.0) -> Score:
    """The figures of the weeks that count."""
    counted = slice(game.warm_up, game.all_weeks)
    met = {crop: weeks[counted] for crop, weeks in record.met.items()}
    asked = sum(game.targets[crop] * len(weeks) for crop, weeks in met.items())
    on_target = [heads > game.targets[crop] - NEARLY for crop, weeks in met.items() for heads in weeks]
    return Score(
        targets_met=fmean(on_target),
        given=sum(map(sum, met.values())) / asked,
        wasted=fmean(record.wasted[counted]),
        thrown=fmean(record.thrown[counted]),
        hours=fmean(record.minutes[counted]) / 60,
        occupied=fmean(record.taken[counted]),
        by_week=tuple(sum(week) / sum(game.targets.values()) for week in zip(*met.values(), strict=True)),
        seconds=seconds,
        planning=planning,
    )


def play(game: Game, natures: Mapping[str, Nature], growths: Mapping[str, Growth], name: str, seed: int) -> Score:
    """One season from the start under one of POLICIES, with the luck of a seed."""
    policy = POLICIES[name](growths)
    began = perf_counter()
    record = House(game, Luck(seed, natures)).play(policy)
    return score(game, record, perf_counter() - began, getattr(policy, "seconds", 0.0))


def summary(policy: str, scores: Sequence[Score]) -> Summary:
    """Mean and spread of each figure over seasons."""
    names = [one.name for one in fields(Score) if one.name != "by_week"]
    return Summary(policy, len(scores), {name: _spread(getattr(one, name) for one in scores) for name in names})


def _spread(values: Iterable[float]) -> tuple[float, float | None]:
    all_values = list(values)
    return fmean(all_values), stdev(all_values) if len(all_values) > 1 else None
