"""What can be said about the farm: one small frozen type an act, and the plain record each is kept and scored as.

A note never carries what its sender did not say: every slot may be absent (None or empty). Places are codes
("A1", "shelf2", "dome"); crops, recipients, supplies and tanks are the farm's slugs; times are farm-local and naive.
"""

from core.notes.alarms import QuietAlarm, SetRange, TakeAlarm
from core.notes.crew import TASK_STATES, ApproveHours, Arrive, Busy, Free, Hours, Leave, ShiftAnswer, TaskReport
from core.notes.dosing import RECKONED, Calibrate, Reckon, Want
from core.notes.growing import (
    CLEANABLE,
    LOSS_REASONS,
    Clean,
    DescribeCrop,
    Gave,
    Harvest,
    Loss,
    Move,
    PlaceUse,
    Sow,
    Stand,
)
from core.notes.note import DAYS, Day, Note, Record, WeeklyWindow, Window
from core.notes.people import GiveRole, LeaveCrew, OtherNumber, Pause, Reminding, RemovePerson, Trained
from core.notes.planning import CHANGES, WhatIf
from core.notes.record import NOTES, UnknownNote, from_record, to_record
from core.notes.roster import MakeRoster, RosterWish
from core.notes.talk import PERIODS, QUESTIONS, AddPerson, Announce, Ask, Closed, Correct, Target
from core.notes.trouble import FollowUp
from core.notes.water import ADDABLE, MEASURES, TANK_MEASURES, TROUBLES, Added, Calibrated, Reading, Stock, Trouble

ASKING = (Ask, Want, Reckon, Calibrate, WhatIf)
"""Notes that only ask for something: nothing is recorded for them."""

OF_ONESELF = (Free, Busy, ShiftAnswer, Arrive, Leave, Hours)
"""Notes of one person's time: nothing is left of them where they may not be said for somebody else."""

__all__ = [
    "ADDABLE",
    "ASKING",
    "CHANGES",
    "CLEANABLE",
    "DAYS",
    "LOSS_REASONS",
    "MEASURES",
    "NOTES",
    "OF_ONESELF",
    "PERIODS",
    "QUESTIONS",
    "RECKONED",
    "TANK_MEASURES",
    "TASK_STATES",
    "TROUBLES",
    "AddPerson",
    "Added",
    "Announce",
    "ApproveHours",
    "Arrive",
    "Ask",
    "Busy",
    "Calibrate",
    "Calibrated",
    "Clean",
    "Closed",
    "Correct",
    "Day",
    "DescribeCrop",
    "FollowUp",
    "Free",
    "Gave",
    "GiveRole",
    "Harvest",
    "Hours",
    "Leave",
    "LeaveCrew",
    "Loss",
    "MakeRoster",
    "Move",
    "Note",
    "OtherNumber",
    "Pause",
    "PlaceUse",
    "QuietAlarm",
    "Reading",
    "Reckon",
    "Record",
    "Reminding",
    "RemovePerson",
    "RosterWish",
    "SetRange",
    "ShiftAnswer",
    "Sow",
    "Stand",
    "Stock",
    "TakeAlarm",
    "Target",
    "TaskReport",
    "Trained",
    "Trouble",
    "UnknownNote",
    "Want",
    "WeeklyWindow",
    "WhatIf",
    "Window",
    "from_record",
    "to_record",
]
