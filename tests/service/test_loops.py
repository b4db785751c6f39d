"""Two machines that answer each other come to an end; people who text much, or the same, are still answered."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.books.tables import Farm
from service import inbox, outbox
from service.carriers import TextIn
from service.loops import too_many
from service.tables import Outbound
from tests.service.carriers.farm import NOW, NUMBER, WALTS_PHONE


class Farmhand:
    """Answers every text until it is too much, and understands those that speak of a harvest."""

    def __init__(self, books):
        self.books, self.at, self.number = books, NOW, 0

    def hears(self, body, after=timedelta(minutes=3), media=()):
        """A text comes in; whether it is answered."""
        return self.finishes(self.receives(body, after, media))

    def receives(self, body, after, media=()):
        """A text comes in and is stored."""
        self.at, self.number = self.at + after, self.number + 1
        text = TextIn("twilio", f"SM{self.number}", NUMBER, WALTS_PHONE, body, media=media)
        with self.books.write() as session:
            stored, _ = inbox.receive(session, session.get_one(Farm, 1), text, self.at)
        return stored

    def finishes(self, stored):
        """A stored text is dealt with; whether it is answered."""
        inbox.finish(self.books, 1, stored.id, self.answer, self.at)
        with self.books.read() as session:
            return f"reply:{stored.id}" in session.exec(select(Outbound.key)).all()

    def answer(self, session, farm, inbound, now):
        silent = too_many(session, farm.id, inbound.phone, now)
        inbound.reading = {"verdict": "record" if "picked" in inbound.body else "none"}
        if not silent:
            outbox.reply(session, inbound, "I could not make sense of that.", now)


@pytest.fixture
def farm(books):
    return Farmhand(books)


def answered(farm, bodies, **how):
    """How many of these texts are answered."""
    return sum(farm.hears(body, **how) for body in bodies)


def test_an_automatic_answer_with_a_number_that_counts_up_is_cut_off(farm):
    assert answered(farm, [f"Thanks for writing! Your request #{4711 + n} was received." for n in range(50)]) == 5


def test_a_phone_that_finds_its_signal_again_and_sends_alike_reports_at_once_is_answered_each(farm):
    """None of them is read when the first is dealt with: that says nothing of who sends them."""
    stored = [farm.receives(f"picked {n} mint from F1", timedelta(milliseconds=10)) for n in range(10, 19)]
    assert [farm.finishes(one) for one in stored] == [True] * 9


def test_two_automatic_answers_by_turns_are_cut_off(farm):
    kinds = ["I am out of the office until Monday.", "This mailbox is not read by anybody."]
    assert answered(farm, kinds * 25, after=timedelta(minutes=1)) <= 8


def test_one_that_words_it_ever_anew_is_cut_off_too(farm):
    words = [f"Dear friend, {chr(97 + n % 26) * (n + 2)} is what we offer you today." for n in range(50)]
    assert answered(farm, words) == 8


def test_a_slow_loop_is_cut_off_within_a_day(farm):
    """One text every eight minutes, each understood."""
    bodies = [f"picked {n} romaine from B1" for n in range(180)]
    assert answered(farm, bodies, after=timedelta(minutes=8)) == 150


def test_after_an_hour_of_silence_it_is_answered_again(farm):
    bodies = ["We have received your message and will answer soon."] * 10
    assert answered(farm, bodies) == 5
    assert farm.hears(bodies[0], after=timedelta(minutes=61))


def test_a_morning_of_harvests_in_the_same_words_is_answered(farm):
    bodies = [f"picked {n} butterhead from tower A{n}, none culled" for n in range(40)]
    assert answered(farm, bodies, after=timedelta(minutes=1)) == 40


def test_what_makes_sense_in_between_begins_the_count_anew(farm):
    for _ in range(4):
        assert answered(farm, [f"a question {word} nobody understands" for word in "abcd"]) == 4
        assert farm.hears("picked 14 romaine from B1")


def test_short_answers_are_a_persons(farm):
    assert answered(farm, ["ok", "yes", "no", "2", "B1", "ok", "done", "main", "12", "ok"]) == 10


def test_pictures_are_nothing_to_understand(farm):
    pictures = [{"url": "https://api.example/1", "type": "image/jpeg"}]
    assert (
        answered(
            farm, ["a very fine tower of ours"] * 4 + [f"and number {n} of them" for n in range(9)], media=pictures
        )
        == 13
    )
