"""Requests to join, one after another: a coordinator is asked about the next when the one before is answered.

The books say who waits; whatever comes in between, the question is put again as soon as no other one is open.
"""

from __future__ import annotations

from core.acts.calibrating import under_way
from core.books import people
from core.books.tables import Person
from core.notes import AddPerson, to_record
from core.outcome import Fact, fact
from service.conversation.desk import Desk
from service.conversation.pending import close
from service.conversation.questions import open_question
from service.questions import alive
from service.segments import fold
from service.tables import OpenQuestion
from service.words import heard


def ask_about_next(desk: Desk) -> None:
    """Put the first request that waits to a coordinator with whom no other question is open."""
    if desk.person.role != "coordinator" or desk.person.muted or under_way(desk.scene()) is not None:
        return
    waiting = people.asking_to_join(desk.ledger)
    question = desk.question()
    if question is not None and question.about == "join" and not any(_is_about(question, one) for one in waiting):
        close(desk)  # another coordinator answered it
        question = None
    if waiting and alive(question, desk.now) is None:
        open_question(desk, desk.person, "join", to_record(AddPerson(name=waiting[0].name, phone=waiting[0].phone)))
        desk.say(_asked(waiting[0]))


def listed(desk: Desk) -> bool:
    """Whether a coordinator asked who wants to join; who waits is said, and the open question once more."""
    said = " ".join(fold(desk.inbound.body).casefold().split()).strip("¿?!. ")
    if desk.person.role != "coordinator" or said not in heard("who_joins"):
        return False
    waiting = people.asking_to_join(desk.ledger)
    names = tuple(one.name for one in waiting)
    desk.say(fact("asking_to_join", n=len(names), names=names) if names else fact("nobody_asks_to_join"))
    question = desk.question()
    desk.say(*(_asked(one) for one in waiting if question is not None and _is_about(question, one)))
    return True


def decline(desk: Desk, asked: AddPerson) -> None:
    """Who asked is not added, and not asked about again unless they ask anew."""
    person = people.by_phone(desk.ledger, str(asked.phone))
    if person is not None and person.state == "asked to join":
        desk.ledger.enter("decline", desk.scene().told).put(Person, {"id": person.id}, state="declined")
    desk.say(fact("join_refused", name=asked.name))


def _is_about(question: OpenQuestion, person: Person) -> bool:
    return question.about == "join" and (question.draft or {}).get("phone") == person.phone


def _asked(person: Person) -> Fact:
    return fact("news_join", name=person.name, phone=person.phone)
