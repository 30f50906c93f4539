"""A Plan: all that a period needs, and where each figure came from."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.chemistry.conversions import Material
from prepstore.facts import Inventory, Item, Lot, Solution
from prepstore.planning.apparatus import ApparatusPlan
from prepstore.planning.batches import Batch
from prepstore.planning.calendar import Period
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Served
from prepstore.planning.orders import OrderRow
from prepstore.planning.states import SessionPlan
from prepstore.planning.stockroom import Stockroom, still_unserved
from prepstore.planning.waste import WastePlan


@dataclass(frozen=True, slots=True)
class StockRow:
    """How one item or solution stands over the period; amounts in its unit.

    `promised` is what sessions before the period want; `usable` what is in date on the earliest
    day of need after that; `lots` what the period draws from each. `served` holds every demand.
    """

    name: str
    material: Material
    fact: Item | Solution
    promised: Decimal
    needed: Decimal
    usable: Decimal
    short: Decimal
    restock: Decimal
    lots: tuple[tuple[Lot, Decimal], ...]
    served: tuple[Served, ...]

    @property
    def unserved(self) -> tuple[Served, ...]:
        """Return the period's demands that are not served in full; a solution's are made up."""
        if isinstance(self.fact, Solution):
            return ()
        return still_unserved(self.served, promised=False)


@dataclass(frozen=True, slots=True)
class Warned:
    """Something to look at; `about` names an item, stream, session or supplier."""

    about: str
    message: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A period's sessions, batches, stock, orders, waste and apparatus.

    Mappings go by folded name; `stock` has every item and solution but apparatus. `batches` are
    those that serve the period, in order of make-day.
    """

    period: Period
    today: date
    inventory: Inventory
    materials: Mapping[str, Material]
    stockroom: Stockroom
    sessions: tuple[SessionPlan, ...]
    batches: tuple[Batch, ...]
    stock: Mapping[str, StockRow]
    orders: tuple[OrderRow, ...]
    waste: WastePlan
    apparatus: tuple[ApparatusPlan, ...]
    warnings: tuple[Warned, ...] = ()

    @property
    def works(self) -> tuple[SessionWork, ...]:
        """Return what each session of the period takes."""
        return tuple(session.work for session in self.sessions)

    def label(self, name: str) -> str:
        """Return the spelling of a folded item or solution name."""
        return self.materials[name].name
