"""A text typed on the practice phone: what may be in it, and how it is handed to the farm."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from core.books.store import Books
from service.carriers import TextIn
from service.inbox import receive
from service.practice.thread import Line, caller, callers, practice_farm, replies

CARRIER = "practice"
YEARS = range(2000, 2100)  # any zone can say these as UTC


class WrongText(ValueError):
    """A text cannot be handed over; says why in words for the person at the keyboard."""


def _moment(said: Any) -> Any:
    """A time as it was written, "" being now; a bare number is not taken for one."""
    if said is None or said == "":
        return None
    try:
        moment = datetime.fromisoformat(said)
    except (TypeError, ValueError):
        raise ValueError("not a time; write it like 2026-05-02T09:10") from None
    if moment.year not in YEARS:
        raise ValueError(f"a year from {YEARS[0]} to {YEARS[-1]}, please")
    return moment


class PracticeText(BaseModel):
    """A text as somebody. `id` makes a second sending of it change nothing; `sent` without an offset is farm-local."""

    model_config = ConfigDict(extra="forbid")

    sender: str = Field(alias="from", min_length=1, max_length=40, description='A handle ("walt") or an E.164 number.')
    text: str = Field(max_length=20_000)
    id: str | None = Field(None, pattern=r"^[!-~]{1,100}$", description="The same id is the same text.")
    sent: Annotated[datetime | None, BeforeValidator(_moment)] = Field(None, description="Empty is now.")

    @classmethod
    def read(cls, body: bytes | Mapping[str, Any]) -> PracticeText:
        """From a JSON body or a form's fields.

        Raises:
            WrongText: something is missing, or not what it should be.
        """
        try:
            return cls.model_validate_json(body) if isinstance(body, bytes) else cls.model_validate(dict(body))
        except ValidationError as error:
            raise WrongText("; ".join(map(_in_words, error.errors()))) from None


def _in_words(fault: Mapping[str, Any]) -> str:
    field = ".".join(map(str, fault["loc"])) or "the body"
    return f"{field}: {fault['msg'].removeprefix('Value error, ')}"


@dataclass(frozen=True, slots=True)
class Answered:
    """A text the farm has taken: whose it is, its id, and the replies."""

    handle: str
    id: str
    replies: list[Line]


def hand_over(
    books: Books, text: PracticeText, text_id: str, now: datetime, answer_now: Callable[[int, str], object]
) -> Answered:
    """Store a text, have it answered, and fetch the replies. The same id again gets the same answer.

    Raises:
        WrongText: nobody has that handle, and it is no number.
        NoSuchFarm: the books are empty.
    """
    with books.write() as session:
        farm = practice_farm(session)
        who = caller(session, farm, text.sender)
        if who is None:
            names = ", ".join(one.handle for one in callers(session, farm))
            raise WrongText(f"from: nobody here is {text.sender!r}; there are {names}, or a number like +13125550150")
        sent_at = _aware(text.sent, farm.timezone) if text.sent else None
        stored = TextIn(CARRIER, text_id, farm.phone, who.phone, text.text, sent_at=sent_at)
        inbound, _ = receive(session, farm, stored, now)
    if inbound.done_at is None:
        answer_now(farm.id, inbound.id)
    with books.read() as session:
        return Answered(who.handle, text_id, replies(session, farm, inbound))


def _aware(moment: datetime, timezone: str) -> datetime:
    return moment if moment.tzinfo else moment.replace(tzinfo=ZoneInfo(timezone))
