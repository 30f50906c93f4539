"""How much of a material, as supplied, holds a wanted amount of substance.

A `Material` is an item or a solution with what is known of it worked out. Every amount that
leaves this module is a bare number in the material's own unit (g, mL or each).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from prepstore.amounts import (
    STRENGTH_BASES,
    Basis,
    Concentration,
    Kind,
    Portion,
    WrittenAmount,
    settle,
)
from prepstore.cell_types import Species, fold
from prepstore.chemistry.formulae import molar_mass
from prepstore.chemistry.routes import Of, Route, Step, together

ML_PER_L = Decimal(1000)


class NoRouteError(ValueError):
    """An amount cannot be converted to the material's unit; the message names what is missing.

    `missing` is the column that would give it, of `material`; blank where no column would.
    """

    def __init__(self, message: str, material: str = "", missing: str = "") -> None:
        self.material = material
        self.missing = missing
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Material:
    """An item or a solution, with what conversions need.

    `unit` is what stock is kept in, `density` is in g/mL, `formula` that of what is in the
    bottle (for a solution: of its one part that is given by substance).
    """

    name: str
    unit: Kind
    density: Decimal | None = None
    formula: str | None = None
    strength: Concentration | None = None
    measures: Mapping[str, WrittenAmount] | None = None
    is_solution: bool = False

    @property
    def molar_mass_g_per_mol(self) -> Decimal:
        """Return the molar mass of the formula.

        Raises:
            NoRouteError: The material has no formula.
        """
        if self.formula is None:
            raise NoRouteError(f"{self.name} has no formula", self.name, "formula")
        return molar_mass(self.formula)

    @property
    def is_liquid(self) -> bool:
        """Return whether it takes up volume in a solution made up to a mark."""
        return self.unit is Kind.VOLUME


def in_unit(material: Material, written: WrittenAmount) -> Decimal:
    """Return a written amount in the material's unit, as `route_in_unit`."""
    return route_in_unit(material, written).number


def route_in_unit(material: Material, written: WrittenAmount) -> Route:
    """Return a written amount in the material's unit, with the steps to it.

    Masses and volumes are the material as supplied; only mol is corrected for strength.

    Raises:
        NoRouteError: A measure is unknown, or density, formula or strength is missing.
    """
    return together(_portion(material, portion) for portion in written.portions)


def _portion(material: Material, portion: Portion) -> Route:
    if portion.kind is not None:
        return turned(material, Route(portion.number), portion.kind)
    name, size = _measure(material, portion.word)
    inner = together(
        turned(material, Route(part.number), part.kind)
        for part in size.portions
        if part.kind is not None
    )
    step = Step(Of.MEASURE, inner.number, str(material.unit), text=name)
    return Route(portion.number * inner.number, (step,))


def _measure(material: Material, word: str) -> tuple[str, WrittenAmount]:
    """Return name and size of one of the item's own measures; `drops` is read as `drop`."""
    measures = material.measures or {}
    for name in (fold(word), fold(word).removesuffix("s")):
        if name in measures:
            return name, measures[name]
    raise NoRouteError(
        f"'{word}' is neither a unit (g, mL, each, mol …) nor a measure of {material.name}"
    )


def turned(material: Material, amount: Route, kind: Kind) -> Route:
    """Return an amount of a material as supplied, or of its substance in mol, in its unit.

    Args:
        material: Of which it is an amount.
        amount: The number and the steps to it so far.
        kind: What the number measures.

    Raises:
        NoRouteError: What the conversion needs is missing.
    """
    if kind is material.unit:
        return amount
    if kind is Kind.SUBSTANCE:
        return holding_moles(material, amount)
    if Kind.COUNT in (kind, material.unit):
        raise NoRouteError(f"{material.name} is kept in {material.unit}, not in {kind}")
    if material.density is None:
        what = f"{material.name} has no density to convert {kind} to {material.unit}"
        raise NoRouteError(what, material.name, "density")
    step = Step(Of.DENSITY, material.density, "g/mL", divides=kind is Kind.MASS)
    return amount.over(step) if step.divides else amount.times(step)


def measured_as(material: Material, number: Decimal, kind: Kind) -> Decimal:
    """Return an amount in the material's unit as a mass (g) or volume (mL).

    Raises:
        NoRouteError: The material is counted, or has no density to convert one to the other.
    """
    if kind is material.unit:
        return number
    if Kind.COUNT in (kind, material.unit) or material.density is None:
        raise NoRouteError(f"{material.name} has no density to convert {material.unit} to {kind}")
    return number * material.density if kind is Kind.MASS else number / material.density


