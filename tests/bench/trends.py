"""How often a trend is told where there is none, by the kind of noise. Run by hand: python -m tests.bench.trends

A share for each number of days: of sure slopes, and of headings out of a range 0.7 wide amid which the noise lies.
"Carried over" is noise of which six tenths of each day's is left on the next, as tanks have that nobody touches.
"""

import random
from datetime import date, timedelta

from core.readings import Range
from core.trends import leaving, slope

MONDAY, WANTED, TIMES = date(2026, 5, 4), Range(5.6, 6.3), 4000
SPREADS = (0.03, 0.05, 0.1)
CARRIED = (0.0, 0.6)
DAYS = (6, 8, 10, 14)


def values(n, spread, carried, noise):
    """Daily values about the middle of the range."""
    off, found = noise.gauss(0, spread), []
    for _ in range(n):
        off = carried * off + noise.gauss(0, spread * (1 - carried**2) ** 0.5)
        found.append(5.95 + off)
    return [(MONDAY + timedelta(days=at), value) for at, value in enumerate(found)]


def shares(n, spread, carried, noise):
    """Of sure slopes, and of headings that are told."""
    lines = [slope(values(n, spread, carried, noise)) for _ in range(TIMES)]
    told = [leaving(line, WANTED, MONDAY) for line in lines]
    return sum(line.sure for line in lines) / TIMES, sum(one is not None for one in told) / TIMES


def main():
    """A table to read."""
    noise = random.Random(1)
    print(f"{'noise':14}{'spread':>8}{'days':>6}{'sure':>9}{'told':>9}")
    for carried in CARRIED:
        for spread in SPREADS:
            for n in DAYS:
                sure, told = shares(n, spread, carried, noise)
                kind = "carried over" if carried else "daily anew"
                print(f"{kind:14}{spread:8.2f}{n:6}{sure:9.2%}{told:9.2%}")


if __name__ == "__main__":
    main()
