"""Readings judged: what figures can be, the range that is wanted where, what to do about one that is off."""

from core.readings.limits import (
    Judgement,
    Limit,
    Range,
    alarming,
    judge,
    likely,
    limits,
    overlap,
    possible,
    usual,
)

__all__ = ["Judgement", "Limit", "Range", "alarming", "judge", "likely", "limits", "overlap", "possible", "usual"]
