"""Where the reading of a clause's times stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from service.understanding.sheet import Clause, Sheet
from service.understanding.times.stretch import Stretch


@dataclass(slots=True)
class Scan:
    """Where the scan of a clause stands."""

    clause: Clause
    sent: datetime
    found: list[Stretch] = field(default_factory=list)
    now: Stretch = field(default_factory=Stretch)
    ranged: bool = False
    excepting: bool = False
    weekly: bool = False
    until: date | None = None
    month: int | None = None
    last_end: int = -1
    parted: bool = False
    whole_day: bool = False
    open_until: bool = False

    @property
    def sheet(self) -> Sheet:
        """The sheet the clause is part of."""
        return self.clause.sheet

    def close(self) -> None:
        """End the stretch that is being put together and begin another."""
        if not self.now.empty:
            self.found.append(self.now)
        self.now = Stretch()
        self.parted = self.whole_day = False
