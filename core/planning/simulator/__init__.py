"""Whole seasons of a farm played day by day, to compare ways of deciding what to sow.

nature.py is how crops truly do and each batch's luck, game.py the farm and what is wanted of it, house.py its days
and its crew, policies.py what decides the sowing, record.py and score.py what came of it. Every policy meets the same
luck, so that what differs is the policy.
"""

from core.planning.simulator.foresight import Foresight
from core.planning.simulator.game import Game
from core.planning.simulator.house import House
from core.planning.simulator.nature import Luck, Nature, as_believed, one_possible
from core.planning.simulator.policies import Policy, ThePlan, rule_of_thumb
from core.planning.simulator.record import Record
from core.planning.simulator.score import POLICIES, Score, Summary, play, score, summary

__all__ = [
    "POLICIES",
    "Foresight",
    "Game",
    "House",
    "Luck",
    "Nature",
    "Policy",
    "Record",
    "Score",
    "Summary",
    "ThePlan",
    "as_believed",
    "one_possible",
    "play",
    "rule_of_thumb",
    "score",
    "summary",
]
