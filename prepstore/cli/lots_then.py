"""The lots of a store as they are or stood on a day, and what a unit of each cost."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import Recorded
    from prepstore.shelf.lot_prices import ItemOf, UnitPrices
    from prepstore.shelf.past import Lots
    from prepstore.shelf.prices import Estimates
    from prepstore.shelf.shelf import Shelf


def day_past(day: datetime.date | None) -> datetime.date | None:
    """Return a day that is past; None for today, a later one, or none."""
    if day is None:
        return None
    from prepstore.cli.rooms import today

    return day if day < today() else None


def lots_of_day(connection: "Connection", day: datetime.date | None) -> "Lots":
    """Return the lots as they stood at the end of a day; None is now."""
    from prepstore.cli.rooms import rows_in
    from prepstore.ledger.lots import balances, lot_cells
    from prepstore.ledger.movements import Asked, first_day, recorded, recorded_of
    from prepstore.shelf.past import Lots, Since, lots_on

    rows = rows_in(connection, "stock", "items", "solutions", "solution_parts", "settings")["stock"]
    now = Lots(rows, balances(connection))
    if day is None:
        return now
    later = recorded(connection, Asked(first_day=day + datetime.timedelta(days=1)))
    touched = dict.fromkeys(one.movement.lot for one in later)
    there = {row.key[0] for row in now.rows}
    since = Since(
        recorded_of(connection, touched),
        lot_cells(connection, (lot for lot in touched if lot not in there)),
        first_day(connection) or day,
    )
    return lots_on(day, now, since, item_of_movements(connection))


def item_of_movements(connection: "Connection") -> "ItemOf":
    """Return what tells what is in the lot of a movement, as that is called now."""
    from prepstore.ledger.labels import began_again
    from prepstore.ledger.lots import lot_names
    from prepstore.report.history_list import LotNames

    names = LotNames(lot_names(connection), began_again(connection))
    return lambda one: names.of(one)[1]


@dataclass(frozen=True, slots=True)
class Priced:
    """Movements that count, what a unit of their lots cost, and what things cost else."""

    history: "Sequence[Recorded]"
    prices: "UnitPrices"
    estimates: "Estimates"
    item_of: "ItemOf"


def priced(
    connection: "Connection", shelf: "Shelf", history: "Sequence[Recorded]", day: datetime.date
) -> Priced:
    """Return movements that count with what a unit of each lot cost.

    Args:
        connection: Of the store.
        shelf: What is known of items, solutions and packs.
        history: The movements that count, in the order of recording.
        day: The day on which packs are sold by whose prices the rest is estimated.
    """
    from prepstore.shelf.lot_prices import unit_prices
    from prepstore.shelf.prices import Estimates

    item_of, estimates = item_of_movements(connection), Estimates(shelf, day)
    prices = unit_prices(history, item_of, estimates)
    return Priced(history, prices, estimates, item_of)
