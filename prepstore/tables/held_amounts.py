"""The rows of lots saying what these hold: as it was typed where that is it, else in digits."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from prepstore.amounts import Amount, Kind, WrittenAmount, in_billionths, of_billionths
from prepstore.cell_types import StockUnit, fold
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit
from prepstore.chemistry.materials import SolutionCircleError
from prepstore.tables.understand import goods_of, understand
from prepstore.tables.units import read_amount
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow, WrittenSet


def with_amounts_held(
    written: WrittenSet, balances: Mapping[str, int]
) -> dict[str, list[WrittenRow]]:
    """Return rows of a store in which each lot says what it holds.

    The words that somebody typed last stay where they still come to it, as `1.5 kg` and `3 scoop`.

    Args:
        written: The tables; with `stock` those that tell what is in the lots.
        balances: What each lot holds, in billionths, by folded label.
    """
    kept = _Kept(written)
    stock = [_as_held(row, balances.get(row.key[0]), kept) for row in written.get("stock", ())]
    return {**written, "stock": stock}


@dataclass(frozen=True)
class _Kept:
    """What tells how much a lot's words come to."""

    written: WrittenSet

    @cached_property
    def units(self) -> Mapping[str, Kind]:
        """Return what is kept in which unit, by folded name."""
        kinds = {fold(unit): unit.kind for unit in StockUnit}
        items = {
            row.key[0]: kinds[fold(row.text["unit"])]
            for row in self.written.get("items", ())
            if fold(row.text.get("unit", "")) in kinds
        }
        return items | {row.key[0]: Kind.VOLUME for row in self.written.get("solutions", ())}

    @cached_property
    def materials(self) -> Mapping[str, Material]:
        """Return what is needed where words are in another unit, or in a measure of the item."""
        known, _ = understand(self.written)
        try:
            return goods_of(known).materials
        except SolutionCircleError:
            return {}

    def number(self, name: str, amount: WrittenAmount) -> Decimal:
        """Return an amount of an item or solution (folded) in its unit.

        Raises:
            KeyError, NoRouteError: It cannot be told.
        """
        if all(portion.kind is self.units[name] for portion in amount.portions):
            return sum((portion.number for portion in amount.portions), Decimal(0))
        return in_unit(self.materials[name], amount)


def _as_held(row: WrittenRow, held: int | None, kept: _Kept) -> WrittenRow:
    name = fold(row.text.get("item", ""))
    if held is None or name not in kept.units:
        return row
    try:
        if in_billionths(kept.number(name, read_amount(row.text.get("amount", "")))) == held:
            return row
    except (UnreadableError, NoRouteError, KeyError):
        pass
    return replace(
        row, text={**row.text, "amount": str(Amount(of_billionths(held), kept.units[name]))}
    )
