"""Ages and guardians: a minor is texted unasked only after a parent or guardian has agreed, from their own phone.

A newcomer is asked for an age group, no birth date. A minor names a guardian's number; the guardian is asked once, and
what they answer is kept with the wording they saw. They may take it back at any time, by NO or by STOP.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from sqlmodel import col, func, select

from core.books import people
from core.books.tables import Consent, Person
from core.outcome import Fact, News, fact
from core.people import first_name
from service import outbox
from service.conversation import news
from service.conversation.desk import Desk
from service.conversation.pending import close
from service.conversation.questions import open_question
from service.phones import number_in
from service.questions import alive
from service.quiet import next_allowed
from service.segments import fold
from service.tables import Outbound
from service.words import heard

CHILD_UNDER, ADULT_FROM = 13, 18  # years
MOST_ASKED = 2
"""Numbers that one newcomer can have us text as guardians: a third would make us a tool for pestering people."""

GROUPS = ("adult", "teen", "child")
MINORS = ("teen", "child")
QUESTIONS = ("age", "guardian")
YEARS = re.compile(r"(?:\D{0,8}\s)?(\d{1,2})(?:\s(?:years?|yrs?|años|anos)(?:\sold)?)?")
"""A text that is an age and nothing else: "15", "I'm 15", "tengo 15 años". "added 20 ml" is none."""

MOST_WORDS = 5
"""Words of an answer; a longer text is about something else."""


def ask_age_or_guardian(desk: Desk) -> bool:
    """Ask what has to be known before anybody is texted unasked; whether something was asked."""
    person = desk.person
    if person.grown_up or alive(desk.question(), desk.now) is not None:
        return False
    if person.age == "unknown":
        _ask(desk, "age")
        return True
    if person.guardian_id is None and not person.agreed:
        _ask(desk, "guardian")
        return True
    return False


def _ask(desk: Desk, about: str) -> None:
    open_question(desk, desk.person, about)
    desk.say(asking(desk, about))


def asking(desk: Desk, about: str) -> Fact:
    """The question for an age group or a guardian's number."""
    return fact("ask_age" if about == "age" else "ask_guardian", farm=desk.vocabulary.farm)


def answered(desk: Desk) -> bool:
    """Whether the text tells an age or a guardian that was asked for or is missing, and if so what follows."""
    question = alive(desk.question(), desk.now, desk.inbound.sent_at)
    about = question.about if question is not None else None
    group = group_of(desk.inbound.body) if about in QUESTIONS else None
    if about == "age" and group is not None:
        return _age_told(desk, group)
    if about == "guardian" and group in MINORS:
        return _told_again(desk, group)
    if about != "guardian" and not _names_missing_guardian(desk):
        return False
    phone = number_in(desk.inbound.body)
    if phone is None or phone == desk.person.phone:
        return False
    if about == "guardian":
        close(desk)
    return _guardian_named(desk, phone)


def _told_again(desk: Desk, group: str) -> bool:
    """A minor corrects their age downwards only: what a child may not do is not had by a second answer."""
    if group == "child" and not desk.person.under_13:
        return _age_told(desk, group)
    _ask(desk, "guardian")
    return True


def _names_missing_guardian(desk: Desk) -> bool:
    """ "my mom is 312 555 0150", unasked, of a minor in whose books no guardian stands."""
    if desk.person.age != "minor" or desk.person.guardian_id is not None:
        return False
    words = re.findall(r"[^\W\d_]+", fold(desk.inbound.body).casefold())
    return len(words) <= MOST_WORDS and not set(words).isdisjoint(heard("kin"))


def group_of(text: str) -> str | None:
    """The age group a text names, in a word or in years; None where it names none, or two."""
    answer = text.casefold().strip(" .!")
    if years := YEARS.fullmatch(answer):
        return _group_of_years(int(years[1]))
    words = re.findall(r"[^\W\d_]+", answer)
    groups = [group for group in GROUPS if set(words) & set(heard(f"age_{group}"))]
    return groups[0] if len(groups) == 1 and len(words) <= MOST_WORDS else None


def _group_of_years(years: int) -> str:
    return "child" if years < CHILD_UNDER else "teen" if years < ADULT_FROM else "adult"


def _age_told(desk: Desk, group: str) -> bool:
    writing = desk.ledger.enter("age", desk.scene().told)
    age = "adult" if group == "adult" else "minor"
    writing.put(Person, {"id": desk.person.id}, age=age, under_13=group == "child")
    close(desk)
    if group == "adult":
        desk.say(fact("age_noted"))
    else:
        _ask(desk, "guardian")
    return True


