"""The lots as they stand, found by label or by what is in them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from prepstore.amounts import Kind, of_billionths
from prepstore.chemistry.conversions import Material
from prepstore.facts import Inventory, Lot, fold
from prepstore.movements import NewName
from prepstore.planning.draws import LotOnShelf, is_usable, last_day_of
from prepstore.problems import RefusedError, nearest


@dataclass(frozen=True, slots=True)
class LotHeld:
    """A lot and what is in it: `amount` in the item's unit, `last_day` of use (None: keeps)."""

    lot: Lot
    amount: Decimal
    material: Material
    last_day: date | None

    @property
    def label(self) -> str:
        """Return its label."""
        return self.lot.lot

    @property
    def unit(self) -> Kind:
        """Return the unit that it is kept in."""
        return self.material.unit

    @property
    def on_shelf(self) -> LotOnShelf:
        """Return it as the planner sees it."""
        return LotOnShelf(self.lot, self.amount, self.last_day)

    @property
    def is_usable(self) -> bool:
        """Return whether its state allows its use."""
        return is_usable(self.lot)

    def is_to_be_used(self, day: date) -> bool:
        """Return whether it holds anything that may be used on a day."""
        return self.amount > 0 and is_usable(self.lot) and self.on_shelf.is_in_date(day)


Renamed = Mapping[tuple[str, str], NewName]
"""What a thing is called now, by table and by the folded name that it bore before."""


def meant(name: str, known: Iterable[str], renamed: Renamed, tables: Iterable[str]) -> str:
    """Return what a name that is not known leads to: its new name, or the nearest known one."""
    for table in tables:
        now = renamed.get((table, fold(name)))
        if now is not None:
            return f"It is called {now.name} since {now.since}."
    return nearest(name, known)


@dataclass(frozen=True, slots=True)
class Shelf:
    """All lots by folded label and by folded item, beside the facts of what is in them.

    The lots of an item stand first to expire first.
    """

    lots: Mapping[str, LotHeld]
    by_item: Mapping[str, tuple[LotHeld, ...]]
    inventory: Inventory
    materials: Mapping[str, Material]
    renamed: Renamed

    def lot(self, label: str) -> LotHeld:
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
        raise RefusedError(f"There is no lot '{label}'. {nearest(label, labels)}".rstrip())

    def _only_lot_of(self, name: str) -> LotHeld:
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
            what = f"'{name}' is not a known item or solution."
            raise RefusedError(f"{what} {self.meant(name, names)}".rstrip())
        return found

    def refuse_label(self, label: str, item: str) -> None:
        """Refuse a label for a lot of an item that is the name of something else.

        Raises:
            RefusedError: It is that of another item or solution, or the word for a blank cell.
        """
        named = self.materials.get(fold(label))
        if named is not None and fold(named.name) != fold(item):
            raise RefusedError(f"{label} is the name of {named.name}, which is not in this lot.")
        if fold(label) == "none":
            raise RefusedError("'none' is no label. Give what stands on the container.")

    def meant(self, name: str, known: Iterable[str]) -> str:
        """Return what a name of no item or solution leads to: its new name, or the nearest one."""
        return meant(name, known, self.renamed, ("items", "solutions"))

    def lots_of(self, name: str) -> tuple[LotHeld, ...]:
        """Return the lots of an item or solution, the first to expire first, empty ones too."""
        return self.by_item.get(fold(name), ())

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
        what = f"'{name}' is neither a lot nor a known item or solution."
        raise RefusedError(f"{what} {self.meant(name, known)}".rstrip())


def shelf_of(
    inventory: Inventory,
    materials: Mapping[str, Material],
    balances: Mapping[str, int],
    renamed: Renamed = MappingProxyType({}),
) -> Shelf:
    """Return the shelf.

    Args:
        inventory: The facts.
        materials: Items and solutions, worked out.
        balances: What each lot holds, in billionths, by folded label.
        renamed: What things are called now that bore other names before.
    """
    lots = {}
    for lot in inventory.lots:
        item = inventory.items.get(fold(lot.item))
        lots[fold(lot.lot)] = LotHeld(
            lot,
            of_billionths(balances.get(fold(lot.lot), 0)),
            materials[fold(lot.item)],
            last_day_of(lot, item.opened_life if item else None),
        )
    by_item: dict[str, list[LotHeld]] = {}
    for held in sorted(lots.values(), key=lambda held: held.on_shelf.order):
        by_item.setdefault(fold(held.lot.item), []).append(held)
    return Shelf(
        lots,
        {name: tuple(of_one) for name, of_one in by_item.items()},
        inventory,
        materials,
        renamed,
    )


Taken = tuple[tuple[LotHeld, Decimal], ...]
"""How much is taken from which lot, in the item's unit."""


def first_to_expire(
    lots: Iterable[LotHeld],
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
    taken: list[tuple[LotHeld, Decimal]] = []
    for held in sorted(lots, key=lambda held: held.on_shelf.order):
        free = held.amount - spoken_for.get(fold(held.label), Decimal(0))
        some = min(wanted, free)
        if some > 0 and held.is_to_be_used(day):
            taken.append((held, some))
            wanted -= some
    return tuple(taken), wanted
