"""How Alembic runs: on the connection it is handed, with SQLite's way of altering tables."""

from alembic import context
from sqlmodel import SQLModel

import core.books.tables

TABLES = core.books.tables.LEDGERED


def run() -> None:
    connection = context.config.attributes["connection"]
    context.configure(connection=connection, target_metadata=SQLModel.metadata, render_as_batch=True, compare_type=True)
    with context.begin_transaction():
        context.run_migrations()


run()
