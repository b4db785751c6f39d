"""What stands on a label: a place's name, what can be texted about it, and the text that its code opens."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

import phonenumbers

from core.outcome import fact
from core.vocabulary import Vocabulary
from service.words import Speaker


@dataclass(frozen=True, slots=True)
class Label:
    """One label: `title` large, `hint` small, `address` in the code to scan."""

    title: str
    hint: str
    address: str


def text_address(phone: str, body: str) -> str:
    """The address that opens a text to a number with its first words written.

    Source:
        RFC 5724 (Wilde, Vaha-Sipila, 2010), sections 2.2 and 2.5: "sms:" number "?body=" percent-encoded text.
    """
    return f"sms:{phone}?body={quote(body, safe='')}"


def written(phone: str) -> str:
    """A number as people read it, without a space at which a line could break: +1-312-555-0199."""
    address = phonenumbers.format_number(phonenumbers.parse(phone), phonenumbers.PhoneNumberFormat.RFC3966)
    return address.removeprefix("tel:")


def of_places(codes: Iterable[str], words: Vocabulary, phone: str, speaker: Speaker) -> list[Label]:
    """Labels of towers, shelves, the cover and tanks; the text begins with the place's name."""
    return [_of_place(code, words, phone, speaker) for code in codes]


def _of_place(code: str, words: Vocabulary, phone: str, speaker: Speaker) -> Label:
    name = speaker.text([fact("label_place", place=code)])
    kind = "tank" if code in words.tanks else "tower" if words.is_tower(code) else "shelf"
    return Label(name, speaker.text([fact(f"label_{kind}", phone=written(phone))]), text_address(phone, f"{name} "))


def of_trays(count: int, phone: str, speaker: Speaker) -> list[Label]:
    """Labels of trays, numbered; the text begins a sowing, as that is what is reported of a tray."""
    hint = speaker.text([fact("label_tray", phone=written(phone))])
    address = text_address(phone, speaker.text([fact("label_tray_text")]) + " ")
    return [Label(speaker.text([fact("label_tray_name", n=n)]), hint, address) for n in range(1, count + 1)]
