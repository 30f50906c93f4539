"""Stock: how each item and solution stands over the period, and which lots it is drawn from."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO, is_more_than_nothing
from prepstore.cell_types import fold
from prepstore.facts import Lot
from prepstore.planning.not_counted import NotCounted, all_not_counted
from prepstore.planning.plan import Plan, StockRow
from prepstore.report.not_counted_words import not_counted_in_words
from prepstore.report.wording import amount_in_words, far_day_in_words
from prepstore.report.workbook.apparatus import apparatus_to_look_at
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    band,
    note,
)

COLUMNS: Final = (
    SheetColumn("Short, restock", 17.5, CellForm.WORD),
    SheetColumn("Item or solution · storage", 46.5),
    SheetColumn("Needed", 9),
    SheetColumn("Promised before", 10.5),
    SheetColumn("Usable, in date", 9),
    SheetColumn("Left after", 9),
    SheetColumn("Drawn from lot: amount; what is left, its last day", 48.5),
)


def stock_page(plan: Plan) -> Page:
    """Return the sheet of stock; what nothing is wanted of is left out and counted.

    What asks for something is printed; what there is enough of stands below it for the screen. For
    what is only to restock the sheet takes no paper: `Order` has it.
    """
    shown = [row for row in plan.stock.values() if _is_shown(row)]
    shown.sort(key=lambda row: (_ORDER.index(_word(row)), row.name))
    wanting = [row for row in shown if _word(row)]
    blocks = list(_to_look_at(plan, wanting))
    return Page(
        "Stock",
        "Stock: what is needed and what there is",
        COLUMNS,
        blocks,
        is_filtered=True,
        on_screen=_enough(plan, [row for row in shown if not _word(row)], len(shown)),
        is_blank=len(blocks) == sum(_word(row) == "RESTOCK" for row in wanting),
    )


def _to_look_at(plan: Plan, rows: list[StockRow]) -> Iterator[Block]:
    """Yield what is short or to restock, apparatus that is short, and lots that do not count."""
    yield from ((_row(plan, row),) for row in rows)
    apparatus = tuple(apparatus_to_look_at(plan))
    if apparatus:
        yield (band(_APPARATUS), *apparatus)
    yield from _aside(_ASIDE, plan, is_wanted=True)


def _enough(plan: Plan, rows: list[StockRow], shown: int) -> Iterator[Block]:
    if rows:
        yield (band(_ENOUGH),)
        yield from ((_row(plan, row),) for row in rows)
    yield from _aside(_ASIDE_OF_OTHERS, plan, is_wanted=False)
    yield (note(_remark(len(plan.stock) - shown)),)


def _aside(head: str, plan: Plan, *, is_wanted: bool) -> Iterator[Block]:
    """Yield lots that do not count, of what the plan wants or of all else, under a head."""
    wanted = _wanted(plan)
    rows = [
        _not_counted(one)
        for one in all_not_counted(plan)
        if (fold(one.holding.lot.item) in wanted) is is_wanted
    ]
    for place, row in enumerate(rows):
        yield (row,) if place else (band(head), row)


def _wanted(plan: Plan) -> set[str]:
    """Return the names, folded, of all that the plan wants, so that somebody may reach for it."""
    in_use = {fold(one.item.item) for one in plan.apparatus if one.peak}
    return in_use | {name for name, row in plan.stock.items() if _is_shown(row)}


def _is_shown(row: StockRow) -> bool:
    return any(map(is_more_than_nothing, (row.needed, row.promised, row.short, row.restock)))


def _remark(left_out: int) -> str:
    return (
        f"Left out: {left_out} items and solutions of which nothing is needed, promised, short or "
        "to restock. Apparatus has a sheet of its own. A solution is never short: what stock does "
        "not give is made up. Needed counts what batches take; usable is without deliveries."
    )


_ORDER: Final = ("SHORT", "RESTOCK", "")


def _word(row: StockRow) -> str:
    if is_more_than_nothing(row.short):
        return "SHORT"
    return "RESTOCK" if is_more_than_nothing(row.restock) else ""


_APPARATUS: Final = "Apparatus that is short, or not worked out, and who has it then"
_ASIDE: Final = "Lots that do not count, or not to the end of these days"
_ASIDE_OF_OTHERS: Final = (
    "For the screen, and not printed: such lots of what these days do not want"
)
_ENOUGH: Final = "For the screen, and not printed: what there is enough of"


def _not_counted(one: NotCounted) -> SheetRow:
    place = one.holding.lot.place
    where = f"{one.holding.material.name} · {place}" if place else one.holding.material.name
    return SheetRow(("", f"{where}: {not_counted_in_words(one)}"), runs_from=1)


def _row(plan: Plan, row: StockRow) -> SheetRow:
    unit, word = row.material.unit, _word(row)
    wanted = (("SHORT", row.short), ("RESTOCK", row.restock))
    alert = "\n".join(
        f"{said} {amount_in_words(number, unit)}"
        for said, number in wanted
        if is_more_than_nothing(number)
    )
    promised = row.promised if is_more_than_nothing(row.promised) else None
    return SheetRow(
        (
            alert,
            " · ".join(filter(None, (row.material.name, row.fact.storage))),
            amount_in_words(row.needed, unit),
            "" if promised is None else amount_in_words(promised, unit),
            amount_in_words(row.usable, unit),
            amount_in_words(row.left, unit),
            _lots(plan, row),
        ),
        Look.ALERT if word == "SHORT" else Look.PLAIN,
    )


def _lots(plan: Plan, row: StockRow) -> str:
    return "\n".join(_lot(plan, row, lot, amount) for lot, amount in row.lots)


def _lot(plan: Plan, row: StockRow, lot: Lot, amount: Decimal) -> str:
    """Return what is drawn from a lot, what is left of it after all sessions, and its last day."""
    held = plan.stores.holdings[fold(lot.lot)]
    left = held.amount - plan.taken.get(fold(lot.lot), ZERO)
    unit = row.material.unit
    rest = f"{amount_in_words(left, unit)} left" if is_more_than_nothing(left) else "then empty"
    last = f", until {far_day_in_words(held.last_day)}" if held.last_day else ""
    return f"{lot.lot}: {amount_in_words(amount, unit)}; {rest}{last}"
