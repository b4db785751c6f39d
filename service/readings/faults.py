"""Why a reading was refused, in English, for whoever set up the equipment or wrote the file."""

from __future__ import annotations

from core.readings.admission import Fault

REASONS = {
    "measure": "{said!r} is no measure; there are {valid}",
    "where": "{said!r} is no place for this measure; it is read in {valid}",
    "unit": "{said!r} is no unit of this measure; write {valid}",
    "scale": "ppm of a meter is on one of two scales; write ppm500 or ppm700",
    "future": "{said} is in the future; is the clock right?",
    "impossible": "{said} cannot be right; it is from {valid}",
}


def in_words(fault: Fault) -> str:
    """The reason in one line."""
    return REASONS[fault.kind].format(said=fault.said, valid=", ".join(fault.valid) or "no unit")
