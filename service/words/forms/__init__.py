"""How values are written in a text, by the names the language files use for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from service.words.forms import manner, places, produce, things, times
from service.words.forms.manner import Manner

FORMS: dict[str, Callable[[Manner, Any], str]] = {
    form.__name__: form
    for form in (
        *(manner.plain, manner.number, manner.term, manner.terms, manner.people, manner.people_or),
        *(manner.listing, manner.facts, manner.joined, manner.lines),
        *(produce.crop, produce.crops, produce.mass, produce.amount, produce.amounts, produce.counted, produce.trays),
        *(places.place, places.places, places.tank, places.tanks, places.tanks_or),
        *(times.day, times.calendar_day, times.clock, times.local_clock, times.moment, times.hours, times.span),
        *(times.span_hours, times.windows, times.weekly, times.duration, times.age),
        *(things.measure, things.measure_name, things.quantity, things.difference, things.temperature, things.volume),
        *(things.supply, things.supplies, things.stocked, things.recipient),
    )
}

__all__ = ["FORMS", "Manner"]
