"""A process that has everything imported and forks the service on demand, so that it starts in a moment.

What it forks is the service as `rowcall serve` runs it, in a process of its own that can be killed, starved and limited.
It takes a line on its input for each start, "port database public-url carrier-url", and answers with the process's id.
The service's clock is the machine's plus the seconds that stand in a file.
"""

import os
import signal
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from shutil import copyfile
from tempfile import TemporaryDirectory

from sqlmodel import select

from core.books import store
from core.books.tables import Farm
from service import clockwork, inbox, limits, line, loops
from service.app import create_app
from service.carriers import TextIn
from service.conversation import Conversation
from service.log import configure
from service.server import run
from service.settings import Settings
from tests.service.carriers.loopback import ACCOUNT, TOKEN

PHONE = "+13125550101"
BUSY_TIMEOUT_S = 1  # in place of ten, so that a test of locked books need not wait for so long
TICK_S = 0.3
MANY = 1_000_000  # a few phones text here what a crew does in months, and each of their texts wants its reply


def clock_in(file: Path):
    """The machine's clock, put forward or back by what the file says at each look."""
    return lambda: datetime.now(UTC) + timedelta(seconds=float(file.read_text() or 0))


def serve(port: str, database: str, carrier_url: str, clock_file: str, log_file: str) -> None:
    """The service, with its waits shortened; its log goes to a file."""
    output = os.open(log_file, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    os.dup2(output, 2)
    store.BUSY_TIMEOUT_S = BUSY_TIMEOUT_S
    clockwork.EVERY_S = TICK_S
    line.LONG_PAUSE_S = TICK_S
    line.SHORT_PAUSE_S = TICK_S / 10
    loops.MOST_REPLIES_A_MINUTE = loops.MOST_REPLIES_A_DAY = limits.TEXTS_OF_A_NUMBER = MANY
    configure("INFO")
    settings = Settings(
        _env_file=None,
        database=f"sqlite:///{database}",
        public_url=f"http://127.0.0.1:{port}",
        carrier="twilio",
        twilio_account=ACCOUNT,
        twilio_token=TOKEN,
        twilio_api_url=carrier_url,
        twilio_segments_a_second=1000,
    )
    app = create_app(settings, clock_in(Path(clock_file)))
    run(app, host="127.0.0.1", port=int(port), log_config=None, access_log=False)


def warm_up(database: str) -> None:
    """Take one text through a copy of the books, so that whatever is built at the first use is built before the fork."""
    with TemporaryDirectory() as folder:
        books = store.Books(f"sqlite:///{copyfile(database, Path(folder) / 'farm.db')}")
        now = datetime.now(UTC)
        with books.write() as session:
            farm = session.exec(select(Farm)).one()
            text, _ = inbox.receive(session, farm, TextIn("twilio", "SM", farm.phone, PHONE, "ph main is 5.9"), now)
        inbox.finish(books, text.farm_id, text.id, Conversation(), now)
        books.close()


def main() -> None:
    """Fork a service for each line of the input, until there is no more."""
    warm_up(sys.argv[1])
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for the dead
    for order in sys.stdin:
        child = os.fork()
        if child == 0:
            signal.signal(signal.SIGCHLD, signal.SIG_DFL)
            sys.stdin.close()
            serve(*order.split())
            os._exit(0)
        print(child, flush=True)


if __name__ == "__main__":
    main()
