"""What a month came to, and how evenly its hours were shared."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field


def gini(values: Sequence[float]) -> float:
    """How unevenly something is shared: 0 where all have the same, (n-1)/n where one of n has all.

    Args:
        values: what each has; 0 or more.

    Returns:
        The mean difference of every pair, by twice the mean; 0 where nobody has anything.

    Raises:
        ValueError: nobody, or somebody with less than nothing.

    Source:
        Weisstein, E. W., "Gini Coefficient", MathWorld, second formula (values by size), after Dixon et al. (1988) and
        Damgaard and Weiner (2000); without the n/(n-1) that makes it unbiased for a sample.
    """
    if not values or min(values) < 0:
        raise ValueError("what each has is 0 or more, and there is somebody")
    n, total = len(values), sum(values)
    return sum((2 * i - n - 1) * x for i, x in enumerate(sorted(values), 1)) / (n * total) if total else 0.0


@dataclass
class Tally:
    """A month, counted.

    counts: places, came, shifts, full (with everybody), lacking (a skill needed and nobody with it there), given_up,
    stepped_in, no_shows, sent_home (minors without an adult), open (places nobody had), texts, calls, interventions (of
    the coordinator: calls made and taken, texts that want something done).
    given_min: who -> minutes they gave. [min] share: who -> of what they wanted to give, what they gave.
    """

    counts: Counter[str] = field(default_factory=Counter)
    given_min: dict[int, float] = field(default_factory=dict)
    share: dict[int, float] = field(default_factory=dict)

    def add(self, other: "Tally") -> None:
        """Count another crew's month in."""
        self.counts.update(other.counts)
        self.given_min |= other.given_min
        self.share |= other.share
