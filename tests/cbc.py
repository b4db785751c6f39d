"""A second solver: CBC of COIN-OR, through PuLP. It shares no code with HiGHS."""

import warnings

import pulp


def solved_by_cbc(programme, gap=0.0):
    """The least cost that CBC finds."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", ".*PuLP 4", DeprecationWarning)
        return _solved(programme, gap)


def _solved(programme, gap):
    problem = pulp.LpProblem("sowing", pulp.LpMinimize)
    whole = set(programme.whole)
    kinds = ["Integer" if at in whole else "Continuous" for at in range(len(programme.costs))]
    columns = [
        pulp.LpVariable(f"x{at}", low, None if high == float("inf") else high, kind)
        for at, (low, high, kind) in enumerate(zip(programme.lows, programme.highs, kinds, strict=True))
    ]
    problem += pulp.lpSum(cost * column for cost, column in zip(programme.costs, columns, strict=True))
    for row, (low, high) in enumerate(zip(programme.row_lows, programme.row_highs, strict=True)):
        span = range(programme.starts[row], programme.starts[row + 1])
        terms = pulp.lpSum(programme.factors[at] * columns[programme.columns[at]] for at in span)
        if low == high:
            problem += terms == low
        else:
            problem += terms <= high if high < float("inf") else terms >= low
    status = problem.solve(pulp.PULP_CBC_CMD(msg=False, gapRel=gap, threads=1, timeLimit=60))
    assert pulp.LpStatus[status] == "Optimal"
    return pulp.value(problem.objective)
