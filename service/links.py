"""Addresses that are their own key: unguessable, kept only as a digest, and taken back at will.

Whoever holds the address may read what it leads to, so each leads to one thing and most end by themselves.
"""

from __future__ import annotations

import hashlib
import re
import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import delete
from sqlmodel import Session, col

from service.settings import settings
from service.tables import Link

TOKEN_BYTES = 24
"""192 bits; NIST SP 800-63B section 7.1 asks for 64 at least (from memory)."""

_TOKEN = re.compile(r"(\d{1,9})-([A-Za-z0-9_-]{32})")


@dataclass(frozen=True, slots=True)
class Opened:
    """What an address leads to: a farm, a kind of thing, and which one."""

    farm_id: int
    kind: str
    about: dict[str, Any]


def issue(
    session: Session,
    farm_id: int,
    kind: str,
    about: dict[str, Any],
    *,
    person_id: int,
    now: datetime,
    expires_at: datetime | None = None,
) -> str:
    """A new address of a kind for a person: its last part. It is shown once and cannot be shown again."""
    secret = secrets.token_urlsafe(TOKEN_BYTES)
    session.add(
        Link(
            farm_id=farm_id,
            digest=_digest(secret),
            kind=kind,
            about=about,
            person_id=person_id,
            made_at=now,
            expires_at=expires_at,
        )
    )
    return f"{farm_id}-{secret}"


def take_back(session: Session, farm_id: int, kind: str, person_id: int) -> None:
    """Every address of a kind that a person was given leads nowhere from now on."""
    theirs = (col(Link.farm_id) == farm_id, col(Link.kind) == kind, col(Link.person_id) == person_id)
    session.execute(delete(Link).where(*theirs))


def opened(session: Session, token: str, kind: str, now: datetime) -> Opened | None:
    """What an address leads to; None for one that was never given, was taken back, or has ended."""
    match = _TOKEN.fullmatch(token)
    if match is None:
        return None
    link = session.get(Link, (int(match[1]), _digest(match[2])))
    if link is None or link.kind != kind or (link.expires_at is not None and link.expires_at <= now):
        return None
    return Opened(link.farm_id, link.kind, link.about)


def address(path: str) -> str:
    """The full address of a path, as people outside reach it."""
    return f"{settings().public_url.rstrip('/')}{path}"


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
