"""How much of each part a volume of solution takes, and how strong the solution is then."""

from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import STRENGTH_BASES, Basis, Concentration, Kind, settle
from prepstore.cell_types import Species
from prepstore.chemistry.conversions import (
    ML_PER_L,
    Material,
    NoRouteError,
    concentration_step,
    divided_by,
    holding_mass,
    holding_moles,
    strength_needed,
    turned,
)
from prepstore.chemistry.formulae import molar_mass
from prepstore.chemistry.routes import Of, Route, Step


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One part of a solution: how much of which material; `of` where it is not its formula."""

    material: Material
    amount: Concentration
    of: Species | None = None


def amount_for(
    ingredient: Ingredient, volume_ml: Decimal, *, density: Decimal | None, all_parts: Decimal
) -> Route:
    """Return how much of an ingredient a volume of solution takes, in the ingredient's unit.

    Args:
        ingredient: Any but the one `to volume`, which needs the others: see `routes_for`.
        volume_ml: Finished volume of the solution, mL.
        density: Of the solution, g/mL; needed for % w/w.
        all_parts: Sum of the solution's `parts`.

    Raises:
        NoRouteError: What the conversion needs is missing.

    Source:
        c = n / V and w = m / m(solution). Worked examples in tests/published/.
    """
    material, wanted = ingredient.material, ingredient.amount
    match wanted.basis:
        case Basis.MOLAR:
            return holding_moles(material, _moles_of(ingredient, _in_litres(wanted, volume_ml)))
        case Basis.MASS_PER_VOLUME:
            return _holding_mass_of(ingredient, _in_litres(wanted, volume_ml))
        case Basis.MASS_FRACTION:
            if density is None:
                raise NoRouteError("the solution has no density, which % w/w needs")
            of_volume = _wanted(wanted).times(Step(Of.VOLUME, volume_ml, "mL"))
            return _holding_mass_of(ingredient, of_volume.times(Step(Of.DENSITY, density, "g/mL")))
        case Basis.VOLUME_FRACTION:
            return turned(material, _by_volume(ingredient, volume_ml), Kind.VOLUME)
        case Basis.AS_SUPPLIED:
            return turned(material, _in_litres(wanted, volume_ml), Kind.VOLUME)
        case _:
            share = Route(volume_ml, (Step(Of.VOLUME, volume_ml, "mL"),)).times(
                concentration_step(Of.WANTED, wanted)
            )
            every = Step(Of.ALL_PARTS, all_parts, "parts", divides=True)
            return turned(material, share.over(every), Kind.VOLUME)


def _wanted(wanted: Concentration) -> Route:
    return Route(wanted.number, (concentration_step(Of.WANTED, wanted),))


def _in_litres(wanted: Concentration, volume_ml: Decimal) -> Route:
    """Return what a volume holds of which a litre is to hold so much."""
    number = wanted.number * volume_ml / ML_PER_L
    return Route(
        number, (concentration_step(Of.WANTED, wanted), Step(Of.VOLUME, volume_ml / ML_PER_L, "L"))
    )


def _moles_of(ingredient: Ingredient, moles: Route) -> Route:
    """Return the mol of an ingredient that hold so many mol of what the concentration is of."""
    of = ingredient.of
    if of is None or of.count == 1:
        return moles
    return moles.over(Step(Of.PER_FORMULA_UNIT, of.count, divides=True))


def _holding_mass_of(ingredient: Ingredient, grams: Route) -> Route:
    """Return the amount of material that holds a mass of what the concentration is of."""
    of = ingredient.of
    if of is None:
        return holding_mass(ingredient.material, grams)
    own, other = ingredient.material.molar_mass_g_per_mol, molar_mass(of.formula)
    steps = [Step(Of.MOLAR_MASS, own, "g/mol", text=ingredient.material.formula or "")]
    if of.count != 1:
        steps.append(Step(Of.PER_FORMULA_UNIT, of.count, divides=True))
    steps.append(Step(Of.MOLAR_MASS, other, "g/mol", divides=True, text=of.formula))
    number = grams.number * (own / (of.count * other))
    return holding_mass(ingredient.material, Route(number, (*grams.steps, *steps)))


def _by_volume(ingredient: Ingredient, volume_ml: Decimal) -> Route:
    strength = strength_needed(ingredient.material)
    if strength.basis is Basis.VOLUME_FRACTION or (
        strength.basis is Basis.MASS_FRACTION and strength.number == 1
    ):
        volume = Route(volume_ml, (Step(Of.VOLUME, volume_ml, "mL"),))
        return volume.times(concentration_step(Of.WANTED, ingredient.amount)).over(
            divided_by(strength)
        )
    raise NoRouteError(
        f"{ingredient.material.name} has a strength of {strength}; % v/v needs a strength in % v/v"
    )


def amounts_for(
    ingredients: tuple[Ingredient, ...], volume_ml: Decimal, density: Decimal | None
) -> tuple[Decimal, ...]:
    """Return how much of each ingredient a volume of solution takes, as `routes_for`."""
    return tuple(route.number for route in routes_for(ingredients, volume_ml, density))


def routes_for(
    ingredients: tuple[Ingredient, ...], volume_ml: Decimal, density: Decimal | None
) -> tuple[Route, ...]:
    """Return how much of each ingredient a volume of solution takes, with the steps to it.

    Args:
        ingredients: All parts of the solution.
        volume_ml: Finished volume, mL.
        density: Of the solution, g/mL, or None where it is not known.

    Returns:
        One route an ingredient, in their order, each in its material's unit. That of a part
        `to volume` is the finished volume less the liquid parts.

    Raises:
        NoRouteError: What a conversion needs is missing, or the liquid parts come to more than
            the finished volume.
    """
    all_parts = sum(
        (part.amount.number for part in ingredients if part.amount.basis is Basis.PARTS),
        Decimal(0),
    )
    fixed = [
        None
        if part.amount.basis is Basis.TO_VOLUME
        else amount_for(part, volume_ml, density=density, all_parts=all_parts)
        for part in ingredients
    ]
    liquid = sum(
        (
            route.number
            for part, route in zip(ingredients, fixed, strict=True)
            if route is not None and part.material.is_liquid
        ),
        Decimal(0),
    )
    return tuple(
        _to_volume(part, volume_ml, liquid) if route is None else route
        for part, route in zip(ingredients, fixed, strict=True)
    )


def _to_volume(part: Ingredient, volume_ml: Decimal, liquid_ml: Decimal) -> Route:
    rest_ml = volume_ml - liquid_ml
    if settle(rest_ml) < 0:
        raise NoRouteError("the liquid parts come to more than the volume that is made")
    less = (Step(Of.VOLUME, volume_ml, "mL"), Step(Of.LIQUID_PARTS, liquid_ml, "mL"))
    steps = less if liquid_ml else ()
    return turned(part.material, Route(max(rest_ml, Decimal(0)), steps), Kind.VOLUME)


def strength_of(ingredients: tuple[Ingredient, ...]) -> tuple[Concentration, str | None] | None:
    """Return a solution's own strength and the formula it is of; None where it has none.

    It is that of the only part given in mol/L, g/L, % w/v, ppm, vol, % w/w or % v/v.
    """
    by_substance = [part for part in ingredients if part.amount.basis in STRENGTH_BASES]
    if len(by_substance) != 1:
        return None
    only = by_substance[0]
    return only.amount, only.of.formula if only.of else only.material.formula
