"""Who may say what: every note by every role, through the one door that all acts go through."""

import pytest
from sqlalchemy.exc import IntegrityError
from sqlmodel import func, select

from core import roles
from core.acts import carry_out
from core.books.tables import Entry, Person
from core.errors import Refused
from core.notes import NOTES
from core.notes.talk import QUESTIONS
from service.words import Speaker
from tests.demo_farm import scene
from tests.house.source import ROOT, files

OF_COORDINATORS = {"announce", "target", "person", "closed"}
PEOPLE = {"volunteer": "bea", "lead": "walt", "coordinator": "priya"}


def test_every_note_has_its_row_and_no_row_is_of_nothing():
    assert set(NOTES) - set(roles.acts()) == set()
    code = "\n".join((ROOT / path).read_text("utf-8") for path in files("core/acts", "service", suffix=".py"))
    assert [act for act in roles.acts() if act not in NOTES and f'require("{act}")' not in code] == []


@pytest.mark.parametrize("act", sorted(OF_COORDINATORS))
def test_what_concerns_all_is_for_coordinators(act):
    assert [roles.may(role, act) for role in (*roles.ROLES, "guardian", "")] == [False, False, True, False, False]


def test_a_lead_may_teach_names_and_a_volunteer_may_not():
    assert [roles.may(role, "name") for role in roles.ROLES] == [False, True, True]


def test_what_is_in_no_table_is_for_coordinators_only():
    assert [roles.may(role, "something new") for role in roles.ROLES] == [False, False, True]


def test_whoever_may_do_something_may_do_it_with_every_greater_role():
    for act in roles.acts():
        allowed = [roles.may(role, act) for role in roles.ROLES]
        assert allowed == sorted(allowed)


def test_what_needs_proof_is_a_coordinators():
    proved = {act for act in roles.acts() if roles.needs_proof(act)}
    assert {"announce", "person", "closed"} <= proved
    assert {act for act in proved if roles.least_role(act) != "coordinator"} == set()


def refusal(session, act, role):
    """How a note with nothing in it is refused for its role, "" where the role is not what stops it."""
    try:
        with session.begin_nested():
            carry_out(NOTES[act](), scene(session, PEOPLE[role]))
    except Refused as refused:
        return refused.kind if refused.kind.startswith("not_allowed") else ""
    except (AttributeError, KeyError, TypeError, ValueError, IntegrityError):
        return ""  # it got past the door, and an empty note means nothing behind it
    return ""


@pytest.mark.filterwarnings("ignore::sqlalchemy.exc.SAWarning")  # an empty note would make a row without a key
@pytest.mark.parametrize("role", PEOPLE)
def test_every_note_is_refused_to_exactly_those_roles_that_may_not_say_it(demo_books, role):
    with demo_books.write() as session:
        for act in NOTES:
            assert bool(refusal(session, act, role)) != roles.may(role, act), act


def test_a_refused_note_writes_nothing_and_names_somebody_to_ask(demo_books):
    with demo_books.write() as session:
        before = session.exec(select(func.count()).select_from(Entry)).one()
        with pytest.raises(Refused) as refused:
            carry_out(NOTES["closed"](), scene(session, "bea"))
        assert refused.value.values["who"] == ("Priya",)
        assert session.exec(select(func.count()).select_from(Entry)).one() == before


@pytest.mark.parametrize("about", QUESTIONS)
def test_no_question_tells_a_volunteer_anybodys_number_or_another_persons_hours(demo_books, about):
    with demo_books.write() as session:
        asked = scene(session, "bea")
        outcome = carry_out(NOTES["ask"](about=about), asked)
        facts = (*outcome.first, *outcome.facts, *outcome.remarks)
        said = Speaker("en", asked.vocabulary, asked.day).text(facts)
        phones = [one for one in session.exec(select(Person.phone)) if one]
        assert phones
        assert [one for one in phones if one in said or one[-7:] in said] == []
        assert "crew_hours" not in [one.kind for one in facts]
