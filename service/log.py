"""Logs for programs: one JSON object a line, with no number, name or text of anybody in it."""

from __future__ import annotations

import json
import logging
import re
from datetime import UTC, datetime

NUMBER = re.compile(r"\+?\d{10,15}")


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
        if record.exc_info and record.exc_info[0]:
            line["error"] = record.exc_info[0].__name__
        return json.dumps(line, ensure_ascii=False)


def configure(level: str) -> None:
    """Send every log line to standard error in this form."""
    handler = logging.StreamHandler()
    handler.setFormatter(Lines())
    logging.basicConfig(level=level, handlers=[handler], force=True)
    logging.getLogger("apscheduler").setLevel(logging.WARNING)  # a line for every tick says nothing
