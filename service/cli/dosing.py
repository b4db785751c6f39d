"""What dosing goes by, and its arithmetic at the desk: `rowcall dose`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from core.errors import NotListed, OutOfRange
from service.cli.edge import open_books, own_scene
from service.cli.main import main

CAUTION = (
    "Gloves and goggles. Acid into water, never water into acid. Calcium never with sulphate or phosphate undiluted. "
    "The label and local rules come first. Small steps: stir, wait, measure."
)


@main.group()
def dose() -> None:
    """How strong the farm's bottles are, and stocks reckoned."""


@dose.command("nutrients")
@click.argument("a_ml", type=float)
@click.argument("b_ml", type=float)
@click.argument("raises", type=float)
def dose_nutrients(a_ml: float, b_ml: float, raises: float) -> None:
    """A_ML of A and B_ML of B in a litre of water raise its EC by RAISES (mS/cm)."""
    from core.acts.strengths import set_nutrients

    _set(lambda scene: set_nutrients(a_ml, b_ml, raises, scene))
    click.echo(f"{a_ml:g} mL of A and {b_ml:g} mL of B in a litre raise the EC by {raises:g}.")


@dose.command("bottle")
@click.argument("item", type=click.Choice(["ph_down", "ph_up"]))
@click.argument("substance")
@click.argument("percent", type=float)
@click.option("--density", type=float, help="kg/L, off the label.")
def dose_bottle(item: str, substance: str, percent: float, density: float | None) -> None:
    """The bottle ITEM holds PERCENT of SUBSTANCE (phosphoric, nitric, sulphuric, citric, potassium_hydroxide)."""
    from core.acts.strengths import set_bottle

    _set(lambda scene: set_bottle(item, substance, percent, density, scene))
    click.echo(f"{item} is {percent:g} % {substance}. {CAUTION}")


@dose.command("water")
@click.argument("alkalinity", type=float)
@click.argument("ph", type=float)
@click.argument("ec", type=float)
@click.option("--caco3", is_flag=True, help="ALKALINITY is in mg/L CaCO3, not meq/L.")
def dose_water(alkalinity: float, ph: float, ec: float, caco3: bool) -> None:
    """The tap water's ALKALINITY (meq/L), PH and EC (mS/cm), off its analysis."""
    from core.acts.strengths import set_water
    from core.dosing.carbonate import MG_CACO3_A_MEQ

    meq_l = alkalinity / MG_CACO3_A_MEQ if caco3 else alkalinity
    _set(lambda scene: set_water(meq_l, ph, ec, scene))
    click.echo(f"Water: {meq_l:.2f} meq/L ({meq_l * MG_CACO3_A_MEQ:.0f} mg/L CaCO3), pH {ph:g}, EC {ec:g}.")


@dose.command("stock")
@click.argument("recipe")
@click.option("--ratio", type=float, default=100.0, show_default=True, help="Litres that a litre of stock makes.")
@click.option("--litres", type=float, default=10.0, show_default=True, help="Stock to be mixed, of each part.")
@click.option("--ec", type=float, help="Thinned to this EC (mS/cm) instead of full strength.")
def dose_stock(recipe: str, ratio: float, litres: float, ec: float | None) -> None:
    """What to weigh for the two stocks of a published RECIPE (leafy, hoagland_1, hoagland_2, cooper)."""
    for line in _checked(lambda: _stock_lines(recipe, ratio, litres, ec)):
        click.echo(line)
    click.echo(CAUTION)


def _stock_lines(name: str, ratio: float, litres: float, ec: float | None) -> list[str]:
    from core.dosing.ec import ec_of, mixed, strength_for
    from core.dosing.recipes import recipe
    from core.dosing.stock import stock_of, two_parts

    found = recipe(name)
    strength = 1.0 if ec is None else strength_for(found.ppm, {}, ec)
    analysis = mixed(found.ppm, {}, strength)
    lines = [f"{name}, {strength:.0%} of full strength, EC about {ec_of(analysis):.2f} mS/cm, 1:{ratio:g}"]
    for part, weighed in zip("AB", two_parts(found.weighed), strict=True):
        lines.append(f"{part}, in {litres:g} L:")
        stock = stock_of({one: mg_l * strength for one, mg_l in weighed.items()}, ratio)
        lines += [f"  {one.name:32} {grams_l * litres:9.2f} g" for one, grams_l in stock.items()]
    lines.append("ppm: " + ", ".join(f"{element} {ppm:.3g}" for element, ppm in sorted(analysis.items())))
    return [*lines, found.source]


def _set(act: Callable[[Any], Any]) -> None:
    with open_books().write() as session:
        _checked(lambda: act(own_scene(session)))


def _checked(work: Callable[[], Any]) -> Any:
    try:
        return work()
    except (NotListed, OutOfRange) as wrong:
        raise click.UsageError(str(wrong)) from None
