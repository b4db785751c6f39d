"""Random rosters of a farm, small and large, from a seed."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from random import Random

from core.shifts.model import Problem, Shift, Worker

MONDAY = datetime(2026, 5, 4, tzinfo=UTC)
SKILLS = ("acids", "calibration", "food handling", "ladder")


@dataclass(frozen=True)
class Case:
    """How large, and how hard: `free` is how likely somebody can come to a shift, `minors` and `newcomers` how many are."""

    seed: int
    people: int
    shifts: int
    free: float = 0.3
    minors: float = 0.25
    newcomers: float = 0.2
    needed: tuple[int, ...] = (3, 4, 5, 6)


def shift(number, rng, needed):
    start = MONDAY + timedelta(days=number // 3, hours=(8, 12, 16)[number % 3])
    length = timedelta(hours=rng.choice((2, 3, 4)))
    skills = {rng.choice(SKILLS): 1} if rng.random() < 0.7 else {}
    return Shift(f"s{number}", start, start + length, rng.choice(needed), skills, unsafe=rng.random() < 0.15)


def worker(number, rng, case):
    others = range(case.people)
    return Worker(
        number,
        minor=rng.random() < case.minors,
        newcomer=rng.random() < case.newcomers,
        skills=frozenset(one for one in SKILLS if rng.random() < 0.25),
        most_day_min=rng.choice((240, 360, 480)),
        most_week_min=rng.choice((240, 480, 720)),
        most_shifts=rng.choice((None, 2, 3, 4)),
        asked_min=rng.choice((600.0, 1200.0, 2400.0)),
        given_min=float(rng.randint(0, 900)),
        beside=frozenset(rng.sample(others, 1)) - {number} if rng.random() < 0.3 else frozenset(),
        apart=frozenset(rng.sample(others, 1)) - {number} if rng.random() < 0.1 else frozenset(),
        likes=frozenset(f"s{rng.randrange(case.shifts)}" for _ in range(rng.randint(0, 2))),
    )


def problem(case):
    rng = Random(case.seed)
    shifts = [shift(number, rng, case.needed) for number in range(case.shifts)]
    workers = [worker(number, rng, case) for number in range(case.people)]
    able = {one.id: frozenset(who.id for who in workers if rng.random() < case.free) for one in shifts}
    return Problem(workers, shifts, able)
