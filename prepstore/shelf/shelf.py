"""The lots as they stand, found by label or by what is in them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from prepstore.catalogue import Catalogue, Goods
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material
from prepstore.movements import NewName
from prepstore.planning.calendar import Period
from prepstore.planning.make_plan import TakenBySessions, plan_period, taken_by_sessions
from prepstore.planning.plan import Plan
from prepstore.problems import RefusedError, not_known
from prepstore.stores import Holding, Stores
from prepstore.timetable import Timetable

Renamed = Mapping[tuple[str, str], NewName]
"""What a thing is called now, by table and by the folded name that it bore before."""


def called_now(name: str, renamed: Renamed, *tables: str) -> str:
    """Return what a thing of some tables is called that bore a name before; else blank."""
    found = (renamed.get((table, fold(name))) for table in tables)
    now = next((one for one in found if one is not None), None)
    return "" if now is None else f"It has been called {now.name} since {now.since}."


@dataclass(frozen=True)
class Shelf:
    """What is in the stores, found by what people type: a label, a name, an old name."""

    stores: Stores
    renamed: Renamed = field(default_factory=dict)

    @property
    def goods(self) -> Goods:
        """Return what is known of what is there."""
        return self.stores.goods

    @property
    def lots(self) -> Mapping[str, Holding]:
        """Return all lots, by folded label."""
        return self.stores.holdings

    @property
    def materials(self) -> Mapping[str, Material]:
        """Return every item and solution as a material, by folded name."""
        return self.goods.materials

    def lot(self, label: str) -> Holding:
        """Return a lot by its label, or by what is in it where only one lot holds any of that.

        Raises:
            RefusedError: There is none, or several; names the nearest, or all of them.
        """
        found = self.lots.get(fold(label))
        if found is not None:
            return found
        if fold(label) in self.materials:
            return self._only_lot_of(label)
        labels = [held.label for held in self.lots.values()]
        raise not_known(label, "lot", labels)

    def _only_lot_of(self, name: str) -> Holding:
        lots = [held for held in self.lots_of(name) if held.amount]
        if len(lots) == 1:
            return lots[0]
        if not lots:
            raise RefusedError(f"There is no lot of {name} with anything in it.")
        labels = ", ".join(held.label for held in lots)
        raise RefusedError(f"There are several lots of {name}: {labels}. Name one of them.")

    def material(self, name: str) -> Material:
        """Return what an item or solution is.

        Raises:
            RefusedError: There is none of that name; names the nearest.
        """
        found = self.materials.get(fold(name))
        if found is None:
            names = [material.name for material in self.materials.values()]
            raise not_known(name, "item or solution", names, self.called_now(name))
        return found

    def refuse_label(self, label: str, item: str) -> None:
        """Refuse a label for a lot of an item that is the name of something else.

        Raises:
            RefusedError: It is that of another item or solution, the word for a blank cell, or
                printed for a batch of another solution.
        """
        named = self.materials.get(fold(label))
        if named is not None and fold(named.name) != fold(item):
            raise RefusedError(f"{label} is the name of {named.name}, which is not in this lot.")
        if fold(label) == "none":
            raise RefusedError("'none' is not a label. Give what is written on the container.")
        reserved = self.stores.reserved.of.get(fold(label))
        if reserved is not None and fold(reserved.solution) != fold(item):
            batch = f"{reserved.solution} that is made on {reserved.make_on}"
            what = f"{label} is reserved for the batch of {batch}, since its label is printed."
            raise RefusedError(f"{what} Give this lot another label.")

    def called_now(self, name: str) -> str:
        """Return what an item or solution is called now that bore a name before; else blank."""
        return called_now(name, self.renamed, "items", "solutions")

    def lots_of(self, name: str) -> tuple[Holding, ...]:
        """Return the lots of an item or solution, soonest to expire first, empty ones too."""
        return self.stores.of(fold(name))

    def is_lot(self, name: str) -> bool:
        """Return whether a name is a lot's label; else it may be that of an item or solution.

        Raises:
            RefusedError: It is neither; names the nearest.
        """
        if fold(name) in self.lots:
            return True
        if fold(name) in self.materials:
            return False
        known = [held.label for held in self.lots.values()]
        known += [material.name for material in self.materials.values()]
        raise not_known(name, "lot, item or solution", known, self.called_now(name))


@dataclass(frozen=True)
class Department(Shelf):
    """What is in the stores, beside all that is known whatever the week and what is asked of it."""

    catalogue: Catalogue = field(kw_only=True)
    timetable: Timetable = field(kw_only=True)

    def plan(self, period: Period, today: date) -> Plan:
        """Return the plan of a period, made on a day."""
        return plan_period(self.catalogue, self.timetable, self.stores, period, today)

    def taken_by_sessions(self, period: Period, today: date) -> TakenBySessions:
        """Return what the sessions of a period take, and from where, as its plan has it."""
        return taken_by_sessions(self.catalogue, self.timetable, self.stores, period, today)


Taken = tuple[tuple[Holding, Decimal], ...]
"""How much is taken from which lot, in the item's unit."""


def first_to_expire(
    lots: Iterable[Holding],
    wanted: Decimal,
    day: date,
    spoken_for: Mapping[str, Decimal] = MappingProxyType({}),
) -> tuple[Taken, Decimal]:
    """Return what is taken from which lot, first to expire first, and what is still wanted.

    Args:
        lots: Of one item or solution.
        wanted: How much, in its unit.
        day: The day of use; lots that are out of date or not usable give nothing.
        spoken_for: What is taken from a lot already, by folded label.
    """
    taken: list[tuple[Holding, Decimal]] = []
    for held in sorted(lots, key=lambda held: held.turn):
        free = held.amount - spoken_for.get(fold(held.label), Decimal(0))
        some = min(wanted, free)
        if some > 0 and held.is_to_be_used(day):
            taken.append((held, some))
            wanted -= some
    return tuple(taken), wanted
