"""What the lots are worth, as lines and as rows for other programs."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

from prepstore.amounts import Kind, fine_amount_in_words
from prepstore.cell_types import fold
from prepstore.report.costs import (
    COST_COLUMNS,
    cost_cells,
    cost_in_words,
    known_in_words,
    money_cell,
    no_price_lines,
    price_cell,
    price_in_words,
)
from prepstore.report.row_lists import number_in_json
from prepstore.report.stock_list import COLUMNS, SHOWN, Listed, numbers_of, shown_cell
from prepstore.report.text_table import as_table
from prepstore.shelf.prices import Cost
from prepstore.shelf.worth import Group, Grouping, Worth, together
from prepstore.written import WrittenRow

WORTH_COLUMNS: Final = (*COLUMNS, "storage", "price", "value", "known", "no_price")
_NAMELESS: Final[Mapping[Grouping, str]] = {
    Grouping.ITEM: "no item",
    Grouping.STORAGE: "no storage given",
    Grouping.PLACE: "no place given",
}


def group_columns(by: Grouping) -> tuple[str, ...]:
    """Return the columns of a list of groups."""
    return (str(by), "lots", "amount", "unit", "value", *COST_COLUMNS, "lots_without_price")


def worths_of(
    lots: Sequence[Listed], rows: Mapping[str, Sequence[WrittenRow]], prices: Mapping[str, Cost]
) -> list[Worth]:
    """Return what listed lots are worth, in their order.

    Args:
        lots: As `stock_rows` lists them, those without a label left out.
        rows: The tables items and solutions, which say how each is stored.
        prices: Of a unit of each lot, by folded label.
    """
    storage = {
        row.key[0]: row.text.get("storage", "")
        for table in ("items", "solutions")
        for row in rows[table]
    }
    return [
        Worth(
            label=lot["lot"],
            item=lot["item"],
            storage=storage[fold(lot["item"])],
            place=lot["place"],
            amount=Decimal(lot["number"]),
            unit=Kind(lot["unit"]),
            price=prices[fold(lot["lot"])],
        )
        for lot in lots
    ]


def worth_rows(lots: Sequence[Listed], worths: Sequence[Worth]) -> list[dict[str, Any]]:
    """Return a row a lot: its cells, the price of one unit, its value and how that is known."""
    return [
        {
            **numbers_of(lot),
            "storage": worth.storage,
            "price": price_cell(worth.price),
            "value": money_cell(worth.value),
            "known": str(worth.price.known),
            "no_price": sorted(worth.price.lacking),
        }
        for lot, worth in zip(lots, worths, strict=True)
    ]


def worth_lines(
    lots: Sequence[Listed], worths: Sequence[Worth], currency: str | None
) -> Iterator[str]:
    """Yield a heading, a line a lot that holds something, and what all of them are worth."""
    lines = [
        (
            *(shown_cell(column, lot) for column in SHOWN),
            price_in_words(worth.price, worth.unit, currency),
            cost_in_words(worth.value, currency),
            str(worth.price.known),
        )
        for lot, worth in zip(lots, worths, strict=True)
        if worth.amount
    ]
    yield from as_table((*SHOWN, "price", "value", "known"), lines)
    yield from total_lines(together(worths), currency)


def total_lines(total: Group, currency: str | None) -> Iterator[str]:
    """Yield what lots are worth together, how that is known, and what is not in it."""
    count = len(total.lots)
    lots = f"{count} lot{'s' if count != 1 else ''}"
    value = cost_in_words(total.value, currency) or "value not known"
    yield f"{lots}, {value}: {known_in_words(total.value)}" if count else lots
    yield from no_price_lines(total.value.lacking)


def group_rows(groups: Sequence[Group], by: Grouping) -> list[dict[str, Any]]:
    """Return a row a group; `amount` is a number where all its lots are of one item."""
    return [
        {
            str(by): group.name,
            "lots": len(group.lots),
            "amount": None if group.amount is None else number_in_json(group.amount[0]),
            "unit": None if group.amount is None else str(group.amount[1]),
            "value": money_cell(group.value),
            **cost_cells(group.value),
            "lots_without_price": group.unpriced,
        }
        for group in groups
    ]


def group_lines(
    groups: Sequence[Group], by: Grouping, total: Group, currency: str | None
) -> Iterator[str]:
    """Yield a heading, a line a group, and what all lots are worth."""
    lines = [
        (
            group_name(group, by),
            str(len(group.lots)),
            fine_amount_in_words(*group.amount) if group.amount and by is Grouping.ITEM else "",
            cost_in_words(group.value, currency),
            known_in_words(group.value),
        )
        for group in groups
    ]
    yield from as_table((str(by), "lots", "amount", "value", "known"), lines)
    yield from total_lines(total, currency)


def group_name(group: Group, by: Grouping) -> str:
    """Return what a group is called; that of lots of which nothing is given says so."""
    return group.name or _NAMELESS[by]
