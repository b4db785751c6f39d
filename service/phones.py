"""Telephone numbers, in the one form the books and the carriers know: E.164."""

from __future__ import annotations

import re

import phonenumbers

_FICTIONAL = re.compile(r"\+1[2-9]\d{2}55501\d{2}")


def e164(raw: str, region: str = "US") -> str | None:
    """The number as E.164 ("+13125550142"), or None where it is not one that could be dialled.

    Args:
        raw: a number alone, written as people write it; an extension is left out. For a number inside a sentence this
            is the wrong door: its letters would be read as keys.
        region: where a number without a country code belongs.
    """
    try:
        number = phonenumbers.parse(raw, region)
    except phonenumbers.NumberParseException:
        return None
    if not phonenumbers.is_valid_number(number):
        return None
    return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)


def number_in(text: str, region: str = "US") -> str | None:
    """The first telephone number in a sentence as E.164, or None."""
    matches = phonenumbers.PhoneNumberMatcher(text, region)
    return next((phonenumbers.format_number(one.number, phonenumbers.PhoneNumberFormat.E164) for one in matches), None)


def is_fictional(number: str) -> bool:
    """Whether it is one of the numbers kept for invented people, 555-0100 to 555-0199 in any area.

    The library calls them valid, so nothing but this tells them from real ones.
    """
    return _FICTIONAL.fullmatch(number) is not None
