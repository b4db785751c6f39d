"""A tick looks at the farms that have something to see to, and at no other."""

from datetime import timedelta

from sqlmodel import select

from core.acts import carry_out
from core.books import looks
from core.books.tables import NextLook
from core.notes import Harvest
from tests.demo_farm import FARM, NOW, scene

MINUTE = timedelta(minutes=1)


def take(books, now=NOW):
    with books.write() as session:
        return looks.take(session, now, 10)


def rest(books, until, now=NOW):
    with books.write() as session:
        looks.rest_until(session, FARM, now, until)


def test_a_farm_written_in_is_looked_at_once(demo_books):
    assert take(demo_books) == [FARM]
    assert take(demo_books) == []


def test_a_farm_at_rest_is_left_alone_until_something_is_due(demo_books):
    take(demo_books)
    rest(demo_books, NOW + 10 * MINUTE)
    assert take(demo_books, NOW + 9 * MINUTE) == []
    assert take(demo_books, NOW + 10 * MINUTE) == [FARM]


def test_whatever_is_recorded_ends_the_rest(demo_books):
    take(demo_books)
    rest(demo_books, NOW + 10 * MINUTE)
    with demo_books.write() as session:
        carry_out(Harvest(crop="kale", count=2), scene(session))
    assert take(demo_books) == [FARM]


def test_no_farm_rests_longer_than_a_quarter_of_an_hour(demo_books):
    take(demo_books)
    rest(demo_books, NOW + timedelta(days=1))
    assert take(demo_books, NOW + looks.AT_LEAST_EVERY) == [FARM]


def test_a_rest_set_by_a_clock_that_ran_fast_is_not_kept(demo_books):
    take(demo_books)
    rest(demo_books, NOW + timedelta(days=2), now=NOW + timedelta(days=2))
    assert take(demo_books) == [FARM]


def test_a_farm_taken_by_a_process_that_died_is_taken_again(demo_books):
    take(demo_books)
    assert take(demo_books, NOW + looks.HELD_FOR - MINUTE) == []
    assert take(demo_books, NOW + looks.HELD_FOR) == [FARM]


def test_there_is_one_row_a_farm(demo_books):
    with demo_books.read() as session:
        assert len(session.exec(select(NextLook)).all()) == 1
