"""What people answer to an alarm that they were told of: that they see to it, or that it is to be quiet for a while."""

from __future__ import annotations

import re

from core.acts.alarms import alarm_values
from core.books.tables import Alarm
from core.books.troubles import open_trouble
from core.notes import Note, QuietAlarm, TakeAlarm
from core.outcome import News, fact
from core.people import first_name
from service import alarms
from service.conversation import news
from service.conversation.desk import Desk
from service.conversation.pending import Waiting
from service.conversation.recording import Recorder
from service.understanding.reading import TextReading
from service.words import heard

LASTING = re.compile(
    r"(?P<say>.+?)(?:\s+(?:for|por))?(?:\s+(?P<n>\d+(?:[.,]\d+)?|an?|una?)\s*(?P<unit>h|hrs?|hours?|horas?|m|min|mins|minutes?|minutos?))?"
)
MINUTES_AN_HOUR = 60


def alarm_answered(desk: Desk) -> bool:
    """Whether the text was an answer to an alarm; what it comes to is recorded, and the others who know are told."""
    said = " ".join(desk.inbound.body.casefold().split()).strip(" .!,")
    takes, hours = said in heard("alarm_taken"), _quiet(said)
    if not takes and hours is None:
        return False
    alarm = alarms.told_to(desk.session, desk.ledger, desk.person.id)
    if takes and (alarm is None or _is_of_trouble(desk, alarm)):
        return False
    if alarm is None:
        desk.say(fact("no_alarm_open"))
        return True
    note: Note = TakeAlarm(alarm=alarm.entry) if takes else QuietAlarm(alarm=alarm.entry, hours=hours or None)
    desk.inbound.reading = TextReading("record", (note,)).record()
    Recorder(desk).work_off([Waiting(note)])
    if takes:
        _tell_others(desk, alarm)
    return True


def _quiet(said: str) -> float | None:
    """For how many hours a text asks for quiet: 0 where it does not say, None where it asks for nothing of the kind."""
    match = LASTING.fullmatch(said)
    if match is None or match["say"] not in heard("alarm_quiet"):
        return None
    if match["n"] is None:
        return 0.0
    n = float(match["n"].replace(",", ".")) if match["n"][0].isdigit() else 1.0
    return n / MINUTES_AN_HOUR if match["unit"].startswith("m") else n


def _is_of_trouble(desk: Desk, alarm: Alarm) -> bool:
    """Whether a trouble that nobody sees to is newer than what the sender was told of the alarm."""
    at = alarms.told(desk.session, desk.ledger, alarm)[desk.person.id]
    return any(one.at > at and one.taken_by is None for one in open_trouble(desk.ledger))


def _tell_others(desk: Desk, alarm: Alarm) -> None:
    """Whoever was told of the alarm hears who has it."""
    known = alarms.told(desk.session, desk.ledger, alarm)
    told = fact("news_alarm_taken", who=first_name(desk.person.name), **alarm_values(alarm))
    news.tell(desk, [News(told, person_id=one) for one in known])
