"""A place given up is offered in small waves; the first yes has it. On the demo farm, Saturday 9 to 12 on May 9."""

from datetime import timedelta
from threading import Barrier, Thread

import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Farm, Person, ShiftPlace, StandInOffer
from tests.demo_farm import FARM, person_id
from tests.practice_line import Line
from tests.service.ticks import change, local, number_of, run, texts, to

WEDNESDAY = local(2026, 5, 6, 10, 0)


@pytest.fixture
def line(demo_books):
    """Dolores cannot come on Saturday, and the first wave is out."""
    line = Line(demo_books)
    run(demo_books, local(2026, 5, 6, 9, 50), WEDNESDAY)
    line.now = WEDNESDAY
    line.reply, line.news = line.text("dolores", "cant make it saturday")
    run(demo_books, WEDNESDAY, WEDNESDAY + timedelta(minutes=1))
    line.now += timedelta(minutes=5)
    return line


def offered(books):
    with books.read() as session:
        handles = dict(session.exec(select(Person.id, Person.handle)).all())
        rows = session.exec(select(StandInOffer).order_by(StandInOffer.wave, StandInOffer.person_id)).all()
        return [(handles[one.person_id], one.wave, one.answer) for one in rows]


def coming(books):
    with books.read() as session:
        shift = session.exec(select(StandInOffer.shift)).first()
        places = select(ShiftPlace).where(ShiftPlace.shift == shift, ShiftPlace.answer != "no")
        return {one.person_id for one in session.exec(places)}


def differences(books):
    with books.read() as session:
        return Ledger(session, FARM).differences()


def about_the_place(books, who):
    return [one.body for one in to(books, who) if "Sat May 9" in one.body or "sab 9 may" in one.body]


def test_who_gives_up_a_place_hears_that_others_are_asked_and_the_coordinator_hears_nothing_yet(line):
    assert "I am asking others" in line.reply
    assert line.news == []
    assert about_the_place(line.books, "priya") == []


def test_a_few_are_asked_at_first_and_others_when_they_have_not_answered_for_two_hours(line):
    assert [wave for _, wave, _ in offered(line.books)] == [1, 1]
    run(line.books, line.now, WEDNESDAY + timedelta(minutes=119))
    assert [wave for _, wave, _ in offered(line.books)] == [1, 1]
    run(line.books, WEDNESDAY + timedelta(minutes=120), WEDNESDAY + timedelta(minutes=121))
    assert {wave for _, wave, _ in offered(line.books)} == {1, 2}


def test_a_wave_that_has_said_no_is_followed_at_once(line):
    for who, _, _ in offered(line.books):
        line.text(who, "no")
    run(line.books, line.now, line.now + timedelta(minutes=1))
    assert [(wave, answer) for _, wave, answer in offered(line.books)][:2] == [(1, "no"), (1, "no")]
    assert {wave for _, wave, _ in offered(line.books)} == {1, 2}


def test_the_first_yes_has_the_place_the_second_is_thanked_and_the_coordinator_hears_once(line):
    (first, _, _), (second, _, _) = offered(line.books)
    _, news = line.text(first, "ok")
    thanks, none = line.text(second, "ok")
    assert [who for who, _ in news] == ["priya"]
    assert "5 of 5" in news[0][1]
    assert none == []
    assert "gracias" in thanks.lower() or "thank you" in thanks.lower()
    there = coming(line.books)
    assert number_of(line.books, first) in there
    assert number_of(line.books, second) not in there
    run(line.books, line.now, line.now + timedelta(hours=3))
    assert len(about_the_place(line.books, second)) == 2  # the question, and the reply
    assert differences(line.books) == []


def test_who_was_asked_in_vain_and_is_silent_is_thanked_once(line):
    (first, _, _), (second, _, _) = offered(line.books)
    line.text(first, "ok")
    run(line.books, line.now, line.now + timedelta(hours=6))
    assert len(about_the_place(line.books, second)) == 2
    assert [answer for _, _, answer in offered(line.books)] == ["yes", "gone"] or "gone" in {
        answer for _, _, answer in offered(line.books)
    }


def test_a_yes_that_is_taken_back_leaves_the_place_free_again(line):
    first = offered(line.books)[0][0]
    line.text(first, "ok")
    line.text(first, "undo")
    assert number_of(line.books, first) not in coming(line.books)
    assert differences(line.books) == []


