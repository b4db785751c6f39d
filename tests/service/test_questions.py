"""The question of attendance that a reminder asks, beside what else was asked."""

from datetime import timedelta

from service.questions import QUESTION_LIVES
from service.tables import OpenQuestion
from tests.demo_farm import FARM, person_id
from tests.service.ticks import EVERY, local, run, to


def question(books, who):
    with books.read() as session:
        found = session.get(OpenQuestion, (FARM, person_id(session, who)))
        session.expunge_all()
        return found


def put_question(books, who, about, asked_at):
    with books.write() as session:
        session.add(
            OpenQuestion(
                farm_id=FARM,
                person_id=person_id(session, who),
                about=about,
                draft={"act": "harvest"} if about != "shift" else None,
                rest=[],
                missing=[],
                shift="s0" if about == "shift" else None,
                said_at=asked_at,
                asked_at=asked_at,
            )
        )


def test_a_reminder_opens_the_question_whether_they_come(demo_books):
    """June has not answered for Saturday."""
    run(demo_books, local(2026, 5, 8, 18, 0), local(2026, 5, 8, 18, 10))
    (reminder,) = to(demo_books, "june")
    asked = question(demo_books, "june")
    assert reminder.body == "Tern Street Farm: you are on tomorrow 9am-12pm. Can you come? Reply OK or NO."
    assert (asked.about, asked.shift, asked.asked_at) == ("shift", reminder.key.split(":")[-1], local(2026, 5, 8, 18))


def test_who_has_answered_is_reminded_and_not_asked(demo_books):
    """Dolores has, for Tuesday."""
    run(demo_books, local(2026, 5, 4, 18, 0), local(2026, 5, 4, 18, 10))
    (reminder,) = to(demo_books, "dolores")
    assert "Reply" not in reminder.body
    assert question(demo_books, "dolores") is None


def test_a_newer_reminder_takes_the_place_of_an_older_one(demo_books):
    put_question(demo_books, "june", "shift", local(2026, 5, 8, 9, 0))
    run(demo_books, local(2026, 5, 8, 18, 0), local(2026, 5, 8, 18, 10))
    assert question(demo_books, "june").shift != "s0"


def test_a_reminder_does_not_ask_where_something_else_waits_for_its_answer(demo_books):
    """An OK would be taken for the answer to the other question."""
    put_question(demo_books, "june", "crop", local(2026, 5, 8, 17, 0))
    run(demo_books, local(2026, 5, 8, 18, 0), local(2026, 5, 8, 18, 10))
    assert question(demo_books, "june").about == "crop"
    assert "OK" not in to(demo_books, "june")[0].body


def test_a_question_nobody_remembers_gives_way(demo_books):
    evening = local(2026, 5, 8, 18, 0)
    put_question(demo_books, "june", "crop", evening - QUESTION_LIVES - timedelta(minutes=1))
    run(demo_books, evening, evening + EVERY)
    assert question(demo_books, "june").about == "shift"
