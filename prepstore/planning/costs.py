"""What sessions use up in money, at the least price that a unit is sold for."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.materials import ingredients_of, making_order
from prepstore.chemistry.solutions import amounts_for
from prepstore.planning.orders import Offer
from prepstore.planning.plan import Plan

_A_LITRE_ML = Decimal(1000)


@dataclass
class PracticalCost:
    """What all sessions of a practical use up, spare included."""

    practical: str
    cost: Decimal = ZERO
    sessions: int = 0
    students: int = 0
    not_priced: set[str] = field(default_factory=set)

    @property
    def of_a_session(self) -> Decimal:
        """Return what a session uses up, on average."""
        return self.cost / self.sessions

    @property
    def of_a_student(self) -> Decimal | None:
        """Return what a student uses up, on average; None without students."""
        return self.cost / self.students if self.students else None


def costs_by_practical(plans: Iterable[Plan]) -> Iterator[PracticalCost]:
    """Yield what the sessions of some weeks use up, by practical in the order of their names.

    A solution counts with its parts, as much as goes into what is used; what is left of a batch or
    of a pack does not count, nor does apparatus, which comes back. `not_priced` names (folded) what
    nobody sells, which counts as nothing.
    """
    found: dict[str, PracticalCost] = {}
    prices: Mapping[str, Decimal] = {}
    for plan in plans:
        prices = prices or unit_prices(plan.catalogue, plan.packs)
        for work in plan.works:
            name = work.session.practical
            total = found.setdefault(name, PracticalCost(name))
            total.sessions += 1
            total.students += work.session.students
            for used, amount in work.scale.needs.items():
                if used not in plan.stock:
                    continue
                if used in prices:
                    total.cost += amount * prices[used]
                elif plan.catalogue.is_bought(used):
                    total.not_priced.add(used)
    yield from (found[name] for name in sorted(found))


def unit_prices(goods: Goods, packs: Mapping[str, tuple[Offer, ...]]) -> Mapping[str, Decimal]:
    """Return the least price of a unit (g, mL or piece) by folded name, without delivery.

    A solution that is made costs what its parts do; parts that nobody sells, such as water from
    the tap, cost nothing.
    """
    prices = {
        name: min(offer.price / offer.size for offer in offers)
        for name, offers in packs.items()
        if offers and goods.is_bought(name)
    }
    made = (name for name in making_order(goods.parts) if name in goods.parts)
    for name in made:
        ingredients = ingredients_of(goods.parts[name], goods.materials) or ()
        amounts = amounts_for(ingredients, _A_LITRE_ML, goods.solutions[name].density)
        of_a_litre = (
            amount * prices.get(fold(part.material.name), ZERO)
            for part, amount in zip(ingredients, amounts, strict=True)
        )
        prices[name] = sum(of_a_litre, ZERO) / _A_LITRE_ML
    return prices
