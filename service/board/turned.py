"""Why somebody does not get a page: errors that the frame answers with a page of its own, or with the way in."""

from __future__ import annotations


class Turned(Exception):
    """The root: no page for this call. `kind` names the sentence that says why, `status` is HTTP's.

    Turned
    ├── NotSignedIn     nobody is signed in here, or not any more
    ├── NotAllowed      signed in, and the page is not for that role
    ├── StaleForm       the form was not made for whoever sends it
    └── NotThere        nothing has that name
    """

    kind = "not_there"
    status = 404


class NotSignedIn(Turned):
    """Nobody is signed in here, or not any more."""

    kind = "not_signed_in"
    status = 401


class NotAllowed(Turned):
    """Signed in, and the page is not for that role."""

    kind = "not_allowed"
    status = 403


class StaleForm(Turned):
    """The form was not made for whoever sends it: too old, or from elsewhere."""

    kind = "stale_form"
    status = 403


class NotThere(Turned):
    """Nothing has that name."""
