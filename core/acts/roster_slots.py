"""The shifts of a week as the roster takes them: those in the books and of the patterns, shaped by the work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from statistics import median_low

from core.books import crew, people, tasks, water
from core.books.ledger import Ledger
from core.books.tables import Shift, ShiftPattern
from core.calendar import bounds, instant, local_day, week, weekday
from core.shifts.ahead import DayWork, work_ahead
from core.shifts.making import Hours, Slot, is_worth_a_shift, shaped
from core.vocabulary import Vocabulary

NEW = "new"
"""How the ids of shifts begin that are not in the books yet."""


@dataclass
class WeekSlots:
    """The books, read once for the shifts of the week from a Monday on, as far as they begin after `now`."""

    ledger: Ledger
    words: Vocabulary
    monday: date
    now: datetime

    @property
    def sunday(self) -> date:
        """The last day of the week."""
        return self.monday + timedelta(days=6)

    @cached_property
    def patterns(self) -> Sequence[ShiftPattern]:
        """The shifts that are there every week."""
        return crew.patterns(self.ledger)

    @cached_property
    def booked(self) -> Mapping[str, Shift]:
        """Those in the books, on open days, by id."""
        closed = crew.closed_days(self.ledger, self.monday, self.sunday)
        found = crew.shifts_between(self.ledger, *bounds(self.monday, self.sunday, self.words.zone))
        return {
            one.id: one
            for one in found
            if one.starts_at > self.now and local_day(one.starts_at, self.words.zone) not in closed
        }

    def as_booked(self) -> Mapping[str, Slot]:
        """The shifts in the books as they are there."""
        return {key: self._slot(row) for key, row in self.booked.items()}

    def shaped(self) -> Mapping[str, Slot]:
        """The week's shifts by id, shaped by the work of their days; ids of those not in the books begin with NEW."""
        kept = frozenset().union(*people.skills(self.ledger).values())
        made = [
            slot
            for work in self._work()
            if work.day >= self.monday
            for slot in shaped(work, self._base(work.day), self._hours, kept)
            if slot.starts_at > self.now
        ]
        return {slot.id or f"{NEW}{at}": slot for at, slot in enumerate(made, 1)}

    def _slot(self, row: Shift) -> Slot:
        span = self._local((row.starts_at, row.ends_at))
        return Slot(*span, row.needed, row.id, row.minutes, tuple(row.skills), row.adults)

    @cached_property
    def _hours(self) -> Hours:
        usual = median_low([one.start for one in self.patterns]) if self.patterns else self.words.opens
        return Hours(self.words.opens, self.words.closes, usual, self.words.zone)

    def _work(self) -> Iterator[DayWork]:
        """The work of all open days up to the end of the week."""
        today = local_day(self.now, self.words.zone)
        closed = crew.closed_days(self.ledger, today, self.sunday)
        ahead = (self.sunday - today).days
        days = [day for n in range(ahead + 1) if (day := today + timedelta(days=n)) not in closed]
        fresh = [day for at, day in enumerate(days) if at == 0 or week(day)[0] != week(days[at - 1])[0]]
        states = {day: tasks.state(self.ledger, self.words, day) for day in fresh}
        return work_ahead(days, states, water.tanks(self.ledger), self._is_staffed)

    def _is_staffed(self, work: DayWork) -> bool:
        return is_worth_a_shift(work) or bool(self._base(work.day))

    def _base(self, day: date) -> list[Slot]:
        """The shifts of a day as the patterns have them, in the books or not, and others that are in the books."""
        start, end = bounds(day, day, self.words.zone)
        booked = {(one.starts_at, one.ends_at): one for one in crew.shifts_between(self.ledger, start, end)}
        found = {}
        for pattern in (one for one in self.patterns if one.day == weekday(day)):
            span = instant(day, pattern.start, self.words.zone), instant(day, pattern.end, self.words.zone)
            row = booked.pop(span, None)
            found[span] = Slot(*self._local(span), pattern.needed, row.id if row else None)
        for span, row in booked.items():
            found[span] = Slot(*self._local(span), row.needed, row.id)
        return [found[span] for span in sorted(found)]

    def _local(self, span: tuple[datetime, datetime]) -> tuple[datetime, datetime]:
        return span[0].astimezone(self.words.zone), span[1].astimezone(self.words.zone)
