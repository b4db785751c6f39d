"""Every table of the farm's books, one file an area. The farm leads every key.

Rows of these tables (all but Farm, Counter and the journal) change only through `core.books.ledger`, so that they can
be rebuilt from the journal.
"""

from core.books.tables.crew import Availability, ListedTask, Shift, ShiftPattern, ShiftPlace, Task, Visit, WorkedHours
from core.books.tables.farm import Alias, ClosedDay, Counter, Crop, Farm, Place, Recipient, Stock, Supply, Tank, Target
from core.books.tables.growing import Batch, Cleaning, Cut, Delivery, GerminationCount, PlantLoss, Standing
from core.books.tables.journal import Entry, Posting
from core.books.tables.people import Announcement, Consent, Person
from core.books.tables.water import Addition, Calibration, Measured, TroubleReport

LEDGERED = (
    *(Crop, Place, Tank, Recipient, Supply, Alias, Stock, Target, ClosedDay, Person, Consent, Announcement),
    *(Batch, Standing, Cut, PlantLoss, GerminationCount, Cleaning, Delivery),
    *(Measured, Addition, Calibration, TroubleReport),
    *(Shift, ShiftPattern, ShiftPlace, Availability, Visit, WorkedHours, Task, ListedTask),
)
"""The tables whose rows follow from the journal, parents before children."""

__all__ = [
    "LEDGERED",
    "Addition",
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
    "ListedTask",
    "Measured",
    "Person",
    "Place",
    "PlantLoss",
    "Posting",
    "Recipient",
    "Shift",
    "ShiftPattern",
    "ShiftPlace",
    "Standing",
    "Stock",
    "Supply",
    "Tank",
    "Target",
    "Task",
    "TroubleReport",
    "Visit",
    "WorkedHours",
]
