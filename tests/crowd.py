"""An invented crowd, 10 people or 5,000, from a seed: what they want to give, when they are free, how they answer.

All that is supposed of them stands in crowd.toml. Luck hangs on what it is about (this person, that shift), never on the
order in which it is asked for, so that ways of running a crew meet the same people on the same days.
"""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import ceil, exp, log
from pathlib import Path
from random import Random
from typing import Any


@cache
def supposed() -> Mapping[str, Any]:
    """What is supposed of people and farm."""
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))


def luck(seed: int, *about: object) -> Random:
    """The luck of one thing: the same whenever and however often it is asked for."""
    return Random("|".join(map(str, (seed, *about))))


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody of the crowd.

    age: adult, retired or minor. wish_hours: what they want to give in a week. [h]
    free: the numbers of the regular shifts at whose hours they are usually free.
    answer_min: minutes they usually take to answer a text. [min]
    answers, picks_up, willing, gives_up, no_show: how often each happens, as a share.
    """

    id: int
    age: str
    newcomer: bool
    skills: frozenset[str]
    wish_hours: float
    free: frozenset[int]
    answer_min: float
    answers: float
    picks_up: float
    willing: float
    gives_up: float
    no_show: float

    @property
    def minor(self) -> bool:
        """Whether they are not of age."""
        return self.age == "minor"

    @property
    def most_shifts(self) -> int:
        """The most shifts a week that they would take: what they want to give, in shifts of three hours."""
        return max(1, round(self.wish_hours / 3))


def crowd(size: int, seed: int) -> tuple[Member, ...]:
    """So many people; the first of a larger crowd of one seed are those of a smaller."""
    return tuple(_member(number, luck(seed, "member", number)) for number in range(1, size + 1))


def crews(people: Sequence[Member]) -> Iterator[tuple[Member, ...]]:
    """The people by container, in crews of nearly one size."""
    size = ceil(len(people) / ceil(len(people) / supposed()["farm"]["most_in_a_crew"]))
    yield from (tuple(people[at : at + size]) for at in range(0, len(people), size))


def _member(number: int, rng: Random) -> Member:
    shares, habits = supposed()["people"], supposed()["habits"]
    age = _age(rng.random(), shares)
    hours, weights = zip(*shares["wish_hours"], strict=True)
    own = {name: rng.uniform(*habits[name]) for name in ("answers", "picks_up", "willing", "gives_up", "no_show")}
    return Member(
        id=number,
        age=age,
        newcomer=rng.random() < shares["newcomers"],
        skills=_skills(rng, shares["skills"], minor=age == "minor"),
        wish_hours=rng.choices(hours, weights)[0],
        free=_free(rng, supposed()["free"][age]),
        answer_min=between(rng, habits["answer_min"]),
        **own,
    )


def _age(drawn: float, shares: Mapping[str, float]) -> str:
    if drawn < shares["minors"]:
        return "minor"
    return "retired" if drawn < shares["minors"] + shares["retired"] else "adult"


def _skills(rng: Random, shares: Mapping[str, float], *, minor: bool) -> frozenset[str]:
    """Trainings; a minor is signed off for handling food alone."""
    drawn = {skill for skill, share in shares.items() if rng.random() < share}
    return frozenset(drawn & {"food"} if minor else drawn)


def _free(rng: Random, likely: Mapping[str, float]) -> frozenset[int]:
    regular = supposed()["farm"]["shifts"]
    return frozenset(number for number, one in enumerate(regular) if rng.random() < likely[one["kind"]])


def between(rng: Random, ends: Sequence[float]) -> float:
    """A value between two, drawn evenly on the scale of logarithms."""
    return exp(rng.uniform(log(ends[0]), log(ends[1])))
