"""Labels over time: lots under another label, and labels that several lots had."""

from datetime import date

from sqlalchemy import Connection, func, select

from prepstore.cell_types import fold
from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.lots import STOCK
from prepstore.ledger.movements import MOVEMENTS, recorded_of
from prepstore.ledger.names import Renames, recorded_names
from prepstore.movements import NewName
from prepstore.recorded import standing


def began_again(connection: Connection) -> dict[str, list[tuple[int, str]]]:
    """Return of each label that several lots had the movements they began with, and their items.

    By folded label, in the order of recording; items bear the names that they have by now.
    """
    moves = MOVEMENTS.c
    several = (
        select(moves.lot)
        .where(moves.item.is_not(None))
        .group_by(moves.lot)
        .having(func.count(moves.movement) > 1)
    )
    rows = (
        select(moves.lot, moves.movement, moves.entry, moves.item)
        .where(moves.item.is_not(None), moves.lot.in_(several))
        .order_by(moves.movement)
    )
    found: dict[str, list[tuple[int, str]]] = {}
    renames = Renames(recorded_names(connection))
    for row in connection.execute(rows):
        item = renames.now(row.item, row.entry, "items", "solutions")
        found.setdefault(row.lot, []).append((row.movement, item))
    return found


def relabelled(connection: Connection) -> dict[tuple[str, str], NewName]:
    """Return what lots are labelled now that gave up their labels, as `renamed_by_now` does."""
    moves, gone = MOVEMENTS.c, select(STOCK.c.key).where(STOCK.c.gone == "relabelled")
    rows = (
        select(moves.lot, moves.now, ENTRIES.c.on_day)
        .select_from(MOVEMENTS.join(ENTRIES, moves.entry == ENTRIES.c.entry))
        .where(moves.lot.in_(gone), moves.changed == "label", moves.reverses.is_(None))
        .order_by(moves.movement)
    )
    given = {
        row.lot: NewName(row.now, date.fromisoformat(row.on_day))
        for row in connection.execute(rows)
        if fold(row.now) != row.lot
    }
    return {("stock", lot): _latest(given, lot) for lot in given}


def _latest(given: dict[str, NewName], lot: str) -> NewName:
    """Return the label that a lot has after all; labels that lead in a circle are followed once."""
    seen = {lot}
    now = given[lot]
    while (label := fold(now.name)) in given and label not in seen:
        seen.add(label)
        now = NewName(given[label].name, now.since)
    return now


def with_earlier_labels(connection: Connection, lot: str) -> dict[str, int | None]:
    """Return the folded label of a lot, and those that it had before, the present one first.

    With each goes the number of the last movement that is of this lot; None is all of them.
    """
    labels: dict[str, int | None] = {lot: None}
    while True:
        (history,) = recorded_of(connection, [lot]).values()
        last = labels[lot]
        mine = [one for one in standing(history) if last is None or one.number <= last]
        began = [one for one in mine if one.movement.item is not None]
        change = began[-1].movement.change if began else None
        if change is None or change.column != "label" or fold(change.was) in labels:
            return labels
        # What was under the other label went away with the movement before.
        lot = fold(change.was)
        labels[lot] = began[-1].number - 1
