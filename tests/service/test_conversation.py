"""The conversation: asks back for just what is missing, confirms what is surprising, lets nobody in who does not belong."""

import logging
from datetime import timedelta

import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Consent, Entry, Measured, Person, ShiftPlace, StandInSearch
from service.segments import count
from service.tables import Inbound, OpenQuestion, Outbound
from tests.demo_farm import FARM, NOW, person_id
from tests.practice_line import Line, recorded, rows

STRANGER = "+13125550150"


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def test_what_is_missing_is_asked_for_and_the_answer_completes_the_record(line):
    reply, _ = line.text("walt", "picked 14 from B1 and B2")
    assert "Which crop" in reply
    assert recorded(line) == []
    line.now += timedelta(minutes=2)
    reply, _ = line.text("walt", "romaine")
    assert reply.startswith("Noted: 14 romaine picked from B1, B2.")
    assert [(one.crop, one.count, one.at) for one in recorded(line)] == [("romaine", 14, NOW)]


def test_one_answer_fills_every_note_that_waits_for_it(line):
    line.text("tomas", "pH 6.1 y EC 1.8 esta mañana")
    line.text("tomas", "principal")
    assert {(one.measure, one.place) for one in recorded(line, Measured)} == {("ph", "main"), ("ec", "main")}


def test_what_is_complete_is_recorded_while_the_rest_is_asked_about(line):
    reply, _ = line.text("bea", "ph 5.9, 12 romaine B3-4")
    assert reply.startswith("Noted: 12 romaine picked from B3, B4.")
    assert "Which tank" in reply
    line.text("bea", "main")
    assert [(one.value, one.place) for one in recorded(line, Measured)] == [(5.9, "main")]


def test_a_surprising_figure_is_written_only_when_confirmed(line):
    reply, _ = line.text("keisha", "ph main 12")
    assert "Reply OK or NO" in reply
    assert line.text("keisha", "no")[0] == "OK, not recorded."
    line.text("keisha", "ph main 12")
    line.text("keisha", "ok")
    assert [one.value for one in recorded(line, Measured)] == [12]


def test_a_doubted_correction_leaves_the_record_as_it_was(line):
    line.text("walt", "picked 14 romaine from B1 and B2")
    line.now += timedelta(minutes=1)
    line.text("walt", "oops 9000 not 14")
    assert [one.count for one in recorded(line)] == [14]


def test_an_open_question_can_be_dropped(line):
    line.text("walt", "picked 14 from B1 and B2")
    line.text("walt", "forget it")
    assert rows(line, OpenQuestion, OpenQuestion.person_id == 2) == []
    assert recorded(line) == []


def test_an_answer_about_something_else_does_not_fill_the_question(line):
    line.text("walt", "hello I picked some mint")
    line.text("walt", "60 labels left")
    line.text("walt", "12")
    assert [(one.crop, one.count) for one in recorded(line)] in ([], [("mint", 12)])
    with line.books.read() as session:
        assert Ledger(session, FARM).differences() == []


def test_a_question_nobody_remembers_is_not_answered_by_chance(line):
    line.text("walt", "picked 14 from B1 and B2")
    line.now += timedelta(hours=20)
    line.text("walt", "romaine")
    assert recorded(line) == []


def test_two_people_telling_of_one_cut_are_asked_about(line):
    line.text("walt", "picked 14 romaine from B1 and B2")
    line.now += timedelta(minutes=20)
    reply, _ = line.text("keisha", "cut 14 romaine in b1-b2")
    assert reply.startswith("Walt reported 14 romaine from B1, B2 at 9:10am.")
    line.text("keisha", "no")
    assert len(recorded(line)) == 1


