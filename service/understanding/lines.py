"""Texts as JSON lines in, readings as JSON lines out: the door for anyone who wants to check the reading."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any

from core.notes import UnknownNote
from core.vocabulary import Vocabulary
from service.understanding import understand
from service.understanding.reading import context_from_record


class BadLine(ValueError):
    """A line is no JSON object, or a field of it is missing or wrong."""


def read_lines(lines: Iterable[str], vocabulary: Vocabulary) -> Iterator[str]:
    """Read each line's text.

    Args:
        lines: JSON objects with `id`, `text`, `sender`, `sent` (ISO 8601) and `context` (or null); empty lines pass.
        vocabulary: the farm's words.

    Yields:
        JSON objects with `id`, `verdict`, `notes` and `missing`; for a bad line one with `line` and `error`.
    """
    for number, line in enumerate(lines, 1):
        if not line.strip():
            continue
        try:
            yield _read(line, vocabulary)
        except BadLine as error:
            yield json.dumps({"line": number, "error": f"line {number}: {error}"}, ensure_ascii=False)


def _read(line: str, vocabulary: Vocabulary) -> str:
    fields = _fields(line)
    try:
        sent = datetime.fromisoformat(fields["sent"])
    except ValueError as error:
        raise BadLine(f"sent {fields['sent']!r} is no ISO 8601 time") from error
    try:
        context = context_from_record(fields.get("context"))
    except (UnknownNote, KeyError, TypeError, AttributeError, ValueError) as error:
        raise BadLine(f"context: {error}") from error
    reading = understand(
        fields["text"], sent=sent, sender=fields.get("sender") or "", vocabulary=vocabulary, context=context
    )
    return json.dumps({"id": fields.get("id"), **reading.own().record()}, ensure_ascii=False)


def _fields(line: str) -> dict[str, Any]:
    try:
        fields = json.loads(line)
    except ValueError as error:
        raise BadLine(f"no JSON: {error}") from error
    if not isinstance(fields, dict):
        raise BadLine("no JSON object")
    for name in ("text", "sent"):
        if not isinstance(fields.get(name), str):
            raise BadLine(f"{name} must be a text")
    return fields
