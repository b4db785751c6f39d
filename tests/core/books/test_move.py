"""Books moved to another engine: every row, the same state, numbers that go on; or nothing at all."""

import pytest
from sqlalchemy import func
from sqlmodel import SQLModel, select

from core.acts import carry_out
from core.books.ledger import Ledger
from core.books.migrate import migrate
from core.books.move import move
from core.books.store import Books
from core.books.tables import Farm, Place
from core.errors import BooksDiffer, BooksNotMoved
from core.notes import Harvest
from service.demo import load
from tests.demo_farm import FARM, NOW, scene
from tests.practice_line import Line


@pytest.fixture
def old(tmp_path):
    """A farm in a file, with a text that is done and one that asks back."""
    books = Books(f"sqlite:///{tmp_path}/old.db")
    migrate(books)
    with books.write() as session:
        load(session, NOW)
    line = Line(books)
    line.text("walt", "picked 14 romaine from B1 and B2")
    line.text("keisha", "picked some mint")
    yield books
    books.close()


@pytest.fixture
def new(new_address):
    """On PostgreSQL, and once more on SQLite."""
    books = Books(new_address())
    yield books
    books.close()


def everything(books):
    """Every row of every table as plain values."""
    with books.read() as session:
        return {
            table.name: [
                dict(row) for row in session.execute(select(table).order_by(*table.primary_key.columns)).mappings()
            ]
            for table in SQLModel.metadata.sorted_tables
        }


def count(books, table):
    with books.read() as session:
        return session.exec(select(func.count()).select_from(table)).one()


def test_every_row_of_every_table_comes_over(old, new):
    told = {}
    rows = move(old, new, told.__setitem__)
    there = everything(new)
    assert there == everything(old)
    assert rows == sum(told.values()) == sum(len(one) for one in there.values())
    assert {"farm", "entry", "posting", "person", "inbound", "outbound", "openquestion"} <= {
        name for name, copied in told.items() if copied
    }


def test_life_goes_on_where_it_stopped(old, new):
    """An open question is answered, an old entry undone, new numbers follow the last."""
    move(old, new)
    line = Line(new)
    line.numbers = iter(range(50, 60))
    assert "12 bunches mint" in line.text("keisha", "12 bunches")[0]
    assert "Taken back: 14 romaine" in line.text("walt", "undo")[0]
    with new.write() as session:
        carry_out(Harvest(crop="kale", count=2), scene(session))
        assert Ledger(session, FARM).differences() == []
    with new.write() as session:
        farm = {**session.get_one(Farm, FARM).model_dump(), "id": None, "slug": "other", "phone": "+13125550198"}
        session.add(Farm(**farm))
        session.flush()
        assert sorted(session.exec(select(Farm.id))) == [1, 2]


def test_a_target_that_is_not_empty_is_refused_and_kept(old, new):
    migrate(new)
    with new.write() as session:
        load(session, NOW)
    before = everything(new)
    with pytest.raises(BooksNotMoved, match="not empty"):
        move(old, new)
    assert everything(new) == before


def test_books_that_do_not_verify_are_not_moved(old, new):
    with old.write() as session:
        session.get_one(Place, (FARM, "A1")).state = "out"
    with pytest.raises(BooksDiffer):
        move(old, new)
    assert count(new, Farm) == 0


def test_a_move_cut_off_in_the_middle_leaves_the_target_empty(old, new):
    def cut_off(table, rows):
        if table == "person":
            raise SystemExit

    with pytest.raises(SystemExit):
        move(old, new, cut_off)
    assert count(new, Farm) == 0
    assert move(old, new) > 0


def test_books_of_an_older_shape_are_to_be_brought_up_first(new, tmp_path):
    empty = Books(f"sqlite:///{tmp_path}/empty.db")
    with pytest.raises(BooksNotMoved, match="rowcall migrate"):
        move(empty, new)
    empty.close()
