"""A minor is texted unasked only after a parent or guardian agreed from their own phone; nobody under 13 is at all."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.books.ledger import Ledger
from core.books.tables import Consent, Person
from service.conversation.guardians import group_of
from service.tables import Outbound
from tests.demo_farm import CHICAGO, FARM, NOW
from tests.practice_line import Line, rows

TEEN, MOTHER = "+13125550150", "+13125550151"


@pytest.fixture
def line(demo_books):
    """A newcomer has just joined and been asked for an age."""
    line = Line(demo_books)
    line.text(TEEN, "join, I am Nia Okoro")
    line.command("priya", "ok")
    line.text(TEEN, "what's in B1")
    return line


def who(line, phone):
    return rows(line, Person, Person.phone == phone)[0]


def named(line, age="15"):
    """They told their age and their mother's number."""
    line.text(TEEN, age)
    line.text(TEEN, f"my mom is {MOTHER}")


def test_until_an_age_is_told_a_newcomer_is_given_no_work_for_adults(line):
    assert who(line, TEEN).age == "unknown"
    assert "Acids and bases are for adults" in line.text(TEEN, "added 20 ml ph down to main")[0]


@pytest.mark.parametrize(
    ("said", "age", "under_13"),
    [("adult", "adult", False), ("TEEN", "minor", False), ("child", "minor", True), ("I'm 12", "minor", True),
     ("13", "minor", False), ("17", "minor", False), ("18", "adult", False), ("adulta", "adult", False)],
)  # fmt: skip
def test_an_age_group_is_kept_and_no_age(line, said, age, under_13):
    line.text(TEEN, said)
    kept = who(line, TEEN)
    assert (kept.age, kept.under_13) == (age, under_13)


@pytest.mark.parametrize(
    "said", ["", "perhaps", "adult or teen", "12 or 18", "150", "added 20 ml", "an adult and four more came to see it"]
)
def test_what_names_no_single_group_is_no_answer(said):
    assert group_of(said) is None


@given(st.text(max_size=60))
def test_whatever_is_said_it_is_one_of_the_groups_or_none(said):
    assert group_of(said) in ("adult", "teen", "child", None)


def test_an_adult_is_asked_for_consent_next(line):
    assert "Reply OK or NO" in line.text(TEEN, "adult")[0]


def test_a_minor_is_not_asked_for_consent_their_guardian_is(line):
    named(line)
    assert not who(line, TEEN).agreed
    (asked,) = rows(line, Outbound, Outbound.phone == MOTHER)
    assert "Nia Okoro named you as parent or guardian" in asked.body
    assert "STOP" in asked.body


def test_the_guardians_ok_is_kept_with_wording_time_and_source(line):
    named(line)
    line.text(MOTHER, "OK")
    (kept,) = rows(line, Consent, Consent.person_id == who(line, TEEN).id)
    (asked, *_) = rows(line, Outbound, Outbound.phone == MOTHER)
    assert (kept.agreed, kept.wording, kept.at) == (True, asked.body, line.now)
    assert kept.source.startswith("practice:")
    assert who(line, TEEN).agreed


def test_no_other_phone_can_agree_for_a_minor(line):
    named(line)
    line.text(TEEN, "OK")
    line.text("+13125550152", "OK")
    assert not who(line, TEEN).agreed


def test_a_childs_guardian_may_agree_and_the_child_is_still_not_texted_first(line):
    named(line, "11")
    line.text(MOTHER, "ok")
    child = who(line, TEEN)
    assert (child.agreed, child.under_13) == (False, True)
    assert [one.agreed for one in rows(line, Consent, Consent.person_id == child.id)] == [True]


@pytest.mark.parametrize("word", ["NO", "STOP", "stop please", "no me mandes mas mensajes", "PARAR"])
def test_a_guardian_takes_it_back_in_any_words_and_language(line, word):
    named(line)
    line.text(MOTHER, "OK")
    line.text(MOTHER, word)
    assert not who(line, TEEN).agreed
    assert who(line, MOTHER).muted == (word != "NO")


