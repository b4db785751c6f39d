"""Readings out of the pages and into them, as a table of comma separated values: the one `rowcall readings` takes."""

from __future__ import annotations

import csv
import hashlib
from datetime import timedelta
from io import StringIO
from typing import Annotated

from fastapi import APIRouter, Query, Response

from core.acts.equipment import check, deliver
from core.books import water
from core.books.ledger import Ledger
from core.books.tables.alarms import FROM_FILE
from core.readings.admission import BASE, ROOM
from service.board.forms import Posted
from service.board.view import Coordinator, Lead, View
from service.board.water import PAGE, show
from service.readings.faults import in_words
from service.readings.files import NEEDED, OPTIONAL, Table, read_table

router = APIRouter()

HEAD = (*NEEDED, *OPTIONAL)
MOST_FAULTS = 20
"""Faults shown of a table."""


@router.get(PAGE.path + "/readings.csv")
def download(view: Lead, days: Annotated[int, Query(ge=1, le=1100)] = 90) -> Response:
    """The readings of so many days back, the oldest first, in units that can be taken in again."""
    written = StringIO()
    table = csv.writer(written)
    table.writerow(HEAD)
    zone = view.vocabulary.zone
    for one in water.readings_between(view.ledger, view.now - timedelta(days=days), view.now + timedelta(seconds=1)):
        at = one.at.astimezone(zone).isoformat()
        where = "" if one.place == ROOM else one.place
        table.writerow((at, one.measure, f"{one.value:.6g}", BASE.get(one.measure, ""), where))
    name = f"readings-{view.today.isoformat()}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(written.getvalue(), media_type="text/csv; charset=utf-8", headers=headers)


@router.post(PAGE.path)
def take_in(view: Coordinator, fields: Posted) -> Response:
    """Takes a pasted table in, all of it or nothing."""
    text = fields.get("table", "").strip()
    table = read_table(text, view.vocabulary.zone)
    faults = _faults(view, table)
    if faults or not table.readings:
        return show(
            view, 422, sent=text, faults=faults[:MOST_FAULTS] or [(1, view.speaker(PAGE).t("no_reading_in_it"))]
        )
    source = FROM_FILE + "pasted-" + hashlib.sha256(text.encode()).hexdigest()[:8]
    with view.books.write() as session:
        came = deliver(Ledger(session, view.farm.id), source, table.readings, view.now, whole=True)
    view.session.expire_all()
    return show(view, came=came)


def _faults(view: View, table: Table) -> list[tuple[int, str]]:
    _, wrong = check(view.ledger, table.readings, view.now)
    return sorted([*table.faults, *((table.lines[at], in_words(fault)) for at, fault in wrong)])
