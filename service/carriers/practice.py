"""The practice phone: a carrier whose texts never leave the database, where its page reads them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from service.carriers import Outgoing, Sent, TextIn
from service.carriers.media import Never


class Practice:
    """Delivers every text at once, to nobody."""

    name = "practice"
    segments_a_second: float | None = None

    def send(self, text: Outgoing) -> Sent:
        """Taken and delivered."""
        return Sent(carrier_id=f"{self.name}-{text.reference}", state="delivered")

    def brings_pictures(self, phone: str) -> bool:
        """Its page shows them."""
        return True

    def medium(self, url: str) -> bytes:
        """Nothing: a practice photo is in the books before its text is read."""
        raise Never("foreign_address")

    def lookup(self, text: Outgoing, since: datetime) -> tuple[Sent, ...]:
        """Nothing: a text cut off here had no effect yet, and is sent again."""
        return ()

    def received(self, number: str, since: datetime) -> Iterator[TextIn]:
        """Nothing: its texts are handed over in the database and cannot get lost on the way."""
        return iter(())
