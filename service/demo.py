"""The invented Tern Street Farm, written into the books as if it had been running for weeks on the day it is loaded.

Everything in the fixture is relative to that day, so that the demo is always alive. Two of its people are minors:
June is reached as her guardian Dolores agreed; Arlo has no guardian listed, so he has not agreed to texts nobody asked
for and gets answers only.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sqlmodel import Session, SQLModel

from core.books import tables
from core.books.ledger import Ledger, Told
from core.books.tables import Farm
from core.books.vocabulary import in_words
from core.calendar import instant, local_day, weekday
from core.crops import profile
from core.vocabulary import Vocabulary

FIXTURE = Path(__file__).parents[1] / "fixtures" / "farm.json"
SHIFTS_AHEAD_DAYS = 14

Data = Mapping[str, Any]
Rows = Iterator[tuple[type[SQLModel], dict[str, Any]]]


class DemoMissing(FileNotFoundError):
    """The demo farm's file is not there: the program does not run from a checkout."""


@dataclass(frozen=True)
class _Present:
    """The moment the demo is laid around, and the farm-local days before and after it."""

    now: datetime
    zone: ZoneInfo

    def ago(self, days: int) -> date:
        return local_day(self.now, self.zone) - timedelta(days=days)

    def at(self, days_ago: int, clock: str) -> datetime:
        return instant(self.ago(days_ago), time.fromisoformat(clock), self.zone)


def load(session: Session, now: datetime) -> Farm:
    """Write the demo farm into the books, in one opening entry of the farm itself.

    Args:
        session: the unit of work; its block commits.
        now: the moment (aware) on which the farm's present is laid.

    Raises:
        DemoMissing: there is no fixtures/farm.json.
    """
    data = _fixture()
    farm = _farm(data)
    session.add(farm)
    session.flush()
    ledger = Ledger(session, farm.id)
    people = {one["handle"]: ledger.number("person") for one in data["people"]}
    present = _Present(now, ZoneInfo(farm.timezone))
    opening = ledger.enter("opening", Told(None, now, now))
    for rows in (
        *(_setup(data, people), _stock(data), _consent(data, people, present), _growing(data, present)),
        *(_picked(data, people, present, opening.n), _water(data, people, present, ledger)),
        *(_crew(data, people, present, ledger), _worked(data, people, present)),
    ):
        for table, values in rows:
            opening.record(table, **values)
    return farm


def demo_vocabulary() -> Vocabulary:
    """The demo farm's words, straight from its file.

    Raises:
        DemoMissing: there is no fixtures/farm.json.
    """
    data = _fixture()
    people = {one["handle"]: number for number, one in enumerate(data["people"], 1)}
    rows = [table(farm_id=0, **values) for table, values in _setup(data, people)]
    return in_words(_farm(data), rows, {one["handle"]: one["name"] for one in data["people"]})


def _fixture() -> Data:
    if not FIXTURE.exists():
        raise DemoMissing("The demo farm is not here (fixtures/farm.json): run from a checkout of the project.")
    data: Data = json.loads(FIXTURE.read_text("utf-8"))
    return data


def _farm(data: Data) -> Farm:
    clocks = {name: time.fromisoformat(data["farm"][name]) for name in ("opens", "closes", "digest_at")}
    return Farm(**data["farm"] | clocks)


def _setup(data: Data, people: Mapping[str, int]) -> Rows:
    """What the farm is made of: crops, places, tanks, recipients, supplies, people."""
    for slug in data["crops"]:
        crop = profile(slug)
        values = {name: getattr(crop, name) for name in tables.Crop.model_fields if name not in ("farm_id", "names")}
        plain = {
            "names": {language: list(ways) for language, ways in crop.names.items()},
            "ranges": _lists(crop.ranges),
            "spread": dict(crop.spread),
            "losses": dict(crop.losses),
        }
        yield tables.Crop, values | plain
    yield from _places(data)
    for name, table in (
        ("tanks", tables.Tank),
        ("recipients", tables.Recipient),
        ("supplies", tables.Supply),
        ("strengths", tables.Strength),
    ):
        yield from ((table, row) for row in data[name])
    for one in data["people"]:
        person = {name: value for name, value in one.items() if name not in ("guardian", "early_at")}
        early = time.fromisoformat(one["early_at"]) if "early_at" in one else None
        guardian = people.get(one.get("guardian", ""))
        yield tables.Person, person | {"id": people[one["handle"]], "guardian_id": guardian, "early_at": early}


