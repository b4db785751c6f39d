"""Backups: whole, consistent while the farm goes on writing, proved by opening them, and restored to the same books."""

import os
import sqlite3
import threading
from contextlib import closing
from shutil import copyfile

import pytest
from sqlmodel import SQLModel, select

from core.books.ledger import Ledger
from core.books.migrate import migrate
from core.books.store import Books
from core.books.tables import Farm
from core.errors import BooksDiffer
from service.demo import load
from service.keeping.backup import BackupFault, back_up, check, restore
from tests.demo_farm import NOW
from tests.practice_line import Line


def everything(books):
    """Every row of every table."""
    with books.engine.connect() as connection:
        tables = SQLModel.metadata.sorted_tables
        keys = {table.name: list(table.primary_key.columns) for table in tables}
        return {
            table.name: [tuple(row) for row in connection.execute(select(table).order_by(*keys[table.name]))]
            for table in tables
        }


@pytest.fixture(scope="module")
def migrated(tmp_path_factory):
    """The demo farm in a database brought up by the revisions, as every real one is."""
    file = tmp_path_factory.mktemp("migrated") / "farm.db"
    with closing(Books(f"sqlite:///{file}")) as books:
        migrate(books)
        with books.write() as session:
            load(session, NOW)
    return file


@pytest.fixture
def line(migrated, tmp_path):
    books = Books(f"sqlite:///{copyfile(migrated, tmp_path / 'farm.db')}")
    line = Line(books)
    line.text("walt", "picked 14 romaine from B1 and B2")
    yield line
    books.close()


def empty(tmp_path):
    return Books(f"sqlite:///{tmp_path}/empty.db")


def test_a_backup_restored_elsewhere_is_the_same_books_to_the_last_row(line, tmp_path):
    assert back_up(line.books, tmp_path / "farm.backup") == 1
    with closing(empty(tmp_path)) as books:
        assert restore(tmp_path / "farm.backup", books) == 1
        assert everything(books) == everything(line.books)


def test_a_backup_is_one_file_that_only_its_owner_can_read(line, tmp_path):
    (tmp_path / "kept").mkdir()
    back_up(line.books, tmp_path / "kept" / "farm.backup")
    (file,) = (tmp_path / "kept").iterdir()
    assert oct(os.stat(file).st_mode & 0o777) == "0o600"


def test_a_backup_taken_while_texts_come_in_verifies(line, tmp_path):
    stop, texts = threading.Event(), []

    def crew():
        while not stop.is_set():
            texts.append(line.text("walt", f"main ph 5.{len(texts) % 9}")[0])

    writer = threading.Thread(target=crew)
    writer.start()
    try:
        for n in range(5):
            back_up(line.books, tmp_path / f"{n}.backup")
    finally:
        stop.set()
        writer.join()
    assert [check(tmp_path / f"{n}.backup") for n in range(5)] == [1] * 5
    assert len(texts) > 0


def test_a_backup_does_not_overwrite_a_file(line, tmp_path):
    (tmp_path / "farm.backup").write_text("precious")
    with pytest.raises(BackupFault, match="is there already"):
        back_up(line.books, tmp_path / "farm.backup")
    assert (tmp_path / "farm.backup").read_text() == "precious"


def test_a_backup_that_cannot_be_written_says_so_and_leaves_nothing(line, tmp_path):
    with pytest.raises(BackupFault, match="cannot be written"):
        back_up(line.books, tmp_path / "no such folder" / "farm.backup")


def test_books_that_disagree_are_not_kept_as_a_backup(line, tmp_path):
    with line.books.write() as session:
        session.exec(select(Farm)).one()
        session.connection().exec_driver_sql("UPDATE person SET role = 'lead' WHERE handle = 'bea'")
    with pytest.raises(BooksDiffer):
        back_up(line.books, tmp_path / "farm.backup")
    assert [one.name for one in tmp_path.iterdir() if "backup" in one.name] == []


@pytest.mark.parametrize("content", [b"", b"not a database at all, but long enough to look at" * 50])
def test_what_is_no_backup_is_refused_and_the_books_stay(line, tmp_path, content):
    before = everything(line.books)
    (tmp_path / "odd").write_bytes(content)
    with pytest.raises(BackupFault):
        restore(tmp_path / "odd", line.books, replace=True)
    assert everything(line.books) == before


def test_a_damaged_backup_is_refused(line, tmp_path):
    file = tmp_path / "farm.backup"
    back_up(line.books, file)
    with closing(sqlite3.connect(file)) as opened:
        page = opened.execute("PRAGMA page_size").fetchone()[0]
    octets = bytearray(file.read_bytes())
    octets[page * 3 : page * 6] = b"\xff" * page * 3
    file.write_bytes(octets)
    with pytest.raises(BackupFault):
        check(file)


def test_books_with_a_farm_in_them_are_thrown_away_only_when_asked(line, tmp_path):
    back_up(line.books, tmp_path / "farm.backup")
    line.text("walt", "main ph 5.9")
    before = everything(line.books)
    with pytest.raises(BackupFault, match="farms in the books already"):
        restore(tmp_path / "farm.backup", line.books)
    assert everything(line.books) == before
    restore(tmp_path / "farm.backup", line.books, replace=True)
    assert everything(line.books) != before
    with line.books.read() as session:
        assert Ledger(session, 1).differences() == []


def test_the_farm_goes_on_from_a_restored_backup(line, tmp_path):
    back_up(line.books, tmp_path / "farm.backup")
    with closing(empty(tmp_path)) as books:
        restore(tmp_path / "farm.backup", books)
        again = Line(books)
        again.numbers = iter([100])
        assert again.text("bea", "main ph 5.9")[0].startswith("Noted: pH 5.9")


@pytest.mark.parametrize("engine", ["postgres"])
def test_postgresql_is_backed_up_to_one_file_and_restored_to_either_engine(demo_books, new_address, tmp_path):
    Line(demo_books).text("walt", "picked 14 romaine from B1 and B2")
    assert back_up(demo_books, tmp_path / "farm.backup") == 1
    for address in (new_address(), f"sqlite:///{tmp_path}/other.db"):
        with closing(Books(address)) as books:
            assert restore(tmp_path / "farm.backup", books) == 1
            assert everything(books) == everything(demo_books)
