"""The keys that equipment shows: made once, kept as a digest, one name each, taken away at any time.

A key is "<farm>.<secret>": the farm leads, so that one look-up by (farm, digest) finds it. The secret has 256 bits, so
that a plain digest keeps it as well as a slow one would.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from datetime import datetime
from hashlib import sha256

from sqlmodel import Session, col, select

from service.once import insert_once
from service.tables import EquipmentKey

SECRET_OCTETS = 32


class NameTaken(ValueError):
    """Another key has the name."""


def make_key(session: Session, farm_id: int, name: str, now: datetime) -> str:
    """A new key; the only time that it is seen.

    Raises:
        NameTaken: there is one of that name.
    """
    key = f"{farm_id}.{secrets.token_urlsafe(SECRET_OCTETS)}"
    if not insert_once(session, EquipmentKey(farm_id=farm_id, name=name, digest=_digest(key), made_at=now)):
        raise NameTaken(name)
    return key


def keys(session: Session, farm_id: int) -> Sequence[EquipmentKey]:
    """The keys of a farm by name."""
    query = select(EquipmentKey).where(EquipmentKey.farm_id == farm_id)
    return session.exec(query.order_by(col(EquipmentKey.name))).all()


def remove_key(session: Session, farm_id: int, name: str) -> bool:
    """Take a key away; whether there was one."""
    row = session.get(EquipmentKey, (farm_id, name))
    if row is not None:
        session.delete(row)
        session.flush()
    return row is not None


def holder(session: Session, key: str) -> EquipmentKey | None:
    """Whose key it is; None for what is no key of any farm."""
    farm, dot, _ = key.partition(".")
    if not dot or not (farm.isascii() and farm.isdigit()) or len(farm) > 9:
        return None
    query = select(EquipmentKey).where(EquipmentKey.farm_id == int(farm), EquipmentKey.digest == _digest(key))
    return session.exec(query).first()


def _digest(key: str) -> str:
    return sha256(key.encode()).hexdigest()
