"""What a text costs on its way: its encoding, its parts, and the letters folded so that it costs less."""

from __future__ import annotations

import tomllib
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

Encoding = Literal["GSM-7", "UCS-2"]

_DATA = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
BASIC = frozenset(_DATA["basic"])
EXTENSION = frozenset(_DATA["extension"])
ROOM: dict[str, dict[str, int]] = _DATA["room"]
FOLD: dict[int, str] = {ord(letter): plain for letter, plain in _DATA["fold"].items()}


@dataclass(frozen=True, slots=True)
class Segments:
    """A text's cost: its encoding, its length in that encoding's units, and the parts it is sent in."""

    encoding: Encoding
    units: int
    parts: int


def count(text: str) -> Segments:
    """What the text costs as it stands.

    Units are septets in GSM-7, where a letter of the extension table takes two, and UTF-16 code units in UCS-2, where
    a letter above U+FFFF takes two. A pair is never split between two parts: the place before it stays empty.

    Source:
        3GPP TS 23.038 (alphabet) and TS 23.040 (concatenation).
    """
    encoding: Encoding = "GSM-7" if is_gsm(text) else "UCS-2"
    costs = [_cost(letter, encoding) for letter in text]
    units = sum(costs)
    room = ROOM[encoding]
    return Segments(encoding, units, 1 if units <= room["alone"] else _parts(costs, room["part"]))


def is_gsm(text: str) -> bool:
    """Whether every letter is in the GSM alphabet or its extension table."""
    return all(letter in BASIC or letter in EXTENSION for letter in text)


def fold(text: str) -> str:
    """The text with what can be said in the GSM alphabet said in it: quotes, dashes, spaces, accents outside it.

    Composed first (NFC), so that an accented letter the alphabet has stays what it is. Control characters go. Letters
    with no plain twin (emoji, other scripts) are left alone, and with them the text is UCS-2.
    """
    composed = unicodedata.normalize("NFC", text).translate(FOLD)
    return "".join(letter if is_gsm(letter) else _plain(letter) for letter in composed)


def _cost(letter: str, encoding: Encoding) -> int:
    return 2 if (letter in EXTENSION if encoding == "GSM-7" else ord(letter) > 0xFFFF) else 1


def _parts(costs: list[int], room: int) -> int:
    parts, used = 1, 0
    for cost in costs:
        if used + cost > room:
            parts, used = parts + 1, 0
        used += cost
    return parts


def _plain(letter: str) -> str:
    """The letter without its accent or width, or the letter itself where that is not in the alphabet either."""
    if unicodedata.category(letter) in ("Cc", "Cs") or "\u0300" <= letter <= "\u036f":
        return ""
    bare = "".join(part for part in unicodedata.normalize("NFKD", letter) if not unicodedata.combining(part))
    return bare if bare and is_gsm(bare) else letter
