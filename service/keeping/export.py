"""Everything in the books as files: each table as CSV for people and as JSON for programs."""

from __future__ import annotations

import csv
import json
import os
from base64 import b64encode
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, select
from sqlmodel import SQLModel

from core.books.store import Books
from service.keeping.snapshot import one_moment

DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""First letters by which a spreadsheet takes a text for a formula: OWASP, CSV Injection, with the full-width forms."""


class FolderTaken(ValueError):
    """The folder to export to holds files already."""


def export(books: Books, folder: Path) -> dict[str, int]:
    """Write every table of every farm, all of one moment, into a new folder that only its owner can read.

    Returns:
        Table -> rows written.

    Raises:
        FolderTaken: there is something in the folder.
    """
    if folder.exists() and any(folder.iterdir()):
        raise FolderTaken(f"{folder} is not empty; name a new folder")
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(0o700)
    with one_moment(books) as connection:
        return {table.name: _write(connection, table, folder) for table in SQLModel.metadata.sorted_tables}


def _write(connection: Connection, table: Table, folder: Path) -> int:
    """One table, ordered by its key, as NAME.csv and NAME.json; how many rows."""
    names = [column.name for column in table.columns]
    rows = 0
    result = connection.execution_options(yield_per=1000).execute(select(table).order_by(*table.primary_key.columns))
    with _open(folder / f"{table.name}.csv", "utf-8-sig") as sheet, _open(folder / f"{table.name}.json") as data:
        writer = csv.writer(sheet)
        writer.writerow([name.replace("_", " ") for name in names])
        data.write("[")
        for row in result:
            writer.writerow([cell(value) for value in row])
            data.write(",\n" if rows else "\n")
            json.dump(dict(zip(names, map(plain, row), strict=True)), data, ensure_ascii=False)
            rows += 1
        data.write("\n]\n")
    return rows


def _open(file: Path, encoding: str = "utf-8") -> Any:
    """A new file that only its owner can read. CSV carries a mark by which spreadsheets see that it is UTF-8."""
    return open(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding=encoding, newline="")


def cell(value: Any) -> str:
    """A value as a cell of a sheet; text that would be taken for a formula gets an apostrophe before it."""
    if value is None:
        return ""
    if isinstance(value, bool | int | float):
        return str(value).lower() if isinstance(value, bool) else str(value)
    text = value if isinstance(value, str) else _as_text(plain(value))
    return f"'{text}" if text.startswith(DANGEROUS) else text


def _as_text(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def plain(value: Any) -> Any:
    """A value as JSON has it: times and dates in ISO 8601, bytes in base 64."""
    if isinstance(value, bytes):
        return b64encode(value).decode("ascii")
    return value.isoformat() if isinstance(value, datetime | date | time) else value
