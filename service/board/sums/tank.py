"""A tank brought to an EC or a pH: nutrients, water, acid or base, by the same rules as by text."""

from __future__ import annotations

from core.acts.dosing import FIRST_SHARE, FIRST_SHARE_ACID, FULL_STRENGTH_MS_CM, WARM_C, rounded
from core.books import dosing as books
from core.books import water
from core.dosing.acids import bottle, dose, substances
from core.dosing.carbonate import MG_CACO3_A_MEQ, Buffers, buffers_of
from core.dosing.elements import molar_masses
from core.dosing.recipes import recipe
from core.dosing.tank import Adjustment, Feed, lower_ec, raise_ec, top_up
from core.outcome import Fact, fact
from service.board.sums.form import Field, Figures, Filled, Result, Sum
from service.board.view import View

VOLUMES = (Field("volume", "L", 0.1, 1_000_000), Field("holds", "L", 0.1, 1_000_000))
STRENGTH = (
    Field("a_ml_l", "mL/L", 0, 100),
    Field("b_ml_l", "mL/L", 0, 100),
    Field("rise", "mS/cm", 0.01, 10),
    Field("water_ec", "mS/cm", 0, 10),
)


def _text(value: float | None, digits: int = 2) -> str:
    return "" if value is None else f"{round(value, digits):g}"


def _latest(view: View, measure: str, tank: str) -> float | None:
    last = water.latest(view.ledger, measure, tank)
    return last.value if last else None


def _first_tank(view: View) -> str:
    return next(iter(view.vocabulary.tanks), "")


def _of_tank(view: View, measure: str) -> dict[str, str]:
    """The farm's first tank: how full it is, what it holds, and what it read last."""
    tank = _first_tank(view)
    if not tank:
        return {}
    litres, _ = books.volume_l(view.ledger, tank, view.now)
    holds = water.tanks(view.ledger)[tank].volume_l
    return {"volume": _text(litres, 0), "holds": _text(holds, 0), "now": _text(_latest(view, measure, tank))}


def _known_feed(view: View) -> dict[str, str]:
    feed = books.feed(view.ledger)
    known = {"water_ec": _text(books.water_ec(view.ledger))}
    if feed is None:
        return known
    return known | {"a_ml_l": _text(feed.a_ml_l), "b_ml_l": _text(feed.b_ml_l), "rise": _text(feed.raises_ms_cm)}


def _known_ec(view: View) -> Filled:
    return _of_tank(view, "ec") | _known_feed(view)


def _ec(figures: Figures, _: View) -> Result:
    feed = Feed(figures["a_ml_l"], figures["b_ml_l"], figures["rise"])
    now, want = figures["now"], figures["want"]
    if want >= now:
        return _nutrients(raise_ec(figures["volume"], now, want, feed))
    found = lower_ec(figures["volume"], max(figures["holds"], figures["volume"]), now, want, figures["water_ec"])
    kind = "sum_drain" if found.drain_l else "sum_water"
    return Result((fact(kind, drain_ml=1000 * found.drain_l, water_ml=1000 * found.water_l),), found.working)


def _nutrients(found: Adjustment) -> Result:
    said: list[Fact] = []
    if found.water_l > 0:
        said.append(fact("sum_water", water_ml=rounded(1000 * found.water_l)))
    if found.a_ml + found.b_ml > 0:
        said.append(
            fact(
                "sum_nutrients",
                a_ml=rounded(found.a_ml),
                b_ml=rounded(found.b_ml),
                first_a_ml=rounded(found.a_ml * FIRST_SHARE),
                first_b_ml=rounded(found.b_ml * FIRST_SHARE),
            )
        )
    comes_to = fact("sum_comes_to", ec=round(found.ec_ms_cm, 2), litres_ml=1000 * found.volume_l)
    return Result((*said, comes_to), found.working, (fact("caution_concentrate"),))


def _top_up(figures: Figures, _: View) -> Result:
    feed = Feed(figures["a_ml_l"], figures["b_ml_l"], figures["rise"])
    holds = max(figures["holds"], figures["volume"])
    return _nutrients(top_up(figures["volume"], holds, figures["now"], figures["want"], feed, figures["water_ec"]))


def _known_ph(view: View) -> Filled:
    tank, row = _first_tank(view), books.strength(view.ledger, "water")
    held = books.bottle_of(view.ledger, "ph_down")
    known = {"temp_c": _text((_latest(view, "water_temp", tank) if tank else None) or WARM_C, 1)}
    if tank:
        known |= {"phosphorus": _text(_phosphorus(view, tank), 1)}
    if row is not None:
        alkalinity = row.figures["alkalinity_meq_l"] * MG_CACO3_A_MEQ
        known |= {"alkalinity": _text(alkalinity, 0), "water_ph": _text(row.figures["ph"])}
    if held is not None:
        known |= {
            "substance": held.substance.name,
            "percent": _text(held.percent, 1),
            "density": _text(held.density, 3),
        }
    return _of_tank(view, "ph") | known


def _phosphorus(view: View, tank: str) -> float:
    """Of the nutrients in a tank, as the leafy recipe has it at the tank's EC. [mg/L]"""
    ec = _latest(view, "ec", tank)
    return recipe("leafy").ppm["P"] * (1.0 if ec is None else min(ec / FULL_STRENGTH_MS_CM, 2.0))


def _ph(figures: Figures, _: View) -> Result:
    temp_c, now, want = figures["temp_c"], figures["now"], figures["want"]
    own = buffers_of(figures["alkalinity"] / MG_CACO3_A_MEQ, figures["water_ph"], temp_c)
    buffers = Buffers(own.carbonate, figures["phosphorus"] / molar_masses()["P"], temp_c)
    held = bottle(figures.choices["substance"], figures["percent"], figures.given("density"))
    found = dose(held, buffers, now, want, figures["volume"])
    said = [fact("sum_acid", ml=rounded(found.ml), first_ml=rounded(found.ml * FIRST_SHARE_ACID))]
    said += [fact("sum_adds", element=one, ppm=round(ppm, 1)) for one, ppm in found.adds_ppm.items()]
    caution = "caution_ph_up" if held.substance.base else "caution_ph_down"
    return Result(tuple(said), found.working, (fact(caution),))


EC = Sum(
    "ec", (*VOLUMES, Field("now", "mS/cm", 0, 10), Field("want", "mS/cm", 0, 10), *STRENGTH), _ec, _known_ec,
    adults=True,
)  # fmt: skip
TOP_UP = Sum(
    "top_up",
    (Field("volume", "L", 0, 1_000_000), VOLUMES[1], Field("now", "mS/cm", 0, 10), Field("want", "mS/cm", 0, 10),
     *STRENGTH),
    _top_up, _known_ec, adults=True,
)  # fmt: skip
PH = Sum(
    "ph",
    (
        VOLUMES[0],
        Field("now", "pH", 3, 11),
        Field("want", "pH", 3, 11),
        Field("substance", choices=tuple(substances())),
        Field("percent", "%", 0.1, 100),
        Field("density", "kg/L", 0.9, 2.0, optional=True),
        Field("alkalinity", "mg/L CaCO3", 0, 1000),
        Field("water_ph", "pH", 3, 11),
        Field("phosphorus", "mg/L P", 0, 500),
        Field("temp_c", "°C", 0, 50),
    ),
    _ph,
    _known_ph,
    adults=True,
)
