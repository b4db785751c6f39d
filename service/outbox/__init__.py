"""What goes out: each text stored in the transaction of what it reports, then sent, followed, and given up loudly.

The record is exact: one row a key. The effect is at least once: a send whose answer was lost is looked up at the
carrier before it is tried again, so a person gets a text twice only where the carrier does not list what it took.
"""

from service.outbox.placing import drop_waiting, place, reply
from service.outbox.sending import LEASE, LOOK_UP_AFTER_S, MOST_ATTEMPTS, recover, send_due, waiting
from service.outbox.states import RANKS, OptedOut, state_counts, status
from service.outbox.unreachable import lives

__all__ = [
    "LEASE",
    "LOOK_UP_AFTER_S",
    "MOST_ATTEMPTS",
    "RANKS",
    "OptedOut",
    "drop_waiting",
    "lives",
    "place",
    "recover",
    "reply",
    "send_due",
    "state_counts",
    "status",
    "waiting",
]
