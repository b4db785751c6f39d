"""Books that cannot be written: the disk is full, or another process holds them. What is not kept is not acknowledged."""

import os
import resource
import shutil
import sqlite3
import subprocess
from contextlib import contextmanager

import pytest

from service import outbox
from tests import demo_farm
from tests.faults.service import CREW, Service, body, check, sid, twice

LATER = 503
ROOM = 300_000  # octets left: a few texts


def text_until_it_refuses(service):
    """The numbers of the texts acknowledged before the first that was not."""
    kept = []
    for number in range(500):
        status = service.post(sid(number), CREW[number % len(CREW)], body(number))
        if status != 200:
            assert status == LATER
            return kept
        kept.append(number)
    raise AssertionError("the disk never got full")


def recovers(service, kept):
    """With room again, what was refused is taken when the carrier brings it again, and all is finished."""
    refused = len(kept)
    service.wait_for(lambda: service.post(sid(refused), CREW[refused % len(CREW)], body(refused)) == 200)
    service.forward(outbox.LEASE)  # a text may have been sent whose sending could not be noted
    service.wait_for(service.idle)
    service.kill()
    check(service, [*kept, refused])
    assert twice(service) == 0


def test_a_disk_quota_is_used_up(service):
    """The service's files may not grow by more than a little; then they may again, as when somebody makes room."""
    service.start()
    room = service.file.stat().st_size + ROOM
    limits = resource.prlimit(service.pid, resource.RLIMIT_FSIZE, (room, resource.RLIM_INFINITY))
    kept = text_until_it_refuses(service)
    assert service.post(sid(len(kept)), CREW[0], body(len(kept))) == LATER
    assert service.answers(), "it still says how it is"
    resource.prlimit(service.pid, resource.RLIMIT_FSIZE, limits)
    recovers(service, kept)


@contextmanager
def small_disk(folder):
    """A disk of sixteen megabytes, which takes the rights of an administrator."""
    folder.mkdir()
    mounted = os.geteuid() == 0 and not subprocess.call(
        ["mount", "-t", "tmpfs", "-o", "size=16m", "tmpfs", folder], stderr=subprocess.DEVNULL
    )
    if not mounted:
        pytest.skip("a small disk can only be made by root, and not in every container")
    try:
        yield folder
    finally:
        subprocess.check_call(["umount", "--lazy", folder])


def test_the_disk_is_full(sqlite_template, tmp_path, loopback):
    with small_disk(tmp_path / "disk") as disk:
        demo_farm.copy(sqlite_template, disk / "farm.db").close()
        ballast = disk / "ballast"
        with Service(disk, loopback) as service:
            service.log = tmp_path / "log"
            service.start()
            ballast.write_bytes(bytes(shutil.disk_usage(disk).free - ROOM))
            kept = text_until_it_refuses(service)
            assert service.post(sid(len(kept)), CREW[0], body(len(kept))) == LATER
            ballast.unlink()
            recovers(service, kept)


def test_another_process_holds_the_books(service):
    service.start()
    assert service.post(sid(0), CREW[0], body(0)) == 200
    service.wait_for(service.idle)
    other = sqlite3.connect(service.file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    assert service.post(sid(1), CREW[1], body(1)) == LATER
    assert service.answers(), "reading goes on"
    other.execute("ROLLBACK")
    other.close()
    assert service.post(sid(1), CREW[1], body(1)) == 200
    service.wait_for(service.idle)
    service.kill()
    check(service, [0, 1])
    assert twice(service) == 0


def test_the_books_are_held_just_when_a_text_is_to_be_finished(service):
    """It was acknowledged, so it is finished as soon as they are free, however often that was tried in vain."""
    service.start()
    service.kill()
    service.start()
    with sqlite3.connect(service.file, isolation_level=None) as other:
        for number in range(3):
            assert service.post(sid(number), CREW[number], body(number)) == 200
            other.execute("BEGIN IMMEDIATE")
            other.execute("ROLLBACK")
    other.close()
    service.wait_for(service.idle)
    service.kill()
    check(service, range(3))
