"""What can go wrong in the farm, as one tree.

RowcallError
├── Refused            an act cannot be carried out; nothing was written; says why in a fact for the words room
├── NoSuchFarm         a farm was named that is not in the books
├── NoSuchCrop         a crop was named that has no profile
├── BadCrop            a crop was described with figures that cannot be
├── NotListed          a name was given that a table of the trade (units, salts, acids, recipes) does not hold
├── OutOfRange         a figure is outside what a formula is good for
├── BooksDiffer        the tables do not say what the journal says
└── BooksNotMoved      the books cannot be copied into another database; nothing was kept there
"""

from __future__ import annotations

from typing import Any


class RowcallError(Exception):
    """The root: anything the farm itself raises."""


class Refused(RowcallError):
    """An act cannot be carried out, and nothing was written.

    `kind` names the sentence that says why ("no_such_place"), `values` are what it is about.
    """

    def __init__(self, kind: str, /, **values: Any) -> None:
        super().__init__(kind)
        self.kind = kind
        self.values = values


class NoSuchFarm(RowcallError):
    """A farm was named that is not in the books."""


class NoSuchCrop(RowcallError):
    """A crop was named that has no profile; `valid` are the names that have one."""

    def __init__(self, slug: str, valid: list[str]) -> None:
        super().__init__(f"no crop {slug!r}; the profiles are {', '.join(valid)}")
        self.slug = slug
        self.valid = valid


class NotListed(RowcallError):
    """A name was given that a table of the trade does not hold; `valid` are the names it has."""

    def __init__(self, kind: str, name: str, valid: list[str]) -> None:
        super().__init__(f"no {kind} {name!r}; there are {', '.join(valid)}")
        self.kind = kind
        self.name = name
        self.valid = valid


class OutOfRange(RowcallError):
    """A figure is outside what a formula is good for; `hint` says what to do about it."""

    def __init__(self, what: str, hint: str) -> None:
        super().__init__(f"{what}: {hint}")
        self.what = what
        self.hint = hint


class BadCrop(RowcallError):
    """A crop was described with figures that cannot be; `faults` says each in words."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


class BooksDiffer(RowcallError):
    """The tables do not say what the journal says; each difference names table, row and field."""

    def __init__(self, differences: list[str]) -> None:
        super().__init__(f"{len(differences)} differences: " + "; ".join(differences[:5]))
        self.differences = differences


class BooksNotMoved(RowcallError):
    """The books cannot be copied into another database; nothing was kept there."""
