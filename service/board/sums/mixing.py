"""A published recipe in grams, at the strength wanted and less what the water brings; and its two stocks."""

from __future__ import annotations

from collections.abc import Mapping

from core.dosing.ec import ec_of, mixed, strength_for
from core.dosing.materials import Material, nitrogen, ppm_of
from core.dosing.recipes import Recipe, recipe, recipes, weights_for
from core.dosing.stock import Fault, UnmixableStock, dose_ml, stock_of, two_parts
from core.dosing.working import Step
from core.outcome import Fact, fact
from service.board.sums.form import Field, Figures, Filled, Result, Sum, Weighed, step
from service.board.view import View

WATER = ("Ca", "Mg", "K", "S")
"""What a water analysis names that a recipe also brings."""

MATTSON = "Mattson N., Fertilizer Calculation Basics for Hydroponics, e-GRO Edible Alert 3.05, 2018"


def _known_recipe(_: View) -> Filled:
    return {"recipe": "leafy", "litres": "100", "want_ec": "1.6"}


def _recipe(figures: Figures, _: View) -> Result:
    found, litres = recipe(figures.choices["recipe"]), figures["litres"]
    water = {one: value for one in WATER if (value := figures.given(f"water_{one.lower()}"))}
    strength, steps = _strength(found, figures.given("want_ec"))
    weighed = _less_water(found, strength, water)
    analysis = mixed(ppm_of(weighed), water, 1.0)
    grams = {one.name: mg_l * litres / 1000 for one, mg_l in weighed.items() if mg_l * litres >= 0.005}
    first = max(weighed, key=lambda one: weighed[one])
    weigh = step("grams of each material", "mg/L x L / 1000", {"mg/L": weighed[first], "L": litres},
                 weighed[first] * litres / 1000, "g", MATTSON)  # fmt: skip
    said = fact("sum_recipe", litres_ml=1000 * litres, share=round(100 * strength), ec=round(ec_of(analysis), 2))
    return Result(
        (said,), (*steps, weigh), (fact("caution_salts"),), (Weighed("weigh", grams),), _shown(analysis), found.source
    )


def _strength(found: Recipe, want_ec: float | None) -> tuple[float, tuple[Step, ...]]:
    """The share of the full recipe: what the water brings is part of it, and only the rest is weighed."""
    if want_ec is None:
        return 1.0, ()
    share = strength_for(found.ppm, {}, want_ec)
    numbers = {"want": want_ec, "EC at full strength": ec_of(found.ppm)}
    return share, (step("strength of the recipe", "share at which its ions conduct so much", numbers, share, ""),)


def _less_water(found: Recipe, strength: float, water: Mapping[str, float]) -> dict[Material, float]:
    """Milligrams in a litre; where the water brings something, the weights that come nearest to what is lacking."""
    full = {one: strength * mg_l for one, mg_l in found.weighed.items()}
    if not water:
        return full
    target = {one: max(0.0, ppm - water.get(one, 0.0)) for one, ppm in ppm_of(full).items() if not one.startswith("N")}
    wanted = {one: ppm for one, ppm in target.items() if ppm > 0} | {"N": nitrogen(ppm_of(full))}
    return {one: mg_l for one, mg_l in weights_for(wanted, list(full)).items() if mg_l > 0}


def _shown(analysis: Mapping[str, float]) -> dict[str, float]:
    """Every element, nitrogen of all forms together, the most first."""
    rest = {one: ppm for one, ppm in analysis.items() if not one.startswith("N_") and one != "N"}
    whole = {"N": nitrogen(analysis)} | rest
    return {one: ppm for one, ppm in sorted(whole.items(), key=lambda each: -each[1]) if ppm >= 0.005}


def _known_stock(_: View) -> Filled:
    return {"recipe": "leafy", "ratio": "100", "litres": "10", "batch": "100"}


def _stock(figures: Figures, _: View) -> Result:
    found, ratio, litres = recipe(figures.choices["recipe"]), figures["ratio"], figures["litres"]
    parts = []
    try:
        for name, weighed in zip("ab", two_parts(found.weighed), strict=True):
            grams = {one.name: grams_l * litres for one, grams_l in stock_of(weighed, ratio).items()}
            parts.append(Weighed(f"part_{name}", grams))
    except UnmixableStock as wrong:
        return Result(tuple(map(_unmixable, wrong.faults)), cautions=(fact("caution_stocks"),))
    batch, ml = figures["batch"], dose_ml(figures["batch"], ratio)
    steps = (
        step("grams in a litre of stock", "mg/L x ratio / 1000", {"ratio": ratio}, ratio / 1000, "g per mg/L",
             "Texas A&M horticulture IPM guide, Nutrition and Fertility, practical example II"),
        step("stock for a batch, of each part", "L / ratio x 1000", {"L": batch, "ratio": ratio}, ml, "mL"),
    )  # fmt: skip
    said = fact("sum_stock", ml=ml, litres_ml=1000 * batch, made_ml=1000 * litres * ratio)
    cautions = (fact("caution_stocks"), fact("caution_salts"))
    return Result((said,), steps, cautions, tuple(parts), {}, found.source)


def _unmixable(fault: Fault) -> Fact:
    return fact(f"unmixable_{fault.kind}", materials=fault.materials, grams=fault.grams_l, most=fault.most_g_l)


RECIPE = Sum(
    "recipe",
    (
        Field("recipe", choices=tuple(recipes())),
        Field("litres", "L", 0.1, 100_000),
        Field("want_ec", "mS/cm", 0, 10, optional=True),
        *(Field(f"water_{one.lower()}", f"mg/L {one}", 0, 1000, optional=True) for one in WATER),
    ),
    _recipe,
    _known_recipe,
    adults=True,
)
STOCK = Sum(
    "stock",
    (
        Field("recipe", choices=tuple(recipes())),
        Field("ratio", "", 1, 1000),
        Field("litres", "L", 0.1, 10_000),
        Field("batch", "L", 0.1, 100_000),
    ),
    _stock,
    _known_stock,
    adults=True,
)