def _lists(ranges: Mapping[str, tuple[float, float]]) -> dict[str, list[float]]:
    return {measure: list(ends) for measure, ends in ranges.items()}


def _places(data: Data) -> Rows:
    farm, layout = data["farm"], data["layout"]
    states = {code: "to clean" for towers in layout["to_clean"] for code in _codes(towers)}
    states |= {code: "out" for towers in layout["out_of_use"] for code in _codes(towers)}
    for row, count in farm["tower_rows"].items():
        for code in _codes([row, 1, count]):
            state = states.get(code, "ready")
            yield tables.Place, {"code": code, "kind": "tower", "sites": farm["sites_per_tower"], "state": state}
    shelf = {"kind": "shelf", "sites": layout["shelf_trays"] * farm["tray_cells"], "state": "ready"}
    for code in farm["shelves"]:
        yield tables.Place, shelf | {"code": code}
    sites = layout["cover_trays"] * farm["tray_cells"]
    yield tables.Place, {"code": layout["cover"], "kind": "cover", "sites": sites, "state": "ready"}


def _codes(towers: list[Any]) -> list[str]:
    """The towers of a row from one number to another."""
    row, first, last = towers
    return [f"{row}{number}" for number in range(first, last + 1)]


def _stock(data: Data) -> Rows:
    for row in data["stock"]:
        yield tables.Stock, row
    for crop, count in data["targets"].items():
        yield tables.Target, {"crop": crop, "count": count}


def _consent(data: Data, people: Mapping[str, int], present: _Present) -> Rows:
    consent = data["consent"]
    for one in data["people"]:
        if one["agreed"]:
            agreement = {"agreed": True, "wording": consent["wording"][one["language"]], "source": consent["source"]}
            at = present.at(consent["ago"], data["farm"]["opens"])
            yield tables.Consent, agreement | {"person_id": people[one["handle"]], "at": at}


def _growing(data: Data, present: _Present) -> Rows:
    """Batches, where their plants stand, germination counts, losses and cleaning."""
    for batch in data["batches"]:
        sown, code = present.ago(batch["sown"]), _batch_code(batch, present)
        yield tables.Batch, {"code": code, "crop": batch["crop"], "sown_on": sown, "plugs": batch["plugs"]}
        for group in batch["standing"]:
            last = present.ago(group["last_cut"]) if "last_cut" in group else None
            stands = {"since": present.ago(group["since"]), "cuts": group.get("cuts", 0), "last_cut": last}
            for place in _codes(group["towers"]) if "towers" in group else [group["place"]]:
                plants = group["each"] if "towers" in group else group["plants"]
                yield tables.Standing, stands | {"batch": code, "place": place, "plants": plants}
        yield from _missing(batch, code, data["layout"]["cover"], sown)
    for count in data["germination"]:
        yield tables.GerminationCount, _on(count, present, "sown") | {"batch": _batch_code(count, present)}
    for loss in data["losses"]:
        yield tables.PlantLoss, _on(loss, present)
    for cleaning in data["cleanings"]:
        towers = _codes(cleaning["towers"]) if "towers" in cleaning else []
        count = len(towers) or None
        yield tables.Cleaning, _on(cleaning, present, "towers") | {"places": towers, "count": count}


def _missing(batch: Data, code: str, cover: str, sown: date) -> Rows:
    """What of a batch stands nowhere any more did not come up."""
    groups = [
        (len(_codes(one["towers"])) * one["each"] if "towers" in one else one["plants"]) for one in batch["standing"]
    ]
    missing = batch["plugs"] - sum(groups)
    if missing:
        yield tables.Gone, {"batch": code, "place": cover, "plants": missing, "why": "not_up", "on": sown}


def _batch_code(row: Data, present: _Present) -> str:
    return f"{row['crop']}-{present.ago(row['sown']):%y%m%d}a"


def _on(row: Data, present: _Present, *left_out: str) -> dict[str, Any]:
    """A fixture row with its day in place of how long ago it was."""
    kept = {name: value for name, value in row.items() if name not in ("ago", *left_out)}
    return kept | {"on": present.ago(row["ago"])}


