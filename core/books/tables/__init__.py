"""Every table of the farm's books, one file an area. The farm leads every key.

Rows of these tables (all but Farm, Counter and the journal) change only through `core.books.ledger`, so that they can
be rebuilt from the journal.
"""

from core.books.tables.alarms import Alarm, RangeSet, Sample
from core.books.tables.crew import Availability, ListedTask, Shift, ShiftPattern, ShiftPlace, Task, Visit, WorkedHours
from core.books.tables.dosing import ProbeRun, Strength
from core.books.tables.farm import Alias, ClosedDay, Counter, Crop, Farm, Place, Recipient, Stock, Supply, Tank, Target
from core.books.tables.growing import Batch, Cleaning, Cut, Delivery, GerminationCount, Gone, PlantLoss, Standing
from core.books.tables.journal import Entry, Posting
from core.books.tables.looking import NextLook
from core.books.tables.people import Announcement, Consent, OtherPhone, Person, StandInOffer, StandInSearch, Training
from core.books.tables.planning import SowingPlan
from core.books.tables.roster import KeptRoster, Wish
from core.books.tables.water import Addition, Calibration, Measured, TroubleReport, TroubleStep

LEDGERED = (
    *(Crop, Place, Tank, Recipient, Supply, Alias, Stock, Target, ClosedDay, Person, OtherPhone, Consent, Announcement),
    *(Training, StandInSearch, StandInOffer),
    *(Batch, Standing, Gone, Cut, PlantLoss, GerminationCount, Cleaning, Delivery),
    *(Strength, Measured, Addition, Calibration, TroubleReport, TroubleStep, RangeSet, Alarm),
    *(Shift, ShiftPattern, ShiftPlace, Availability, Wish, Visit, WorkedHours, Task, ListedTask),
)
"""The tables whose rows follow from the journal, parents before children."""

__all__ = [
    "LEDGERED",
    "Addition",
    "Alarm",
    "Alias",
    "Announcement",
    "Availability",
    "Batch",
    "Calibration",
    "Cleaning",
    "ClosedDay",
    "Consent",
    "Counter",
    "Crop",
    "Cut",
    "Delivery",
    "Entry",
    "Farm",
    "GerminationCount",
    "Gone",
    "KeptRoster",
    "ListedTask",
    "Measured",
    "NextLook",
    "OtherPhone",
    "Person",
    "Place",
    "PlantLoss",
    "Posting",
    "ProbeRun",
    "RangeSet",
    "Recipient",
    "Sample",
    "Shift",
    "ShiftPattern",
    "ShiftPlace",
    "SowingPlan",
    "StandInOffer",
    "StandInSearch",
    "Standing",
    "Stock",
    "Strength",
    "Supply",
    "Tank",
    "Target",
    "Task",
    "Training",
    "TroubleReport",
    "TroubleStep",
    "Visit",
    "Wish",
    "WorkedHours",
]
