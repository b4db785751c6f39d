"""How often one address may knock at the board's door: so many times in a while, kept in this process."""

from __future__ import annotations

import threading
from collections import OrderedDict, deque
from datetime import datetime, timedelta

MOST_ADDRESSES = 10_000


class Pace:
    """At most `most` knocks from one address within `within`. Only the addresses of late are remembered."""

    def __init__(self, most: int, within: timedelta) -> None:
        self._most = most
        self._within = within
        self._knocks: OrderedDict[str, deque[datetime]] = OrderedDict()
        self._lock = threading.Lock()

    def allows(self, address: str, now: datetime) -> bool:
        """Whether one more is allowed now; it is counted if so."""
        with self._lock:
            knocks = self._knocks.setdefault(address, deque())
            self._knocks.move_to_end(address)
            if len(self._knocks) > MOST_ADDRESSES:
                self._knocks.popitem(last=False)
            while knocks and knocks[0] <= now - self._within:
                knocks.popleft()
            if len(knocks) >= self._most:
                return False
            knocks.append(now)
            return True