def test_a_reminder_is_answered_by_a_plain_word_and_a_no_starts_the_search_for_a_stand_in(line):
    with line.books.write() as session:
        bea = person_id(session, "bea")
        place = session.exec(select(ShiftPlace).where(ShiftPlace.person_id == bea).order_by(ShiftPlace.shift)).first()
        shift = place.shift
        session.add(
            OpenQuestion(
                farm_id=FARM, person_id=bea, about="shift", shift=shift, said_at=NOW, asked_at=NOW, rest=[], missing=[]
            )
        )
    reply, news = line.text("bea", "nah sorry")
    assert reply.startswith("Noted: you cannot come")
    assert news == []  # the coordinator hears of it when the place is filled, or when nobody was found
    assert [one.shift for one in rows(line, StandInSearch)] == [shift]
    assert [one.answer for one in rows(line, ShiftPlace, ShiftPlace.shift == shift, ShiftPlace.person_id == bea)] == [
        "no"
    ]


def test_a_stranger_can_ask_to_join_and_nothing_else(line):
    assert "text JOIN" in line.text(STRANGER, "picked 14 romaine from B1 and B2")[0]
    assert recorded(line) == []
    reply, _ = line.text(STRANGER, "join, my name is Rosa Delgado")
    assert reply.startswith("Thank you, Rosa Delgado.")
    assert rows(line, Person, Person.phone == STRANGER)[0].state == "asked to join"
    _, news = line.command("priya", "ok")
    assert rows(line, Person, Person.phone == STRANGER)[0].state == "here"
    assert news[0][1].startswith("Welcome to Tern Street Farm!")


def test_a_request_to_join_without_a_name_is_asked_for_it(line):
    assert "your name" in line.text(STRANGER, "hi, can I join?")[0]
    assert rows(line, Person, Person.phone == STRANGER) == []


def test_a_newcomer_is_texted_unasked_only_after_agreeing(line):
    line.text(STRANGER, "join Rosa")
    line.command("priya", "ok")
    line.text(STRANGER, "who comes tomorrow")
    reply, _ = line.text(STRANGER, "adult")
    assert "Reply OK or NO" in reply
    assert not rows(line, Person, Person.phone == STRANGER)[0].agreed
    line.text(STRANGER, "ok")
    rosa = rows(line, Person, Person.phone == STRANGER)[0]
    consent = rows(line, Consent, Consent.person_id == rosa.id)
    assert rosa.agreed
    assert [(one.agreed, "remind" in one.wording) for one in consent] == [(True, True)]


@pytest.mark.parametrize(
    "word", ["STOP", "stop", "Cancel", "END", "quit", "Unsubscribe", "stop please", "STOP!", "PARAR", "Alto"]
)
def test_stop_and_its_kin_mute_and_are_never_farm_commands(line, word):
    """FCC and CTIA opt-out words as the carrier's page lists them: twilio.com, Advanced Opt-Out."""
    line.text("walt", word)
    assert rows(line, Person, Person.handle == "walt")[0].muted
    _, news = line.command("priya", "tell everyone the heater is fixed")
    assert "walt" not in [who for who, _ in news]
    assert all(one.answer != "no" for one in rows(line, ShiftPlace, ShiftPlace.person_id == 2))


def test_start_lifts_a_stop_and_help_explains(line):
    line.text("walt", "STOP")
    line.text("walt", "START")
    assert not rows(line, Person, Person.handle == "walt")[0].muted
    assert "STOP to stop" in line.text("walt", "HELP")[0]


def test_only_coordinators_decide(line):
    assert "Only the coordinator" in line.text("bea", "aim for 40 romaine a week")[0]
    assert line.text("priya", "aim for 40 romaine a week")[0].startswith("Noted:")


def test_news_that_can_wait_is_not_sent_at_night_and_trouble_is(line):
    line.now = NOW.replace(hour=4)  # 23:00 on the farm
    line.text("dolores", "cant make it saturday")
    line.text("dolores", "I can come saturday after all")
    line.text("walt", "there is a leak at C10")
    waiting = {one.kind: one.next_try_at for one in rows(line, Outbound, Outbound.reply_to.is_(None))}
    assert waiting["news"].hour == 12  # 07:00 on the farm: the hour from which Priya asked to be texted
    assert waiting["trouble"] == line.now


