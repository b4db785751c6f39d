"""Logs for programs: one JSON object a line, with no number, name or text of anybody in it.

Lines about one text carry its id under "text": with `rowcall trace` they tell its way through the house.
"""

from __future__ import annotations

import json
import logging
import re
from datetime import UTC, datetime

NUMBER = re.compile(r"\+?\d{10,15}")

FIELDS = ("farm", "text", "read", "acts", "ms")
"""What a line may carry besides what it says: ids, kinds and times of ours."""

OURS = ("service", "core", "uvicorn")
"""Whose lines are wanted below a warning. Libraries write down what they send and ask, numbers and words in it."""


class Lines(logging.Formatter):
    """Time, level, where, what; a phone number that slipped in is masked, an error is named by its class only."""

    def format(self, record: logging.LogRecord) -> str:
        """One record as one line of JSON."""
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "from": record.name,
            "said": NUMBER.sub("(number)", record.getMessage()),
        }
        line |= {name: getattr(record, name) for name in FIELDS if hasattr(record, name)}
        if record.exc_info and record.exc_info[0]:
            line["error"] = record.exc_info[0].__name__
        return json.dumps(line, ensure_ascii=False)


def configure(level: str) -> None:
    """Send log lines to standard error in this form: ours from `level` on, those of libraries from a warning on."""
    handler = logging.StreamHandler()
    handler.setFormatter(Lines())
    logging.basicConfig(level=logging.WARNING, handlers=[handler], force=True)
    for name in OURS:
        logging.getLogger(name).setLevel(level)
