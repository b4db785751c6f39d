"""The crew by text: trainings signed off, pauses, roles, leaving, further numbers, reminders, the weekly question."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.books import people
from core.books.ledger import Ledger
from core.books.tables import OtherPhone, Person, ShiftPlace, StandInSearch, Training
from tests.demo_farm import FARM, NOW
from tests.practice_line import Line, rows
from tests.service.ticks import change, local, run, to, went_at


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def person(line, who):
    return rows(line, Person, Person.handle == who)[0]


def differences(line):
    with line.books.read() as session:
        return Ledger(session, FARM).differences()


def test_a_lead_signs_somebody_off_with_who_when_and_until_when(line):
    reply, news = line.text("walt", "keisha is trained on acids")
    (row,) = rows(line, Training)
    assert (row.person_id, row.skill, row.signed_by) == (person(line, "keisha").id, "acids", person(line, "walt").id)
    assert (str(row.signed_on), str(row.until)) == ("2026-05-04", "2027-05-04")
    assert "2027-05-04" in reply
    assert [who for who, _ in news] == ["keisha"]
    with line.books.read() as session:
        ledger = Ledger(session, FARM)
        assert people.skills(ledger, row.signed_on)[row.person_id] == {"acids"}
        assert people.skills(ledger, row.until) == {}


def test_a_sign_off_is_taken_back_by_undo_and_by_saying_so(line):
    line.text("walt", "keisha is trained on acids")
    line.text("walt", "undo")
    assert rows(line, Training) == []
    line.text("walt", "keisha is trained on the ladder")
    line.text("walt", "keisha is no longer trained on the ladder")
    assert "Nobody" in line.text("priya", "who is trained on the ladder")[0]
    assert differences(line) == []


@pytest.mark.parametrize(
    ("who", "said", "answer"),
    [
        ("keisha", "bea is trained on acids", "Only a lead"),
        ("walt", "walt is trained on acids", "Somebody else"),
        ("walt", "june is trained on acids", "adults only"),
    ],
)
def test_nobody_is_signed_off_by_a_volunteer_by_themselves_or_as_a_minor_for_what_can_hurt(line, who, said, answer):
    assert answer in line.text(who, said)[0]
    assert rows(line, Training) == []


def test_a_pause_gives_up_the_shifts_till_then_and_looks_for_others(line):
    reply, _ = line.text("bea", "pause me until june")
    bea = person(line, "bea")
    assert (bea.paused, str(bea.back_on)) == (True, "2026-06-01")
    answers = {one.answer for one in rows(line, ShiftPlace, ShiftPlace.person_id == bea.id)}
    assert answers == {"no"}
    assert rows(line, StandInSearch, StandInSearch.person_id == bea.id)
    assert "asking others" in reply
    line.text("bea", "undo")
    assert not person(line, "bea").paused
    assert differences(line) == []


def test_a_pause_in_spanish_lasts_until_its_person_says_so(line):
    line.text("mateo", "me tomo un descanso")
    assert person(line, "mateo").paused
    line.text("mateo", "se acabó mi descanso")
    assert not person(line, "mateo").paused


def test_a_role_is_given_after_a_code_and_its_person_hears_of_it(line):
    line.text("priya", "make keisha a lead")
    assert person(line, "keisha").role == "volunteer"
    _, news = line.text("priya", "(code)")
    assert person(line, "keisha").role == "lead"
    assert [who for who, _ in news] == ["keisha"]


def test_a_minor_is_given_no_charge_of_others(line):
    reply, _ = line.command("priya", "make arlo a lead")
    assert "adults" in reply
    assert person(line, "arlo").role == "volunteer"


def test_the_last_coordinator_stays(line):
    assert "needs a coordinator" in line.command("priya", "make priya a volunteer")[0]
    assert "needs a coordinator" in line.text("priya", "leave the crew")[0]


def test_who_is_removed_is_off_the_crew_and_off_the_shifts(line):
    line.command("priya", "remove bea")
    bea = person(line, "bea")
    assert (bea.state, bea.agreed) == ("left", False)
    assert {one.answer for one in rows(line, ShiftPlace, ShiftPlace.person_id == bea.id)} == {"no"}
    assert "Bea" not in line.text("priya", "who is on the crew")[0]


def test_who_leaves_is_asked_first_and_can_ask_to_join_again(line):
    assert "OK or NO" in line.text("keisha", "leave the crew")[0]
    assert person(line, "keisha").state == "here"
    reply, news = line.text("keisha", "ok")
    assert person(line, "keisha").state == "left"
    assert "UNDO" not in reply
    assert [who for who, _ in news] == ["priya"]
    line.text("keisha", "join keisha")
    assert person(line, "keisha").state == "asked to join"


def test_what_comes_from_a_further_number_is_its_persons(line):
    line.command("priya", "keisha also texts from +1 312 555 0188")
    (row,) = rows(line, OtherPhone)
    assert row.person_id == person(line, "keisha").id
    reply, _ = line.text("+13125550188", "when am I on next?")
    assert "Sat May 9" in reply


def test_who_can_come_names_those_on_the_shift_and_those_who_said_so(line):
    line.text("bea", "can come saturday 9-12")
    reply, _ = line.text("priya", "who can come saturday")
    assert "Bea" in reply
    assert "Keisha" in reply
    assert "Walt" not in reply


def test_reminders_come_at_the_time_chosen_and_not_in_the_evening(line):
    line.text("bea", "remind me 3 hours before")
    line.text("mateo", "remind me 3 hours before")
    line.text("mateo", "no evening reminders")
    run(line.books, local(2026, 5, 4, 17, 0), local(2026, 5, 5, 17, 0))
    assert [went_at(one).strftime("%a %H:%M") for one in to(line.books, "mateo", kind="reminder")] == ["Tue 14:00"]


def test_a_time_nobody_could_want_is_refused(line):
    assert "12 h" in line.text("bea", "remind me 30 hours before")[0]
    assert person(line, "bea").remind_before is None


def test_on_thursday_evening_those_who_have_not_said_are_asked_about_the_coming_week_once(line):
    line.text("bea", "i can come next tuesday 4-6")
    line.text("keisha", "dont ask me every week")
    change(line.books, "walt", paused=True)
    run(line.books, local(2026, 5, 7, 12, 0), local(2026, 5, 8, 12, 0), timedelta(minutes=30))
    (asked,) = to(line.books, "mateo", kind="when")
    assert went_at(asked).strftime("%a %H:%M") == "Thu 17:00"
    assert [to(line.books, who, kind="when") for who in ("bea", "keisha", "walt", "arlo")] == [[], [], [], []]


def test_the_answer_is_plain_and_seen_back_in_one_line(line):
    run(line.books, local(2026, 5, 7, 17, 0), local(2026, 5, 7, 17, 1))
    line.now = local(2026, 5, 7, 17, 30)
    assert "May 12 4-6pm" in line.text("keisha", "tue 4-6")[0]
    assert line.now > NOW


def test_late_reaches_those_on_the_shift(line):
    _, news = line.text("keisha", "running 10 min late saturday")
    assert {"june"} <= {who for who, _ in news}


def test_everybody_there_is_named_in_one_answer(line):
    with line.books.read() as session:
        names = session.exec(select(Person.name).where(Person.state == "here")).all()
    reply, _ = line.text("bea", "who is on the crew?")
    assert all(name.split()[0] in reply for name in names)
