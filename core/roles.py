"""Who may say what, by role: one table (roles.toml), asked in one place. Pure."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib import resources
from typing import Any

ROLES = ("volunteer", "lead", "coordinator")
"""The roles of a crew, each with all that the one before may do. Any other ("guardian") may do nothing on the farm."""


@lru_cache
def _table() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("roles.toml").read_text(encoding="utf-8"))


def acts() -> tuple[str, ...]:
    """Every act that has its row."""
    return tuple(_table()["least"])


def least_role(act: str) -> str:
    """The least role that may do an act; an act without a row is for coordinators."""
    return str(_table()["least"].get(act, ROLES[-1]))


def may(role: str, act: str) -> bool:
    """Whether somebody with a role may do an act."""
    return role in ROLES and ROLES.index(role) >= ROLES.index(least_role(act))


def needs_proof(act: str) -> bool:
    """Whether an act is done only for a phone that has just proved to be the sender's."""
    return act in _table()["proof"]["acts"]
