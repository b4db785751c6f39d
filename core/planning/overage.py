"""Plugs to sow so that enough come up: the exact chance in place of a rule of thumb."""

from __future__ import annotations

from math import exp, lgamma, log

from core.planning.rates import Share

MOST_PLUGS = 100_000


def chance_of_enough(plants: int, plugs: int, keep: float | Share) -> float:
    """How likely at least so many plants come of plugs, 0 to 1.

    Args:
        plants: wanted, 0 or more.
        plugs: sown, 0 or more.
        keep: share of plugs that become plants, above 0 and below 1; a Share where it is itself not certain, so that
            the chance is that of a beta-binomial distribution.
    """
    if plants <= 0:
        return 1.0
    terms = (_log_chance(up, plugs, keep) for up in range(plants, plugs + 1))
    return min(1.0, sum(exp(term) for term in terms))


def plugs_for(plants: int, keep: float | Share, sure: float = 0.5) -> int:
    """The fewest plugs of which at least so many plants come with a chance of `sure`.

    Raises:
        ValueError: keep or sure is not between 0 and 1, or no number up to MOST_PLUGS is enough.
    """
    mean = keep.mean if isinstance(keep, Share) else keep
    if not (0 < mean < 1 and 0 < sure < 1):
        raise ValueError(f"a share between 0 and 1 is needed: keep {mean}, sure {sure}")
    fewest, enough = plants, max(plants, 1)
    while chance_of_enough(plants, enough, keep) < sure:
        fewest, enough = enough, 2 * enough
        if enough > MOST_PLUGS:
            raise ValueError(f"{plants} plants cannot be had with a chance of {sure} by sowing {MOST_PLUGS} plugs")
    while enough - fewest > 1:
        half = (fewest + enough) // 2
        fewest, enough = (fewest, half) if chance_of_enough(plants, half, keep) >= sure else (half, enough)
    return fewest if chance_of_enough(plants, fewest, keep) >= sure else enough


def _log_chance(up: int, plugs: int, keep: float | Share) -> float:
    """Logarithm of the chance that just so many come up."""
    ways = lgamma(plugs + 1) - lgamma(up + 1) - lgamma(plugs - up + 1)
    if isinstance(keep, Share):
        return ways + _log_beta(up + keep.alpha, plugs - up + keep.beta) - _log_beta(keep.alpha, keep.beta)
    return ways + up * log(keep) + (plugs - up) * log(1 - keep)


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)