def _picked(data: Data, people: Mapping[str, int], present: _Present, entry: int) -> Rows:
    """Past cuts and deliveries."""
    for cut in data["cuts"]:
        values = _on(cut, present, "at", "by", "towers") | {"places": _codes(cut["towers"])}
        lot = f"{cut['crop']}-{values['on']:%y%m%d}-{entry}"
        at = present.at(cut["ago"], cut["at"])
        yield tables.Cut, values | {"lot": lot, "at": at, "person_id": people[cut["by"]]}
    for delivery in data["deliveries"]:
        yield tables.Delivery, _on(delivery, present, "to") | {"recipient": delivery["to"]}


def _water(data: Data, people: Mapping[str, int], present: _Present, ledger: Ledger) -> Rows:
    """Readings, what was put into the tanks, calibrations and trouble."""
    for name, table in (
        *(("readings", tables.Measured), ("additions", tables.Addition)),
        *(("calibrations", tables.Calibration), ("troubles", tables.TroubleReport)),
    ):
        for row in data[name]:
            values = {key: value for key, value in row.items() if key not in ("ago", "at", "by", "where")}
            values |= {"place": row["where"]} if "where" in row else {}
            values |= {"person_id": people[row["by"]]} if "by" in row else {}
            values |= {"n": ledger.number("trouble")} if name == "troubles" else {}
            yield table, values | {"at": present.at(row["ago"], row["at"])}


def _crew(data: Data, people: Mapping[str, int], present: _Present, ledger: Ledger) -> Rows:
    """Weekly shifts, those of the next two weeks with the usual people on them, and when people are free or busy."""
    for pattern in data["patterns"]:
        usual = [people[handle] for handle in pattern["usual"]]
        clocks = {"start": time.fromisoformat(pattern["start"]), "end": time.fromisoformat(pattern["end"])}
        week = {"id": ledger.number("pattern"), "day": pattern["day"], "needed": pattern["needed"], "usual": usual}
        yield tables.ShiftPattern, week | clocks
    coming: dict[str, int] = dict.fromkeys(people, 0)
    for ahead, pattern in _patterned(data, present, range(SHIFTS_AHEAD_DAYS)):
        shift = f"s{ledger.number('shift')}"
        start, end = present.at(-ahead, pattern["start"]), present.at(-ahead, pattern["end"])
        yield tables.Shift, {"id": shift, "starts_at": start, "ends_at": end, "needed": pattern["needed"]}
        for handle in pattern["usual"]:
            answer = _answer(data, handle, coming[handle]) if start > present.now else {}
            coming[handle] += start > present.now
            yield tables.ShiftPlace, {"shift": shift, "person_id": people[handle]} | answer
    for row in data["availability"]:
        yield tables.Availability, {"person_id": people[row["person"]], "free": row["free"]} | _window(row, present)


def _patterned(data: Data, present: _Present, ahead: range) -> Iterator[tuple[int, Data]]:
    """The weekly shifts that fall on a stretch of days, each with how many days ahead it is."""
    for days in ahead:
        day = weekday(present.ago(-days))
        yield from ((days, pattern) for pattern in data["patterns"] if pattern["day"] == day)


def _answer(data: Data, handle: str, coming: int) -> dict[str, Any]:
    """What somebody answered about their first, second… shift to come."""
    for row in data["answers"]:
        if (row["person"], row["coming"]) == (handle, coming):
            return {"answer": row["answer"], "minutes": row.get("minutes")}
    return {}


def _window(row: Data, present: _Present) -> dict[str, Any]:
    if "day" in row:
        return {"day": row["day"], "start": time.fromisoformat(row["start"]), "end": time.fromisoformat(row["end"])}
    return {name: present.at(-row["ahead"], row[end]) for name, end in (("starts_at", "start"), ("ends_at", "end"))}


def _worked(data: Data, people: Mapping[str, int], present: _Present) -> Rows:
    """Hours of the past weeks: the usual people were there for the whole of each shift."""
    for days, pattern in _patterned(data, present, range(-data["worked"]["days"], 0)):
        length = present.at(-days, pattern["end"]) - present.at(-days, pattern["start"])
        worked = {"minutes": length / timedelta(minutes=1), "on": present.ago(-days), "source": "visit"}
        for handle in pattern["usual"]:
            yield tables.WorkedHours, worked | {"person_id": people[handle]}
