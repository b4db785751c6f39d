"""Who carries texts: the small contract a carrier keeps, and what can happen to a text on its way.

A carrier is one file beside this one. It sends (`Carrier`) and, where it calls back by web, reads what it posts
(`Webhooks`); `routes` gives it its addresses.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, Protocol

State = Literal["sent", "delivered", "failed"]

Reason = Literal["invalid", "landline", "blocked", "unsubscribed", "unreachable"]
"""Why a number gets no text: not in use, no mobile phone, closed to us, its owner said STOP, or out of reach now."""


@dataclass(frozen=True, slots=True)
class TextIn:
    """A text as a carrier hands it over.

    `id` is the carrier's own, the same however often the text is delivered. `to` is the farm's number, `phone` the
    sender's. `media` are {"url", "type"} of what came with it. `sent_at` is None where the carrier does not say.
    """

    carrier: str
    id: str
    to: str
    phone: str
    body: str
    media: tuple[dict[str, str], ...] = ()
    sent_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Outgoing:
    """A text to be sent: `sender` is the farm's number, `phone` the person's.

    `reference` is ours and comes back with the carrier's news of it. After `valid_s` seconds it is better not delivered
    at all; None: whenever. `media` are addresses of pictures that the carrier fetches and brings with it.
    """

    reference: str
    sender: str
    phone: str
    body: str
    valid_s: int | None = None
    media: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sent:
    """A text the carrier has taken: its id there, how far it is, and where it failed after all, the carrier's code.

    `reason` is what that code says of the number; None where it says nothing of it.
    """

    carrier_id: str
    state: State = "sent"
    error: str | None = None
    reason: Reason | None = None


@dataclass(frozen=True, slots=True)
class News:
    """What became of a text, told later: `reference` is ours, `number` the farm's; None where it did not come back."""

    sent: Sent
    reference: str | None = None
    number: str | None = None


@dataclass(frozen=True, slots=True)
class Posted:
    """A call from a carrier: the address as it is set there, the headers in lower case, the body as it came."""

    address: str
    headers: Mapping[str, str]
    body: bytes


class SendError(Exception):
    """The root: a text was not, or perhaps not, taken by the carrier.

    SendError
    ├── Retry       it was not taken and may be tried again
    ├── Unclear     it may have been taken: look it up before trying again
    └── GiveUp      it will never be taken
    """

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


class Retry(SendError):
    """The carrier did not take the text, and may later: busy, or out of reach. `wait_s` is how long it asked for."""

    def __init__(self, code: str, wait_s: float = 0.0) -> None:
        super().__init__(code)
        self.wait_s = wait_s


class Unclear(SendError):
    """Nobody knows whether the carrier took the text: it was handed over and no answer came."""


class GiveUp(SendError):
    """The carrier will never take the text. `reason` is what that says of the number; None: nothing.

    `words_only`: it is the pictures that it does not take; the words alone may go.
    """

    def __init__(self, code: str, reason: Reason | None = None, *, words_only: bool = False) -> None:
        super().__init__(code)
        self.reason = reason
        self.words_only = words_only


class Carrier(Protocol):
    """What sends texts. `segments_a_second` is how fast one number may send; None: as fast as it likes."""

    name: str
    segments_a_second: float | None

    def send(self, text: Outgoing) -> Sent:
        """Hand the text over.

        Raises:
            Retry, Unclear, GiveUp: as each says.
        """

    def brings_pictures(self, phone: str) -> bool:
        """Whether a picture of ours can reach this number."""

    def medium(self, url: str) -> bytes:
        """What came with a text, by the address that the text gave.

        Raises:
            NotYet, Never: of `media`, as each says.
        """

    def lookup(self, text: Outgoing, since: datetime) -> tuple[Sent, ...]:
        """The texts with these words to this number that the carrier took since then, newest first.

        Raises:
            Retry: it could not be asked.
        """

    def received(self, number: str, since: datetime) -> Iterator[TextIn]:
        """The texts the carrier holds that were sent to this number of ours since then, with the time of each.

        Raises:
            Retry: it could not be asked.
        """


class Webhooks(Protocol):
    """What a carrier posts to us, read. `receipt` is what it wants to hear: media type and content."""

    name: str
    receipt: tuple[str, str]

    def is_genuine(self, posted: Posted) -> bool:
        """Whether the carrier itself posted this, to this address. False whenever that cannot be told."""

    def text_in(self, posted: Posted) -> TextIn | None:
        """The text posted; None where it lacks an id, a sender or an addressee."""

    def news(self, posted: Posted) -> News | None:
        """The news posted of a text sent; None where it is of nothing we know."""
