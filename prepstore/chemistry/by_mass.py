"""What a solution is by mass: the substances in it, without what else is in their bottles."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO, Basis, Kind, is_more_than_nothing, settle
from prepstore.chemistry.conversions import Material, NoRouteError, measured_as
from prepstore.chemistry.formulae import elements
from prepstore.chemistry.makeup import Makeups

_HUNDRED: Final = Decimal(100)
_ML_PER_L: Final = Decimal(1000)
_WATER: Final = {"H": 2, "O": 1}
_DENSITY_OF_WATER: Final = Decimal("0.9982")
"""In g/mL at 20 °C, where the tables give none. Source: IAPWS-95, as in CoolProp 8.0."""


@dataclass(frozen=True, slots=True)
class ByMass:
    """A solution by mass: `percent` of each substance by its item (folded), the largest first.

    `not_known` are items (folded) of which the mass is not known: liquids without a density, which
    count as much as water does, and counted things, which are in no share.
    """

    percent: Mapping[str, Decimal]
    not_known: tuple[str, ...] = ()


def by_mass(name: str, makeups: Makeups, materials: Mapping[str, Material]) -> ByMass:
    """Return what a solution (folded name) is by mass.

    The whole is its volume times its density; without a density, all its parts as supplied.

    Args:
        name: The solution's folded name.
        makeups: What each solution is made of.
        materials: Every item and solution, by folded name.
    """
    amounts: dict[str, Decimal] = {}
    for held, amount in makeups.of(name).parts.items():
        amounts[held.name] = amounts.get(held.name, ZERO) + amount
    masses: dict[str, tuple[Decimal, Decimal]] = {}
    not_known = []
    for item, amount in amounts.items():
        try:
            masses[item] = _masses(_water_with_density(materials[item]), amount)
        except NoRouteError:
            not_known.append(item)
            if materials[item].is_liquid:
                masses[item] = _masses(replace(materials[item], density=Decimal(1)), amount)
    density = materials[name].density
    whole = density or sum((supplied for supplied, _ in masses.values()), ZERO)
    shares = {
        item: settle(substance / whole * _HUNDRED)
        for item, (_, substance) in masses.items()
        if whole
    }
    return ByMass(
        {
            item: share
            for item, share in sorted(shares.items(), key=lambda one: (-one[1], one[0]))
            if is_more_than_nothing(share)
        },
        tuple(sorted(not_known)),
    )


def _masses(material: Material, amount: Decimal) -> tuple[Decimal, Decimal]:
    """Return the mass of an amount as supplied and of the substance in it, g."""
    return measured_as(material, amount, Kind.MASS), mass_of_substance(material, amount)


def _water_with_density(material: Material) -> Material:
    """Return water with a density, where it has none; others as they are."""
    is_water = material.formula is not None and elements(material.formula) == _WATER
    if is_water and material.density is None:
        return replace(material, density=_DENSITY_OF_WATER)
    return material


def mass_of_substance(material: Material, amount: Decimal) -> Decimal:
    """Return the mass of the substance itself, g, in an amount of an item in its unit.

    Where the strength does not say it (none is given, or it is by volume), all of the item is taken
    as the substance, so that no hazard is made less than it may be.

    Raises:
        NoRouteError: The item is counted, or its mass is not known for want of a density.
    """
    grams = measured_as(material, amount, Kind.MASS)
    strength = material.strength
    if strength is None:
        return grams
    if strength.basis is Basis.MASS_FRACTION:
        return grams * strength.number
    try:
        litres = measured_as(material, amount, Kind.VOLUME) / _ML_PER_L
        if strength.basis is Basis.MASS_PER_VOLUME:
            return litres * strength.number
        if strength.basis is Basis.MOLAR:
            return litres * strength.number * material.molar_mass_g_per_mol
    except NoRouteError:
        return grams
    return grams