def _guardian_named(desk: Desk, phone: str) -> bool:
    guardian = people.by_phone(desk.ledger, phone)
    if (guardian is not None and (guardian.muted or not guardian.grown_up)) or _asked_so_far(desk) >= MOST_ASKED:
        desk.say(fact("guardian_not_asked", farm=desk.vocabulary.farm))
        return True
    writing = desk.ledger.enter("guardian", desk.scene().told)
    if guardian is None:
        number = desk.ledger.number("person")
        row = writing.record(
            Person, id=number, handle=f"guardian-{number}", name=f"guardian-{number}", phone=phone, role="guardian",
            language=desk.person.language, state="guardian",
        )  # fmt: skip
        guardian = desk.session.get_one(Person, (desk.farm.id, getattr(row, "id")))  # noqa: B009
    writing.put(Person, {"id": desk.person.id}, guardian_id=guardian.id)
    _ask_guardian(desk, guardian)
    desk.say(fact("guardian_asked", farm=desk.vocabulary.farm))
    return True


def _asked_so_far(desk: Desk) -> int:
    mine = (Outbound.farm_id == desk.farm.id, col(Outbound.key).startswith(f"guardian:{desk.person.id}:"))
    return desk.session.exec(select(func.count()).select_from(Outbound).where(*mine)).one()


def _ask_guardian(desk: Desk, guardian: Person) -> None:
    """Once a number, in the hours in which people may be texted."""
    open_question(desk, guardian, "ward")
    outbox.place(
        desk.session,
        farm_id=desk.farm.id,
        key=f"guardian:{desk.person.id}:{guardian.id}",
        carrier=desk.inbound.carrier,
        phone=str(guardian.phone),
        person_id=guardian.id,
        kind="news",
        body=_wording(desk, desk.person, guardian.language),
        now=desk.now,
        not_before=next_allowed(desk.now, desk.vocabulary.zone, guardian.early_at),
    )


def _wording(desk: Desk, ward: Person, language: str) -> str:
    kind = "ask_guardian_child" if ward.under_13 else "ask_guardian_teen"
    return desk.speaker(language).text([fact(kind, name=ward.name, farm=desk.vocabulary.farm)])


def wards(desk: Desk) -> Sequence[Person]:
    """The minors whose guardian the sender is."""
    theirs = (Person.farm_id == desk.farm.id, Person.guardian_id == desk.person.id, Person.age == "minor")
    return desk.session.exec(select(Person).where(*theirs).order_by(col(Person.id))).all()


def _asked_about(desk: Desk) -> Sequence[Person]:
    """Those for whom a guardian's word is still to come; where there are none, all of theirs."""
    mine = wards(desk)
    heard_of = select(Consent.person_id).where(
        Consent.farm_id == desk.farm.id, col(Consent.person_id).in_([one.id for one in mine])
    )
    settled = set(desk.session.exec(heard_of))
    return [one for one in mine if one.id not in settled] or mine


def decide(desk: Desk, *, agreed: bool, silent: bool = False) -> None:
    """The guardian's word for who is asked about, kept with the wording they saw; the minors hear of a yes."""
    named = wards(desk) if silent else _asked_about(desk)
    for ward in named:
        writing = desk.ledger.enter("guardian", desk.scene().told)
        writing.put(Person, {"id": ward.id}, agreed=agreed and not ward.under_13)
        writing.record(
            Consent,
            person_id=ward.id,
            agreed=agreed,
            wording=_wording(desk, ward, desk.language),
            source=desk.inbound.id,
            at=desk.inbound.sent_at,
        )
        told = fact("news_guardian_yes" if agreed else "news_guardian_no", name=ward.name, farm=desk.vocabulary.farm)
        news.tell(desk, [News(told, person_id=ward.id) if agreed else News(told, role="coordinator")])
    if not silent:
        names = tuple(first_name(one.name) for one in named)
        desk.say(fact("guardian_thanks" if agreed else "guardian_no", names=names, farm=desk.vocabulary.farm))


def explain(desk: Desk) -> None:
    """What a guardian can say to this number."""
    names = tuple(first_name(one.name) for one in wards(desk))
    desk.say(fact("guardian_help" if names else "guardian_of_nobody", names=names, farm=desk.vocabulary.farm))
