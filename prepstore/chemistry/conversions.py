"""How much of a material, as supplied, holds a wanted amount of substance.

A `Material` is an item or a solution with what is known of it worked out. Every amount that
leaves this module is a bare number in the material's own unit (g, mL or each).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

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

ML_PER_L = Decimal(1000)


class NoRouteError(ValueError):
    """An amount cannot be turned into the material's unit; the message names what is missing.

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
    """Return a written amount in the material's unit.

    Masses and volumes are the material as supplied; only mol is corrected for strength.

    Raises:
        NoRouteError: A measure is unknown, or density, formula or strength is missing.
    """
    return sum((_portion(material, portion) for portion in written.portions), Decimal(0))


def _portion(material: Material, portion: Portion) -> Decimal:
    if portion.kind is not None:
        return turned(material, portion.number, portion.kind)
    size = _measure(material, portion.word)
    inner = sum(
        (turned(material, part.number, part.kind) for part in size.portions if part.kind),
        Decimal(0),
    )
    return portion.number * inner


def _measure(material: Material, word: str) -> WrittenAmount:
    """Return the size of one of the item's own measures; `drops` is read as `drop`."""
    measures = material.measures or {}
    for name in (fold(word), fold(word).removesuffix("s")):
        if name in measures:
            return measures[name]
    raise NoRouteError(
        f"'{word}' is neither a unit (g, mL, each, mol …) nor a measure of {material.name}"
    )


def turned(material: Material, number: Decimal, kind: Kind) -> Decimal:
    """Return an amount of a material as supplied, or of its substance in mol, in its unit.

    Raises:
        NoRouteError: What the conversion needs is missing.
    """
    if kind is material.unit:
        return number
    if kind is Kind.SUBSTANCE:
        return holding_moles(material, number)
    if Kind.COUNT in (kind, material.unit):
        raise NoRouteError(f"{material.name} is kept in {material.unit}, not in {kind}")
    if material.density is None:
        what = f"{material.name} has no density to turn {kind} into {material.unit}"
        raise NoRouteError(what, material.name, "density")
    return number / material.density if kind is Kind.MASS else number * material.density


def measured_as(material: Material, number: Decimal, kind: Kind) -> Decimal:
    """Return an amount in the material's unit as a mass (g) or volume (mL).

    Raises:
        NoRouteError: The material is counted, or has no density to turn one into the other.
    """
    if kind is material.unit:
        return number
    if Kind.COUNT in (kind, material.unit) or material.density is None:
        raise NoRouteError(f"{material.name} has no density to turn {material.unit} into {kind}")
    return number * material.density if kind is Kind.MASS else number / material.density


def holding_moles(material: Material, moles: Decimal) -> Decimal:
    """Return how much of a material, in its unit, holds an amount of its formula in mol.

    Raises:
        NoRouteError: Formula, strength or density is missing.

    Source:
        m = n M / w for a mass fraction w; V = n / c for an amount concentration c.
    """
    strength = _strength(material)
    if strength.basis is Basis.MOLAR:
        return turned(material, moles / strength.number * ML_PER_L, Kind.VOLUME)
    return holding_mass(material, moles * material.molar_mass_g_per_mol)


def holding_mass(material: Material, grams: Decimal) -> Decimal:
    """Return how much of a material, in its unit, holds a mass of its pure substance.

    Raises:
        NoRouteError: Formula, strength or density is missing.
    """
    strength = _strength(material)
    if strength.basis is Basis.MASS_FRACTION or _is_pure(strength):
        return turned(material, grams / strength.number, Kind.MASS)
    if strength.basis is Basis.MASS_PER_VOLUME:
        return turned(material, grams / strength.number * ML_PER_L, Kind.VOLUME)
    if strength.basis is Basis.MOLAR:
        return holding_moles(material, grams / material.molar_mass_g_per_mol)
    raise NoRouteError(
        f"{material.name} has a strength of {strength}; a mass or mol of it needs % w/w, mol/L "
        "or g/L"
    )


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
) -> Decimal:
    """Return how much of an ingredient a volume of solution takes, in the ingredient's unit.

    Args:
        ingredient: Any but the one `to volume`, which needs the others: see `amounts_for`.
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
            moles = wanted.number * volume_ml / ML_PER_L
            return holding_moles(material, moles / ingredient.of.count if ingredient.of else moles)
        case Basis.MASS_PER_VOLUME:
            return _holding_mass_of(ingredient, wanted.number * volume_ml / ML_PER_L)
        case Basis.MASS_FRACTION:
            if density is None:
                raise NoRouteError("the solution has no density, which % w/w needs")
            return _holding_mass_of(ingredient, wanted.number * volume_ml * density)
        case Basis.VOLUME_FRACTION:
            return turned(material, _by_volume(ingredient, volume_ml), Kind.VOLUME)
        case Basis.AS_SUPPLIED:
            return turned(material, wanted.number * volume_ml / ML_PER_L, Kind.VOLUME)
        case _:
            return turned(material, volume_ml * wanted.number / all_parts, Kind.VOLUME)


def _holding_mass_of(ingredient: Ingredient, grams: Decimal) -> Decimal:
    """Return the amount of material that holds a mass of what the concentration is of."""
    if ingredient.of is None:
        return holding_mass(ingredient.material, grams)
    of = ingredient.of
    ratio = ingredient.material.molar_mass_g_per_mol / (of.count * molar_mass(of.formula))
    return holding_mass(ingredient.material, grams * ratio)


def _by_volume(ingredient: Ingredient, volume_ml: Decimal) -> Decimal:
    strength = _strength(ingredient.material)
    if strength.basis is Basis.VOLUME_FRACTION or (
        strength.basis is Basis.MASS_FRACTION and strength.number == 1
    ):
        return volume_ml * ingredient.amount.number / strength.number
    raise NoRouteError(
        f"{ingredient.material.name} has a strength of {strength}; % v/v needs a strength in % v/v"
    )


def amounts_for(
    ingredients: tuple[Ingredient, ...], volume_ml: Decimal, density: Decimal | None
) -> tuple[Decimal, ...]:
    """Return how much of each ingredient a volume of solution takes.

    Args:
        ingredients: All parts of the solution.
        volume_ml: Finished volume, mL.
        density: Of the solution, g/mL, or None where it is not known.

    Returns:
        One number an ingredient, in their order, each in its material's unit. That of a part
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
            number
            for part, number in zip(ingredients, fixed, strict=True)
            if number is not None and part.material.is_liquid
        ),
        Decimal(0),
    )
    return tuple(
        _to_volume(part, volume_ml - liquid) if number is None else number
        for part, number in zip(ingredients, fixed, strict=True)
    )


def _to_volume(part: Ingredient, rest_ml: Decimal) -> Decimal:
    if settle(rest_ml) < 0:
        raise NoRouteError("the liquid parts come to more than the volume that is made")
    return turned(part.material, max(rest_ml, Decimal(0)), Kind.VOLUME)


def strength_of(ingredients: tuple[Ingredient, ...]) -> tuple[Concentration, str | None] | None:
    """Return a solution's own strength and the formula it is of; None where it has none.

    It is that of the only part given in mol/L, g/L, % w/v, ppm, vol, % w/w or % v/v.
    """
    by_substance = [part for part in ingredients if part.amount.basis in STRENGTH_BASES]
    if len(by_substance) != 1:
        return None
    only = by_substance[0]
    return only.amount, only.of.formula if only.of else only.material.formula