def holding_moles(material: Material, moles: Route) -> Route:
    """Return how much of a material, in its unit, holds an amount of its formula in mol.

    Raises:
        NoRouteError: Formula, strength or density is missing.

    Source:
        m = n M / w for a mass fraction w; V = n / c for an amount concentration c.
    """
    strength = _strength(material)
    if strength.basis is Basis.MOLAR:
        return _in_volume(material, moles, strength)
    return holding_mass(material, moles.times(_molar_mass(material)))


def holding_mass(material: Material, grams: Route) -> Route:
    """Return how much of a material, in its unit, holds a mass of its pure substance.

    Raises:
        NoRouteError: Formula, strength or density is missing.
    """
    strength = _strength(material)
    if strength.basis is Basis.MASS_FRACTION or _is_pure(strength):
        return turned(material, grams.over(_divided_by(strength)), Kind.MASS)
    if strength.basis is Basis.MASS_PER_VOLUME:
        return _in_volume(material, grams, strength)
    if strength.basis is Basis.MOLAR:
        return holding_moles(material, grams.over(_molar_mass(material, divides=True)))
    raise NoRouteError(
        f"{material.name} has a strength of {strength}; a mass or mol of it needs % w/w, mol/L "
        "or g/L"
    )


def _in_volume(material: Material, amount: Route, strength: Concentration) -> Route:
    """Return how much of a material holds an amount of which a litre of it holds so much."""
    litres = amount.over(_divided_by(strength))
    return turned(material, litres.times(Step(Of.ML_PER_L, ML_PER_L, "mL/L")), Kind.VOLUME)


def _molar_mass(material: Material, *, divides: bool = False) -> Step:
    return Step(Of.MOLAR_MASS, material.molar_mass_g_per_mol, "g/mol", divides=divides)


def _divided_by(strength: Concentration) -> Step:
    return _concentration(Of.STRENGTH, strength, divides=True)


_UNIT_OF_BASIS: Final[Mapping[Basis, str]] = {
    basis: str(basis) for basis in (Basis.MOLAR, Basis.MASS_PER_VOLUME, Basis.AS_SUPPLIED)
}
"""What a concentration is in, for those bases that a person reckons in; others are shares."""


def _concentration(of: Of, concentration: Concentration, *, divides: bool = False) -> Step:
    """Return the step by a concentration: a figure with its unit, or a share as it was written."""
    unit = _UNIT_OF_BASIS.get(concentration.basis, "")
    text = "" if unit else str(concentration)
    return Step(of, concentration.number, unit, divides=divides, text=text)


def _strength(material: Material) -> Concentration:
    if material.unit is Kind.COUNT:
        raise NoRouteError(f"{material.name} is counted (each) and cannot be weighed or measured")
    if material.strength is None:
        why = (
            "exactly one part given in mol/L, g/L, % or ppm would give it one"
            if material.is_solution
            else "give one, such as 37 % w/w or 2 mol/L"
        )
        raise NoRouteError(f"{material.name} has no strength: {why}")
    return material.strength


def _is_pure(strength: Concentration) -> bool:
    """Return whether a share by volume is 100 %, which is then 100 % by mass as well."""
    return strength.number == 1 and strength.basis is Basis.VOLUME_FRACTION


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
                _concentration(Of.WANTED, wanted)
            )
            every = Step(Of.ALL_PARTS, all_parts, "parts", divides=True)
            return turned(material, share.over(every), Kind.VOLUME)


def _wanted(wanted: Concentration) -> Route:
    return Route(wanted.number, (_concentration(Of.WANTED, wanted),))


def _in_litres(wanted: Concentration, volume_ml: Decimal) -> Route:
    """Return what a volume holds of which a litre is to hold so much."""
    number = wanted.number * volume_ml / ML_PER_L
    return Route(
        number, (_concentration(Of.WANTED, wanted), Step(Of.VOLUME, volume_ml / ML_PER_L, "L"))
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
    strength = _strength(ingredient.material)
    if strength.basis is Basis.VOLUME_FRACTION or (
        strength.basis is Basis.MASS_FRACTION and strength.number == 1
    ):
        volume = Route(volume_ml, (Step(Of.VOLUME, volume_ml, "mL"),))
        return volume.times(_concentration(Of.WANTED, ingredient.amount)).over(
            _divided_by(strength)
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
