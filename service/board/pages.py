"""What a page of the board is: its name, where it is, who may see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fastapi import APIRouter

Role = Literal["lead", "coordinator"]

MAY: dict[Role, tuple[str, ...]] = {"lead": ("lead", "coordinator"), "coordinator": ("coordinator",)}
"""Who may see a page: leads see what leads need, coordinators everything, volunteers text."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: `name` is that of its words, template and label; `role` the least one needs."""

    name: str
    path: str
    router: APIRouter
    role: Role = "lead"

    def is_for(self, role: str) -> bool:
        """Whether somebody with that role may see it."""
        return role in MAY[self.role]
