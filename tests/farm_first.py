"""Watching the statements the house runs: each names the farm whose rows it wants.

A database that keeps farms apart on many machines then sends each statement to one of them.
"""

import re
import sys
from collections import Counter
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Engine, event
from sqlmodel import SQLModel

import service.tables  # noqa: F401

ROOT = Path(__file__).parents[1]
OURS = (f"{ROOT}/core/", f"{ROOT}/service/")
TESTS = f"{ROOT}/tests/"

OF_FARMS = {name for name, table in SQLModel.metadata.tables.items() if "farm_id" in table.columns}

EXCEPTIONS = {
    r"FROM farm\s+WHERE farm\.phone =": "a text names the number it was sent to; this finds the farm",
    r"FROM outbound\s+WHERE .* GROUP BY outbound\.farm_id": "which farms have a text to send; a small index of only those",
    r"FROM inbound\s+WHERE inbound\.done_at IS NULL": "which texts a crash left unfinished; a small index of only those",
    r"FROM photo\s+WHERE photo\.state =": "which photos are to be fetched; a small index of only those",
    r"(FROM|UPDATE) next_look": "which farms have something falling due; one row a farm, by the time of it",
}
"""Statements that are about all farms, and why."""

_TABLES = re.compile(r'\b(?:FROM|JOIN|UPDATE)\s+"?(\w+)"?(?:\s+AS\s+"?(\w+)"?)?', re.IGNORECASE)


def lacking(statement):
    """The tables a statement looks into, or changes, without naming the farm."""
    words = " ".join(statement.split())
    if words.startswith(("INSERT", "PRAGMA", "BEGIN")) or any(re.search(one, words) for one in EXCEPTIONS):
        return []
    called = Counter((alias or table, table) for table, alias in _TABLES.findall(words))
    return [table for (name, table), times in called.items() if table in OF_FARMS and times > _named(name, words)] + [
        "farm" for (name, table) in called if table == "farm" and not re.search(rf"\b{name}\.id = ", words)
    ]


def _named(table, words):
    """How often the table's farm is said to equal something."""
    return len(re.findall(rf"\b{table}\.farm_id = |= {table}\.farm_id\b", words))


@contextmanager
def watched():
    """The statements run by core/ and service/ while the block lasts that lack the farm, each once; and all, counted."""
    seen, wrong = Counter(), {}

    def look(_connection, _cursor, statement, *_):
        place = _whose()
        if place is not None:
            seen[statement] += 1
            if lacking(statement):
                wrong[statement] = place

    event.listen(Engine, "before_cursor_execute", look)
    try:
        yield seen, wrong
    finally:
        event.remove(Engine, "before_cursor_execute", look)


def _whose():
    """The line of ours that runs the statement; None where a test does."""
    frame = sys._getframe(2)
    while frame is not None:
        file = frame.f_code.co_filename
        if file.startswith(OURS):
            return f"{file.removeprefix(str(ROOT))}:{frame.f_lineno}"
        if file.startswith(TESTS):
            return None
        frame = frame.f_back
    return None