def test_a_guardian_can_do_nothing_else_here(line):
    named(line)
    for text in ("picked 14 romaine from B1", "tell everyone hi", "who comes saturday", "undo", "join, I am Eve"):
        reply, news = line.text(MOTHER, text)
        assert reply.startswith("Tern Street Farm: you are in our books as parent or guardian of Nia.")
        assert news == []


def test_a_guardian_is_asked_by_day_and_once(line):
    line.now = datetime(2026, 5, 4, 22, 0, tzinfo=CHICAGO)
    named(line)
    line.text(TEEN, f"my mom is {MOTHER}")
    (asked,) = rows(line, Outbound, Outbound.phone == MOTHER)
    assert asked.next_try_at.astimezone(CHICAGO).hour == 8


def test_a_newcomer_cannot_have_us_text_number_after_number(line):
    line.text(TEEN, "15")
    for n in range(5):
        line.text(TEEN, f"ask +1312555017{n}")
        with line.books.write() as session:
            session.get_one(Person, (FARM, who(line, TEEN).id)).guardian_id = None
        line.now += timedelta(hours=19)
        line.text(TEEN, "what's in B1")
    assert len([one for one in rows(line, Outbound) if one.key.startswith("guardian:")]) == 2


def test_somebody_of_the_crew_can_be_the_guardian(line):
    line.text(TEEN, "15")
    line.text(TEEN, "my grandma +13125550102")
    assert line.text("dolores", "ok")[0].startswith("Thank you: noted that you agree for Nia")
    assert who(line, TEEN).agreed
    assert line.text("dolores", "main ph 5.9")[0].startswith("Noted")


def test_the_books_verify_after_all_that(line):
    named(line)
    line.text(MOTHER, "OK")
    line.text(MOTHER, "NO")
    with line.books.read() as session:
        assert Ledger(session, FARM).differences() == []


def test_an_emergency_wakes_only_who_chose_it(line):
    """The leads come first. Walt chose to be woken; Tomas, a lead too, gives it up."""
    line.text("tomas", "dejame dormir")
    line.now = NOW.replace(hour=4)  # 23:00 on the farm
    line.text("keisha", "there is a leak at C10")
    sent = {one.person_id: one.next_try_at for one in rows(line, Outbound) if "leak" in one.body or "fuga" in one.body}
    at_once = {who_id for who_id, at in sent.items() if at == line.now}
    handles = {one.handle for one in rows(line, Person) if one.id in at_once}
    assert "walt" in handles
    assert "tomas" not in handles


def test_the_choice_to_be_woken_is_a_consent_of_its_own(line):
    line.text("bea", "wake me")
    kept = rows(line, Consent, Consent.wording == "wake me")
    assert [(one.agreed, one.at) for one in kept] == [(True, line.now)]


@pytest.mark.parametrize("said", ["child", "teen", "ADOLESCENTE", "bananas", "ok"])
def test_what_is_no_number_is_asked_for_once_more(line, said):
    line.text(TEEN, "15")
    assert "mobile number" in line.text(TEEN, said)[0]
    assert who(line, TEEN).age == "minor"


def test_an_age_told_again_counts_downwards_only(line):
    line.text(TEEN, "im 15")
    line.text(TEEN, "child")
    assert who(line, TEEN).under_13
    line.text(TEEN, "teen")
    line.text(TEEN, "adult")
    assert who(line, TEEN).under_13


def test_a_guardian_named_unasked_is_taken_while_none_is_known(line):
    line.text(TEEN, "15")
    line.now += timedelta(days=2)
    assert line.text(TEEN, "my mom is 312 555 0151")[0].startswith("Thank you, I am asking them.")
    assert who(line, TEEN).guardian_id == who(line, MOTHER).id