@pytest.mark.parametrize(
    "body",
    [
        "", "   ", "picked 12 mint " * 140, "\x00\x01\x02\xff binary \x7f", "مرحبا كيف الحال", "🥬🥬🥬", "?!?!", "'; DROP TABLE cut; --",
        "<script>alert(1)</script>", "ph", "14", "picked 3 mint from Z9", "free on february 31", "\u202e dlrow olleh", "a" * 2000,
    ],
)  # fmt: skip
def test_whatever_comes_gets_a_short_clear_answer_or_none_and_breaks_nothing(line, body, caplog):
    with caplog.at_level(logging.DEBUG):
        reply, _ = line.text("walt", body)
    assert count(reply).parts <= 2
    assert "Traceback" not in reply
    assert [one.trouble for one in rows(line, Inbound)] == [None]
    assert "+1312" not in caplog.text
    assert not body.strip() or len(body) < 6 or body.strip() not in caplog.text
    with line.books.read() as session:
        assert Ledger(session, FARM).differences() == []


def test_a_photo_without_words_is_kept_and_asked_about(line):
    with line.books.write() as session:
        stored = Inbound(
            farm_id=FARM, id="practice:photo", carrier="practice", phone="+13125550101", body="",
            media=[{"url": "https://example.org/1.jpg", "type": "image/jpeg"}], sent_at=NOW, received_at=NOW,
        )  # fmt: skip
        session.add(stored)
    from service import inbox

    inbox.finish(line.books, FARM, "practice:photo", line.conversation, NOW)
    assert rows(line, Outbound)[0].body.startswith("Photo kept.")


def test_a_machine_answering_us_is_recorded_and_not_answered(line):
    replies = [line.text("walt", f"ph main 6.{n}")[0] for n in range(24)]
    assert replies.count("") == 4
    assert len(recorded(line, Measured)) == 24


def test_the_same_text_twice_has_one_effect(line):
    line.text("walt", "picked 14 romaine from B1 and B2")
    entries = len(rows(line, Entry))
    line.numbers = iter([1])
    line.text("walt", "picked 14 romaine from B1 and B2")
    assert len(rows(line, Entry)) == entries


def test_those_told_of_a_closed_day_hear_when_it_is_taken_back(line):
    _, told = line.command("priya", "closed on friday")
    assert line.text("walt", "am i on friday")[0].startswith("You are not on Fri May 8.")
    _, again = line.text("priya", "undo")
    assert [who for who, _ in again] == [who for who, _ in told] != []
    assert "open Fri May 8 after all" in again[0][1]


def test_coming_after_all_takes_the_place_on_the_shift_again(line):
    line.text("dolores", "cant make it saturday")
    reply, news = line.text("dolores", "I can come saturday after all")
    assert "You are on again: Sat May 9" in reply
    assert news[0][1].startswith("Dolores can come after all")


def test_an_injury_is_answered_with_help_first_and_passed_on_in_its_own_words(line):
    reply, news = line.text("keisha", "pH up splashed in my eye")
    assert reply.startswith("Badly hurt? Call 911")
    assert news[0][1] == 'Trouble 3: INJURY. Keisha: "pH up splashed in my eye" Text ON IT if you see to it.'


def test_only_those_who_agreed_are_counted_as_told(line):
    reply, news = line.command("priya", "tell everyone the heater is fixed")
    assert reply.startswith(f"Noted: told {len(news)} people.")
    assert "arlo" not in [who for who, _ in news]


def test_towers_cleaned_one_by_one_leave_the_list_one_by_one(line):
    line.text("walt", "what do i do")
    line.text("walt", "cleaned A21 and A22")
    line.text("walt", "cleaned B21 B22 B23")
    line.text("june", "cleaned C24")
    assert "A21" not in line.text("walt", "what do i do")[0]


def test_a_greeting_is_greeted(line):
    assert line.text("dolores", "Good morning")[0].startswith("Hi Dolores!")
    assert line.text("mateo", "hola buenos dias")[0].startswith("¡Hola Mateo!")


def test_a_name_asked_for_is_taken_from_the_next_text(line):
    line.text(STRANGER, "hola, quiero ser voluntario")
    assert line.text(STRANGER, "Luis")[0].startswith("Gracias, Luis.")
