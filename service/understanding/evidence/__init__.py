"""What a piece of a text must hold to be a report of each kind."""

from service.understanding.evidence.crew import arrive, hours, leave
from service.understanding.evidence.house import added, calibrated, clean, reading, stock, trouble
from service.understanding.evidence.plants import culls_some, gave, harvest, loss, move, sow, stand
from service.understanding.evidence.told import acted, any_hedge, planned, unreal

__all__ = [
    "acted",
    "added",
    "any_hedge",
    "arrive",
    "calibrated",
    "clean",
    "culls_some",
    "gave",
    "harvest",
    "hours",
    "leave",
    "loss",
    "move",
    "planned",
    "reading",
    "sow",
    "stand",
    "stock",
    "trouble",
    "unreal",
]
