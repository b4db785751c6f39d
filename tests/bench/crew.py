"""A month of an invented crowd, by text and by phoning round in list order: what each comes to. By hand.

    python -m tests.bench.crew [--people 10 60 200] [--seeds N] [--weeks N]

The people and their habits are invented (tests/crowd.toml): read the differences between the ways, under the same luck,
not the figures alone. In brackets: the standard deviation from crowd to crowd. Whoever phones keeps the same rules and
limits; "hours known" rings only those who are usually free. An intervention is a call made or taken, a week's roster
looked at, a shift left open in it, or word that nobody was found; a text that only tells the coordinator is none.
"""

import argparse
from collections.abc import Mapping
from statistics import fmean, stdev
from time import perf_counter

from tests.crowd import crowd, supposed
from tests.month.play import WAYS, month
from tests.month.tally import gini

COLUMNS = {
    "places filled %": 1,
    "shifts full %": 1,
    "skill missing %": 1,
    "given up": 1,
    "filled again %": 1,
    "no-shows %": 1,
    "minors sent home": 1,
    "texts/person/week": 2,
    "calls/week": 1,
    "interventions/week": 1,
    "Gini hours": 3,
    "Gini share": 3,
    "seconds": 2,
}


def figures(people: int, way: str, seed: int, weeks: int) -> Mapping[str, float]:
    """One month of one crowd."""
    began = perf_counter()
    found = month(crowd(people, seed), way, seed, weeks)
    n = found.counts
    values = (
        100 * n["came"] / n["places"],
        100 * n["full"] / n["shifts"],
        100 * n["lacking"] / n["shifts"],
        n["given_up"],
        100 * n["stepped_in"] / max(n["given_up"], 1),
        100 * n["no_shows"] / n["places"],
        n["sent_home"],
        n["texts"] / people / weeks,
        n["calls"] / weeks,
        n["interventions"] / weeks,
        gini(list(found.given_min.values())),
        gini(list(found.share.values())),
        perf_counter() - began,
    )
    return dict(zip(COLUMNS, values, strict=True))


def table(people: int, seeds: int, weeks: int) -> None:
    """Every way over the same crowds."""
    rows = {way: [figures(people, way, seed, weeks) for seed in range(1, seeds + 1)] for way in WAYS}
    print(f"\n{people} people, {weeks} weeks, {seeds} crowds".ljust(24) + "".join(way.rjust(24) for way in WAYS))
    for column, digits in COLUMNS.items():
        cells = []
        for way in WAYS:
            values = [one[column] for one in rows[way]]
            spread = f" ({stdev(values):.{digits}f})" if seeds > 1 else ""
            cells.append(f"{fmean(values):.{digits}f}{spread}".rjust(24))
        print(f"  {column}".ljust(24) + "".join(cells))


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--people", type=int, nargs="+", default=[10, 60, 200])
    options.add_argument("--seeds", type=int, default=5)
    options.add_argument("--weeks", type=int, default=4)
    asked = options.parse_args()
    assert supposed()["invented"]
    print("Invented people, the same luck for every way. Share: of the hours somebody wants to give, those they gave.")
    for people in asked.people:
        table(people, asked.seeds, asked.weeks)


if __name__ == "__main__":
    main()
