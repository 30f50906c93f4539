"""The hazards of what is made up, calculated from what goes into it on its make-day."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from prepstore.catalogue import Goods
from prepstore.chemistry.by_mass import ByMass, by_mass
from prepstore.chemistry.water import CAS_NUMBER_OF_WATER, is_water
from prepstore.facts import HazardLimit, Item, Solution
from prepstore.safety.classes.classified import Classified, classified
from prepstore.safety.classes.entries import Entries
from prepstore.safety.classes.finding import Undecided
from prepstore.safety.classes.given import GENERIC, Band, HazardRow, Ingredient, Mixture


@dataclass(frozen=True, slots=True)
class ClassifiedSolution:
    """A solution with what is in it, % by mass by item as spelled, and its classes on a day."""

    solution: Solution
    percent: Mapping[str, Decimal]
    classified: Classified


class SolutionClasses:
    """Classifies solutions by what they are made of, each once for a make-day.

    Args:
        goods: Items, solutions, their parts, and the department's own limits.
        entries: The harmonised entries (`safety.classes.entries.harmonised_entries`).
    """

    def __init__(self, goods: Goods, entries: Entries) -> None:
        self._goods = goods
        self._entries = entries
        self._makeups = goods.makeups
        self._found: dict[tuple[str, date], ClassifiedSolution] = {}

    def of(self, name: str, on: date) -> ClassifiedSolution:
        """Return the classes of a solution (folded name) that is made on a day."""
        if (name, on) not in self._found:
            self._found[name, on] = self._classified(name, on)
        return self._found[name, on]

    def _classified(self, name: str, on: date) -> ClassifiedSolution:
        goods, solution = self._goods, self._goods.solutions[name]
        shares = by_mass(name, self._makeups, goods.materials)
        ingredients = [
            ingredient_of(goods.items[item], percent, goods.hazard_limits.get(item, ()))
            for item, percent in shares.percent.items()
        ]
        mixture = Mixture(
            ph=solution.pH, flash_point=solution.flash_point, viscosity=solution.viscosity
        )
        found = classified(ingredients, mixture, on, self._entries)
        return ClassifiedSolution(
            solution,
            {goods.items[item].item: percent for item, percent in shares.percent.items()},
            replace(found, undecided=(*found.undecided, *_not_weighed(shares, goods.items))),
        )


def ingredient_of(item: Item, percent: Decimal, limits: Iterable[HazardLimit]) -> Ingredient:
    """Return an item as an ingredient, of so much % by mass, with the department's own limits."""
    return Ingredient(
        item=item.item,
        percent=percent,
        cas=item.cas or (CAS_NUMBER_OF_WATER if is_water(item) else ""),
        formula=item.formula or "",
        is_acid_or_base=item.acid_or_base is not None,
        limits=tuple(_row(limit) for limit in limits),
    )


def _row(limit: HazardLimit) -> HazardRow:
    is_limited = limit.from_ is not None or limit.below is not None
    return HazardRow(
        hazard_class=limit.class_,
        h_code=limit.h_code,
        band=Band(_percent(limit.from_), _percent(limit.below)) if is_limited else GENERIC,
        m_factor=limit.m_factor,
        ate=limit.ate,
        form=limit.form,
        in_force=limit.in_force,
        source=limit.source or "",
    )


def _percent(share: Decimal | None) -> Decimal | None:
    """Return a share of one in %."""
    return None if share is None else share * 100


def _not_weighed(shares: ByMass, items: Mapping[str, Item]) -> Iterable[Undecided]:
    """Yield what is in no share, so that nobody takes it for harmless."""
    for name in shares.not_known:
        if is_water(items[name]):
            continue
        item = items[name].item
        yield Undecided(
            "no entry in force",
            item,
            "Its share by mass is not known: it has no density, and counts as 1 g/mL, or it is "
            "counted, and is in no sum.",
        )
