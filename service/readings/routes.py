"""POST /readings: what equipment measured, with its key, up to a thousand at a time.

Good readings are kept though others are refused, each with its place in the list and the reason: equipment cannot mend
what it sent, and must not lose the rest over it. Sent twice, they are kept once.
"""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Depends, HTTPException, Request, Response
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer
from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, NaiveDatetime, ValidationError
from sqlalchemy.exc import OperationalError
from sqlmodel import Session

from core.acts.equipment import Delivery, deliver
from core.books.ledger import Ledger
from core.books.tables import Farm
from core.readings.admission import Raw
from service.readings.faults import in_words
from service.readings.keys import holder
from service.tables import EquipmentKey

LONGEST_CALL = 1_000_000  # octets; a thousand readings take about 150,000
MOST = 1000

BEARER = HTTPBearer(auto_error=False, description="A key made by `rowcall token add`.")
WHO = {"WWW-Authenticate": "Bearer"}

router = APIRouter(tags=["readings"])


class Sent(BaseModel):
    """One reading. `measured_at` in ISO 8601; without a zone it is the farm's own time, left out it is now."""

    model_config = ConfigDict(extra="ignore")

    measure: str = Field(max_length=40, examples=["ph"])
    value: float = Field(examples=[5.9])
    unit: str = Field(default="", max_length=20, examples=["uS/cm"])
    where: str = Field(default="", max_length=40, examples=["main"])
    measured_at: AwareDatetime | NaiveDatetime | None = None

    def raw(self, now: datetime, zone: ZoneInfo) -> Raw:
        """The reading for the farm's core."""
        at = self.measured_at or now
        return Raw(self.measure, self.value, self.unit, self.where, at if at.tzinfo else at.replace(tzinfo=zone))


class Batch(BaseModel):
    """Up to a thousand readings."""

    readings: list[Sent] = Field(min_length=1, max_length=MOST)


class Refusal(BaseModel):
    """Why one reading was not kept: its place in the list, from 0, and the reason in words."""

    index: int
    reason: str


class Receipt(BaseModel):
    """How many readings were kept, how many were known already, and which were refused."""

    taken: int
    known: int
    refused: list[Refusal]


async def _body(request: Request) -> bytes:
    body = b""
    async for chunk in request.stream():
        body += chunk
        if len(body) > LONGEST_CALL:
            raise HTTPException(413, "Too long: send fewer readings at a time.")
    return body


@router.post(
    "/readings",
    summary="Readings of equipment, kept once each.",
    response_model=Receipt,
    responses={
        401: {"description": "No key, or none of ours."},
        413: {"description": "Too long."},
        422: {"description": "Not readings, or none of them can be right."},
        503: {"description": "Not kept; send it again."},
    },
    openapi_extra={
        "requestBody": {"required": True, "content": {"application/json": {"schema": Batch.model_json_schema()}}}
    },
)
def post_readings(
    request: Request,
    response: Response,
    body: Annotated[bytes, Depends(_body)],
    shown: Annotated[HTTPAuthorizationCredentials | None, Depends(BEARER)],
) -> Receipt:
    """Keep the readings of a batch; 422 where not one could be kept or was known."""
    now: datetime = request.app.state.clock()
    books, secret = request.app.state.books, shown.credentials if shown else ""
    try:
        with books.read() as session:
            _known(session, secret)
        batch = _read(body)
        with books.write() as session:
            receipt = _receipt(_keep(session, _known(session, secret), batch, now))
    except OperationalError:
        raise HTTPException(503, "The books could not be written; send it again.") from None
    if not receipt.taken and not receipt.known:
        response.status_code = 422
    return receipt


def _known(session: Session, secret: str) -> EquipmentKey:
    """Whose key it is, or 401."""
    key = holder(session, secret)
    if key is None:
        raise HTTPException(401, "Show a key that the farm gave out.", headers=WHO)
    return key


def _read(body: bytes) -> Batch:
    """The batch, or 422 with every fault and its place."""
    try:
        return Batch.model_validate_json(body)
    except ValidationError as wrong:
        raise HTTPException(
            422, [_fault(one) for one in wrong.errors(include_url=False, include_input=False)]
        ) from None


def _fault(error: Any) -> dict[str, Any]:
    return {"where": [str(part) for part in error["loc"]], "reason": error["msg"]}


def _keep(session: Session, key: EquipmentKey, batch: Batch, now: datetime) -> Delivery:
    farm = session.get_one(Farm, key.farm_id)
    key.used_at = now
    session.add(key)
    raw = [one.raw(now, ZoneInfo(farm.timezone)) for one in batch.readings]
    return deliver(Ledger(session, farm.id), key.name, raw, now)


def _receipt(came: Delivery) -> Receipt:
    refused = [Refusal(index=index, reason=in_words(fault)) for index, fault in came.faults]
    return Receipt(taken=came.taken, known=came.known, refused=refused)
