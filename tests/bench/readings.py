"""What a reading of equipment costs, against one written as an entry of the journal. By hand: python -m tests.bench.readings"""

import tempfile
import time
from datetime import timedelta
from pathlib import Path

from core.acts import carry_out
from core.acts.equipment import deliver
from core.books.ledger import Ledger
from core.notes import Reading
from core.readings.admission import Raw
from service import alarms
from tests import demo_farm
from tests.demo_farm import FARM, NOW, scene
from tests.service.ticks import place

BATCH, BATCHES, SAID = 1000, 20, 200
EVERY = timedelta(seconds=30)


def timed(work):
    """Seconds that some work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def delivered(books):
    """Readings in batches, each a unit of work."""
    for number in range(BATCHES):
        raw = [Raw("ph", 5.9, "", "main", NOW - (number * BATCH + at) * EVERY) for at in range(BATCH)]
        with books.write() as session:
            deliver(Ledger(session, FARM), "box", raw, NOW)


def said(books):
    """Readings as people text them, all in one unit of work, so that only the books' own cost is counted."""
    with books.write() as session:
        for at in range(SAID):
            carry_out(Reading(measure="ph", value=5.9, where="main"), scene(session, at=NOW - at * EVERY))


def main():
    """A few lines to read."""
    folder = Path(tempfile.mkdtemp())
    demo_farm.make(f"sqlite:///{folder}/template.db")
    books = demo_farm.copy(demo_farm.SqliteTemplate(folder / "template.db"), folder / "farm.db")
    one_said = timed(lambda: said(books)) / SAID
    one_delivered = timed(lambda: delivered(books)) / (BATCH * BATCHES)
    look = timed(lambda: alarms.see_to(books, FARM, NOW, place))
    again = timed(lambda: alarms.see_to(books, FARM, NOW, place))
    print(
        f"as an entry: {one_said * 1e6:.0f} us a reading; delivered: {one_delivered * 1e6:.1f} us, {one_said / one_delivered:.0f} times less"
    )
    print(f"a look for alarms amid {BATCH * BATCHES} readings: {look * 1e3:.0f} ms, then {again * 1e3:.0f} ms")
    books.close()


if __name__ == "__main__":
    main()
