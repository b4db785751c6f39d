"""The forecast of the coming weeks as a figure: the middle, the range, and what is wanted."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from markupsafe import Markup

from core.planning.forecast import Range
from service.board.plots import Series, band
from service.board.wording import PageSpeaker


def svg(
    speaker: PageSpeaker, crop: str, mondays: tuple[date, ...], ranges: tuple[Range, ...], target: float | None
) -> Markup:
    """The figure of one crop, or of all together where `crop` is ""."""
    short = sum(target is not None and one.middle < target for one in ranges)
    return _drawn(
        speaker.t("forecast_of" if crop else "forecast_all", crop=crop),
        speaker.t("forecast_shows", n=len(ranges), short=short, target=target),
        speaker.t("counted_in" if crop else "counted_all", crop=crop),
        (speaker.t("likely"), speaker.t("four_in_five"), speaker.t("target")),
        tuple(map(speaker.short_day, mondays)),
        ranges,
        target,
    )


@lru_cache(maxsize=128)
def _drawn(
    title: str,
    description: str,
    unit: str,
    names: tuple[str, str, str],
    labels: tuple[str, ...],
    ranges: tuple[Range, ...],
    target: float | None,
) -> Markup:
    """Drawn once for the same figures."""
    likely, range_name, target_name = names
    return band(
        title,
        description,
        labels,
        Series(likely, [one.middle for one in ranges]),
        Series("", [one.low for one in ranges]),
        Series(range_name, [one.high for one in ranges]),
        unit=unit,
        targets=Series(target_name, [target] * len(ranges)) if target is not None else None,
    ).svg()
