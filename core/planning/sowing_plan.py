"""The sowing plan: the best one in the time given, with the proof of how good it is."""

from __future__ import annotations

from core.planning.formulation import Formulation, formulate
from core.planning.model import Plan, Problem, Short, Where
from core.planning.solver import GAP, Solution, solve

TIME_LIMIT_S = 2.0
NOTHING = 0.05
"""Less than this of a head or a plant is rounding, and not told."""


def plan(problem: Problem, time_limit_s: float = TIME_LIMIT_S, *, gap: float = GAP, tries: int | None = None) -> Plan:
    """What to sow in the coming weeks.

    Args:
        problem: the farm and what is wanted of it.
        time_limit_s: the best plan found by then is given, with its gap. [s]
        gap: good enough; the search ends there.
        tries: where given, the search ends after so many instead, with the same plan on any machine.

    Returns:
        A plan that keeps within room, minutes and closed weeks. There always is one: what there is no room for is
        given up, what cannot be had is short, and both are told.
    """
    model = formulate(problem)
    by_week = [[at for (_, sown), at in model.sow.items() if sown == week] for week in range(problem.weeks)]
    return read(model, solve(model.programme, time_limit_s, gap=gap, order=by_week, tries=tries))


def read(model: Formulation, found: Solution) -> Plan:
    """The values of a solution in the words of the trade."""
    problem, weeks = model.problem, range(model.problem.weeks)
    heads = model.heads()
    return Plan(
        start=problem.start,
        weeks=problem.weeks,
        sow={one.slug: tuple(_plugs(model, found, one.slug, week) for week in weeks) for one in problem.crops},
        heads={one.slug: tuple(found.of(heads[one.slug, week]) for week in weeks) for one in problem.crops},
        surplus={
            one.slug: tuple(_value(found, model.surplus.get((one.slug, week))) for week in weeks)
            for one in problem.crops
        },
        short=tuple(
            Short(demand=wish, heads=found.values[at]) for wish, at in model.short if found.values[at] > NOTHING
        ),
        no_room=tuple((one, found.values[at]) for one, at in model.given_up if found.values[at] > NOTHING),
        cover=_fullest(model, found, "cover"),
        shelf=_fullest(model, found, "shelf"),
        tower=_fullest(model, found, "tower"),
        minutes=tuple(found.of(terms) for terms in model.minutes().values()),
        cost=found.cost,
        bound=found.bound,
        gap=found.gap,
        seconds=found.seconds,
        parts={
            part: sum(found.values[at] * model.programme.costs[at] for at in columns)
            for part, columns in model.parts.items()
        },
    )


def _value(found: Solution, column: int | None) -> float:
    return 0.0 if column is None else max(0.0, found.values[column])


def _plugs(model: Formulation, found: Solution, slug: str, week: int) -> int:
    return round(_value(found, model.sow.get((slug, week)))) * model.problem.crop(slug).tray_plugs


def _fullest(model: Formulation, found: Solution, where: Where) -> tuple[float, ...]:
    """Cells or sites taken on the fullest day of each week."""
    days = [found.of(terms) for terms in model.taken(where, range(7 * model.problem.weeks)).values()]
    return tuple(max(days[7 * week : 7 * week + 7]) for week in range(model.problem.weeks))
