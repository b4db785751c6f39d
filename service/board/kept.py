"""What takes long to reckon, kept for as long as the farm's books say the same, for whoever looks next.

Nothing here can be out of date: the number of the last journal entry is part of what a value is kept under. What it
rests on besides the journal (a plan that was kept, the words of a question) belongs into the key.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import TypeVar

T = TypeVar("T")

MOST = 200
"""Values; a forecast of eight weeks is about 10 kB."""


class Kept:
    """The newest values of one process, each under its key."""

    def __init__(self, most: int = MOST) -> None:
        self._most = most
        self._values: OrderedDict[Hashable, object] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, make: Callable[[], T]) -> T:
        """The value under a key, made where there is none; two who ask at once may both make it."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return self._values[key]  # type: ignore[return-value]
        made = make()
        with self._lock:
            self._values[key] = made
            while len(self._values) > self._most:
                self._values.popitem(last=False)
        return made
