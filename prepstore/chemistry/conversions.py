"""How much of a material, as supplied, holds a wanted amount of substance.

A `Material` is an item or a solution with what is known of it worked out. Every amount that
leaves this module is a bare number in the material's own unit (g, mL or each).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from prepstore.amounts import (
    Basis,
    Concentration,
    Kind,
    Portion,
    WrittenAmount,
)
from prepstore.cell_types import fold
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
    first, *others = written.portions
    if first.kind is material.unit and not others:  # most are, and there is nothing to turn
        return first.number
    return route_in_unit(material, written).number


def route_in_unit(
    material: Material, written: WrittenAmount, factors: Iterable[Decimal] = ()
) -> Route:
    """Return a written amount in the material's unit, with the steps to it.

    Masses and volumes are the material as supplied; only mol is corrected for strength.

    Args:
        material: Of which it is an amount.
        written: The amount.
        factors: Of replacements; they leave portions in mol as they are.

    Raises:
        NoRouteError: A measure is unknown, or density, formula or strength is missing.
    """
    steps = [Step(Of.FACTOR, factor) for factor in factors]
    return together(
        _portion(material, portion).through(() if portion.kind is Kind.SUBSTANCE else steps)
        for portion in written.portions
    )


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
    strength = strength_needed(material)
    if strength.basis is Basis.MOLAR:
        return _in_volume(material, moles, strength)
    return holding_mass(material, moles.times(_molar_mass(material)))


def holding_mass(material: Material, grams: Route) -> Route:
    """Return how much of a material, in its unit, holds a mass of its pure substance.

    Raises:
        NoRouteError: Formula, strength or density is missing.
    """
    strength = strength_needed(material)
    if strength.basis is Basis.MASS_FRACTION or _is_pure(strength):
        return turned(material, grams.over(divided_by(strength)), Kind.MASS)
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
    litres = amount.over(divided_by(strength))
    return turned(material, litres.times(Step(Of.ML_PER_L, ML_PER_L, "mL/L")), Kind.VOLUME)


def _molar_mass(material: Material, *, divides: bool = False) -> Step:
    return Step(Of.MOLAR_MASS, material.molar_mass_g_per_mol, "g/mol", divides=divides)


def divided_by(strength: Concentration) -> Step:
    """Return the step that leads from a pure substance to a material of a strength."""
    return concentration_step(Of.STRENGTH, strength, divides=True)


_UNIT_OF_BASIS: Final[Mapping[Basis, str]] = {
    basis: str(basis) for basis in (Basis.MOLAR, Basis.MASS_PER_VOLUME, Basis.AS_SUPPLIED)
}
"""What a concentration is in, for those bases that a person reckons in; others are shares."""


def concentration_step(of: Of, concentration: Concentration, *, divides: bool = False) -> Step:
    """Return the step by a concentration: a figure with its unit, or a share as it was written."""
    unit = _UNIT_OF_BASIS.get(concentration.basis, "")
    text = "" if unit else str(concentration)
    return Step(of, concentration.number, unit, divides=divides, text=text)


def strength_needed(material: Material) -> Concentration:
    """Return the strength of a material.

    Raises:
        NoRouteError: It is counted, or has none.
    """
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
