"""What can be said about the farm: one small frozen type an act, and the plain record each is kept and scored as.

A note never carries what its sender did not say: every slot may be absent (None or empty). Places are codes
("A1", "shelf2", "dome"); crops, recipients, supplies and tanks are the farm's slugs; times are farm-local and naive.
"""

from core.notes.crew import TASK_STATES, Arrive, Busy, Free, Hours, Leave, ShiftAnswer, TaskReport
from core.notes.growing import CLEANABLE, LOSS_REASONS, Clean, Gave, Harvest, Loss, Move, Sow, Stand
from core.notes.note import DAYS, Day, Note, Record, WeeklyWindow, Window
from core.notes.record import NOTES, UnknownNote, from_record, to_record
from core.notes.talk import PERIODS, QUESTIONS, AddPerson, Announce, Ask, Closed, Correct, Target
from core.notes.water import ADDABLE, MEASURES, TANK_MEASURES, TROUBLES, Added, Calibrated, Reading, Stock, Trouble

__all__ = [
    "ADDABLE",
    "CLEANABLE",
    "DAYS",
    "LOSS_REASONS",
    "MEASURES",
    "NOTES",
    "PERIODS",
    "QUESTIONS",
    "TANK_MEASURES",
    "TASK_STATES",
    "TROUBLES",
    "AddPerson",
    "Added",
    "Announce",
    "Arrive",
    "Ask",
    "Busy",
    "Calibrated",
    "Clean",
    "Closed",
    "Correct",
    "Day",
    "Free",
    "Gave",
    "Harvest",
    "Hours",
    "Leave",
    "Loss",
    "Move",
    "Note",
    "Reading",
    "Record",
    "ShiftAnswer",
    "Sow",
    "Stand",
    "Stock",
    "Target",
    "TaskReport",
    "Trouble",
    "UnknownNote",
    "WeeklyWindow",
    "Window",
    "from_record",
    "to_record",
]
