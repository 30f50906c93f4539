"""The rows of lots: new ones, what they say after a booking, and those that are there no longer.

A row stays for the sake of the history, even where its lot is gone; lists and exports leave it out.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from sqlalchemy import Connection, Row, delete, insert, select, update

from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.ledger.light import light_table, next_number, table_of_a_set
from prepstore.movements import AS_TYPED, Booking, Movement

STOCK: Final = table_of_a_set("stock")
BALANCES: Final = light_table("balances", "lot billionths last_movement")
_FIRST_ROW: Final = 2
"""Rows are numbered as a spreadsheet numbers them, below the heading."""
_AT_ONCE: Final = 500
"""Lots asked for in one go; SQLite takes 999 parameters at least."""


def add_lots(connection: Connection, lots: Iterable[Mapping[str, str]], entry: int) -> None:
    """Add the rows of new lots with an entry; one of the same label that is gone makes room."""
    rows = [{**cells, "key": fold(cells["lot"])} for cells in lots]
    for key in _gone_among(connection, [row["key"] for row in rows]):
        _rekey(connection, key, _aside(key, entry))
    _insert(connection, rows)


TAKEN_BY: Final = "label_taken_by"
"""What a history calls the entry with which another lot got the label of one that was gone."""


def put_lots(connection: Connection, lots: Iterable[Mapping[str, str]]) -> None:
    """Put in the rows of lots as a history has them.

    Of a lot that is gone the cells say why, under `gone`, and which entry took its label.
    """
    rows = []
    for cells in lots:
        key, entry = fold(cells["lot"]), cells.get(TAKEN_BY)
        own = {column: cell for column, cell in cells.items() if column != TAKEN_BY}
        rows.append({**own, "key": _aside(key, int(entry)) if entry else key})
    _insert(connection, rows)


def taken_by(key: str) -> str:
    """Return the entry that took the label of the lot with a key; blank where none did."""
    return key.partition(_ASIDE)[2]


def _insert(connection: Connection, rows: Sequence[Mapping[str, str]]) -> None:
    blank = dict.fromkeys(("gone", *TABLES["stock"].columns))
    first = max(next_number(connection, STOCK.c.position), _FIRST_ROW)
    placed = [
        {**blank, **row, "position": position} for position, row in enumerate(rows, start=first)
    ]
    if placed:
        connection.execute(insert(STOCK), placed)


def forget_gone(connection: Connection, keys: Iterable[str]) -> None:
    """Remove the rows of lots that are gone, so that a load can give their labels again.

    The movements of those lots stay, and belong to whatever row has the label when the transaction
    ends.
    """
    for key in _gone_among(connection, keys):
        connection.execute(delete(STOCK).where(STOCK.c.key == key))


def _gone_among(connection: Connection, keys: Iterable[str]) -> set[str]:
    gone = connection.execute(select(STOCK.c.key).where(STOCK.c.gone.is_not(None))).scalars()
    return set(gone).intersection(keys)


_ASIDE: Final = "\x1f"
"""Stands in the key of a row whose label another lot has by now; no label has it."""


def _aside(key: str, entry: int) -> str:
    """Return the key of a row that made room for another lot with an entry."""
    return f"{key}{_ASIDE}{entry}"


def _rekey(connection: Connection, key: str, to: str) -> None:
    connection.execute(update(STOCK).where(STOCK.c.key == key).values(key=to))


def swap_rows(connection: Connection, booking: Booking, entry: int, undone: int) -> None:
    """Let the rows that made room for lots of an entry stand in their places again.

    Args:
        connection: Of `writing`.
        booking: What undoes an entry.
        entry: The number under which it is recorded.
        undone: The number of the entry that it undoes.
    """
    for lot in booking.gone:
        aside = _aside(lot, undone)
        if connection.execute(select(STOCK.c.key).where(STOCK.c.key == aside)).scalar():
            _rekey(connection, lot, _aside(lot, entry))
            connection.execute(
                update(STOCK).where(STOCK.c.key == _aside(lot, entry)).values(gone="undone")
            )
            _rekey(connection, aside, lot)


def as_they_stand(connection: Connection, movements: Iterable[Movement]) -> tuple[Movement, ...]:
    """Return movements whose changed cells were what the rows say letter for letter.

    So that an undo writes back `usable` where that was typed, and nothing where nothing was.
    """
    return tuple(
        one
        if one.change is None or one.change.column not in TABLES["stock"].columns
        else replace(one, change=replace(one.change, was=_cell(connection, one)))
        for one in movements
    )


def _cell(connection: Connection, movement: Movement) -> str:
    assert movement.change is not None
    cell = STOCK.c[movement.change.column]
    found = connection.execute(select(cell).where(STOCK.c.key == fold(movement.lot))).scalar()
    return found or ""


def let_rows_follow(connection: Connection, booking: Booking) -> None:
    """Let the rows of lots say what is typed of them: changed cells, and amounts found."""
    for movement in booking.movements:
        if movement.change is not None and movement.change.column in TABLES["stock"].columns:
            cells = {movement.change.column: movement.change.now or None}
            connection.execute(update(STOCK).where(STOCK.c.key == fold(movement.lot)).values(cells))
    typed = {
        fold(one.lot): one.written
        for one in booking.movements
        if one.what in AS_TYPED and one.written
    }
    for lot, amount in (typed | dict(booking.amounts)).items():
        connection.execute(update(STOCK).where(STOCK.c.key == lot).values(amount=amount))
    for lot, why in booking.gone.items():
        connection.execute(update(STOCK).where(STOCK.c.key == lot).values(gone=why or None))


def balances(connection: Connection, *lots: str) -> dict[str, int]:
    """Return what lots hold, in billionths, by folded label; all lots if none is named."""
    everything = select(BALANCES.c.lot, BALANCES.c.billionths)
    if not lots:
        return _by_lot(connection.execute(everything))
    found: dict[str, int] = {}
    for first in range(0, len(lots), _AT_ONCE):
        some = everything.where(BALANCES.c.lot.in_(lots[first : first + _AT_ONCE]))
        found.update(_by_lot(connection.execute(some)))
    return found


def _by_lot(rows: Iterable[Row[Any]]) -> dict[str, int]:
    return {row.lot: row.billionths for row in rows}


def lot_cells(connection: Connection, lots: Iterable[str]) -> dict[str, dict[str, str]]:
    """Return the cells of lots' rows that are not blank, by folded label; also of gone ones."""
    columns = TABLES["stock"].columns
    found: dict[str, dict[str, str]] = {}
    for lot in lots:
        row = connection.execute(select(STOCK).where(STOCK.c.key == lot)).mappings().first()
        if row is not None:
            found[lot] = {name: row[name] for name in columns if row[name] is not None}
    return found


def lot_names(connection: Connection) -> dict[str, tuple[str, str]]:
    """Return each lot's label and what is in it, by folded label, those that are gone included."""
    rows = connection.execute(select(STOCK.c.key, STOCK.c.lot, STOCK.c.item))
    return {row.key: (row.lot, row.item or "") for row in rows if _ASIDE not in (row.key or _ASIDE)}
