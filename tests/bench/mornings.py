"""Many farms in one PostgreSQL: what a farm's morning costs beside 99 others and beside thousands, and an idle tick.

Run by hand: `python -m tests.bench.mornings [farms…]`, with 100 1000 10000 unless said otherwise. The demo farm is copied
inside the database, so that loading is cheap; mornings are then made as the clockwork makes them, for a sample of farms
spread over all.
"""

import os
import sys
import time
from datetime import timedelta
from functools import partial
from pathlib import Path
from statistics import median

from sqlalchemy import text as sql
from sqlmodel import SQLModel, select

from core.books.store import Books
from core.books.tables import Farm
from service import outbox
from service.clockwork import tick
from tests import demo_farm, postgres
from tests.service.ticks import local

SIZES = (100, 1_000, 10_000)
SAMPLE = 60
MORNING = local(2026, 5, 5, 8, 0)


def fill(books, first, last):
    """Copies of the demo farm with the numbers from `first` to `last`."""
    numbers = {"first": first, "last": last}
    farm = ", ".join(_column(one.name) for one in SQLModel.metadata.tables["farm"].columns)
    with books.write() as session:
        session.execute(
            sql(
                f"INSERT INTO farm SELECT {farm} FROM farm, generate_series(CAST(:first AS int), CAST(:last AS int)) AS copies(copy) WHERE id = 1"
            ),
            numbers,
        )
        for table in SQLModel.metadata.sorted_tables:
            if "farm_id" in table.columns:
                names = [column.name for column in table.columns]
                values = ", ".join("copy" if name == "farm_id" else f't."{name}"' for name in names)
                listed = ", ".join(f'"{name}"' for name in names)
                session.execute(
                    sql(
                        f'INSERT INTO "{table.name}" ({listed}) SELECT {values} '
                        f'FROM "{table.name}" t, generate_series(CAST(:first AS int), CAST(:last AS int)) AS copies(copy) WHERE t.farm_id = 1'
                    ),
                    numbers,
                )


def _column(name):
    unique = {"id": "copy", "slug": "'farm-' || copy", "phone": "'+9' || (1000000000 + copy)"}
    return unique.get(name, f'farm."{name}"')


def rest(books, farms):
    """All farms but these have nothing due."""
    with books.write() as session:
        session.execute(sql("UPDATE next_look SET at = :at"), {"at": MORNING + timedelta(minutes=10)})
        session.execute(
            sql("UPDATE next_look SET at = :at WHERE farm_id = ANY(:farms)"), {"at": MORNING, "farms": farms}
        )


def mornings(books, farms):
    """What a farm's morning takes, tasks made and digest and lists placed: milliseconds on the clock, and of processor."""
    took, before = [], processor_ms(books)
    for farm in farms:
        rest(books, [farm])
        began = time.perf_counter()
        tick(books, MORNING, partial(outbox.place, carrier="practice"))
        took.append((time.perf_counter() - began) * 1000)
    return sorted(took), (processor_ms(books) - before) / len(farms)


def processor_ms(books):
    """Processor time of this process and of the database's that serve it: the same however busy the machine is else."""
    with books.read() as session:
        served_by = session.scalars(sql("SELECT pid FROM pg_stat_activity WHERE backend_type = 'client backend'")).all()
    ticks = sum(sum(map(int, Path(f"/proc/{pid}/stat").read_text().split()[13:15])) for pid in served_by)
    return time.process_time() * 1000 + ticks * 1000 / os.sysconf("SC_CLK_TCK")


def idle(books):
    """Milliseconds of a tick with nothing due anywhere."""
    rest(books, [])
    took = []
    for _ in range(20):
        began = time.perf_counter()
        tick(books, MORNING, partial(outbox.place, carrier="practice"))
        took.append((time.perf_counter() - began) * 1000)
    return median(took)


def megabytes(books):
    with books.read() as session:
        return session.execute(sql("SELECT pg_database_size(current_database())")).scalar_one() / 1e6


def main():
    """Grow the same database step by step and measure at each."""
    sizes = [int(one) for one in sys.argv[1:]] or SIZES
    found = postgres.folders_of_binaries()
    if not found:
        sys.exit("No PostgreSQL here.")
    server = postgres.Server(postgres.start(found[0], settings=("shared_buffers=512MB", "max_wal_size=4GB")))
    address = server.create()
    demo_farm.make(address)
    books, there, used = Books(address), 1, set()
    head = ("farms", "morning, processor ms", "on the clock, median", "p99", "idle tick ms", "MB")
    print("".join(f"{one:>22s}" for one in head))
    for size in sizes:
        fill(books, there + 1, size)
        there = size
        with books.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.exec_driver_sql("ANALYZE")
        sample = [one for one in range(2, size, max(1, size // SAMPLE)) if one not in used][:SAMPLE]
        used.update(sample)
        took, processor = mornings(books, sample)
        figures = (processor, median(took), took[int(len(took) * 0.99)], idle(books), megabytes(books))
        print(f"{size:22,d}" + "".join(f"{one:22,.1f}" for one in figures), flush=True)
    with books.read() as session:
        assert len(session.exec(select(Farm.id)).all()) == there
    books.close()


if __name__ == "__main__":
    main()