def test_who_comes_after_all_ends_the_search(line):
    line.text("dolores", "i can come saturday after all")
    assert number_of(line.books, "dolores") in coming(line.books)
    run(line.books, line.now, line.now + timedelta(hours=5))
    assert {wave for _, wave, _ in offered(line.books)} == {1}


def test_the_coordinator_hears_once_that_nobody_was_found(line):
    for _ in range(4):
        for who, _, answer in offered(line.books):
            if not answer:
                line.text(who, "no")
        line.now += timedelta(minutes=20)
        run(line.books, line.now, line.now + timedelta(minutes=1))
    run(line.books, line.now, line.now + timedelta(hours=4))
    told = [one for one in about_the_place(line.books, "priya") if "Nobody found" in one]
    assert len(told) == 1
    assert "Dolores" in told[0]


def test_nobody_is_asked_to_step_in_more_often_in_a_week_than_the_farm_has_set(demo_books):
    with demo_books.write() as session:
        session.get_one(Farm, FARM).texts_a_week = 0
    line = Line(demo_books)
    line.now = WEDNESDAY
    line.text("dolores", "cant make it saturday")
    run(demo_books, WEDNESDAY, WEDNESDAY + timedelta(hours=2))
    assert texts(demo_books, kind="offer") == []
    assert len([one for one in about_the_place(demo_books, "priya") if "Nobody found" in one]) == 1


def test_a_minor_is_never_asked_where_no_adult_would_be_with_them(demo_books):
    """All adults of Thursday's shift give it up: June, a minor, is on it, and only adults are asked."""
    line = Line(demo_books)
    line.now = local(2026, 5, 6, 10, 0)
    line.text("dolores", "cant make it thursday")
    line.text("mateo", "no puedo el jueves")
    run(demo_books, line.now, line.now + timedelta(hours=8))
    with demo_books.read() as session:
        asked = {one.person_id for one in session.exec(select(StandInOffer))}
        minors = {one.id for one in session.exec(select(Person)) if not one.grown_up}
    assert asked
    assert asked & minors == set()


def test_two_who_say_yes_in_the_same_second_one_has_the_place_and_nobody_is_told_twice(line):
    """Two threads, each with a line of its own, on either engine."""
    pair = [who for who, _, _ in offered(line.books)]
    start, replies = Barrier(2), {}

    def say(who, number):
        own = Line(line.books)
        own.now, own.numbers = line.now, iter(range(number, number + 9))
        start.wait()
        replies[who] = own.text(who, "ok")[0]

    threads = [Thread(target=say, args=(who, 100 * at)) for at, who in enumerate(pair, 1)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert set(replies) == set(pair)
    assert sorted(answer for _, _, answer in offered(line.books)) == ["gone", "yes"]
    assert len(coming(line.books) & {number_of(line.books, who) for who in pair}) == 1
    run(line.books, line.now, line.now + timedelta(hours=3))
    assert [len(about_the_place(line.books, who)) for who in pair] == [2, 2]
    assert len(about_the_place(line.books, "priya")) == 1
    assert differences(line.books) == []


def test_a_swap_keeps_the_place_until_another_has_it(demo_books):
    line = Line(demo_books)
    line.now = WEDNESDAY
    line.text("dolores", "can someone swap my saturday shift")
    run(demo_books, WEDNESDAY, WEDNESDAY + timedelta(minutes=1))
    with demo_books.read() as session:
        dolores = person_id(session, "dolores")
    assert dolores in coming(demo_books)
    line.now += timedelta(minutes=5)
    taker = offered(demo_books)[0][0]
    _, news = line.text(taker, "ok")
    assert {who for who, _ in news} == {"priya", "dolores"}
    assert dolores not in coming(demo_books)


def test_who_has_another_question_open_is_not_asked_now(demo_books):
    change(demo_books, "keisha", agreed=False)
    line = Line(demo_books)
    line.now = WEDNESDAY
    line.text("dolores", "cant make it saturday")
    run(demo_books, WEDNESDAY, WEDNESDAY + timedelta(hours=6))
    assert "keisha" not in {who for who, _, _ in offered(demo_books)}
